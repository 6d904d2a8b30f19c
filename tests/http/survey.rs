//! The survey at the desk, on the phone and from a phone that was offline. The demo's answers are invented.

use crate::support::ops::{SmallCar, at};
use crate::support::{Answer, Client, EVENING, TestApp};
use axum::http::StatusCode;
use serde_json::{Value, json};
use underlamp::clock::Moment;
use underlamp::ids::{CarId, CardId, DeviceId, OpId, PartId};
use underlamp::trade::buying::Stage;
use underlamp::work::model::CarState;

struct Round {
    app: TestApp,
    desk: Client,
    car: CarId,
    survey: String,
}

impl Round {
    async fn demo() -> Round {
        Round::over(TestApp::demo().await).await
    }

    async fn over(app: TestApp) -> Round {
        let desk = app.owner().await;
        let car = app.demo_car().await;
        Round { app, desk, car, survey: format!("/cars/{car}/survey") }
    }

    /// A car of which nothing is known.
    async fn bare() -> Round {
        let app = TestApp::start().await;
        let fields = ["make", "model", "year", "codes", "story", "wanted_on", "wanted_for"].map(|field| (field, ""));
        let answer = app.owner().await.post_form("/cars", &[&fields[..], &[("name", "Bare")]].concat()).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        Round::over(app).await
    }

    async fn list(&self) -> String {
        let page = self.desk.get(&format!("{}?show=all", self.survey)).await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.text);
        page.text
    }

    async fn answer(&self, area: &str, fields: &[(&str, &str)]) -> Answer {
        self.desk.post_form(&format!("{}/areas/{area}", self.survey), fields).await
    }

    /// Answers one question of the area and sees to it that it was kept.
    async fn say(&self, area: &str, question: &str, answer: &str) {
        let kept = self.answer(area, &[(&format!("answer-{question}"), answer)]).await;
        assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    }

    async fn deal(&self, about: &str, fields: &[(&str, &str)]) -> Answer {
        let seen = seen(&self.list().await, about);
        self.deal_as_seen(about, &seen, fields).await
    }

    async fn deal_as_seen(&self, about: &str, seen: &str, fields: &[(&str, &str)]) -> Answer {
        let all = [&[("about", about), ("seen", seen)], fields].concat();
        self.desk.post_form(&format!("{}/deal", self.survey), &all).await
    }

    async fn on_car(&self) -> CarState {
        CarState::read(&mut self.app.state.read.conn().await.unwrap(), self.car).await.unwrap()
    }

    async fn finding(&self, text: &str, weight: &str) -> String {
        let op = json!({
            "id": OpId::new(), "device": DeviceId::new(), "hlc": at(EVENING).to_string(), "car": self.car, "card": null,
            "on": { "car": self.car }, "do": { "finding": { "text": text, "where": "", "weight": weight } },
        });
        self.send(&op).await;
        format!("finding:{}", op["id"].as_str().unwrap())
    }

    async fn send(&self, op: &Value) -> Value {
        let answer = self.app.phone().await.post_json("/sync/ops", &json!({ "ops": [op] })).await;
        answer.json()["verdicts"][0].clone()
    }
}

/// What the page says was dealt last with an entry.
fn seen(page: &str, about: &str) -> String {
    let after =
        page.split(&format!("name=\"about\" value=\"{about}\"><input type=\"hidden\" name=\"seen\" value=\"")).nth(1);
    after.and_then(|rest| rest.split('"').next()).unwrap_or_default().to_owned()
}

/// Whether an entry stands in the ranked list, and not among what was dealt with.
fn is_open(page: &str, about: &str) -> bool {
    page.contains(&format!("<li class=\"found__entry\" id=\"{}\"", about.replace(':', "-")))
}

fn is_settled(page: &str, about: &str) -> bool {
    page.contains(&format!("<li class=\"row\" id=\"{}\"", about.replace(':', "-")))
}

#[tokio::test]
async fn a_car_nobody_surveyed_is_told_where_to_begin() {
    let round = Round::bare().await;
    let page = round.list().await;
    assert!(page.contains("Nothing is answered yet") && page.contains("Begin the walk: Papers and codes"), "{page}");
    let home = round.desk.get(&format!("/cars/{}", round.car)).await.text;
    assert!(home.contains("not begun") && home.contains(&format!("href=\"{}\"", round.survey)));
}

#[tokio::test]
async fn answers_of_an_area_are_kept_and_ranked_safety_first_with_their_reasons() {
    let round = Round::bare().await;
    let fields = [
        ("answer-tread", "watch"),
        ("note-tread", "Worn at the edge."),
        ("answer-spare", "act"),
        ("answer-tyre-age", "unknown"),
        ("answer-rims", "fine"),
    ];
    let kept = round.answer("tyres", &fields).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    assert!(kept.location().ends_with("/areas/lights"), "it leads on to the next area");
    let page = round.list().await;
    let place = |about: &str| page.find(&format!("id=\"question-{about}\"")).unwrap_or_else(|| panic!("no {about}"));
    assert!(place("tyre-age") < place("tread") && place("tread") < place("spare"), "due before watched, comfort last");
    assert!(!is_open(&page, "question:rims"));
    for words in ["nobody knows how it is, which counts as due", "Worn at the edge.", "It is about comfort", "of 115"] {
        assert!(page.contains(words), "{words}");
    }
    let logbook = round.desk.get(&format!("/cars/{}/logbook", round.car)).await.text;
    assert!(logbook.contains("survey: keep an eye on it") && logbook.contains("Worn at the edge."));
}

#[tokio::test]
async fn what_was_left_as_it_stood_is_not_said_again_and_a_later_answer_wins() {
    let round = Round::bare().await;
    round.say("tyres", "tread", "act").await;
    let unchanged = [("answer-tread", "act"), ("note-tread", ""), ("was-tread", "act"), ("noted-tread", "")];
    round.answer("tyres", &unchanged).await;
    let of_tread = |state: &CarState| state.standing.iter().filter(|op| op.field == "survey:tread").count();
    assert_eq!(of_tread(&round.on_car().await), 1);
    let logbook = || async { round.desk.get(&format!("/cars/{}/logbook", round.car)).await.text };
    assert_eq!(logbook().await.matches("survey: to be done").count(), 1);
    round.answer("tyres", &[("answer-tread", "fine"), ("was-tread", "act")]).await;
    assert!(!is_open(&round.list().await, "question:tread"));
    assert!(logbook().await.contains("answered anew later"));
}

#[tokio::test]
async fn bad_input_is_refused_and_keeps_nothing() {
    let round = Round::bare().await;
    let long = "x".repeat(4001);
    for (field, typed, words) in [
        ("answer-tread", "perhaps", "one of the four"),
        ("note-tread", "words only", "A note goes with an answer"),
        ("number-tread", "deep", "does not begin with a number"),
    ] {
        let answer = round.answer("tyres", &[(field, typed), ("unit-tread", "mm")]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}={typed}");
        assert!(answer.text.contains(words), "{field}={typed}: {}", answer.text);
    }
    let answer =
        round.answer("tyres", &[("answer-tread", "act"), ("answer-spare", "act"), ("note-spare", &long)]).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.text.contains("At most 4000 characters fit here"), "told at its question");
    assert!(answer.text.contains(&long), "what was typed is still there");
    // A question that no survey has, and one of another area's file.
    for field in ["answer-no-such", "answer-brake-hoses", "colour-tread", "answer"] {
        let answer = round.answer("tyres", &[(field, "act")]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}");
        assert!(answer.text.contains("asks no"), "{field}: {}", answer.text);
    }
    assert_eq!(round.answer("no-such", &[]).await.status, StatusCode::NOT_FOUND);
    assert_eq!(round.desk.get(&format!("{}?show=worst", round.survey)).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(round.on_car().await.standing.is_empty(), "one refusal keeps nothing of the whole form");
}

#[tokio::test]
async fn a_reading_of_the_survey_is_judged_here_and_among_the_readings() {
    let round = Round::bare().await;
    let kept = round.answer("tyres", &[("number-tread", "1,2"), ("unit-tread", "mm")]).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    let area = round.desk.get(&format!("{}/areas/tyres", round.survey)).await.text;
    assert!(area.contains("Past its limit") && area.contains("1.2 mm"), "{area}");
    let readings = round.desk.get(&format!("/cars/{}/readings", round.car)).await.text;
    assert!(readings.contains("Least tread depth") && readings.contains("Past its limit"), "{readings}");
    // The restorer's own choice of limit comes before the question's.
    let limit = [("what", "least tread depth"), ("rule", "linkage"), ("rev", "0")];
    let chosen = round.desk.post_form(&format!("/cars/{}/readings/limit", round.car), &limit).await;
    assert_eq!(chosen.status, StatusCode::SEE_OTHER, "{}", chosen.text);
    let area = round.desk.get(&format!("{}/areas/tyres", round.survey)).await.text;
    assert!(area.contains("Holds"), "{area}");
}

#[tokio::test]
async fn an_entry_becomes_a_card_from_its_pattern_which_says_what_it_came_from() {
    let round = Round::bare().await;
    round.say("brakes", "brake-hoses", "act").await;
    let done =
        round.deal("question:brake-hoses", &[("how", "card"), ("pattern", "brake-hoses"), ("pick-end", "front")]).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    assert!(done.location().ends_with("/survey#question-brake-hoses"));
    let on_car = round.on_car().await;
    let card = &on_car.cards[0];
    assert!(
        card.steps.len() > 5 && card.card.facts.why.contains("Are the flexible brake hoses"),
        "{}",
        card.card.facts.why
    );
    let page = round.list().await;
    assert!(is_settled(&page, "question:brake-hoses") && !is_open(&page, "question:brake-hoses"));
    assert!(page.contains(&format!("/cards/{}", card.card.id)), "with a link to what it became");
    let shown = round.desk.get(&format!("/cars/{}/cards/{}", round.car, card.card.id)).await.text;
    assert!(shown.contains("Made from the <a"), "{shown}");
    let logbook = round.desk.get(&format!("/cars/{}/logbook", round.car)).await.text;
    assert!(logbook.contains("dealt with: made a job card"));
}

#[tokio::test]
async fn a_finding_made_at_work_joins_the_list_and_becomes_a_card_of_its_own_or_a_part() {
    let round = Round::bare().await;
    let odd = round.finding("Something green and shiny", "act").await;
    let hose = round.finding("Front left brake hose cracked to the cord", "act").await;
    round.finding("All fine here", "fine").await;
    let page = round.list().await;
    assert!(page.contains("Nobody said what it can do, so it counts as able to hurt somebody"), "{page}");
    assert!(!page.contains("All fine here"));
    let place = |about: &str| page.find(&about.replace(':', "-")).unwrap();
    assert!(place(&hose) < place(&odd), "what a question is about stands where the walk would have met it");
    let done = round.deal(&odd, &[("how", "card")]).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    let done = round.deal(&hose, &[("how", "part"), ("part", "Brake hose, front left")]).await;
    assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    let on_car = round.on_car().await;
    assert_eq!(on_car.cards[0].card.facts.title, "Something green and shiny");
    assert!(on_car.cards[0].card.facts.why.contains("found at the car"));
    let part = &on_car.parts[0].facts;
    assert_eq!((part.name.as_str(), part.state), ("Brake hose, front left", Stage::Wanted));
    let page = round.list().await;
    assert!(is_settled(&page, &odd) && is_settled(&page, &hose));
}

#[tokio::test]
async fn of_two_desks_that_press_at_once_the_second_is_told_and_makes_nothing() {
    let round = Round::bare().await;
    round.say("tyres", "tread", "act").await;
    let seen = seen(&round.list().await, "question:tread");
    let first = round.deal_as_seen("question:tread", &seen, &[("how", "card")]).await;
    assert_eq!(first.status, StatusCode::SEE_OTHER, "{}", first.text);
    for fields in [&[("how", "card")][..], &[("how", "part")], &[("how", "nothing"), ("why", "x")], &[("how", "open")]]
    {
        let second = round.deal_as_seen("question:tread", &seen, fields).await;
        assert_eq!(second.status, StatusCode::CONFLICT, "{fields:?}");
        assert!(second.text.contains("changed meanwhile"));
    }
    let on_car = round.on_car().await;
    assert_eq!((on_car.cards.len(), on_car.parts.len()), (1, 0));
}

#[tokio::test]
async fn what_was_dealt_with_comes_back_when_opened_answered_anew_or_left_without_its_card() {
    let round = Round::bare().await;
    let about = "question:tread";
    round.say("tyres", "tread", "act").await;
    round.deal(about, &[("how", "nothing"), ("why", "New tyres came today.")]).await;
    assert!(is_settled(&round.list().await, about));
    let opened = round.deal(about, &[("how", "open")]).await;
    assert_eq!(opened.status, StatusCode::SEE_OTHER, "{}", opened.text);
    let page = round.list().await;
    assert!(is_open(&page, about) && page.contains("It was opened again."));
    round.deal(about, &[("how", "nothing"), ("why", "They are new.")]).await;
    round.answer("tyres", &[("answer-tread", "watch"), ("was-tread", "act")]).await;
    assert!(is_settled(&round.list().await, about), "only ‘to be done’ brings it back");
    round.answer("tyres", &[("answer-tread", "act"), ("was-tread", "watch")]).await;
    let page = round.list().await;
    assert!(is_open(&page, about) && page.contains("answered ‘to be done’ after it was dealt with"), "{page}");
    round.deal(about, &[("how", "card")]).await;
    assert!(is_settled(&round.list().await, about));
    let card: CardId = round.on_car().await.cards[0].card.id;
    let removed = round.desk.post_form(&format!("/cars/{}/cards/{card}/remove", round.car), &[("rev", "1")]).await;
    assert_eq!(removed.status, StatusCode::SEE_OTHER, "{}", removed.text);
    let page = round.list().await;
    assert!(is_open(&page, about) && page.contains("was taken out"), "{page}");
}

#[tokio::test]
async fn a_watched_thing_comes_back_on_its_day() {
    let round = Round::bare().await;
    let about = "question:handbrake";
    round.say("brakes", "handbrake", "watch").await;
    for day in ["", "soon", "2026-02-30", "2026-11-25", "2020-01-01"] {
        let answer = round.deal(about, &[("how", "watch"), ("until", day)]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{day}");
    }
    let kept = round.deal(about, &[("how", "watch"), ("until", "2026-12-24")]).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    assert!(is_settled(&round.list().await, about));
    round.app.clock.set(Moment(EVENING.0 + 28 * 24 * 3600 * 1000));
    assert!(is_settled(&round.list().await, about), "the day before");
    round.app.clock.set(Moment(EVENING.0 + 29 * 24 * 3600 * 1000));
    let page = round.list().await;
    assert!(is_open(&page, about) && page.contains("the day to look again has come"), "{page}");
}

#[tokio::test]
async fn bad_dealings_are_told_at_their_entry_and_make_nothing() {
    let round = Round::bare().await;
    round.say("brakes", "brake-hoses", "act").await;
    round.say("brakes", "brake-linings", "act").await;
    let about = "question:brake-hoses";
    for (fields, words) in [
        (vec![("how", "sold")], "Say what becomes of it"),
        (vec![("how", "card"), ("pattern", "was-taken-out")], "There is no pattern ‘was-taken-out’ any more"),
        (vec![("how", "nothing"), ("why", "  ")], "Say why there is nothing to do"),
        (vec![("how", "card"), ("colour", "red")], "has no field ‘colour’"),
    ] {
        let answer = round.deal(about, &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(answer.text.contains(words), "{fields:?}: {}", answer.text);
    }
    let unchosen = round.deal("question:brake-linings", &[("how", "card"), ("pattern", "discs-and-pads")]).await;
    assert_eq!(unchosen.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(unchosen.text.contains("Choose for the card: front or rear"), "{}", unchosen.text);
    for about in ["question:no-such", "finding:01890a5d-ac96-774b-bcce-b302099a8057", "", "question:horn"] {
        let answer = round.deal(about, &[("how", "card")]).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{about}");
    }
    let long = "x".repeat(4001);
    let answer = round.deal(about, &[("how", "nothing"), ("why", &long)]).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    let on_car = round.on_car().await;
    assert_eq!((on_car.cards.len(), on_car.parts.len()), (0, 0));
}

#[tokio::test]
async fn a_phone_that_was_offline_sends_answers_which_stand_on_the_desk() {
    let round = Round::bare().await;
    let op = |question: &str, answer: &str, late: i64| {
        json!({
            "id": OpId::new(), "device": DeviceId::new(), "hlc": at(Moment(EVENING.0 + late)).to_string(), "car": round.car,
            "card": null, "on": { "car": round.car },
            "do": { "survey": { "question": question, "say": "As it was shown", "answer": answer, "note": "" } },
        })
    };
    assert_eq!(round.send(&op("horn", "fine", 2)).await["is"], "applied");
    assert_eq!(round.send(&op("horn", "act", 1)).await["is"], "applied", "the earlier one came later");
    assert!(!is_open(&round.list().await, "question:horn"));
    // The text of the survey was changed since: the answer is kept, in sight, and ranked nowhere.
    assert_eq!(round.send(&op("towbar", "act", 3)).await["is"], "applied");
    let page = round.list().await;
    assert!(page.contains("Answered, but no longer asked") && page.contains("As it was shown"), "{page}");
    for bad in [op("horn", "perhaps", 4), op("", "act", 5)] {
        assert_eq!(round.send(&bad).await["code"], "malformed");
    }
    let part =
        json!({ "about": "question:horn", "say": "", "how": "part", "became": PartId::new(), "until": "", "why": "" });
    let mut dealt = op("horn", "act", 6);
    dealt["do"] = json!({ "dealt": part });
    assert_eq!(round.send(&dealt).await["is"], "applied");
    round.say("lights", "horn", "act").await;
    assert!(is_open(&round.list().await, "question:horn"), "there is no such part: the entry is not lost");
}

#[tokio::test]
async fn the_phone_takes_the_survey_along_with_the_beginning_of_the_list() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, SmallCar::of(&app).await);
    let pack = phone.get_json(&format!("/sync/pack/{}", car.car)).await;
    let url = format!("/under/{}/survey", car.car);
    assert!(pack.json()["pages"].as_array().unwrap().iter().any(|page| page["url"] == url.as_str()));
    let page = phone.get(&url).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    for words in
        ["102 of 115 answered", "What comes first", "As the garage knew it on", "data-json=\"survey\"", "to be done"]
    {
        assert!(page.text.contains(words), "{words}");
    }
    for question in ["Are the flexible brake hoses", "Which voltage has the battery at rest?"] {
        let found = page.text.matches(question).count();
        assert!(found >= 1, "{question} is missing");
    }
    let under = phone.get(&format!("/under/{}", car.car)).await.text;
    assert!(under.contains("To the survey") && under.contains("Do wipers and washers"), "{under}");
}

#[tokio::test]
async fn the_demo_shows_a_survey_mostly_done_with_entries_dealt_with_and_a_finding_among_them() {
    let round = Round::demo().await;
    let page = round.list().await;
    for words in
        ["102", "Right rear wheel cylinder damp", "Dealt with", "the day to look again has come", "Rear brake shoes"]
    {
        assert!(page.contains(words), "{words}");
    }
    let of = |show: &str| format!("{}?show={show}", round.survey);
    let act = round.desk.get(&of("act")).await.text;
    assert!(is_open(&act, "question:wipers") && !is_open(&act, "question:jacking-points"));
    let found = round.desk.get(&of("found")).await.text;
    assert!(!is_open(&found, "question:wipers") && found.contains("id=\"finding-"));
}

#[tokio::test]
async fn an_own_area_with_a_fault_is_told_by_line_and_stops_nothing() {
    let round = Round::bare().await;
    let folder = round.app.state.surveys.path().to_owned();
    std::fs::create_dir(&folder).unwrap();
    let text = "area: towbar\ntitle: Towbar\nintro: Level ground.\n\nquestion: towbar\nask: Is the towbar tight?\nlook: Pull.\n\
                fine: Tight.\nwatch: Rust.\nact: Loose.\nstake: safety\nunknown: look\nsystem: body\nworkshop: Ask.\n\
                again: 6 months\n";
    std::fs::write(folder.join("21-towbar.txt"), text).unwrap();
    std::fs::write(folder.join("22-bad.txt"), text.replace("stake: safety", "stake: dread")).unwrap();
    let page = round.list().await;
    assert!(page.contains("22-bad.txt cannot be read") && page.contains("Line 11:"), "{page}");
    assert!(page.contains("of 116"), "the good one is asked");
    round.say("towbar", "towbar", "act").await;
    assert!(is_open(&round.list().await, "question:towbar"));
    let phone = round.app.phone().await.get(&format!("/under/{}/survey", round.car)).await;
    assert!(phone.text.contains("Is the towbar tight?"));
}
