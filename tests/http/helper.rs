//! The helper's link: what it shows, and all that it must not.

use crate::support::ops::{SmallCar, at, god_routes};
use crate::support::{Client, EVENING, TestApp};
use axum::body::Body;
use axum::http::{Method, StatusCode, header};
use serde_json::{Value, json};
use sqlx::{Column, Row, ValueRef};
use std::collections::BTreeMap;
use std::sync::Arc;
use underlamp::access::Who;
use underlamp::app;
use underlamp::ids::{CardId, DeviceId};
use underlamp::sync::wire::Act;
use underlamp::work::whole::WholeCar;

struct Linked {
    app: TestApp,
    owner: Client,
    car: SmallCar,
}

impl Linked {
    async fn start() -> Linked {
        let app = TestApp::demo().await.with_routes(god_routes());
        let (owner, car) = (app.owner().await, SmallCar::of(&app).await);
        Linked { app, owner, car }
    }

    fn links_page(&self, card: CardId) -> String {
        format!("/cars/{}/cards/{card}/helper", self.car.car)
    }

    /// The address of a new link to a card.
    async fn link(&self, card: CardId, more: &[(&str, &str)]) -> String {
        let mut fields = BTreeMap::from([("label", "brother’s phone"), ("ends_on", "2026-11-27")]);
        fields.extend(more.iter().copied());
        let fields: Vec<_> = fields.into_iter().collect();
        let answer = self.owner.post_form(&self.links_page(card), &fields).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        let from = answer.text.split("translate=\"no\">").nth(1).unwrap();
        from.split('<').next().unwrap().to_owned()
    }

    /// A browser in which a link was opened.
    async fn helper(&self, address: &str) -> Client {
        let answer = self.app.stranger().post_form("/h/in", &[("link", address)]).await;
        assert_eq!((answer.status, answer.location()), (StatusCode::SEE_OTHER, "/h/job"), "{}", answer.text);
        let cookie = answer.headers[header::SET_COOKIE].to_str().unwrap();
        for wanted in ["HttpOnly", "SameSite=Strict", "Path=/h"] {
            assert!(cookie.contains(wanted), "{cookie}");
        }
        self.app.stranger().with_cookie(cookie.split(';').next().unwrap())
    }

    async fn whole(&self) -> Arc<WholeCar> {
        self.app.state.cars.get(&self.app.state.read, self.car.car).await.unwrap()
    }

    /// Everything in the database, as text.
    async fn everything(&self) -> String {
        let mut conn = self.app.state.read.conn().await.unwrap();
        let tables: Vec<String> =
            sqlx::query_scalar("select name from sqlite_master where type = 'table' order by name")
                .fetch_all(&mut *conn)
                .await
                .unwrap();
        let mut all = String::new();
        for table in tables {
            let query = format!("select * from \"{table}\" order by 1");
            for row in sqlx::query(sqlx::AssertSqlSafe(query)).fetch_all(&mut *conn).await.unwrap() {
                let cell = |at: usize| {
                    let raw = row.try_get_raw(at).unwrap();
                    if raw.is_null() {
                        "null".to_owned()
                    } else {
                        row.try_get_unchecked::<String, _>(at).unwrap_or_default()
                    }
                };
                let cells: Vec<String> = row.columns().iter().map(|column| cell(column.ordinal())).collect();
                all += &format!("{table}: {}\n", cells.join(" | "));
            }
        }
        all
    }
}

#[tokio::test]
async fn a_link_opens_on_a_phone_that_is_not_paired_and_shows_the_step_at_hand_live() {
    let garage = Linked::start().await;
    let address = garage.link(garage.car.card, &[]).await;
    assert!(address.starts_with("http") && address.contains("/h#"), "{address}");
    let helper = garage.helper(&address).await;
    let page = helper.get("/h/job").await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert!(page.text.contains("data-now=\"1\"") && page.text.contains("the step at hand"));
    assert_eq!(page.headers[header::CACHE_CONTROL], "no-store");

    let before = helper.get_json("/h/now").await.json()["tag"].clone();
    assert_eq!(before, helper.get_json("/h/now").await.json()["tag"], "nothing changed");
    assert!(page.text.contains(&format!("data-tag=\"{}\"", before.as_str().unwrap())));
    let tick = garage.car.tick(DeviceId::new(), at(EVENING), garage.car.steps[0], "done");
    assert_eq!(garage.owner.post_json("/sync/ops", &json!({ "ops": [tick] })).await.status, StatusCode::OK);
    assert_ne!(before, helper.get_json("/h/now").await.json()["tag"]);
    assert!(helper.get("/h/job").await.text.contains("data-now=\"2\""));

    let links = garage.owner.get(&garage.links_page(garage.car.card)).await;
    assert!(links.text.contains("Watching now"), "the restorer sees that somebody watches");
    let around = garage.owner.get_json(&format!("/sync/helpers/{}", garage.car.card)).await.json();
    assert_eq!((&around["links"], &around["watching"]), (&json!(1), &json!(["brother’s phone"])));
}

#[tokio::test]
async fn a_step_is_written_out_for_whoever_reads_it_aloud() {
    let garage = Linked::start().await;
    let whole = garage.whole().await;
    // A step with one undisputed torque in newton metres.
    let torque = |spec: &underlamp::specs::model::Spec| {
        spec.facts.kind == underlamp::trade::spec::Kind::Torque
            && spec.says.len() == 1
            && spec.says[0].facts.written.ends_with("Nm")
    };
    let wanted: Vec<_> = whole.state.specs.iter().filter(|spec| torque(spec)).map(|spec| spec.id).collect();
    let (card, n) = whole
        .state
        .cards
        .iter()
        .find_map(|card| {
            let at = card.steps.iter().position(|step| step.attached.specs.iter().any(|id| wanted.contains(id)))?;
            Some((card.card.id, at + 1))
        })
        .unwrap();
    let helper = garage.helper(&garage.link(card, &[]).await).await;
    let page = helper.get(&format!("/h/aloud?step={n}")).await;
    assert!(page.text.contains("newton metres, that is") && page.text.contains("pound-"), "{}", page.text);
    assert_eq!(helper.get("/h/aloud?step=900").await.status, StatusCode::NOT_FOUND);
    assert_eq!(helper.get("/h/aloud?step=x").await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(helper.get("/h/aloud").await.status, StatusCode::OK);
}

#[tokio::test]
async fn the_torque_of_a_step_whose_bolts_are_counted_stands_on_the_helper_s_page_too() {
    let garage = Linked::start().await;
    let whole = garage.whole().await;
    let pictured = |id| whole.state.specs.iter().any(|spec| spec.id == id && spec.facts.bolts.is_some());
    let (card, at) = whole
        .state
        .cards
        .iter()
        .find_map(|card| {
            let counts = |step: &underlamp::jobs::model::Step| {
                step.facts.verb.tightens() && step.attached.specs.iter().any(|id| pictured(*id))
            };
            Some((card, card.steps.iter().position(counts)?))
        })
        .unwrap();
    let car = SmallCar { card: card.card.id, ..garage.car.clone() };
    let before: Vec<Value> = (card.steps[..at].iter())
        .zip(0..)
        .map(|(step, n)| car.tick(DeviceId::new(), at_minute(n), step.id, "skipped"))
        .collect();
    assert_eq!(garage.owner.post_json("/sync/ops", &json!({ "ops": before })).await.status, StatusCode::OK);
    let helper = garage.helper(&garage.link(card.card.id, &[]).await).await;
    let page = helper.get("/h/job").await.text;
    let step =
        page.split(&format!("data-now=\"{}\"", at + 1)).nth(1).unwrap_or_else(|| panic!("step {}: {page}", at + 1));
    assert!(step.split("All steps").next().unwrap().contains("figure__value"), "no figure at hand");
}

fn at_minute(n: i64) -> underlamp::sync::hlc::Hlc {
    at(EVENING.plus_minutes(n - 60))
}

#[tokio::test]
async fn a_link_that_was_taken_back_or_has_ended_shows_nothing_at_once() {
    let garage = Linked::start().await;
    let address = garage.link(garage.car.card, &[]).await;
    let (first, second) = (garage.helper(&address).await, garage.helper(&address).await);
    let page = garage.owner.get(&garage.links_page(garage.car.card)).await.text;
    let action = page.split("/take-back\"").next().unwrap().rsplit("action=\"").next().unwrap();
    let taken = garage.owner.post_form(&format!("{action}/take-back"), &[]).await;
    assert_eq!(taken.status, StatusCode::SEE_OTHER);
    for path in ["/h/job", "/h/aloud", "/h/now", "/h/live"] {
        let answer = first.get(path).await;
        assert_eq!(answer.status, StatusCode::GONE, "{path}");
        assert!(answer.text.contains("This link opens nothing"), "{path}: {}", answer.text);
        assert!(!answer.text.contains("data-now"), "{path}");
    }
    assert_eq!(second.get_json("/h/now").await.json()["code"], "link-over");
    let again = garage.app.stranger().post_form("/h/in", &[("link", &address)]).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(again.text.contains("This link opens nothing"));

    let ending = garage.helper(&garage.link(garage.car.card, &[("ends_on", "2026-11-25")]).await).await;
    assert_eq!(ending.get("/h/job").await.status, StatusCode::OK);
    garage.app.clock.set(EVENING.plus_days(1));
    assert_eq!(ending.get("/h/job").await.status, StatusCode::GONE);
}

#[tokio::test]
async fn what_a_helper_watches_ends_with_a_word_when_the_link_is_taken_back() {
    let garage = Linked::start().await;
    let helper = garage.helper(&garage.link(garage.car.card, &[]).await).await;
    let watching = tokio::spawn(async move { helper.get("/h/live").await });
    // The stream ends by itself only when the link is over.
    tokio::time::sleep(std::time::Duration::from_millis(200)).await;
    assert!(!watching.is_finished());
    garage.owner.post_json(&format!("/test/delete/{}/{}", garage.car.car, garage.car.card), &json!({})).await;
    let told = tokio::time::timeout(std::time::Duration::from_secs(20), watching).await.unwrap().unwrap();
    assert_eq!(told.headers[header::CONTENT_TYPE], "text/event-stream");
    assert!(told.text.contains("event: told") && told.text.trim_end().ends_with("data: {}"), "{}", told.text);
    assert!(told.text.contains("event: over"), "{}", told.text);
}

#[tokio::test]
async fn a_link_that_was_guessed_or_altered_by_one_character_opens_nothing() {
    let garage = Linked::start().await;
    let address = garage.link(garage.car.card, &[]).await;
    let last = address.chars().last().unwrap();
    let altered = format!("{}{}", &address[..address.len() - 1], if last == 'A' { 'B' } else { 'A' });
    let shorter = address[..address.len() - 1].to_owned();
    for wrong in [altered.as_str(), &shorter, "", "#", "http://garage.test/h", &"A".repeat(43)] {
        let answer = garage.app.stranger().post_form("/h/in", &[("link", wrong)]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{wrong}");
        assert!(answer.headers.get(header::SET_COOKIE).is_none(), "{wrong}");
        let forged =
            garage.app.stranger().with_cookie(&format!("underlamp-helper={}", wrong.rsplit('#').next().unwrap()));
        assert_ne!(forged.get("/h/job").await.status, StatusCode::OK, "{wrong}");
    }
    let stranger = garage.app.stranger();
    assert_eq!(stranger.get("/h/job").await.location(), "/h");
    assert_eq!(stranger.get_json("/h/now").await.status, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn a_form_that_asks_for_an_impossible_link_is_shown_again_and_makes_none() {
    let garage = Linked::start().await;
    for (label, day, words) in [
        ("", "2026-11-27", "Say who gets it"),
        ("brother", "", "Say the last day"),
        ("brother", "2026-11-24", "That day is over"),
        ("brother", "2028-11-27", "a year at the most"),
        ("brother", "next week", "is no day"),
    ] {
        let fields = [("label", label), ("ends_on", day)];
        let answer = garage.owner.post_form(&garage.links_page(garage.car.card), &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{label} {day}");
        assert!(answer.text.contains(words), "{words}: {}", answer.text);
        assert!(answer.text.contains("No link yet"));
    }
}

#[tokio::test]
async fn a_helper_calls_only_where_the_link_s_maker_allows_it() {
    let garage = Linked::start().await;
    let card = garage.car.card;
    let silent = garage.helper(&garage.link(card, &[]).await).await;
    let refused = silent.post_form("/h/ring", &[("what", "stop")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(!silent.get("/h/job").await.text.contains("/h/ring"));
    let around = async || garage.owner.get_json(&format!("/sync/helpers/{card}")).await.json();
    assert_eq!(around().await["ring"], Value::Null);

    let ringing = garage.helper(&garage.link(card, &[("may_ring", "yes")]).await).await;
    assert_eq!(ringing.post_form("/h/ring", &[("what", "lunch")]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let called = ringing.post_form("/h/ring", &[("what", "stop")]).await;
    assert!(called.text.contains("Call out loud as well"), "{}", called.text);
    let ring = around().await["ring"].clone();
    assert_eq!((&ring["what"], &ring["by"]), (&json!("stop"), &json!("brother’s phone")));
    garage.app.clock.set(EVENING.plus_minutes(5));
    assert_eq!(around().await["ring"], Value::Null, "an old call is no news");
}

/// Every route of the router, with every method, with a helper's link in hand: nothing changes, and nothing but the one job
/// is reached. Paths are filled with what is really there.
#[tokio::test]
async fn with_a_link_nothing_can_be_changed_and_nothing_but_its_job_be_reached() {
    let garage = Linked::start().await;
    let whole = garage.whole().await;
    let other = whole.state.cards.iter().find(|card| card.card.id != garage.car.card).unwrap();
    let helper = garage.helper(&garage.link(garage.car.card, &[("may_ring", "yes")]).await).await;
    let real: BTreeMap<&str, String> = BTreeMap::from([
        ("{car}", garage.car.car.to_string()),
        ("{card}", other.card.id.to_string()),
        ("{step}", other.steps[0].id.to_string()),
        ("{spec}", whole.state.specs[0].id.to_string()),
        ("{says}", whole.state.specs[0].says[0].id.to_string()),
        ("{part}", whole.state.parts[0].id.to_string()),
        ("{sha256}", whole.pictures.iter().next().cloned().unwrap()),
        ("{which}", "thumb".to_owned()),
        ("{pattern}", "axle-oil".to_owned()),
        ("{build}", underlamp::web::assets::BUILD.to_owned()),
        ("{*path}", "css/base.css".to_owned()),
    ]);
    let before = garage.everything().await;
    let mut tried = 0;
    for route in app::table().listed() {
        let fill = |part: &str| real.get(part).cloned().unwrap_or_else(|| part.replace(['{', '}'], ""));
        let path = route.path.split('/').map(fill).collect::<Vec<_>>().join("/");
        for method in
            [Method::GET, Method::HEAD, Method::POST, Method::PUT, Method::PATCH, Method::DELETE, Method::OPTIONS]
        {
            let request = helper.request(method.clone(), &path).body(Body::empty()).unwrap();
            let status = helper.status(request).await;
            tried += 1;
            let may_answer = matches!(route.who, Who::Anyone | Who::Helper);
            if !may_answer {
                let kept_out = [StatusCode::UNAUTHORIZED, StatusCode::METHOD_NOT_ALLOWED, StatusCode::NOT_FOUND];
                assert!(kept_out.contains(&status), "{method} {path} answered {status}");
            }
        }
    }
    assert!(tried > 500, "{tried}");
    assert_eq!(before, garage.everything().await, "something was changed");
}

#[tokio::test]
async fn a_helper_sees_no_other_job_no_code_of_the_car_no_price_and_no_photo_of_another_card() {
    let garage = Linked::start().await;
    let whole = garage.whole().await;
    let photos: Vec<(CardId, String)> = whole
        .done
        .iter()
        .filter_map(|done| match (&done.act, done.card) {
            (Act::Photo(body), Some(card)) => Some((card, body.sha256.clone())),
            _ => None,
        })
        .collect();
    let (card, own) = photos.first().cloned().expect("the demo has a photo on a card");
    let (_, foreign) = photos.iter().find(|(other, sha)| *other != card && *sha != own).cloned().unwrap();
    let helper = garage.helper(&garage.link(card, &[]).await).await;
    for (sha, wanted) in [(&own, StatusCode::OK), (&foreign, StatusCode::NOT_FOUND)] {
        assert_eq!(helper.get(&format!("/h/photos/{sha}/thumb")).await.status, wanted, "{sha}");
    }
    assert_eq!(helper.get(&format!("/h/photos/{own}/original")).await.status, StatusCode::NOT_FOUND);
    assert_eq!(helper.get("/h/photos/nonsense/thumb").await.status, StatusCode::NOT_FOUND);

    let shown = format!("{}{}", helper.get("/h/job").await.text, helper.get("/h/aloud").await.text);
    for other in whole.state.cards.iter().filter(|other| other.card.id != card) {
        assert!(!shown.contains(&other.card.facts.title), "{}", other.card.facts.title);
        assert!(!shown.contains(&other.card.id.to_string()));
    }
    let codes: Vec<&str> =
        whole.car.codes.lines().filter_map(|line| line.split_once(':')).map(|(_, code)| code.trim()).collect();
    assert!(!codes.is_empty());
    for code in codes {
        assert!(!shown.contains(code), "{code}");
    }
    assert!(!shown.contains(&garage.car.car.to_string()), "the car's own address");
    assert!(!shown.contains("href=\"/cars/") && !shown.contains("href=\"/under"), "a way out of the job");
}
