//! Moving things of the buy list on, orders, arrivals at the phone, and the money of a car. Names and prices are invented.

use super::shelf::{bare, only_part, typed};
use crate::support::ops::SmallCar;
use crate::support::{Client, TestApp};
use axum::http::StatusCode;

async fn one_part(app: &TestApp, changes: &[(&str, &str)]) -> (Client, String, String) {
    let (desk, car) = bare(app).await;
    desk.post_form(&format!("{car}/parts"), &typed(changes)).await;
    let part = only_part(&desk, &car).await;
    (desk, car, part)
}

fn id(part: &str) -> &str {
    part.rsplit('/').next().unwrap()
}

/// Presses on the list: where to, and the revision that was seen.
async fn press(desk: &Client, car: &str, part: &str, to: &str, rev: &str) -> (StatusCode, String) {
    let thing = format!("{}:{rev}", id(part));
    let answer = desk.post_form(&format!("{car}/buy-list/move"), &[("thing", &thing), ("to", to)]).await;
    (answer.status, answer.text)
}

async fn list(desk: &Client, car: &str) -> String {
    desk.get(&format!("{car}/buy-list")).await.text
}

/// The revision with which the list names the part.
async fn rev(desk: &Client, car: &str, part: &str) -> String {
    let text = list(desk, car).await;
    let stem = format!("value=\"{}:", id(part));
    text.split(stem.as_str()).nth(1).unwrap().split('"').next().unwrap().to_owned()
}

#[tokio::test]
async fn a_part_goes_from_wanted_onto_the_car_by_presses_and_the_logbook_knows() {
    let app = TestApp::start().await;
    let (desk, car, part) = one_part(&app, &[]).await;
    let ordered = [
        ("one", &*format!("ordered|{}:1", id(&part))),
        ("supplier", "Hollowmere Breakers"),
        ("expected_on", "2026-12-01"),
        ("expected_latest", "2026-12-04"),
    ];
    assert_eq!(desk.post_form(&format!("{car}/buy-list/move"), &ordered).await.status, StatusCode::SEE_OTHER);
    let text = list(&desk, &car).await;
    assert!(text.contains("expected between 1 Dec and 4 Dec") && text.contains("Hollowmere Breakers"), "{text}");
    for to in ["here", "fitted"] {
        let seen = rev(&desk, &car, &part).await;
        assert_eq!(press(&desk, &car, &part, to, &seen).await.0, StatusCode::SEE_OTHER, "{to}");
        assert!(list(&desk, &car).await.contains(&format!("id=\"{to}\"")), "{to}");
    }
    let logbook = desk.get(&format!("{car}/logbook")).await.text;
    assert!(logbook.contains("Arrived: ") && logbook.contains("Used: "), "{logbook}");
}

#[tokio::test]
async fn what_cannot_follow_is_refused_in_a_sentence_and_nothing_moves() {
    let app = TestApp::start().await;
    let (desk, car, part) = one_part(&app, &[]).await;
    let cases = [
        (format!("{}:1", id(&part)), "fitted", "it has to arrive first"),
        (format!("{}:1", id(&part)), "sent-back", "only taken off the list"),
        (format!("{}:1", id(&part)), "wanted", "It is wanted already"),
        (format!("{}:1", id(&part)), "lost", "Press what became of it"),
        (String::new(), "ordered", "Tick first"),
        ("x:y".into(), "ordered", "Tick first"),
    ];
    for (thing, to, say) in cases {
        let answer = desk.post_form(&format!("{car}/buy-list/move"), &[("thing", &*thing), ("to", to)]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{thing} {to}");
        assert!(answer.text.contains(say), "{thing} {to}: {}", answer.text);
    }
    let backwards = [
        ("one", &*format!("ordered|{}:1", id(&part))),
        ("expected_on", "2026-12-04"),
        ("expected_latest", "2026-12-01"),
    ];
    let answer = desk.post_form(&format!("{car}/buy-list/move"), &backwards).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.text.contains("The latest day comes before the first"));
    assert!(list(&desk, &car).await.contains("To buy"));
}

#[tokio::test]
async fn two_desks_do_not_move_the_same_thing_twice() {
    let app = TestApp::start().await;
    let (desk, car, part) = one_part(&app, &[]).await;
    assert_eq!(press(&desk, &car, &part, "ordered", "1").await.0, StatusCode::SEE_OTHER);
    let (status, text) = press(&desk, &car, &part, "ordered", "1").await;
    assert_eq!(status, StatusCode::CONFLICT);
    assert!(text.contains("somebody changed it meanwhile"), "{text}");
    // Another car's part is nobody's here.
    let (_, other) = bare(&app).await;
    assert_eq!(press(&desk, &other, &part, "here", "2").await.0, StatusCode::CONFLICT);
}

#[tokio::test]
async fn an_order_names_what_one_supplier_is_asked_for() {
    let app = TestApp::start().await;
    let (desk, car, _) = one_part(&app, &[("supplier", "Nut & Bolt <co>"), ("price", "3")]).await;
    let order = desk.get(&format!("{car}/buy-list/order?supplier=Nut%20%26%20Bolt%20%3Cco%3E")).await;
    assert_eq!(order.status, StatusCode::OK);
    assert!(order.text.contains("- 2 × Copper washer 14 x 20 (number TW-1)"), "{}", order.text);
    assert!(!order.text.contains("3.00"));
    let none = desk.get(&format!("{car}/buy-list/order?supplier=nobody")).await;
    assert_eq!(none.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_formula_in_a_name_stands_disarmed_in_the_table() {
    let app = TestApp::start().await;
    let (desk, car, _) = one_part(&app, &[("name", "=1+1")]).await;
    let table = desk.get(&format!("{car}/buy-list.csv")).await;
    assert!(table.headers["content-type"].to_str().unwrap().starts_with("text/csv"));
    assert!(table.text.contains(",'=1+1,TW-1,"), "{}", table.text);
}

#[tokio::test]
async fn arrivals_at_the_phone_move_the_part_when_all_of_it_came() {
    let app = TestApp::start().await;
    let (desk, car, part) = one_part(&app, &[("quantity", "4"), ("state", "ordered")]).await;
    let (phone, under) = (app.phone().await, car.replace("/cars/", "/under/"));
    let came = async |number: &str| {
        let fields = [("what", "arrival"), ("back", "arrivals"), ("part", id(&part)), ("number", number), ("unit", "")];
        phone.post_form(&format!("{under}/do"), &fields).await.status
    };
    for wrong in ["0", "-1", "", "0,0", "0 l"] {
        assert_eq!(came(wrong).await, StatusCode::UNPROCESSABLE_ENTITY, "‘{wrong}’");
    }
    assert_eq!(came("2").await, StatusCode::SEE_OTHER);
    assert!(list(&desk, &car).await.contains("2 of 4 here"));
    let page = phone.get(&format!("{under}/arrivals")).await.text;
    assert!(page.contains("2 of 4 here") && page.contains("name=\"number\" value=\"2\""), "{page}");
    assert_eq!(came("2").await, StatusCode::SEE_OTHER);
    assert!(list(&desk, &car).await.contains("id=\"here\""));
    // Sent back and ordered again: what came before counts no more.
    for to in ["sent-back", "ordered"] {
        let seen = rev(&desk, &car, &part).await;
        assert_eq!(press(&desk, &car, &part, to, &seen).await.0, StatusCode::SEE_OTHER, "{to}");
    }
    let text = list(&desk, &car).await;
    assert!(text.contains("id=\"ordered\"") && !text.contains("of 4 here"), "{text}");
}

#[tokio::test]
async fn what_came_while_the_form_was_open_is_not_taken_back_by_it() {
    let app = TestApp::start().await;
    let (desk, car, part) = one_part(&app, &[("state", "ordered")]).await;
    assert_eq!(press(&desk, &car, &part, "here", "1").await.0, StatusCode::SEE_OTHER);
    let late = typed(&[("state", "ordered"), ("was", "ordered"), ("price", "9"), ("rev", "1")]);
    assert_eq!(desk.post_form(&part, &late).await.status, StatusCode::SEE_OTHER);
    let text = list(&desk, &car).await;
    assert!(text.contains("id=\"here\"") && text.contains("9.00 EUR"), "{text}");
}

#[tokio::test]
async fn money_stands_against_the_budget_and_the_worth() {
    let app = TestApp::start().await;
    let (desk, car, _) = one_part(&app, &[("price", "30"), ("state", "here")]).await;
    let money = format!("{car}/buy-list/money");
    let keep = async |budget: &str, currency: &str, seen: &str| {
        let fields = [("budget", budget), ("worth", "60"), ("currency", currency), ("seen", seen)];
        desk.post_form(&money, &fields).await
    };
    for (budget, currency, say) in
        [("-1", "EUR", "figures and one comma"), ("1", "euro", "Three letters"), ("a lot", "EUR", "figures and one")]
    {
        let again = keep(budget, currency, "-").await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(again.text.contains(say), "{budget} {currency}");
    }
    assert_eq!(keep("100", "eur", "-").await.status, StatusCode::SEE_OTHER);
    let text = desk.get(&money).await.text;
    assert!(text.contains("Of the budget of 100.00 EUR: spent 30.00, ordered 0.00, planned 0.00; 70.00 EUR are left."));
    assert!(text.contains("50 % of the car’s worth of 60.00 EUR"), "{text}");
    let late = keep("5", "EUR", "-").await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(late.text.contains("This was changed meanwhile"));
    assert!(desk.get(&money).await.text.contains("100.00 EUR"));
    assert!(desk.get(&format!("{money}.csv")).await.text.contains("job,no job,EUR,30.00,0.00,0.00,0.00"));
}

#[tokio::test]
async fn the_demo_wants_parts_bottles_and_tools_for_the_jobs_that_are_chosen() {
    let app = TestApp::demo().await;
    let (desk, car) = (app.owner().await, SmallCar::of(&app).await);
    let base = format!("/cars/{}/buy-list", car.car);
    let text = desk.get(&base).await.text;
    for words in ["crowfoot", "1 of 2 here", "was expected on", "consumable", "To buy: Hollowmere Breakers", "order by"]
    {
        assert!(text.contains(words), "{words}");
    }
    let none = desk.get(&format!("{base}?chosen=yes")).await.text;
    assert!(!none.contains("crowfoot") && !none.contains("1 of 2 here"));
    let money = desk.get(&format!("{base}/money")).await.text;
    assert!(money.contains("Of the budget of 1500.00 EUR") && money.contains("In GBP"), "{money}");
    // A missing tool becomes a part of the list when it is ordered, and is asked for once.
    let tool = text.split("value=\"tool:").nth(1).unwrap().split('"').next().unwrap();
    let fields = [("thing", &*format!("tool:{tool}")), ("to", "ordered")];
    assert_eq!(desk.post_form(&format!("{base}/move"), &fields).await.status, StatusCode::SEE_OTHER);
    assert_eq!(desk.post_form(&format!("{base}/move"), &fields).await.status, StatusCode::CONFLICT);
    assert!(!desk.get(&base).await.text.contains(&format!("value=\"tool:{tool}\"")));
}
