//! The garage and a car's home at the desk.

use crate::support::ops::{SmallCar, at};
use crate::support::{Client, EVENING, TestApp};
use axum::http::StatusCode;
use serde_json::json;
use underlamp::ids::DeviceId;

const TYPED: [(&str, &str); 8] = [
    ("name", "Skarv"),
    ("make", "Halden"),
    ("model", "Skarv 1.8"),
    ("year", "1983"),
    ("codes", "engine code: RUGDE-793\r\npaint code: 61"),
    ("story", "Nine years <in> a barn."),
    ("wanted_on", "2027-02-13"),
    ("wanted_for", "a week in the mountains"),
];

/// The form with one field typed differently, and perhaps more fields.
fn typed<'a>(changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut fields: Vec<(&str, &str)> = TYPED.to_vec();
    for change in changes {
        fields.retain(|field| field.0 != change.0);
        fields.push(*change);
    }
    fields
}

async fn write_down(desk: &Client) -> String {
    let answer = desk.post_form("/cars", &TYPED).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    answer.location().to_owned()
}

/// What a form carries so that a change meanwhile is noticed.
fn seen(page: &str) -> String {
    let at = page.find("name=\"seen\" value=\"").expect("the form says what it saw") + "name=\"seen\" value=\"".len();
    page[at..].split('"').next().unwrap().to_owned()
}

#[tokio::test]
async fn an_empty_garage_teaches_the_next_step() {
    let app = TestApp::start().await;
    let page = app.owner().await.get("/").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("Write down the first car") && page.text.contains("href=\"/cars/new\""));
}

#[tokio::test]
async fn a_car_that_is_written_down_has_a_home() {
    let app = TestApp::start().await;
    let desk = app.owner().await;
    let home = desk.get(&write_down(&desk).await).await;
    assert_eq!(home.status, StatusCode::OK);
    for words in ["RUGDE-793", "Nine years &#60;in&#62; a barn.", "in 80 days", "No job card yet", "not read yet"] {
        assert!(home.text.contains(words), "{words}: {}", home.text);
    }
    assert!(!home.text.contains("This car is invented"));
    assert!(desk.get("/").await.text.contains("no loose ends"));
}

#[tokio::test]
async fn what_is_wrong_with_a_car_is_told_at_its_field_and_nothing_is_lost() {
    let app = TestApp::start().await;
    let desk = app.owner().await;
    let long = "x".repeat(61);
    let cases = [
        (("name", " "), "Give it a name"),
        (("name", long.as_str()), "At most 60 letters"),
        (("year", "1883"), "no year of building"),
        (("year", "eighty"), "no year of building"),
        (("wanted_on", "13.02.2027"), "no day that can be planned for"),
        (("wanted_on", "2027-02-30"), "no day that can be planned for"),
        (("codes", "RUGDE-793"), "does not say what it is"),
    ];
    for (slip, sentence) in cases {
        let again = desk.post_form("/cars", &typed(&[slip])).await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY, "{slip:?}");
        assert!(again.text.contains(sentence), "{slip:?}: {}", again.text);
        assert!(again.text.contains("a week in the mountains"), "{slip:?} lost the rest");
    }
    assert!(desk.get("/").await.text.contains("No car is written down"));
}

#[tokio::test]
async fn unknown_and_missing_fields_change_nothing() {
    let app = TestApp::start().await;
    let desk = app.owner().await;
    for fields in [typed(&[("invented", "1")]), vec![("name", "Skarv")]] {
        let answer = desk.post_form("/cars", &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text);
    }
    assert!(desk.get("/").await.text.contains("No car is written down"));
}

#[tokio::test]
async fn a_car_is_changed_by_whoever_saw_it_as_it_is() {
    let app = TestApp::start().await;
    let desk = app.owner().await;
    let home = write_down(&desk).await;
    let edit = format!("{home}/edit");
    let stamp = seen(&desk.get(&edit).await.text);
    let save = async |name: &str, stamp: &str| desk.post_form(&edit, &typed(&[("name", name), ("seen", stamp)])).await;
    assert_eq!(save("First", &stamp).await.location(), home);
    let late = save("Second", &stamp).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(late.text.contains("This was changed meanwhile") && late.text.contains("value=\"Second\""));
    assert!(desk.get(&home).await.text.contains("First"));
    assert_eq!(save("Second", &seen(&late.text)).await.location(), home);
}

#[tokio::test]
async fn a_home_that_does_not_exist_is_not_found() {
    let app = TestApp::start().await;
    let desk = app.owner().await;
    for path in ["/cars/nonsense", "/cars/01890a5d-ac96-774b-bcce-b302099a8057", "/cars/nonsense/edit"] {
        assert_eq!(desk.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
}

#[tokio::test]
async fn the_demo_car_says_plainly_that_it_is_invented_and_what_is_open_on_it() {
    let app = TestApp::demo().await;
    let (desk, car) = (app.owner().await, SmallCar::of(&app).await);
    let home = desk.get(&format!("/cars/{}", car.car)).await;
    for words in [
        "This car is invented",
        "Rear axle oil is drained",
        "closed by step",
        "Heat shield over the silencer is off",
        "closed by hand",
        "134820 km",
        "cracked to the cord",
        "Bring in a phone",
        "Write a new job card",
    ] {
        assert!(home.text.contains(words), "{words}");
    }
    let findings = &home.text[home.text.find("Found on it").unwrap()..];
    let place = |words: &str| findings.find(words).unwrap_or_else(|| panic!("{words}"));
    assert!(place("cracked to the cord") < place("cream-coloured slime"));
    assert!(place("cream-coloured slime") < place("bright slivers"));
    assert!(place("bright slivers") < place("tapped all along"));
}

#[tokio::test]
async fn a_tick_on_a_phone_moves_the_card_at_the_desk() {
    let app = TestApp::demo().await;
    let (desk, phone, car) = (app.owner().await, app.phone().await, SmallCar::of(&app).await);
    let path = format!("/cars/{}", car.car);
    let count = |text: &str, settled: usize| text.contains(&format!("{settled} of {} steps settled", car.steps.len()));
    assert!(count(&desk.get(&path).await.text, 0));
    let tick = car.tick(DeviceId::new(), at(EVENING), car.steps[0], "done");
    assert_eq!(phone.post_json("/sync/ops", &json!({ "ops": [tick] })).await.status, StatusCode::OK);
    assert!(count(&desk.get(&path).await.text, 1));
}

#[tokio::test]
async fn the_page_says_as_which_device_one_writes() {
    let app = TestApp::start().await;
    let page = app.owner().await.get("/").await;
    assert!(page.text.contains("You write here as <b>desk</b>"), "{}", page.text);
    assert!(!app.stranger().get("/pair").await.text.contains("You write here"));
}
