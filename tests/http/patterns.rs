//! Patterns at the desk: listed, shown, made into cards with the car's own specs and parts.

use crate::support::{Client, TestApp};
use axum::http::StatusCode;
use underlamp::ids::{CarId, CardId};
use underlamp::patterns::check::{check_files, findings};
use underlamp::patterns::library::Library;
use underlamp::trade::buying::Stage;
use underlamp::trade::condition::Condition;
use underlamp::trade::marks::Mark;
use underlamp::trade::trust::Trust;
use underlamp::work::model::CarState;

struct Bench {
    app: TestApp,
    desk: Client,
    car: CarId,
}

impl Bench {
    async fn over(app: TestApp) -> Bench {
        let desk = app.owner().await;
        let car = app.demo_car().await;
        Bench { app, desk, car }
    }

    async fn demo() -> Bench {
        Bench::over(TestApp::demo().await).await
    }

    async fn on_car(&self) -> CarState {
        CarState::read(&mut self.app.state.read.conn().await.unwrap(), self.car).await.unwrap()
    }

    fn path(&self, tail: &str) -> String {
        format!("/cars/{}/patterns{tail}", self.car)
    }

    /// Makes a card and gives its id.
    async fn made(&self, key: &str, chosen: &[(&str, &str)]) -> CardId {
        let answer = self.desk.post_form(&self.path(&format!("/{key}")), chosen).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        answer.location().rsplit('/').next().unwrap().parse().unwrap()
    }
}

#[test]
fn every_pattern_of_the_program_is_read_and_the_checker_is_silent_in_all_its_ways() {
    let library = Library::embedded();
    assert_eq!(library.broken, []);
    assert!(!library.patterns.is_empty());
    for (key, kept) in &library.patterns {
        assert_eq!(findings(&kept.pattern), [], "{key}");
        assert!(kept.pattern.ways().len() <= 8, "{key} asks for more than a person wants to answer");
    }
}

/// Names of makers and figures of one car have no place in a pattern: figures come through the spec book.
#[test]
fn no_pattern_brings_a_torque_a_quantity_or_a_page_of_its_own() {
    for entry in std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/seed/patterns")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|ending| ending != "toml") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        for sign in ["©", "®", "™", "http://", "https://", "www.", " N·m", " Nm\"", " lbf", " ft-lb"] {
            assert!(!text.contains(sign), "{} holds {sign}", path.display());
        }
    }
}

#[tokio::test]
async fn patterns_are_listed_by_system_and_found_by_words() {
    let bench = Bench::demo().await;
    let all = bench.desk.get(&bench.path("")).await;
    assert_eq!(all.status, StatusCode::OK);
    assert!(all.text.contains("Change the oil of the rear or front axle") && all.text.contains("17 steps"));
    let none = bench.desk.get(&bench.path("?find=carousel")).await;
    assert!(none.text.contains("No pattern is like that"));
    let one = bench.desk.get(&bench.path("?find=AXLE+oil")).await;
    assert!(one.text.contains("Change the oil of the rear or front axle"), "{}", one.text);
    assert_eq!(bench.desk.get(&bench.path("?wrong=1")).await.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn a_pattern_reads_whole_before_a_card_is_made_of_it() {
    let bench = Bench::demo().await;
    let page = bench.desk.get(&bench.path("/axle-oil?end=front")).await;
    assert_eq!(page.status, StatusCode::OK);
    for words in ["Change the oil of the front axle", "Open the filler plug before anything else.", "Make the card"] {
        assert!(page.text.contains(words), "{words}");
    }
    let rear = bench.desk.get(&bench.path("/axle-oil?end=rear")).await;
    assert!(rear.text.contains("Rear axle filler plug") || rear.text.contains("Filler plug, rear axle"));
    assert_eq!(bench.desk.get(&bench.path("/no-such")).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_card_is_made_with_the_cars_own_specs_marks_cautions_and_parts() {
    let bench = Bench::demo().await;
    let before = bench.on_car().await;
    let card = bench.made("axle-oil", &[("end", "rear")]).await;
    let on_car = bench.on_car().await;
    let state = on_car.card(card).unwrap();
    assert_eq!(state.card.facts.title, "Change the oil of the rear axle");
    assert_eq!(state.steps.len(), 17);
    let drain = state.steps.iter().find(|step| step.facts.verb.name() == "drain").unwrap();
    assert_eq!(drain.facts.marks.filler, "rear axle filler plug");
    assert!(drain.facts.marks.has(Mark::UnderCar));
    assert!(drain.attached.cautions.iter().any(|caution| caution == "used-oil-skin"));
    let tighten = state.steps.iter().find(|step| step.facts.object == "rear axle drain plug").unwrap();
    assert_eq!(tighten.facts.verb.name(), "remove");
    let specs: Vec<_> = state.steps.iter().flat_map(|step| &step.attached.specs).collect();
    let known = specs.iter().filter(|id| before.specs.iter().any(|spec| spec.id == ***id)).count();
    assert!(known > 0, "nothing of the car’s own book was taken");
    let wanted = on_car.parts.iter().filter(|part| part.facts.name == "Gear oil for the rear axle").count();
    assert_eq!(wanted, 1);
    assert_eq!(
        on_car.parts.iter().find(|part| part.facts.name.starts_with("Gear oil for")).unwrap().facts.state,
        Stage::Wanted
    );
}

#[tokio::test]
async fn what_the_spec_book_lacks_is_entered_without_a_value_and_the_card_is_short() {
    let app = TestApp::start().await;
    let fields = ["make", "model", "year", "codes", "story", "wanted_on", "wanted_for"].map(|field| (field, ""));
    let answer = app.owner().await.post_form("/cars", &[&fields[..], &[("name", "Bare")]].concat()).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    let bench = Bench::over(app).await;
    let card = bench.made("axle-oil", &[("end", "front")]).await;
    let on_car = bench.on_car().await;
    let state = on_car.card(card).unwrap();
    assert_eq!(state.condition, Condition::Short);
    assert!(state.facts.missing_specs > 0);
    let made = on_car.specs.iter().find(|spec| spec.facts.item == "Drain plug" && spec.facts.place == "front axle");
    assert_eq!(made.unwrap().trust().0, Trust::Missing);
    assert!(state.card.facts.why.contains("Not in the spec book yet"), "{}", state.card.facts.why);
    let again = bench.made("axle-oil", &[("end", "front")]).await;
    let twice = bench.on_car().await;
    assert_eq!(twice.specs.len(), on_car.specs.len(), "the second card makes no specs anew");
    assert_eq!(twice.parts.len(), on_car.parts.len(), "the second card wants no parts anew");
    assert_eq!(twice.card(again).unwrap().steps[12].attached.parts, state.steps[12].attached.parts);
}

#[tokio::test]
async fn a_choice_that_is_none_is_told_and_makes_nothing() {
    let bench = Bench::demo().await;
    let before = bench.on_car().await;
    for (chosen, say) in [
        (vec![("end", "middle")], "‘middle’ is none of: rear, front."),
        (vec![], "Choose one."),
        (vec![("end", "rear"), ("colour", "red")], "This pattern asks for no ‘colour’."),
    ] {
        let answer = bench.desk.post_form(&bench.path("/axle-oil"), &chosen).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains(say), "{say}");
    }
    let answer = bench.desk.get(&bench.path("/axle-oil?end=middle")).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    let after = bench.on_car().await;
    assert_eq!((after.cards.len(), after.specs.len()), (before.cards.len(), before.specs.len()));
}

#[tokio::test]
async fn own_patterns_show_and_a_broken_one_is_told_by_line_without_hiding_the_others() {
    let bench = Bench::demo().await;
    let folder = bench.app.state.patterns.path().to_owned();
    std::fs::create_dir_all(&folder).unwrap();
    let axle = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/seed/patterns/axle-oil.toml")).unwrap();
    std::fs::write(folder.join("mine.toml"), axle.replace("Change the oil", "Look at the oil")).unwrap();
    std::fs::write(folder.join("slip.toml"), axle.replace("do = \"drain fluid", "do = \"drian fluid")).unwrap();
    let page = bench.desk.get(&bench.path("")).await;
    let line = axle.lines().position(|line| line.contains("do = \"drain fluid")).unwrap() + 1;
    for words in ["Look at the oil of the rear", "Change the oil of the rear", "slip.toml cannot be read"] {
        assert!(page.text.contains(words), "{words}");
    }
    assert!(page.text.contains(&format!("Line {line}: ‘drian’ is no verb.")), "{}", page.text);
    let report = check_files(&[folder.join("mine.toml"), folder.join("slip.toml"), folder.join("none.toml")]);
    assert!(!report.is_clean);
    assert!(report.lines[0].contains("17 steps, the checker is silent in 2 ways"), "{}", report.lines[0]);
    assert!(report.lines[1].contains(&format!("slip.toml:{line}: ‘drian’ is no verb.")), "{}", report.lines[1]);
    assert!(report.lines[2].contains("none.toml: cannot be read"), "{}", report.lines[2]);
}

#[test]
fn the_command_tells_what_the_checker_finds_with_line_and_way() {
    let folder = tempfile::tempdir().unwrap();
    let axle = std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/seed/patterns/axle-oil.toml")).unwrap();
    let file = folder.path().join("late.toml");
    std::fs::write(&file, axle.replace("do = \"open opening {end}", "do = \"inspect opening {end}")).unwrap();
    let report = check_files(&[&file]);
    assert!(!report.is_clean);
    assert!(
        report.lines.iter().any(|line| line.contains("Stop, step 8, end = rear: Drained before the filler")),
        "{:?}",
        report.lines
    );
}
