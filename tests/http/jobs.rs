//! Job cards at the desk, driven as a browser without script does.

use crate::support::{Client, TestApp};
use axum::http::StatusCode;
use underlamp::ids::{CarId, CardId, PartId, SpecId, StepId};
use underlamp::jobs::model::{Card, Step};
use underlamp::jobs::store;
use underlamp::sync::wire::Tick;
use underlamp::trade::condition::Condition;
use underlamp::trade::ledger::LooseEnd;
use underlamp::trade::spec::Kind;
use underlamp::work::model::CarState;

struct Bench {
    app: TestApp,
    desk: Client,
    car: CarId,
    card: CardId,
}

type Fields<'a> = Vec<(&'a str, &'a str)>;

impl Bench {
    /// The demo, and one of its cards on which nothing was done.
    async fn set_up() -> Bench {
        Bench::at("Renew both track-rod ends").await
    }

    async fn at(title: &str) -> Bench {
        let app = TestApp::demo().await;
        let desk = app.owner().await;
        let mut conn = app.state.read.conn().await.unwrap();
        let car = underlamp::cars::store::all(&mut conn).await.unwrap()[0].id;
        let cards = store::cards_of_car(&mut conn, car).await.unwrap();
        let card = cards.iter().find(|card| card.facts.title == title).unwrap().id;
        drop(conn);
        Bench { app, desk, car, card }
    }

    async fn on_car(&self) -> CarState {
        CarState::read(&mut self.app.state.read.conn().await.unwrap(), self.car).await.unwrap()
    }

    async fn cards(&self) -> Vec<Card> {
        self.on_car().await.cards.into_iter().map(|state| state.card).collect()
    }

    async fn card(&self) -> Card {
        self.cards().await.into_iter().find(|card| card.id == self.card).unwrap()
    }

    async fn steps(&self) -> Vec<Step> {
        store::steps_of_card(&mut self.app.state.read.conn().await.unwrap(), self.card).await.unwrap()
    }

    async fn order(&self) -> Vec<StepId> {
        self.steps().await.iter().map(|step| step.id).collect()
    }

    fn path(&self, tail: &str) -> String {
        format!("/cars/{}/cards/{}{tail}", self.car, self.card)
    }

    fn step_path(&self, step: StepId, tail: &str) -> String {
        self.path(&format!("/steps/{step}{tail}"))
    }

    /// Posts, and asserts the status, what is said, and that nothing on the car changed.
    async fn refused(&self, path: &str, fields: &[(&str, &str)], status: StatusCode, say: &str) {
        let all = async || {
            let state = self.on_car().await;
            let ticks = state.cards.iter().map(|card| card.ticks.clone()).collect::<Vec<_>>();
            let cards = state.cards.into_iter().map(|card| (card.card, card.steps)).collect::<Vec<_>>();
            (cards, ticks)
        };
        let before = all().await;
        let answer = self.desk.post_form(path, fields).await;
        assert_eq!(answer.status, status, "{path} {fields:?}: {}", answer.text);
        assert!(answer.text.contains(say), "{say:?} is not in {}", answer.text);
        assert!(all().await == before, "{path} {fields:?} changed something");
    }
}

fn card_fields<'a>(rev: &'a str, title: &'a str) -> Fields<'a> {
    vec![
        ("rev", rev),
        ("title", title),
        ("system", "steering"),
        ("why", "It knocks."),
        ("low", "60"),
        ("likely", "1:30"),
        ("high", "150"),
    ]
}

fn step_fields<'a>(rev: &'a str, object: &'a str) -> Fields<'a> {
    vec![
        ("rev", rev),
        ("after", ""),
        ("verb", "loosen"),
        ("object_kind", "fastener"),
        ("object", object),
        ("words", "Half a turn."),
        ("detail", ""),
        ("ask_what", ""),
        ("ask_kind", ""),
        ("tools", "19 mm socket\r\nbreaker bar"),
        ("own_cautions", "The bracket has a sharp edge."),
        ("find", ""),
    ]
}

/// The fields with one replaced.
fn with<'a>(fields: &Fields<'a>, name: &'a str, value: &'a str) -> Fields<'a> {
    fields.iter().map(|(field, old)| (*field, if *field == name { value } else { *old })).collect()
}

#[tokio::test]
async fn the_card_page_shows_steps_specs_effects_and_what_was_done() {
    let bench = Bench::at("Renew the rear axle oil").await;
    let page = bench.desk.get(&bench.path("")).await;
    assert_eq!(page.status, StatusCode::OK);
    for words in [
        "apart",
        "rear axle oil is drained",
        "Closes: rear axle oil is drained",
        "Rear axle drain plug",
        "N·m",
        "Filler plug is out, after some heat: the axle may be drained",
        "Every loose end that this card makes, it closes.",
        "/thumb",
    ] {
        assert!(page.text.contains(words), "{words}");
    }
    for step in bench.order().await {
        assert!(page.text.contains(&format!("id=\"step-{step}\"")));
    }
}

#[tokio::test]
async fn a_card_is_added_at_the_end_and_teaches_the_next_step() {
    let bench = Bench::set_up().await;
    let add = format!("/cars/{}/cards", bench.car);
    let answer = bench.desk.post_form(&add, &card_fields("0", "Horn")).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    let last = bench.cards().await.pop().unwrap();
    assert_eq!((last.facts.title.as_str(), last.facts.minutes.map(|minutes| minutes.likely)), ("Horn", Some(90)));
    let page = bench.desk.get(answer.location()).await;
    assert!(page.text.contains("No steps yet") && page.text.contains("sketched"));
}

#[tokio::test]
async fn a_bad_card_is_told_at_its_fields_and_changes_nothing() {
    let bench = Bench::set_up().await;
    let add = format!("/cars/{}/cards", bench.car);
    let (fields, long) = (card_fields("0", "Horn"), "x".repeat(200));
    let cases = [
        ("title", "", "Say what the job is"),
        ("title", long.as_str(), "letters fit here"),
        ("system", "kitchen", "Choose the part of the car"),
        ("likely", "", "Give all three times, or none."),
        ("likely", "long", "Write whole minutes"),
        ("high", "80", "cannot be shorter"),
        ("low", "-5", "Write whole minutes"),
    ];
    for (field, value, say) in cases {
        for path in [&add, &bench.path("/edit")] {
            bench.refused(path, &with(&fields, field, value), StatusCode::UNPROCESSABLE_ENTITY, say).await;
        }
    }
    let unprocessable = StatusCode::UNPROCESSABLE_ENTITY;
    bench.refused(&add, &fields[1..], unprocessable, "could not be read").await;
    let mut unknown = fields.clone();
    unknown.push(("condition", "proven"));
    bench.refused(&add, &unknown, unprocessable, "could not be read").await;
}

#[tokio::test]
async fn a_card_is_changed_unless_somebody_else_did_meanwhile() {
    let bench = Bench::set_up().await;
    let (stale, edit) = (bench.card().await.rev.to_string(), bench.path("/edit"));
    let answer = bench.desk.post_form(&edit, &card_fields(&stale, "Rod ends, theirs")).await;
    assert_eq!((answer.status, answer.location()), (StatusCode::SEE_OTHER, bench.path("").as_str()));
    bench.refused(&edit, &card_fields(&stale, "Rod ends, mine"), StatusCode::CONFLICT, "Rod ends, theirs").await;
    let again = bench.desk.post_form(&edit, &card_fields(&stale, "Rod ends, mine")).await;
    assert!(again.text.contains("value=\"Rod ends, mine\""));
}

#[tokio::test]
async fn cards_move_up_and_down_in_the_car_s_order() {
    let bench = Bench::set_up().await;
    let order = async || bench.cards().await.iter().map(|card| card.id).collect::<Vec<_>>();
    let before = order().await;
    let at = before.iter().position(|card| *card == bench.card).unwrap();
    let answer = bench.desk.post_form(&bench.path("/move"), &[("direction", "up")]).await;
    assert_eq!(answer.location(), bench.path("#order"));
    assert_eq!(order().await.iter().position(|card| *card == bench.card), Some(at - 1));
    bench.desk.post_form(&bench.path("/move"), &[("direction", "down")]).await;
    assert_eq!(order().await, before);
    let say = "Things are moved up, down";
    bench.refused(&bench.path("/move"), &[("direction", "left")], StatusCode::UNPROCESSABLE_ENTITY, say).await;
}

#[tokio::test]
async fn a_step_is_added_after_another_with_all_that_is_attached() {
    let bench = Bench::set_up().await;
    let (steps, on_car) = (bench.steps().await, bench.on_car().await);
    let (first, spec, part) = (steps[0].id.to_string(), on_car.specs[3].id, on_car.parts[2].id);
    let form = bench.desk.get(&bench.path(&format!("/steps/new?after={first}"))).await;
    assert!(form.text.contains(&format!("name=\"after\" value=\"{first}\"")));
    assert!(form.text.contains("<option value=\"front wheel nuts\">"), "names that are used already are offered");
    let (spec_text, part_text) = (spec.to_string(), part.to_string());
    let mut fields = with(&step_fields("0", "front wheel nuts"), "after", &first);
    fields.extend([("spec", spec_text.as_str()), ("part", ""), ("quantity", "")]);
    fields.extend([("part", part_text.as_str()), ("quantity", "2"), ("caution", "suddenly-loose"), ("deed", "save")]);
    let answer = bench.desk.post_form(&bench.path("/steps"), &fields).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    let after = bench.steps().await;
    let new = &after[1];
    assert_eq!(answer.location(), bench.path(&format!("#step-{}", new.id)));
    assert_eq!(after.len(), steps.len() + 1);
    assert_eq!(new.attached.specs, [spec]);
    assert_eq!((new.attached.parts[0].part, new.attached.parts[0].quantity.as_str()), (part, "2"));
    assert_eq!(new.attached.tools, ["19 mm socket", "breaker bar"]);
    assert_eq!(new.attached.cautions, ["suddenly-loose", "The bracket has a sharp edge."]);
}

#[tokio::test]
async fn finding_specs_and_asking_for_rows_keeps_what_was_typed_and_saves_nothing() {
    let bench = Bench::set_up().await;
    let fields = with(&step_fields("0", "Half-typed thing"), "find", "wheel nuts");
    for deed in ["find", "enter", "more"] {
        let mut fields = fields.clone();
        fields.push(("deed", deed));
        let path = bench.path("/steps");
        bench.refused(&path, &fields, StatusCode::OK, "value=\"Half-typed thing\"").await;
        let answer = bench.desk.post_form(&path, &fields).await;
        assert_eq!(answer.text.contains("Found for ‘wheel nuts’"), deed != "more", "{deed}");
    }
}

#[tokio::test]
async fn a_step_is_changed_and_what_is_attached_replaced() {
    let bench = Bench::set_up().await;
    let step = bench.steps().await.into_iter().find(|step| !step.attached.specs.is_empty()).unwrap();
    let path = bench.step_path(step.id, "");
    let form = bench.desk.get(&path).await;
    assert!(form.text.contains(&format!("value=\"{}\" checked", step.attached.specs[0])));
    let rev = step.rev.to_string();
    let answer = bench.desk.post_form(&path, &step_fields(&rev, "track-rod nuts")).await;
    assert_eq!(answer.location(), bench.path(&format!("#step-{}", step.id)), "{}", answer.text);
    let changed = bench.steps().await.into_iter().find(|known| known.id == step.id).unwrap();
    assert_eq!((changed.facts.object.as_str(), changed.attached.specs.len()), ("track-rod nuts", 0));
    bench.refused(&path, &step_fields(&rev, "mine"), StatusCode::CONFLICT, "track-rod nuts").await;
}

#[tokio::test]
async fn a_bad_step_is_told_at_its_fields_and_changes_nothing() {
    let bench = Bench::set_up().await;
    let step = bench.steps().await.remove(0);
    let (rev, long) = (step.rev.to_string(), "x".repeat(5000));
    let fields = step_fields(&rev, "wheel nuts");
    let unprocessable = StatusCode::UNPROCESSABLE_ENTITY;
    let cases = [
        ("verb", "weld", "Choose what is done."),
        ("object_kind", "dragon", "Choose what kind of thing"),
        ("object", "", "Say what it is done to"),
        ("object", long.as_str(), "letters fit here"),
        ("words", long.as_str(), "letters fit here"),
        ("detail", long.as_str(), "letters fit here"),
        ("tools", long.as_str(), "letters fit here"),
        ("ask_what", "drained oil", "Choose what kind of number"),
        ("ask_kind", "volume", "Say what is to be read off"),
    ];
    for (field, value, say) in cases {
        for path in [bench.path("/steps"), bench.step_path(step.id, "")] {
            bench.refused(&path, &with(&fields, field, value), unprocessable, say).await;
        }
    }
    let path = bench.step_path(step.id, "");
    bench.refused(&path, &fields[1..], unprocessable, "could not be read").await;
    let wrong = [
        (("colour", "red"), unprocessable, "could not be read"),
        (("deed", "explode"), unprocessable, "could not be read"),
        (("caution", "dragons"), unprocessable, "none of the known cautions"),
        (("part", ""), unprocessable, "needs its quantity"),
        (("spec", "nonsense"), StatusCode::NOT_FOUND, "no such spec"),
    ];
    for (field, status, say) in wrong {
        let mut fields = fields.clone();
        fields.push(field);
        bench.refused(&path, &fields, status, say).await;
    }
}

#[tokio::test]
async fn nothing_that_is_not_on_the_car_can_be_attached() {
    let bench = Bench::set_up().await;
    let (step, unknown) = (bench.order().await[0], SpecId::new().to_string());
    let mut spec = step_fields("1", "wheel nuts");
    spec.push(("spec", &unknown));
    bench.refused(&bench.step_path(step, ""), &spec, StatusCode::NOT_FOUND, "no such spec").await;
    let unknown = PartId::new().to_string();
    let mut part = step_fields("1", "wheel nuts");
    part.extend([("part", unknown.as_str()), ("quantity", "1")]);
    bench.refused(&bench.step_path(step, ""), &part, StatusCode::NOT_FOUND, "no such part").await;
    let after = with(&step_fields("0", "wheel nuts"), "after", &unknown);
    bench.refused(&bench.path("/steps"), &after, StatusCode::NOT_FOUND, "no such step").await;
}

#[tokio::test]
async fn steps_move_by_buttons_and_the_page_comes_back_to_the_moved_one() {
    let bench = Bench::set_up().await;
    let before = bench.order().await;
    let (second, anchor) = (before[1], bench.path(&format!("#step-{}", before[1])));
    let go = async |direction: &str| {
        let answer = bench.desk.post_form(&bench.step_path(second, "/move"), &[("direction", direction)]).await;
        assert_eq!((answer.status, answer.location()), (StatusCode::SEE_OTHER, anchor.as_str()));
        bench.order().await.iter().position(|step| *step == second).unwrap()
    };
    assert_eq!(go("up").await, 0);
    assert_eq!(go("up").await, 0);
    assert_eq!(go("down").await, 1);
    assert_eq!(go("to:5").await, 4);
    assert_eq!(go("to:999").await, before.len() - 1);
    assert_eq!(go("to:2").await, 1);
    assert_eq!(bench.order().await, before);
    let say = "Things are moved up, down";
    let path = bench.step_path(second, "/move");
    bench.refused(&path, &[("direction", "to:0")], StatusCode::UNPROCESSABLE_ENTITY, say).await;
}

#[tokio::test]
async fn a_tick_from_the_desk_is_an_operation_and_moves_the_ledger() {
    let bench = Bench::set_up().await;
    let steps = bench.steps().await;
    let raise = steps.iter().find(|step| !step.compiled().opens.is_empty()).unwrap();
    let tick = bench.step_path(raise.id, "/tick");
    let answer = bench.desk.post_form(&tick, &[("state", "done")]).await;
    assert_eq!(answer.location(), bench.path(&format!("#step-{}", raise.id)));
    let state = bench.on_car().await;
    assert_eq!(state.card(bench.card).unwrap().tick(raise.id), Tick::Done);
    assert!(state.loose_ends.iter().any(|end| end.step == Some(raise.id.to_string())));
    bench.refused(&tick, &[("state", "half")], StatusCode::UNPROCESSABLE_ENTITY, "could not be read").await;
    bench.desk.post_form(&tick, &[("state", "open")]).await;
    let state = bench.on_car().await;
    assert!(!state.loose_ends.iter().any(|end| end.step == Some(raise.id.to_string())));
}

#[tokio::test]
async fn what_a_ticked_step_did_is_not_rewritten_by_an_edit() {
    let bench = Bench::set_up().await;
    let step = bench.steps().await.into_iter().find(|step| !step.compiled().opens.is_empty()).unwrap();
    let (path, rev) = (bench.step_path(step.id, ""), step.rev.to_string());
    bench.desk.post_form(&bench.step_path(step.id, "/tick"), &[("state", "done")]).await;
    let before = bench.on_car().await.loose_ends;
    let facts = &step.facts;
    let same = step_fields(&rev, &facts.object);
    let same = with(&with(&same, "verb", facts.verb.name()), "object_kind", facts.object_kind.name());
    let say = format!("what it left, ‘{}’, would be forgotten. Open it again first.", before.last().unwrap().words);
    let say = say.replace('\'', "&#39;");
    for (field, value) in [("verb", "inspect"), ("object_kind", "none"), ("object", "another thing")] {
        bench.refused(&path, &with(&same, field, value), StatusCode::UNPROCESSABLE_ENTITY, &say).await;
    }
    assert_eq!(bench.on_car().await.loose_ends, before);
    let answer = bench.desk.post_form(&path, &with(&same, "words", "In other words.")).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    assert_eq!(bench.on_car().await.loose_ends, before);
    bench.desk.post_form(&bench.step_path(step.id, "/tick"), &[("state", "open")]).await;
    let rev = (step.rev + 1).to_string();
    let answer = bench.desk.post_form(&path, &with(&with(&same, "rev", &rev), "verb", "inspect")).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
}

const DRAINED: &str = "rear axle oil is drained";

/// The one loose end with these words.
async fn drained(bench: &Bench) -> LooseEnd {
    let mut ends = bench.on_car().await.loose_ends;
    ends.retain(|end| end.words.contains(DRAINED));
    assert_eq!(ends.len(), 1, "{ends:?}");
    assert_eq!(ends[0].words, DRAINED);
    ends.remove(0)
}

async fn is_drained(bench: &Bench) -> bool {
    bench.on_car().await.loose_ends.iter().any(|end| end.words == DRAINED)
}

/// Takes out the step that drained the rear axle.
async fn take_out_the_draining(bench: &Bench) -> StepId {
    let step: StepId = drained(bench).await.step.unwrap().parse().unwrap();
    let rev = bench.steps().await.iter().find(|known| known.id == step).unwrap().rev.to_string();
    let remove = bench.step_path(step, "/remove");
    bench.refused(&remove, &[("rev", "0")], StatusCode::CONFLICT, "changed meanwhile").await;
    let answer = bench.desk.post_form(&remove, &[("rev", &rev)]).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    assert!(!bench.order().await.contains(&step));
    step
}

#[tokio::test]
async fn a_step_taken_out_leaves_its_loose_end_in_the_ledger_until_a_later_step_closes_it() {
    let bench = Bench::at("Renew the rear axle oil").await;
    let before = bench.on_car().await.loose_ends;
    take_out_the_draining(&bench).await;
    let end = drained(&bench).await;
    assert_eq!(bench.on_car().await.loose_ends, before);
    let fill = bench.steps().await.into_iter().find(|step| step.compiled().closes.contains(&end.key)).unwrap();
    bench.desk.post_form(&bench.step_path(fill.id, "/tick"), &[("state", "done")]).await;
    assert!(!is_drained(&bench).await);
}

#[tokio::test]
async fn what_a_step_left_that_was_taken_out_can_be_closed_by_hand() {
    let bench = Bench::at("Renew the rear axle oil").await;
    take_out_the_draining(&bench).await;
    let key = drained(&bench).await.key;
    let path = format!("/under/{}/do", bench.car);
    let answer = bench.desk.post_form(&path, &[("what", "closed"), ("back", "loose"), ("key", &key)]).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    assert!(!is_drained(&bench).await);
}

#[tokio::test]
async fn taking_a_card_away_is_asked_first_and_keeps_what_is_loose_in_the_ledger() {
    let mut bench = Bench::at("Renew the rear axle oil").await;
    let before = bench.on_car().await.loose_ends;
    let ask = bench.desk.get(&bench.path("/remove")).await;
    assert!(ask.text.contains("The car is apart because of this card.") && ask.text.contains(DRAINED));
    let remove = bench.path("/remove");
    bench.refused(&remove, &[("rev", "0")], StatusCode::CONFLICT, "changed meanwhile").await;
    let rev = bench.card().await.rev.to_string();
    let answer = bench.desk.post_form(&remove, &[("rev", &rev)]).await;
    assert_eq!(answer.location(), format!("/cars/{}", bench.car));
    assert_eq!(bench.desk.get(&bench.path("")).await.status, StatusCode::NOT_FOUND);
    assert_eq!(bench.on_car().await.loose_ends, before);
    drained(&bench).await;
    bench.card = bench.cards().await[0].id;
    let fill = with(&step_fields("0", "Rear axle oil"), "verb", "fill");
    bench.desk.post_form(&bench.path("/steps"), &with(&fill, "object_kind", "fluid")).await;
    let fill = *bench.order().await.last().unwrap();
    bench.desk.post_form(&bench.step_path(fill, "/tick"), &[("state", "done")]).await;
    assert!(!is_drained(&bench).await);
}

#[tokio::test]
async fn a_tightening_step_is_short_until_a_torque_is_attached() {
    let bench = Bench::set_up().await;
    let on_car = bench.on_car().await;
    let short = async || bench.on_car().await.card(bench.card).unwrap().facts.missing_specs;
    let before = short().await;
    let of_kind = |wanted: fn(Kind) -> bool| {
        let found = on_car.specs.iter().find(|spec| wanted(spec.facts.kind) && !spec.says.is_empty());
        found.unwrap().id.to_string()
    };
    let (words, torque) = (of_kind(|kind| kind == Kind::Text), of_kind(|kind| kind == Kind::Torque));
    let mut fields = with(&step_fields("0", "wheel nuts"), "verb", "tighten");
    fields.push(("spec", &words));
    bench.desk.post_form(&bench.path("/steps"), &fields).await;
    assert_eq!(short().await, before + 1);
    let say = "No torque is attached";
    let count = async || bench.desk.get(&bench.path("")).await.text.matches(say).count();
    assert_eq!(count().await, 1);
    let phone = bench.desk.get(&format!("/under/{}/cards/{}", bench.car, bench.card)).await;
    assert_eq!(phone.text.matches("No torque has been attached to this step").count(), 1);
    fields.push(("spec", &torque));
    bench.desk.post_form(&bench.path("/steps"), &fields).await;
    assert_eq!((short().await, count().await), (before + 1, 1));
}

#[tokio::test]
async fn a_card_is_proven_by_looking_again_and_only_until_a_step_is_opened_again() {
    let bench = Bench::at("Engine oil and filter").await;
    let condition = async || bench.on_car().await.card(bench.card).unwrap().condition;
    let (form, recheck) = ("Looked at again after the drive", bench.path("/recheck"));
    let has_form = async || bench.desk.get(&bench.path("")).await.text.contains(form);
    assert_eq!((condition().await, has_form().await), (Condition::ClosedUp, true));
    let unprocessable = StatusCode::UNPROCESSABLE_ENTITY;
    bench.refused(&recheck, &[("text", " \r\n")], unprocessable, "Say in a few words what it is.").await;
    let long = "x".repeat(4001);
    bench.refused(&recheck, &[("text", &long)], unprocessable, &long).await;
    bench.refused(&recheck, &[("text", "dry"), ("state", "done")], unprocessable, "could not be read").await;
    assert_eq!(condition().await, Condition::ClosedUp);
    let answer = bench.desk.post_form(&recheck, &[("text", "Plug and filter dry.")]).await;
    assert_eq!((answer.status, answer.location()), (StatusCode::SEE_OTHER, bench.path("").as_str()));
    assert_eq!((condition().await, has_form().await), (Condition::Proven, false));
    assert!(bench.desk.get(&bench.path("")).await.text.contains("Plug and filter dry."));
    let last = bench.step_path(*bench.order().await.last().unwrap(), "/tick");
    for state in ["open", "done"] {
        bench.desk.post_form(&last, &[("state", state)]).await;
        assert_ne!(condition().await, Condition::Proven, "{state}");
    }
    assert_eq!(condition().await, Condition::ClosedUp);
    bench.desk.post_form(&recheck, &[("text", "Dry again.")]).await;
    assert_eq!(condition().await, Condition::Proven);
}

#[tokio::test]
async fn nothing_is_reached_through_another_car_or_card() {
    let bench = Bench::set_up().await;
    let other_card = bench.cards().await.into_iter().find(|card| card.id != bench.card).unwrap().id;
    let step = bench.order().await[0];
    let not_found = StatusCode::NOT_FOUND;
    let fields = step_fields("1", "wheel nuts");
    let bases = [
        format!("/cars/{}/cards/{}", CarId::new(), bench.card),
        format!("/cars/{}/cards/{}", bench.car, CardId::new()),
    ];
    for base in &bases {
        for tail in ["", "/edit", "/remove", "/steps/new"] {
            assert_eq!(bench.desk.get(&format!("{base}{tail}")).await.status, not_found, "{base}{tail}");
        }
        bench.refused(&format!("{base}/edit"), &card_fields("1", "Mine"), not_found, "There is no").await;
        bench.refused(&format!("{base}/remove"), &[("rev", "1")], not_found, "There is no").await;
        bench.refused(&format!("{base}/move"), &[("direction", "up")], not_found, "There is no").await;
        bench.refused(&format!("{base}/recheck"), &[("text", "dry")], not_found, "There is no").await;
        bench.refused(&format!("{base}/steps"), &fields, not_found, "There is no").await;
    }
    for base in bases.iter().cloned().chain([format!("/cars/{}/cards/{other_card}", bench.car)]) {
        let step = format!("{base}/steps/{step}");
        assert_eq!(bench.desk.get(&step).await.status, not_found, "{step}");
        bench.refused(&step, &fields, not_found, "There is no").await;
        bench.refused(&format!("{step}/move"), &[("direction", "up")], not_found, "There is no").await;
        bench.refused(&format!("{step}/remove"), &[("rev", "1")], not_found, "There is no").await;
        bench.refused(&format!("{step}/tick"), &[("state", "done")], not_found, "There is no").await;
    }
}
