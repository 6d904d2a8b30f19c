//! The buy list and its parts.

use crate::support::ops::SmallCar;
use crate::support::{Client, TestApp};
use axum::http::StatusCode;

const TYPED: [(&str, &str); 9] = [
    ("name", "Copper washer 14 x 20"),
    ("number", "TW-1"),
    ("supplier", "Tarnwick Auto Spares"),
    ("quantity", "2"),
    ("state", "wanted"),
    ("price", "1,20"),
    ("currency", "eur"),
    ("expected_on", ""),
    ("note", "sump"),
];

pub fn typed<'a>(changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut fields: Vec<(&str, &str)> = TYPED.to_vec();
    for change in changes {
        fields.retain(|field| field.0 != change.0);
        fields.push(*change);
    }
    fields
}

/// A garage with one car that has no parts yet.
pub async fn bare(app: &TestApp) -> (Client, String) {
    let desk = app.owner().await;
    let empty = ["make", "model", "year", "codes", "story", "wanted_on", "wanted_for"].map(|name| (name, ""));
    let answer = desk.post_form("/cars", &[&[("name", "Skarv")], &empty[..]].concat()).await;
    let car = answer.location().to_owned();
    (desk, car)
}

/// The page of the only part on the list.
pub async fn only_part(desk: &Client, car: &str) -> String {
    let list = desk.get(&format!("{car}/buy-list")).await.text;
    let stem = format!("{car}/parts/");
    let ids: Vec<&str> =
        list.split(stem.as_str()).skip(1).map(|rest| &rest[..36]).filter(|id| !id.contains('"')).collect();
    assert_eq!(ids.len(), 1, "{ids:?}");
    format!("{stem}{}", ids[0])
}

#[tokio::test]
async fn an_empty_list_teaches_the_next_step() {
    let app = TestApp::start().await;
    let (desk, car) = bare(&app).await;
    let list = desk.get(&format!("{car}/buy-list")).await;
    assert_eq!(list.status, StatusCode::OK);
    assert!(list.text.contains("Add the first part"));
    assert!(desk.get(&format!("{car}/parts/new")).await.text.contains("value=\"EUR\""));
}

#[tokio::test]
async fn a_part_goes_on_the_list_is_changed_and_comes_off() {
    let app = TestApp::start().await;
    let (desk, car) = bare(&app).await;
    let added = desk.post_form(&format!("{car}/parts"), &TYPED).await;
    assert_eq!((added.status, added.location()), (StatusCode::SEE_OTHER, &*format!("{car}/buy-list")));
    let part = only_part(&desk, &car).await;
    let list = desk.get(&format!("{car}/buy-list")).await.text;
    assert!(list.contains("1.20 EUR") && list.contains("To buy") && list.contains("no step asks for it"));
    let ordered = typed(&[("state", "ordered"), ("expected_on", "2026-11-20"), ("price", "1.30"), ("rev", "1")]);
    assert_eq!(desk.post_form(&part, &ordered).await.status, StatusCode::SEE_OTHER);
    let list = desk.get(&format!("{car}/buy-list")).await.text;
    assert!(list.contains("1.30 EUR") && list.contains("was expected on 20 Nov"), "{list}");
    assert_eq!(desk.post_form(&format!("{part}/remove"), &[]).await.status, StatusCode::SEE_OTHER);
    assert!(desk.get(&format!("{car}/buy-list")).await.text.contains("Nothing is on the list yet"));
    assert_eq!(desk.get(&part).await.status, StatusCode::NOT_FOUND);
    assert_eq!(desk.post_form(&format!("{part}/remove"), &[]).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn what_is_wrong_with_a_part_is_told_at_its_field_and_nothing_is_lost() {
    let app = TestApp::start().await;
    let (desk, car) = bare(&app).await;
    let cases = [
        (("name", ""), "Say what it is"),
        (("quantity", " "), "How many"),
        (("state", "lost"), "Say where it is"),
        (("price", "12 EUR"), "figures and one comma or point"),
        (("price", "1.234,50"), "figures and one comma or point"),
        (("price", "-1"), "figures and one comma or point"),
        (("price", "1,234"), "Two figures at most"),
        (("price", "99999999"), "more than fits"),
        (("currency", ""), "Three letters"),
        (("currency", "€"), "Three letters"),
        (("expected_on", "soon"), "no day that can be planned for"),
    ];
    for (slip, sentence) in cases {
        let again = desk.post_form(&format!("{car}/parts"), &typed(&[slip])).await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY, "{slip:?}");
        assert!(again.text.contains(sentence), "{slip:?}: {}", again.text);
        assert!(again.text.contains(">sump</textarea>"), "{slip:?} lost the note");
    }
    let unknown = desk.post_form(&format!("{car}/parts"), &typed(&[("gone_at", "1")])).await;
    assert_eq!(unknown.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(desk.get(&format!("{car}/buy-list")).await.text.contains("Nothing is on the list yet"));
}

#[tokio::test]
async fn two_desks_do_not_write_over_each_other() {
    let app = TestApp::start().await;
    let (desk, car) = bare(&app).await;
    desk.post_form(&format!("{car}/parts"), &TYPED).await;
    let part = only_part(&desk, &car).await;
    let save = async |name: &str, rev: &str| desk.post_form(&part, &typed(&[("name", name), ("rev", rev)])).await;
    assert_eq!(save("mine", "1").await.status, StatusCode::SEE_OTHER);
    for stale in ["1", "0", "-7"] {
        let late = save("yours", stale).await;
        assert_eq!(late.status, StatusCode::CONFLICT);
        assert!(late.text.contains("This was changed meanwhile") && late.text.contains("value=\"yours\""));
        assert!(late.text.contains("name=\"rev\" value=\"2\""));
    }
    assert!(desk.get(&part).await.text.contains("value=\"mine\""));
    assert_eq!(save("yours", "2").await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_part_belongs_to_its_own_car() {
    let app = TestApp::start().await;
    let (desk, car) = bare(&app).await;
    desk.post_form(&format!("{car}/parts"), &TYPED).await;
    let part = only_part(&desk, &car).await;
    let (_, other) = bare(&app).await;
    let elsewhere = part.replace(&car, &other);
    assert_eq!(desk.get(&elsewhere).await.status, StatusCode::NOT_FOUND);
    let stolen = desk.post_form(&elsewhere, &typed(&[("name", "stolen"), ("rev", "1")])).await;
    assert_eq!(stolen.status, StatusCode::NOT_FOUND);
    assert_eq!(desk.post_form(&format!("{elsewhere}/remove"), &[]).await.status, StatusCode::NOT_FOUND);
    assert!(desk.get(&part).await.text.contains("Copper washer"));
}

#[tokio::test]
async fn the_demo_s_list_says_who_waits_and_what_came() {
    let app = TestApp::demo().await;
    let (desk, car) = (app.owner().await, SmallCar::of(&app).await);
    let list = desk.get(&format!("/cars/{}/buy-list", car.car)).await.text;
    let place = |words: &str| list.find(words).unwrap_or_else(|| panic!("{words}"));
    assert!(place("id=\"wanted\"") < place("id=\"ordered\"") && place("id=\"ordered\"") < place("id=\"here\""));
    for words in ["Renew the rear axle oil, step", "2 l arrived on", "1 used on", "without a price", "No supplier yet"]
    {
        assert!(list.contains(words), "{words}");
    }
}
