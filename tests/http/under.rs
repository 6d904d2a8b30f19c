//! The phone's pages, and the list of what is copied onto it.

use crate::support::ops::{SmallCar, at, god_routes};
use crate::support::{Client, EVENING, TestApp};
use axum::http::StatusCode;
use serde_json::{Value, json};
use std::collections::BTreeMap;
use underlamp::ids::{CardId, DeviceId};
use underlamp::jobs::store as jobs;

/// What stands in `<script type="application/json" data-json="name">`.
fn data(page: &str, name: &str) -> Value {
    let opening = format!("data-json=\"{name}\">");
    let text = page.split(&opening).nth(1).unwrap_or_else(|| panic!("no {name} in the page"));
    serde_json::from_str(text.split("</script>").next().unwrap()).unwrap()
}

async fn shown(client: &Client, path: &str) -> String {
    let answer = client.get(path).await;
    assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.text);
    answer.text
}

/// A card with a step that opens something, and that step: nothing on it has been ticked.
async fn opener(app: &TestApp, car: &SmallCar) -> (CardId, String, String) {
    let mut conn = app.state.read.conn().await.unwrap();
    let effects = jobs::effects_of_car(&mut conn, car.car).await.unwrap();
    let found = effects.iter().find(|one| one.card == car.card && !one.compiled.opens.is_empty()).unwrap();
    (found.card, found.step.to_string(), found.compiled.opens[0].words.clone())
}

fn tick<'a>(card: &'a str, step: &'a str, state: &'a str) -> Vec<(&'a str, &'a str)> {
    // A reason, in case a guard asks for one: see `under_guards`.
    let mut fields =
        vec![("what", "tick"), ("back", "card"), ("card", card), ("step", step), ("n", "3"), ("state", state)];
    fields.extend([("anyway", "1"), ("why", "for the test")]);
    fields
}

#[tokio::test]
async fn every_phone_page_is_whole_without_scripts() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let base = format!("/under/{}", car.car);
    for (path, words) in [
        ("/under".to_owned(), "Under which car?"),
        (base.clone(), "Job cards"),
        (format!("{base}/cards/{}", car.card), "Skip"),
        (format!("{base}/loose"), "I also undid"),
        (format!("{base}/night"), "So it sleeps"),
        (format!("{base}/road"), "no statement that the car is safe or legal"),
        (format!("{base}/specs"), "Find a spec"),
        (format!("{base}/note"), "How bad is it?"),
        ("/under/waiting".to_owned(), "What waits to be sent"),
    ] {
        let page = shown(&phone, &path).await;
        assert!(page.contains(words), "{path} lacks ‘{words}’");
        assert_eq!(page.matches("<h1").count(), 1, "{path}");
        assert!(page.contains("data-device=\"") && !page.contains("data-device=\"\""), "{path} names no device");
    }
}

#[tokio::test]
async fn an_unknown_car_and_card_are_said_to_be_unknown() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    for path in ["/under/01890a5d-ac96-774b-bcce-b302099a8057", "/under/nonsense"] {
        assert_eq!(phone.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    let card = format!("/under/{}/cards/{}", car.car, CardId::new());
    assert_eq!(phone.get(&card).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_form_without_scripts_ticks_leads_back_and_feeds_the_ledger() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let (card, step, words) = opener(&app, &car).await;
    let (card, base) = (card.to_string(), format!("/under/{}", car.car));
    assert!(!shown(&phone, &format!("{base}/loose")).await.contains(&format!("<p class=\"row__what\">{words}</p>")));
    let answer = phone.post_form(&format!("{base}/do"), &tick(&card, &step, "done")).await;
    assert_eq!(
        (answer.status, answer.location()),
        (StatusCode::SEE_OTHER, format!("{base}/cards/{card}#step-3").as_str())
    );
    let page = shown(&phone, &format!("{base}/cards/{card}")).await;
    assert!(page.contains(&format!("data-step=\"{step}\"")) && page.contains("data-tick=\"done\""));
    let ledger = shown(&phone, &format!("{base}/loose")).await;
    assert!(ledger.contains(&format!("<p class=\"row__what\">{words}</p>")), "{words} is not in the ledger");
    phone.post_form(&format!("{base}/do"), &tick(&card, &step, "open")).await;
    assert!(!shown(&phone, &format!("{base}/loose")).await.contains(&format!("<p class=\"row__what\">{words}</p>")));
}

#[tokio::test]
async fn what_a_deleted_card_left_loose_stays_in_the_ledger_and_can_be_closed_by_hand() {
    let app = TestApp::demo().await.with_routes(god_routes());
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let (card, step, words) = opener(&app, &car).await;
    let base = format!("/under/{}", car.car);
    phone.post_form(&format!("{base}/do"), &tick(&card.to_string(), &step, "done")).await;
    let key = {
        let mut conn = app.state.read.conn().await.unwrap();
        let effects = jobs::effects_of_car(&mut conn, car.car).await.unwrap();
        effects.into_iter().find(|one| one.step.to_string() == step).unwrap().compiled.opens[0].key.clone()
    };
    assert_eq!(phone.post_json(&format!("/test/delete/{}/{card}", car.car), &json!({})).await.status, StatusCode::OK);
    let ledger = shown(&phone, &format!("{base}/loose")).await;
    assert!(ledger.contains(&words), "{words} fell out of the ledger with its card");
    let effects = data(&ledger, "effects");
    assert_eq!(effects["steps"][&step]["gone"], true);
    let steps: Vec<&Value> =
        effects["closers"].as_object().unwrap().values().flat_map(|all| all.as_array().unwrap()).collect();
    assert!(steps.iter().all(|closer| closer["card"] != json!(card)), "a step that is gone closes nothing");
    phone.post_form(&format!("{base}/do"), &[("what", "closed"), ("back", "loose"), ("key", &key)]).await;
    assert!(!shown(&phone, &format!("{base}/loose")).await.contains(&format!("data-key=\"{key}\"")));
}

/// Pages are drawn from a car that is held in memory between writes.
#[tokio::test]
async fn what_another_program_writes_is_on_the_next_page() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let card = format!("/under/{}/cards/{}", car.car, car.card);
    let mut beside = app.beside().await;
    for title in ["Seen by the first page", "Changed a second time"] {
        let before = shown(&phone, &card).await;
        assert_eq!(before, shown(&phone, &card).await);
        assert!(!before.contains(title));
        sqlx::query("update cards set title = ?").bind(title).execute(&mut beside).await.unwrap();
        assert!(shown(&phone, &card).await.contains(title));
        assert!(shown(&phone, &format!("/cars/{}/cards/{}", car.car, car.card)).await.contains(title));
    }
}

#[tokio::test]
async fn a_loose_end_made_by_hand_is_in_the_ledger() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let base = format!("/under/{}", car.car);
    let fields = [("what", "undid"), ("back", "loose"), ("text", "Air duct is off"), ("place", "left of the engine")];
    let answer = phone.post_form(&format!("{base}/do"), &fields).await;
    assert_eq!((answer.status, answer.location()), (StatusCode::SEE_OTHER, format!("{base}/loose").as_str()));
    let ledger = shown(&phone, &format!("{base}/loose")).await;
    assert!(ledger.contains("Air duct is off (left of the engine)") && ledger.contains("by hand"));
}

#[tokio::test]
async fn a_form_that_cannot_be_taken_is_shown_again_with_what_was_typed() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let to = format!("/under/{}/do", car.car);
    let nonsense = [
        ("what", "reading"),
        ("back", "note"),
        ("name", "free play of the pedal"),
        ("number", "about so much"),
        ("unit", "mm"),
    ];
    let answer = phone.post_form(&to, &nonsense).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    for words in ["This was not kept", "free play of the pedal", "about so much", "<option value=\"mm\" selected>"] {
        assert!(answer.text.contains(words), "{words}");
    }
    let empty = phone.post_form(&to, &[("what", "note"), ("back", "note"), ("text", " ")]).await;
    assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
    let unknown = phone.post_form(&to, &[("what", "note"), ("back", "note"), ("text", "x"), ("else", "1")]).await;
    assert_eq!(unknown.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn what_was_noted_cannot_break_out_of_the_page() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let text = "</script><b data-bad>rust & more</b>";
    let fields = [("what", "note"), ("back", "note"), ("card", &car.card.to_string()), ("text", text)];
    phone.post_form(&format!("/under/{}/do", car.car), &fields).await;
    for path in ["note".to_owned(), format!("cards/{}", car.card)] {
        let page = shown(&phone, &format!("/under/{}/{path}", car.car)).await;
        assert!(!page.contains("<b data-bad>"), "{path}");
        let ops = data(&page, "ops");
        let noted = ops.as_array().unwrap().iter().any(|op| op["do"]["note"]["text"] == text);
        assert!(noted, "{path} does not carry the note for its script");
    }
}

#[tokio::test]
async fn the_book_can_be_searched_without_scripts() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let whole = shown(&phone, &format!("/under/{}/specs", car.car)).await;
    let found = shown(&phone, &format!("/under/{}/specs?q=WHEEL%20nuts", car.car)).await;
    assert!(found.contains("Wheel nuts") && found.matches("data-find=").count() < whole.matches("data-find=").count());
    let nothing = shown(&phone, &format!("/under/{}/specs?q=flux%20capacitor", car.car)).await;
    assert!(nothing.contains("Nothing in the book") && !nothing.contains("data-find="));
}

#[tokio::test]
async fn sources_that_disagree_are_all_shown_on_the_step_and_none_is_the_figure() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let mut conn = app.state.read.conn().await.unwrap();
    let specs = underlamp::specs::store::of_car(&mut conn, car.car).await.unwrap();
    let steps = jobs::steps_of_car(&mut conn, car.car).await.unwrap();
    let open = |id| specs.iter().any(|spec| spec.id == id && spec.trust().0 == underlamp::trade::trust::Trust::Open);
    let step = steps.iter().find(|step| step.attached.specs.iter().any(|id| open(*id))).expect("the demo has one");
    let page = shown(&phone, &format!("/under/{}/cards/{}", car.car, step.card)).await;
    let stage = page.split(&format!("data-step=\"{}\"", step.id)).nth(1).unwrap().split("</section>").next().unwrap();
    assert!(stage.contains("sources disagree") && stage.contains("Settle at the desk"));
    assert!(stage.split("class=\"rivals\"").nth(1).unwrap().matches("figure__value").count() >= 2);
}

// ---------------------------------------------------------------- the copy

async fn pack(phone: &Client, car: &SmallCar) -> Value {
    let answer = phone.get_json(&format!("/sync/pack/{}", car.car)).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    answer.json()
}

fn tags(pack: &Value) -> BTreeMap<String, String> {
    let pages = pack["pages"].as_array().unwrap().iter();
    pages.map(|page| (page["url"].as_str().unwrap().to_owned(), page["tag"].as_str().unwrap().to_owned())).collect()
}

#[tokio::test]
async fn everything_that_a_phone_copies_is_there_to_be_fetched() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let pack = pack(&phone, &car).await;
    let tags = tags(&pack);
    let base = format!("/under/{}", car.car);
    for path in ["", "/loose", "/night", "/road", "/specs", "/note"] {
        assert!(tags.contains_key(&format!("{base}{path}")), "{path}");
    }
    assert!(tags.contains_key(&format!("{base}/cards/{}", car.card)) && tags.contains_key("/under/waiting"));
    assert!(tags.values().all(|tag| tag.len() == 16 && tag.bytes().all(|b| b.is_ascii_hexdigit())));
    for thing in pack["pages"].as_array().unwrap().iter().chain(pack["pictures"].as_array().unwrap()) {
        let answer = phone.get(thing["url"].as_str().unwrap()).await;
        assert_eq!(answer.status, StatusCode::OK, "{thing}");
    }
    for asset in pack["assets"].as_array().unwrap() {
        assert_eq!(phone.get(asset.as_str().unwrap()).await.status, StatusCode::OK, "{asset}");
    }
    assert!(!pack["pictures"].as_array().unwrap().is_empty(), "the demo's photos belong to the copy");
}

#[tokio::test]
async fn pages_asked_for_together_are_those_that_each_address_shows() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let base = format!("/under/{}", car.car);
    let urls = [format!("{base}/loose"), format!("{base}/cards/{}", car.card), format!("{base}/cards/no-such-card")];
    let address = format!("/sync/pack/{}/pages", car.car);
    let answer = phone.post_json(&address, &json!({ "urls": urls })).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    let lines: Vec<Value> = answer.text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(lines.len(), 2, "what is no page of the copy is left out");
    for line in &lines {
        let url = line["url"].as_str().unwrap();
        assert!(urls.iter().any(|wanted| wanted == url), "{url}");
        assert_eq!(line["body"].as_str().unwrap(), phone.get(url).await.text, "{url}");
    }
    let malformed = phone.post_json(&address, &json!({ "pages": urls })).await;
    assert_eq!(malformed.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(app.stranger().post_json(&address, &json!({ "urls": urls })).await.status, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn the_copy_is_the_same_whoever_asks_and_whatever_was_ticked_meanwhile() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let first = pack(&phone, &car).await;
    let ops =
        [car.tick(DeviceId::new(), at(EVENING), car.steps[0], "done"), car.note(DeviceId::new(), at(EVENING), "x")];
    assert_eq!(phone.post_json("/sync/ops", &json!({ "ops": ops })).await.status, StatusCode::OK);
    app.clock.set(EVENING.plus_days(3));
    let second = pack(&app.owner().await, &car).await;
    assert_eq!(tags(&first), tags(&second));
    assert_eq!(first["version"], second["version"]);
    assert_ne!(first["mark"], second["mark"], "what was done is told by the operations");
    assert_ne!(first["as_of"], second["as_of"]);
}

#[tokio::test]
async fn a_card_taken_away_changes_the_version_of_the_copy() {
    let app = TestApp::demo().await.with_routes(god_routes());
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let before = pack(&phone, &car).await;
    phone.post_json(&format!("/test/delete/{}/{}", car.car, car.card), &json!({})).await;
    let after = pack(&phone, &car).await;
    assert_ne!(before["version"], after["version"]);
    let gone = format!("/under/{}/cards/{}", car.car, car.card);
    assert!(tags(&before).contains_key(&gone) && !tags(&after).contains_key(&gone));
    let base = format!("/under/{}", car.car);
    assert_ne!(tags(&before)[&base], tags(&after)[&base], "the list of cards changed");
    assert_eq!(tags(&before)[&format!("{base}/specs")], tags(&after)[&format!("{base}/specs")]);
}
