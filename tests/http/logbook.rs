//! The logbook at the desk.

use crate::support::ops::{SmallCar, at, god_routes};
use crate::support::{Answer, Client, EVENING, TestApp};
use axum::http::StatusCode;
use serde_json::{Value, json};
use std::collections::BTreeSet;
use underlamp::clock::Moment;
use underlamp::ids::DeviceId;

async fn send(phone: &Client, ops: &[Value]) {
    for batch in ops.chunks(100) {
        let answer = phone.post_json("/sync/ops", &json!({ "ops": batch })).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        for verdict in answer.json()["verdicts"].as_array().unwrap() {
            assert!(verdict["is"] == "applied" || verdict["is"] == "kept", "{verdict}");
        }
    }
}

async fn book(desk: &Client, car: &SmallCar, question: &str) -> Answer {
    let page = desk.get(&format!("/cars/{}/logbook{question}", car.car)).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    page
}

async fn write(desk: &Client, car: &SmallCar, fields: &[(&str, &str)]) -> Answer {
    desk.post_form(&format!("/cars/{}/logbook", car.car), fields).await
}

fn evenings(page: &Answer) -> usize {
    page.text.matches("class=\"evening__day\"").count()
}

/// On how many days something was done, by the clocks of the operations.
async fn days(app: &TestApp, car: &SmallCar) -> usize {
    let clocks = sqlx::query_scalar("select hlc from ops where car_id = ?").bind(car.car);
    let clocks: Vec<String> = clocks.fetch_all(&mut app.beside().await).await.unwrap();
    let day = |hlc: &String| Moment(hlc[..16].parse().unwrap()).local().date();
    clocks.iter().map(day).collect::<BTreeSet<_>>().len()
}

#[tokio::test]
async fn the_demo_s_evenings_stand_in_it_in_words() {
    let app = TestApp::demo().await;
    let (desk, car) = (app.owner().await, SmallCar::of(&app).await);
    let page = book(&desk, &car, "").await;
    assert_eq!(evenings(&page), days(&app, &car).await, "each day on which something was done stands once");
    for words in [
        "battery at rest: 12.3 V",
        "Odometer: 134820 km",
        "Used: Oil filter, 1",
        "Arrived: Gear oil",
        "Worked 1 h 25 min",
        "looked at again",
        "loose end, noted by hand",
        "skipped",
        "2 h 15 min worked",
        "the demo",
        "/thumb",
        "/upright",
    ] {
        assert!(page.text.contains(words), "{words}");
    }
}

#[tokio::test]
async fn a_person_finds_an_evening_by_words() {
    let app = TestApp::demo().await;
    let (desk, car) = (app.owner().await, SmallCar::of(&app).await);
    let found = book(&desk, &car, "?q=silencer+sound").await;
    assert_eq!(evenings(&found), 1);
    assert!(found.text.contains("tapped all along") && !found.text.contains("Odometer: 134820"));
    let none = book(&desk, &car, "?q=%3Cscript%3E").await;
    assert_eq!(evenings(&none), 0);
    assert!(none.text.contains("Nothing in the book says that") && !none.text.contains("<script>"));
    assert_eq!(evenings(&book(&desk, &car, &format!("?card={}", car.card)).await), 0);
    assert_eq!(desk.get(&format!("/cars/{}/logbook?card=x", car.car)).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn what_is_written_at_the_desk_stands_in_it() {
    let app = TestApp::demo().await;
    let (desk, car) = (app.owner().await, SmallCar::of(&app).await);
    let card = car.card.to_string();
    let cases: [&[(&str, &str)]; 3] = [
        &[("kind", "note"), ("text", "Order the <right> oil"), ("card", &card)],
        &[("kind", "finding"), ("text", "Boot split"), ("place", "front left"), ("weight", "watch"), ("card", "")],
        &[("kind", "odometer"), ("number", "134 900"), ("unit", "km")],
    ];
    for fields in &cases[..2] {
        let answer = write(&desk, &car, fields).await;
        assert_eq!((answer.status, answer.location()), (StatusCode::SEE_OTHER, &*format!("/cars/{}/logbook", car.car)));
    }
    // A blank inside a number is no number; without it, it is one.
    assert_eq!(write(&desk, &car, cases[2]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let fields = [("kind", "odometer"), ("number", "134900"), ("unit", "km")];
    assert_eq!(write(&desk, &car, &fields).await.status, StatusCode::SEE_OTHER);
    let page = book(&desk, &car, "").await;
    for words in ["Order the &#60;right&#62; oil", "Boot split", "front left", "Odometer: 134900 km"] {
        assert!(page.text.contains(words), "{words}");
    }
    assert_eq!(evenings(&book(&desk, &car, &format!("?card={card}")).await), 1);
    assert!(desk.get(&format!("/cars/{}", car.car)).await.text.contains("134900 km"));
}

#[tokio::test]
async fn a_slip_at_the_desk_is_told_at_its_field_and_nothing_is_lost() {
    let app = TestApp::demo().await;
    let (desk, car) = (app.owner().await, SmallCar::of(&app).await);
    let long = "x".repeat(4001);
    let before = book(&desk, &car, "").await.text.matches("<li class=\"row").count();
    type Typed<'a> = &'a [(&'a str, &'a str)];
    let cases: [(Typed<'_>, &str, &str); 6] = [
        (&[("kind", "note"), ("text", " \r\n ")], "Say in a few words what it is.", "note"),
        (&[("kind", "note"), ("text", &long)], "At most 4000 characters", &long),
        (&[("kind", "finding"), ("text", "Boot split"), ("place", "left")], "how much it matters", "Boot split"),
        (&[("kind", "finding"), ("text", "Boot split"), ("weight", "grave")], "how much it matters", "Boot split"),
        (&[("kind", "odometer"), ("number", "many"), ("unit", "km")], "is no odometer reading", "value=\"many\""),
        (&[("kind", "odometer"), ("number", "5"), ("unit", "furlong")], "counts km or mi", "value=\"5\""),
    ];
    for (fields, sentence, kept) in cases {
        let again = write(&desk, &car, fields).await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY, "{sentence}");
        assert!(again.text.contains(sentence), "{sentence}");
        assert!(again.text.contains(kept), "{sentence} lost what was typed");
    }
    for fields in [&[("kind", "tick")][..], &[("kind", "note"), ("text", "x"), ("do", "tick")], &[]] {
        assert_eq!(write(&desk, &car, fields).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    }
    assert_eq!(book(&desk, &car, "").await.text.matches("<li class=\"row").count(), before);
}

#[tokio::test]
async fn an_unticked_step_is_shown_as_a_correction() {
    let app = TestApp::demo().await;
    let (desk, phone, car) = (app.owner().await, app.phone().await, SmallCar::of(&app).await);
    let device = DeviceId::new();
    let done = car.tick(device, at(EVENING), car.steps[0], "done");
    let open = car.tick(device, at(EVENING).next(EVENING), car.steps[0], "open");
    send(&phone, &[open, done]).await;
    let page = book(&desk, &car, "?q=correction").await;
    assert!(page.text.contains("<mark>correction</mark>: not done after all"));
    assert!(book(&desk, &car, "").await.text.contains("taken back later"));
}

#[tokio::test]
async fn a_picture_whose_bytes_are_not_here_is_on_its_way() {
    let app = TestApp::demo().await;
    let (desk, phone, car) = (app.owner().await, app.phone().await, SmallCar::of(&app).await);
    let photo = json!({"photo": {"sha256": "ab".repeat(32), "bytes": 5, "type": "image/jpeg", "caption": "Worn pad"}});
    send(&phone, &[car.op(DeviceId::new(), at(EVENING), json!({"card": car.card}), photo)]).await;
    let page = book(&desk, &car, "?q=worn+pad").await;
    assert!(page.text.contains("picture still on its way") && page.text.contains("Worn pad"));
    assert!(!page.text.contains(&"ab".repeat(32)));
}

#[tokio::test]
async fn what_arrives_for_a_deleted_card_is_kept_under_its_old_name() {
    let app = TestApp::demo().await.with_routes(god_routes());
    let (desk, phone, car) = (app.owner().await, app.phone().await, SmallCar::of(&app).await);
    let title = {
        let mut conn = app.state.read.conn().await.unwrap();
        underlamp::jobs::store::card(&mut conn, car.car, car.card).await.unwrap().facts.title
    };
    send(&phone, &[car.note(DeviceId::new(), at(EVENING), "before it went")]).await;
    desk.post_form(&format!("/test/delete/{}/{}", car.car, car.card), &[]).await;
    send(&phone, &[car.tick(DeviceId::new(), at(EVENING), car.steps[0], "done")]).await;
    let page = book(&desk, &car, "").await;
    for words in [title.as_str(), "deleted since", "this step was deleted before it arrived", "before it went"] {
        assert!(page.text.contains(words), "{words}");
    }
}

#[tokio::test]
async fn thousands_of_operations_stand_on_pages_of_thirty_evenings() {
    let app = TestApp::demo().await;
    let (desk, phone, car) = (app.owner().await, app.phone().await, SmallCar::of(&app).await);
    let device = DeviceId::new();
    let ops: Vec<Value> = (0..2_000_i64)
        .map(|n| car.note(device, at(EVENING.plus_days(-(n / 40) - 30)), &format!("entry {n}")))
        .collect();
    send(&phone, &ops).await;
    let first = book(&desk, &car, "").await;
    assert_eq!(evenings(&first), 30);
    assert!(first.text.contains("page=2") && !first.text.contains("page=0"));
    let days = days(&app, &car).await;
    assert!((51..60).contains(&days), "fifty of these and some of the demo: {days}");
    assert_eq!(evenings(&book(&desk, &car, "?page=2").await), days - 30);
    assert_eq!(evenings(&book(&desk, &car, "?page=99999999999999999999").await), 30);
    assert_eq!(evenings(&book(&desk, &car, "?all=yes").await), days);
}

#[tokio::test]
async fn a_car_that_is_not_here_has_no_logbook() {
    let app = TestApp::start().await;
    let desk = app.owner().await;
    let path = "/cars/01890a5d-ac96-774b-bcce-b302099a8057/logbook";
    assert_eq!(desk.get(path).await.status, StatusCode::NOT_FOUND);
    let answer = desk.post_form(path, &[("kind", "note"), ("text", "x")]).await;
    assert_eq!(answer.status, StatusCode::NOT_FOUND);
}
