//! Guards, the night and the road check on the phone's pages without scripts, and the sheet at the desk.

use crate::support::ops::SmallCar;
use crate::support::{Client, TestApp};
use axum::http::StatusCode;
use underlamp::ids::{CardId, StepId};
use underlamp::trade::steps::Verb;

struct Under {
    app: TestApp,
    phone: Client,
    base: String,
    car: SmallCar,
}

impl Under {
    async fn demo() -> Under {
        let app = TestApp::demo().await;
        let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
        Under { base: format!("/under/{}", car.car), phone, car, app }
    }

    async fn page(&self, path: &str) -> String {
        let answer = self.phone.get(&format!("{}{path}", self.base)).await;
        assert_eq!(answer.status, StatusCode::OK, "{path}: {}", answer.text);
        answer.text
    }

    async fn send(&self, fields: &[(&str, &str)]) -> (StatusCode, String) {
        let answer = self.phone.post_form(&format!("{}/do", self.base), fields).await;
        (answer.status, answer.text)
    }

    /// A step that drains something whose filler nobody has opened: the gearbox, in the demo.
    async fn unproven_drain(&self) -> (CardId, StepId) {
        let mut conn = self.app.state.read.conn().await.unwrap();
        let effects = underlamp::jobs::store::effects_of_car(&mut conn, self.car.car).await.unwrap();
        let found = effects.iter().find(|one| one.verb == Verb::Drain && one.card_title.contains("earbox")).unwrap();
        (found.card, found.step)
    }

    /// Ticks without minding any guard.
    async fn tick(&self, (card, step): (CardId, StepId), state: &str) -> StatusCode {
        let (card, step) = (card.to_string(), step.to_string());
        let mut fields = vec![("what", "tick"), ("back", "card"), ("card", &card), ("step", &step), ("state", state)];
        fields.extend([("anyway", "1"), ("why", "for the test")]);
        self.send(&fields).await.0
    }

    async fn close_everything(&self) {
        for _ in 0..3 {
            let page = self.page("/loose").await;
            for key in page.split("name=\"key\" value=\"").skip(1) {
                let key = key.split('"').next().unwrap();
                if !key.is_empty() {
                    self.send(&[("what", "closed"), ("back", "loose"), ("key", key)]).await;
                }
            }
        }
        assert!(self.page("/loose").await.contains("No loose ends on record"));
    }
}

#[tokio::test]
async fn without_scripts_a_guard_stands_between_done_and_the_tick_until_a_reason_is_given() {
    let under = Under::demo().await;
    let (card, step) = under.unproven_drain().await;
    let (card, step) = (card.to_string(), step.to_string());
    let tick =
        [("what", "tick"), ("back", "card"), ("card", card.as_str()), ("step", step.as_str()), ("state", "done")];
    let state = format!("data-step=\"{step}\"");
    let ticked = async || {
        let page = under.page(&format!("/cards/{card}")).await;
        let stage = page.split(&state).nth(1).unwrap().to_owned();
        let tag = stage.split('>').next().unwrap().contains("data-tick=\"done\"");
        (tag, stage.split("</section>").next().unwrap().to_owned())
    };
    let (status, page) = under.send(&tick).await;
    assert_eq!(status, StatusCode::OK);
    for words in ["Drained before the filler is known to open", "To mend it:", "Go on anyway", ">Back<", "dictation"] {
        assert!(page.contains(words), "{words}");
    }
    assert!(!ticked().await.0);
    let (status, page) = under.send(&[&tick[..], &[("anyway", "1"), ("why", ""), ("more", " ")]].concat()).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.contains("Say in a few words why") && !ticked().await.0);
    let reason = [("anyway", "1"), ("why", "I made sure of it another way"), ("more", "pump hose goes in from above")];
    assert_eq!(under.send(&[&tick[..], &reason].concat()).await.0, StatusCode::SEE_OTHER);
    let (done, stage) = ticked().await;
    assert!(done && stage.contains("Went on anyway:"), "{stage}");
    assert!(stage.contains("I made sure of it another way: pump hose goes in from above"));
    let logbook = under.phone.get(&format!("/cars/{}/logbook", under.car.car)).await.text;
    assert!(logbook.contains("pump hose goes in from above"), "the reason is in the logbook");
}

#[tokio::test]
async fn a_step_that_is_opened_again_is_guarded_anew() {
    let under = Under::demo().await;
    let at = under.unproven_drain().await;
    assert_eq!(under.tick(at, "done").await, StatusCode::SEE_OTHER);
    assert_eq!(under.tick(at, "open").await, StatusCode::SEE_OTHER);
    let page = under.page(&format!("/cards/{}", at.0)).await;
    assert!(!page.contains("Went on anyway:</b> "), "what was gone past before is over");
    let (card, step) = (at.0.to_string(), at.1.to_string());
    let plain = [("what", "tick"), ("back", "card"), ("card", card.as_str()), ("step", &step), ("state", "done")];
    assert_eq!(under.send(&plain).await.0, StatusCode::OK, "it is asked again");
}

#[tokio::test]
async fn something_undone_is_kept_by_how_and_where_and_shown_on_the_car() {
    let under = Under::demo().await;
    let undid =
        |how, text, place| [("what", "undid"), ("back", "loose"), ("how", how), ("text", text), ("place", place)];
    assert_eq!(under.send(&undid("parted", "", "front left")).await.0, StatusCode::SEE_OTHER);
    assert_eq!(under.send(&undid("drained", "washer bottle", "inside")).await.0, StatusCode::SEE_OTHER);
    let page = under.page("/loose").await;
    for words in ["A connection parted (front left)", "washer bottle: drained (inside)"] {
        assert!(page.contains(words), "{words}");
    }
    let zone = page.split("data-zone=\"inside\" data-count=\"").nth(1).unwrap();
    assert!(!zone.starts_with('0'));
    assert_eq!(under.send(&undid("other", " ", "rear")).await.0, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(under.send(&undid("melted", "x", "rear")).await.0, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn the_car_is_left_for_the_night_in_words_that_follow_from_its_state() {
    let under = Under::demo().await;
    let page = under.page("/night").await;
    assert!(page.contains("So it sleeps") && page.contains("Take the keys out"));
    let night = |text| [("what", "night"), ("back", "night"), ("text", text)];
    assert_eq!(under.send(&night(" ")).await.0, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(under.send(&night("Front on stands, pan under the sump.")).await.0, StatusCode::SEE_OTHER);
    assert!(under.page("/night").await.contains("Front on stands, pan under the sump."));
    let logbook = under.phone.get(&format!("/cars/{}/logbook", under.car.car)).await.text;
    assert!(logbook.contains("Front on stands, pan under the sump."));
}

#[tokio::test]
async fn the_road_check_begins_when_nothing_is_loose_and_an_answer_settles_its_item() {
    let under = Under::demo().await;
    let item = "before-rolling:clear";
    let answer = |item, seen| [("what", "road"), ("back", "road"), ("item", item), ("seen", seen)];
    let page = under.page("/road").await;
    assert!(page.contains("no statement that the car is safe or legal") && page.contains(item));
    assert!(page.contains("Not yet: something is still undone"));
    let (status, said) = under.send(&answer(item, "holds")).await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(said.contains("Close the loose ends first"));

    under.close_everything().await;
    assert_eq!(under.send(&answer("before-rolling:flux", "holds")).await.0, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(under.send(&answer(item, "perhaps")).await.0, StatusCode::UNPROCESSABLE_ENTITY);
    let nothing_seen = [("what", "road"), ("back", "road"), ("item", item)];
    assert_eq!(under.send(&nothing_seen).await.0, StatusCode::UNPROCESSABLE_ENTITY);

    let due = async || {
        let page = under.page("/road").await;
        page.split(&format!("data-item=\"{item}\" data-due=\"")).nth(1).unwrap().starts_with('1')
    };
    assert!(due().await);
    assert_eq!(under.send(&answer(item, "fails")).await.0, StatusCode::SEE_OTHER);
    assert!(due().await, "what does not hold stays due");
    assert!(under.page("/road").await.contains("Road check, does not hold: Nothing is under or against the car"));
    assert_eq!(under.send(&answer(item, "holds")).await.0, StatusCode::SEE_OTHER);
    assert!(!due().await);
    let logbook = under.phone.get(&format!("/cars/{}/logbook", under.car.car)).await.text;
    assert!(logbook.contains("Nothing is under or against the car"));
    let sheet = under.phone.get(&format!("/cars/{}/road-check", under.car.car)).await;
    assert_eq!(sheet.status, StatusCode::OK);
    assert!(sheet.text.contains("Holds, ") && sheet.text.contains("no statement that the car is safe"));
}

#[tokio::test]
async fn a_car_without_ticks_asks_for_no_road_check_and_an_unknown_one_is_unknown() {
    let under = Under::demo().await;
    let unknown = "/cars/01890a5d-ac96-774b-bcce-b302099a8057/road-check";
    assert_eq!(under.phone.get(unknown).await.status, StatusCode::NOT_FOUND);
    for path in ["road", "night"] {
        let unknown = format!("/under/01890a5d-ac96-774b-bcce-b302099a8057/{path}");
        assert_eq!(under.phone.get(&unknown).await.status, StatusCode::NOT_FOUND);
    }
    let fields = [("name", "Empty"), ("make", "Halden"), ("model", "Skarv 1.8"), ("year", "1983"), ("codes", "")];
    let more = [("story", ""), ("wanted_on", ""), ("wanted_for", "")];
    let added = under.app.owner().await.post_form("/cars", &[&fields[..], &more].concat()).await;
    assert_eq!(added.status, StatusCode::SEE_OTHER, "{}", added.text);
    let sheet = under.phone.get(&format!("{}/road-check", added.location())).await;
    assert!(sheet.text.contains("Nothing asks for a road check."), "{}", sheet.text);
    let phone = under.phone.get(&format!("{}/road", added.location().replace("/cars/", "/under/"))).await.text;
    assert!(phone.contains("To the job cards") && !phone.contains("To what is due"));
}
