//! Bolt pictures: written at the desk, counted under the car without scripts, told in the logbook.

use crate::support::ops::{SmallCar, at};
use crate::support::{Client, TestApp};
use axum::http::StatusCode;
use serde_json::json;
use underlamp::clock::Moment;
use underlamp::ids::{CardId, DeviceId, StepId};
use underlamp::work::model::CarState;

/// Seven bolts in an oval, two stages; the demo tightens them on its timing card.
const ITEM: &str = "Timing cover bolts";

struct Bolts {
    app: TestApp,
    phone: Client,
    car: SmallCar,
    card: CardId,
    step: StepId,
    number: usize,
}

impl Bolts {
    async fn demo() -> Bolts {
        let app = TestApp::demo().await;
        let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
        let (card, step, number) = {
            let mut conn = app.state.read.conn().await.unwrap();
            let state = CarState::read(&mut conn, car.car).await.unwrap();
            let spec = state.specs.iter().find(|spec| spec.facts.item == ITEM).unwrap().id;
            let steps =
                state.cards.iter().flat_map(|card| (1..).zip(&card.steps).map(|(n, step)| (card.card.id, step, n)));
            let (card, step, n) = steps.into_iter().find(|(_, step, _)| step.attached.specs.contains(&spec)).unwrap();
            (card, step.id, n)
        };
        Bolts { app, phone, car, card, step, number }
    }

    async fn send(&self, fields: &[(&str, &str)]) -> (StatusCode, String) {
        let (card, step, n) = (self.card.to_string(), self.step.to_string(), self.number.to_string());
        let about = [("back", "card"), ("card", card.as_str()), ("step", &step), ("n", &n)];
        let answer = self.phone.post_form(&format!("/under/{}/do", self.car.car), &[&about[..], fields].concat()).await;
        (answer.status, answer.text)
    }

    async fn press(&self, stage: &str, bolt: &str, state: &str) -> StatusCode {
        self.send(&[("what", "bolt"), ("stage", stage), ("bolt", bolt), ("state", state)]).await.0
    }

    /// The step as the phone shows it without scripts.
    async fn stage(&self) -> String {
        let page = self.phone.get(&format!("/under/{}/cards/{}", self.car.car, self.card)).await;
        assert_eq!(page.status, StatusCode::OK);
        let stage = page.text.split(&format!("data-step=\"{}\"", self.step)).nth(1).unwrap();
        stage.split("data-step=").next().unwrap().to_owned()
    }

    async fn desk(&self, path: &str) -> String {
        let page = self.phone.get(&format!("/cars/{}{path}", self.car.car)).await;
        assert_eq!(page.status, StatusCode::OK, "{path}");
        page.text
    }
}

/// The order of seven in an oval: `trade::bolt_order` holds it against its own rule.
const ORDER: [&str; 7] = ["1", "4", "7", "3", "6", "2", "5"];

#[tokio::test]
async fn without_scripts_each_bolt_is_a_form_and_the_next_one_is_lit() {
    let bolts = Bolts::demo().await;
    let stage = bolts.stage().await;
    for words in ["Bolt 1 of 7", "stage 1 of 2", "4 N·m", "Bolt 1 is tight", "common practice, no source"] {
        assert!(stage.contains(words), "{words}: {stage}");
    }
    assert_eq!(stage.matches("data-state=\"next\"").count(), 1);
    assert!(!stage.contains("Back one: Bolt"), "there is none to go back to");
    for bolt in &ORDER[..2] {
        assert_eq!(bolts.press("1", bolt, "done").await, StatusCode::SEE_OTHER);
    }
    let stage = bolts.stage().await;
    assert!(stage.contains("data-place=\"7\" data-state=\"next\""), "{stage}");
    assert!(stage.contains("Bolt 3 is tight") && stage.contains("Back one: Bolt 2 is not tight"), "{stage}");
    assert!(stage.contains("2 of 7 tight"));
    assert_eq!(bolts.press("1", ORDER[1], "open").await, StatusCode::SEE_OTHER);
    assert!(bolts.stage().await.contains("Bolt 2 is tight"));
}

#[tokio::test]
async fn a_bolt_or_stage_that_the_joint_does_not_have_is_refused_and_changes_nothing() {
    let bolts = Bolts::demo().await;
    for (stage, bolt, state) in [
        ("3", "1", "done"),
        ("0", "1", "done"),
        ("1", "8", "done"),
        ("1", "-1", "done"),
        ("", "", "done"),
        ("1", "1", "nearly"),
    ] {
        assert_eq!(bolts.press(stage, bolt, state).await, StatusCode::UNPROCESSABLE_ENTITY, "{stage} {bolt} {state}");
    }
    assert!(bolts.stage().await.contains("Bolt 1 is tight"));
}

#[tokio::test]
async fn a_tick_with_bolts_left_is_asked_about_once_and_taken_with_a_reason() {
    let bolts = Bolts::demo().await;
    for bolt in ORDER {
        bolts.press("1", bolt, "done").await;
    }
    let tick = [("what", "tick"), ("state", "done")];
    let (status, page) = bolts.send(&tick).await;
    assert_eq!(status, StatusCode::OK);
    assert!(page.contains("7 bolts are left of 14: next is stage 2 of 2, bolt 1."), "{page}");
    let why = [("anyway", "1"), ("why", "It is so already, only not ticked"), ("more", "")];
    assert_eq!(bolts.send(&[&tick[..], &why].concat()).await.0, StatusCode::SEE_OTHER);
    assert!(bolts.stage().await.contains("7 bolts are left of 14"), "what was gone past stays on the step");
    bolts.send(&[("what", "tick"), ("state", "open")]).await;
    for bolt in ORDER {
        bolts.press("2", bolt, "done").await;
    }
    let stage = bolts.stage().await;
    assert!(stage.contains("All 7 tight") && stage.contains("in 2 stages"), "{stage}");
    let (_, page) = bolts.send(&tick).await;
    assert!(!page.contains("bolts are left"), "{page}");
}

#[tokio::test]
async fn what_a_phone_counted_stands_on_the_job_card_and_is_one_line_of_the_logbook_for_a_stage() {
    let bolts = Bolts::demo().await;
    let device = DeviceId::new();
    let mut ops: Vec<_> = (1..)
        .zip(ORDER)
        .map(|(second, bolt)| {
            let body = json!({ "stage": 1, "bolt": bolt.parse::<i64>().unwrap(), "state": "done", "of": 7,
                "say": format!("{ITEM}, stage 1 of 2") });
            let now = bolts.app.state.clock.now();
            bolts.car.op(
                device,
                at(Moment(now.0 - 60_000 + second * 1000)),
                json!({ "step": bolts.step }),
                json!({ "bolt": body }),
            )
        })
        .collect();
    for op in &mut ops {
        op["card"] = json!(bolts.card);
    }
    let answer = bolts.phone.post_json("/sync/ops", &json!({ "ops": ops })).await;
    let verdicts = answer.json()["verdicts"].as_array().unwrap().clone();
    assert!(verdicts.iter().all(|verdict| verdict["is"] == "applied"), "{verdicts:?}");
    assert!(bolts.stage().await.contains("stage 2 of 2"));
    let card = bolts.desk(&format!("/cards/{}", bolts.card)).await;
    assert!(card.contains("stage 1 of 2: 7 of 7 tight."), "{card}");
    let logbook = bolts.desk("/logbook").await;
    assert_eq!(logbook.matches("Timing cover bolts, stage 1 of 2: 7 of 7 tight").count(), 1);
    assert!(!logbook.contains("6 of 7 tight"));
}

#[tokio::test]
async fn the_nuts_of_four_wheels_are_counted_wheel_by_wheel_for_the_wheels_a_step_means() {
    let bolts = Bolts::demo().await;
    let mut conn = bolts.app.state.read.conn().await.unwrap();
    let state = CarState::read(&mut conn, bolts.car.car).await.unwrap();
    let steps = state.cards.iter().flat_map(|card| card.steps.iter().map(|step| (card.card.id, step)));
    let (card, _) = steps
        .into_iter()
        .find(|(_, step)| step.facts.object == "front wheel nuts" && step.facts.verb.tightens())
        .unwrap();
    let page = bolts.phone.get(&format!("/under/{}/cards/{card}", bolts.car.car)).await.text;
    for words in ["Nut 1 of 5", "Wheel 1 of 2", "0 of 10 tight", "95 N·m"] {
        assert!(page.contains(words), "{words}");
    }
}

/// A new spec of the desk's form with a picture of `count` bolts.
fn fields<'a>(
    bolts: &'a str,
    count: &'a str,
    order: &'a str,
    joints: &'a str,
    kind: &'a str,
) -> Vec<(&'a str, &'a str)> {
    vec![
        ("system", "engine"),
        ("item", "Valve chest cover bolts"),
        ("place", ""),
        ("kind", kind),
        ("thread", "M8x1.25"),
        ("class", "8.8"),
        ("head", ""),
        ("count", count),
        ("lubrication", "oiled"),
        ("single_use", "yes"),
        ("stages", "10 Nm\r\n90°"),
        ("bolts", bolts),
        ("order", order),
        ("joints", joints),
        ("variant", ""),
        ("note", ""),
        ("written", "10 Nm"),
        ("source", "guess"),
        ("citation", ""),
        ("page", ""),
        ("says_note", ""),
    ]
}

#[tokio::test]
async fn a_picture_is_drawn_on_the_page_of_its_spec_with_stages_and_the_source_of_its_order() {
    let bolts = Bolts::demo().await;
    let add = format!("/cars/{}/specs", bolts.car.car);
    for (order, origin) in
        [("", "not by the maker (common practice, no source)"), ("2, 1, 3, 4", "the maker’s order comes first")]
    {
        let answer = bolts.phone.post_form(&add, &fields("two-rows", "4", order, "", "torque")).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let page = bolts.phone.get(answer.location()).await.text;
        for words in ["4 bolts in two rows", "10 N·m", "90° further", "oiled", "New bolts each time", origin] {
            assert!(page.contains(words), "{words}: {page}");
        }
        assert_eq!(page.matches("<g class=\"bolt\"").count(), 8, "by order of tightening, and by place");
        let edit = bolts.phone.get(&format!("{}/edit", answer.location())).await.text;
        assert!(edit.contains("<option value=\"two-rows\" selected>") && edit.contains(&format!("value=\"{order}\"")));
    }
}

#[tokio::test]
async fn a_picture_that_cannot_be_is_told_at_its_field_and_nothing_is_saved() {
    let bolts = Bolts::demo().await;
    let count = async || bolts.app.book(bolts.car.car).await.len();
    let before = count().await;
    let cases = [
        (("ring", "4", "1 2 3", ""), "The order names 3 bolts, but there are 4: write each number from 1 to 4 once."),
        (("ring", "4", "1 2 2 4", ""), "Bolt 2 comes twice"),
        (("ring", "4", "1 2 5 4", ""), "Bolt 3 is missing"),
        (("ring", "4", "1 2 three 4", ""), "is not the number of a bolt"),
        (("ring", "2", "", ""), "Bolts in a ring number from 3 to 40 here, not 2."),
        (("ring", "18", "", "4"), "18 of them cannot be shared evenly by 4 joints"),
        (("ring", "20", "", "many"), "Write how many joints alike there are as a whole number"),
        (("ring", "", "", ""), "Write how many there are: the picture shows each of them."),
        (("star", "4", "", ""), "Choose how the bolts lie."),
        (("", "4", "1 3 2 4", ""), "Choose how the bolts lie, so that they can be drawn."),
    ];
    for ((shape, many, order, joints), say) in cases {
        let answer = bolts
            .phone
            .post_form(&format!("/cars/{}/specs", bolts.car.car), &fields(shape, many, order, joints, "torque"))
            .await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{shape} {many} {order} {joints}");
        assert!(answer.text.contains(say), "{say}: {}", answer.text);
    }
    let fields = fields("ring", "4", "", "", "length");
    let answer = bolts.phone.post_form(&format!("/cars/{}/specs", bolts.car.car), &fields).await;
    assert!(answer.text.contains("A bolt picture belongs to a torque"));
    assert_eq!(count().await, before);
}
