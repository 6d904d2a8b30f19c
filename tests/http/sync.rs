//! The sync protocol, one request at a time: each refusal, and that it changes nothing.

use crate::support::ops::{SmallCar, at, god_routes};
use crate::support::{Client, EVENING, TestApp};
use axum::http::{StatusCode, header};
use serde_json::{Value, json};
use underlamp::clock::Moment;
use underlamp::ids::DeviceId;
use underlamp::sync::hlc::Hlc;

async fn send(phone: &Client, ops: &[Value]) -> Vec<Value> {
    let answer = phone.post_json("/sync/ops", &json!({ "ops": ops })).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    answer.json()["verdicts"].as_array().unwrap().clone()
}

async fn known(phone: &Client, car: &SmallCar) -> Vec<Value> {
    let answer = phone.get_json(&format!("/sync/changes?car={}", car.car)).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    answer.json()["ops"].as_array().unwrap().clone()
}

#[tokio::test]
async fn an_operation_is_applied_once_however_often_it_comes() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let before = known(&phone, &car).await.len();
    let op = car.tick(DeviceId::new(), at(EVENING), car.steps[0], "done");
    let first = send(&phone, &[op.clone(), op.clone()]).await;
    let again = send(&phone, &[op]).await;
    assert_eq!([&first[0]["is"], &first[1]["is"], &again[0]["is"]], ["applied", "had", "had"]);
    assert_eq!(first[0]["seq"], again[0]["seq"]);
    assert_eq!(known(&phone, &car).await.len(), before + 1);
}

#[tokio::test]
async fn two_deliveries_at_once_are_applied_once() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let ops: Vec<Value> = (0..20).map(|n| car.note(DeviceId::new(), at(EVENING), &format!("note {n}"))).collect();
    let before = known(&phone, &car).await.len();
    let (one, two) = tokio::join!(send(&phone, &ops), send(&phone, &ops));
    for (a, b) in one.iter().zip(&two) {
        let mut both = [a["is"].as_str().unwrap(), b["is"].as_str().unwrap()];
        both.sort_unstable();
        assert_eq!(both, ["applied", "had"]);
        assert_eq!(a["seq"], b["seq"]);
    }
    assert_eq!(known(&phone, &car).await.len(), before + ops.len());
}

#[tokio::test]
async fn a_bad_operation_does_not_hold_up_the_good_ones() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let good = car.note(DeviceId::new(), at(EVENING), "good");
    let bad_unit = car.op(
        DeviceId::new(),
        at(EVENING),
        json!({ "step": car.steps[0] }),
        json!({ "reading": { "what": "sump plug", "number": "40", "unit": "furlongs" } }),
    );
    let negative = car.op(
        DeviceId::new(),
        at(EVENING),
        json!({ "step": car.steps[0] }),
        json!({ "reading": { "what": "sump plug", "number": "-40", "unit": "N.m" } }),
    );
    let mut unknown_car = good.clone();
    unknown_car["car"] = json!(DeviceId::new());
    unknown_car["id"] = json!(DeviceId::new());
    let mut elsewhere = car.tick(DeviceId::new(), at(EVENING), car.steps[0], "done");
    elsewhere["card"] = json!(null);
    let on_the_car =
        car.op(DeviceId::new(), at(EVENING), json!({ "car": car.car }), json!({ "tick": { "state": "done" } }));
    let unknown_step = car.tick(DeviceId::new(), at(EVENING), underlamp::ids::StepId::new(), "done");
    let verdicts =
        send(&phone, &[json!("poison"), bad_unit, negative, unknown_car, unknown_step, elsewhere, on_the_car, good])
            .await;
    let codes: Vec<&str> =
        verdicts.iter().map(|v| v["code"].as_str().unwrap_or_else(|| v["is"].as_str().unwrap())).collect();
    assert_eq!(
        codes,
        [
            "malformed",
            "unknown-unit",
            "bad-number",
            "unknown-car",
            "unknown-subject",
            "wrong-subject",
            "wrong-subject",
            "applied"
        ]
    );
    let notes = known(&phone, &car).await.iter().filter(|op| op["do"]["note"]["text"] == "good").count();
    assert_eq!(notes, 1);
}

#[tokio::test]
async fn an_id_used_again_for_something_else_is_refused_and_the_first_stays() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let first = car.note(DeviceId::new(), at(EVENING), "first");
    let mut second = first.clone();
    second["do"] = json!({ "note": { "text": "second" } });
    send(&phone, &[first]).await;
    assert_eq!(send(&phone, &[second]).await[0]["code"], "id-reused");
    let texts: Vec<Value> = known(&phone, &car).await.iter().map(|op| op["do"]["note"]["text"].clone()).collect();
    assert!(texts.contains(&json!("first")) && !texts.contains(&json!("second")));
}

#[tokio::test]
async fn an_operation_from_the_future_is_sent_back_to_be_stamped_again() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let before = known(&phone, &car).await.len();
    let mut op = car.tick(DeviceId::new(), at(EVENING.plus_days(365)), car.steps[0], "done");
    let verdict = send(&phone, std::slice::from_ref(&op)).await[0].clone();
    assert_eq!((&verdict["code"], &verdict["again"]), (&json!("clock-ahead"), &json!("restamp")));
    assert_eq!(known(&phone, &car).await.len(), before);
    op["hlc"] = json!(at(EVENING).to_string());
    assert_eq!(send(&phone, std::slice::from_ref(&op)).await[0]["is"], "applied");
    op["hlc"] = json!(at(EVENING).next(EVENING).to_string());
    assert_eq!(send(&phone, &[op]).await[0]["is"], "had", "stamped again after a lost answer");
}

#[tokio::test]
async fn two_phones_ticking_the_same_step_converge_and_both_stay_on_record() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let step = car.steps[1];
    let early = car.tick(DeviceId::new(), at(EVENING), step, "done");
    let late = car.tick(DeviceId::new(), at(EVENING.plus_minutes(1)), step, "skipped");
    send(&phone, &[late]).await;
    send(&phone, &[early]).await;
    let mut conn = app.state.read.conn().await.unwrap();
    let state = underlamp::work::model::CarState::read(&mut conn, car.car).await.unwrap();
    assert_eq!(state.card(car.card).unwrap().tick(step).name(), "skipped");
    let on_step = known(&phone, &car).await.iter().filter(|op| op["on"]["step"] == json!(step)).count();
    assert!(on_step >= 2);
}

#[tokio::test]
async fn what_is_done_on_a_deleted_card_is_kept_in_the_logbook_and_no_card_shows_it() {
    let app = TestApp::demo().await.with_routes(god_routes());
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let deleted = phone.post_json(&format!("/test/delete/{}/{}", car.car, car.card), &json!({})).await;
    assert_eq!(deleted.status, StatusCode::OK);
    let tick = car.tick(DeviceId::new(), at(EVENING), car.steps[0], "done");
    for _ in 0..2 {
        let verdict = &send(&phone, std::slice::from_ref(&tick)).await[0];
        assert_eq!(verdict["is"], "kept", "told again when it comes again");
        assert!(verdict["say"].as_str().unwrap().contains("logbook"));
    }
    let mut conn = app.state.read.conn().await.unwrap();
    let log = underlamp::work::store::done_on_car(&mut conn, car.car).await.unwrap();
    assert!(log.iter().any(|done| !done.applied), "it is in the logbook");
    let state = underlamp::work::model::CarState::read(&mut conn, car.car).await.unwrap();
    assert!(state.card(car.card).is_none());
}

#[tokio::test]
async fn broken_and_oversized_bodies_get_a_clear_answer_and_change_nothing() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let before = known(&phone, &car).await.len();
    let whole = json!({ "ops": [car.note(DeviceId::new(), at(EVENING), "x")] }).to_string();
    let many: Vec<Value> = (0..101).map(|_| car.note(DeviceId::new(), at(EVENING), "x")).collect();
    let cases = [
        (whole[..whole.len() - 3].to_owned(), StatusCode::UNPROCESSABLE_ENTITY, "malformed"),
        ("[]".to_owned(), StatusCode::UNPROCESSABLE_ENTITY, "malformed"),
        (json!({ "ops": [], "more": 1 }).to_string(), StatusCode::UNPROCESSABLE_ENTITY, "malformed"),
        (json!({ "ops": many }).to_string(), StatusCode::PAYLOAD_TOO_LARGE, "too-large"),
        (format!("{{\"ops\":[\"{}\"]}}", "x".repeat(2 << 20)), StatusCode::PAYLOAD_TOO_LARGE, "too-large"),
    ];
    for (body, status, code) in cases {
        let shown: String = body.chars().take(40).collect();
        let answer = phone.post_text("/sync/ops", body).await;
        assert_eq!((answer.status, answer.json()["code"].as_str()), (status, Some(code)), "{shown}");
        assert_eq!(answer.headers[header::CONTENT_TYPE], "application/problem+json");
    }
    assert_eq!(known(&phone, &car).await.len(), before);
}

#[tokio::test]
async fn changes_come_in_pages_and_never_twice() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    for batch in 0..6 {
        let ops: Vec<Value> =
            (0..100).map(|n| car.note(DeviceId::new(), at(EVENING), &format!("{batch}/{n}"))).collect();
        send(&phone, &ops).await;
    }
    let total = 600 + {
        let mut conn = app.state.read.conn().await.unwrap();
        underlamp::work::store::done_on_car(&mut conn, car.car).await.unwrap().len() - 600
    };
    let (mut seen, mut mark, mut pages) = (Vec::new(), String::new(), 0);
    loop {
        let since = if mark.is_empty() { String::new() } else { format!("&since={mark}") };
        let answer = phone.get_json(&format!("/sync/changes?car={}{since}", car.car)).await.json();
        seen.extend(answer["ops"].as_array().unwrap().iter().map(|op| op["seq"].as_i64().unwrap()));
        mark = answer["mark"].as_str().unwrap().to_owned();
        pages += 1;
        if answer["more"] == json!(false) {
            break;
        }
    }
    assert!(pages > 1);
    assert_eq!(seen.len(), total);
    assert!(seen.windows(2).all(|pair| pair[0] < pair[1]));
}

#[tokio::test]
async fn a_mark_of_another_store_starts_afresh() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let foreign = format!("/sync/changes?car={}&since={}:7", car.car, DeviceId::new());
    let answer = phone.get_json(&foreign).await.json();
    assert_eq!(answer["fresh_start"], json!(true));
    assert_eq!(answer["ops"].as_array().unwrap().len(), known(&phone, &car).await.len());
    let nonsense = phone.get_json(&format!("/sync/changes?car={}&since=yesterday", car.car)).await;
    assert_eq!(nonsense.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn a_full_disk_is_told_and_nothing_half_done_stays() {
    let app = TestApp::demo().await.with_routes(god_routes());
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let before = known(&phone, &car).await.len();
    phone.post_json("/test/pages/1", &json!({})).await;
    let long = "x".repeat(3900);
    let ops: Vec<Value> = (0..100).map(|_| car.note(DeviceId::new(), at(EVENING), &long)).collect();
    let answer = phone.post_json("/sync/ops", &json!({ "ops": ops })).await;
    assert_eq!(answer.status, StatusCode::INSUFFICIENT_STORAGE, "{}", answer.text);
    let said = answer.json();
    assert_eq!((&said["code"], &said["again"]), (&json!("disk-full"), &json!("later")));
    assert_eq!(known(&phone, &car).await.len(), before);
    phone.post_json("/test/pages/1000000", &json!({})).await;
    assert!(send(&phone, &ops).await.iter().all(|verdict| verdict["is"] == "applied"));
}

/// A computer without a battery for its clock may start hours off, either way.
#[tokio::test]
async fn work_goes_on_after_the_garages_own_clock_was_ahead_once() {
    let app = TestApp::demo().await;
    let (phone, desk, car) = (app.phone().await, app.owner().await, SmallCar::of(&app).await);
    let tick = format!("/cars/{}/cards/{}/steps/{}/tick", car.car, car.card, car.steps[0]);
    app.clock.set(EVENING.plus_minutes(120));
    assert_eq!(desk.post_form(&tick, &[("state", "done")]).await.status, StatusCode::SEE_OTHER);
    app.clock.set(EVENING);
    assert_eq!(desk.post_form(&tick, &[("state", "open")]).await.status, StatusCode::SEE_OTHER);
    let after_it = at(EVENING.plus_minutes(120)).next(EVENING).next(EVENING);
    let verdicts = send(&phone, &[car.tick(DeviceId::new(), after_it, car.steps[0], "done")]).await;
    assert_eq!(verdicts[0]["is"], "applied", "{verdicts:?}");
}

/// `tests/vectors/hlc.json` is run by the phone's script too.
#[test]
fn a_clock_reading_never_runs_backwards_through_odd_clocks() {
    let mut last = Hlc::ZERO;
    for wall in [5, 5, 3, 900, 1, 0, i64::MAX, 0, -4] {
        let next = last.next(Moment(wall));
        assert!(next > last, "{next} after {last}");
        assert_eq!(next.to_string().parse::<Hlc>().unwrap(), next);
        last = next;
    }
}
