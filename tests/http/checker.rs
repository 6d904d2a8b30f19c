//! What the card checker says at the desk: beside the steps, over the card, of several cards in one evening.

use crate::support::{Client, TestApp};
use axum::http::StatusCode;
use underlamp::ids::{CarId, CardId};
use underlamp::jobs::paper::Shelves;
use underlamp::trade::checker::{Rule, State, check};
use underlamp::work::model::CarState;

/// The cards whose first draft stands in the demo with a slip in it, so that the checker has something to show.
const SLIPS: [(&str, Rule); 3] = [
    ("Renew gearbox and transfer gearbox oil", Rule::FillerUnproven),
    ("Spark plugs, leads and compression", Rule::FigureElse),
    ("Rear shock absorbers and Panhard rod bushes", Rule::BushHanging),
];

/// What the demo's spec book leaves open about torques: no slip in any card.
const OPEN_FIGURES: [(&str, Rule); 4] = [
    ("Renew gearbox and transfer gearbox oil", Rule::NoFigure),
    ("Renew the rear propshaft joints", Rule::FigureOpen),
    ("Renew timing belt and tensioner", Rule::FigureOpen),
    ("Rear shock absorbers and Panhard rod bushes", Rule::FigureGuessed),
];

#[tokio::test]
async fn the_checker_finds_exactly_three_slips_in_the_demo() {
    let app = TestApp::demo().await;
    let mut conn = app.state.read.conn().await.unwrap();
    let car = underlamp::cars::store::all(&mut conn).await.unwrap()[0].id;
    let on_car = CarState::read(&mut conn, car).await.unwrap();
    let shelves = Shelves::of(&on_car.specs, &on_car.parts);
    let (mut slips, mut figures) = (Vec::new(), Vec::new());
    for state in &on_car.cards {
        for finding in check(&shelves.card(&state.card, &state.steps), &State::default()) {
            let at = finding.step.map_or(0, |at| at + 1);
            println!("{} / {at}: {:?} {}", state.card.facts.title, finding.rule, finding.say);
            let is_figure = matches!(finding.rule, Rule::NoFigure | Rule::FigureOpen | Rule::FigureGuessed);
            let list = if is_figure { &mut figures } else { &mut slips };
            list.push((state.card.facts.title.clone(), finding.rule));
            assert!(is_figure || state.facts.settled_steps == 0, "{} is begun", state.card.facts.title);
        }
    }
    assert_eq!(slips, SLIPS.map(|(title, rule)| (title.to_owned(), rule)));
    assert_eq!(figures, OPEN_FIGURES.map(|(title, rule)| (title.to_owned(), rule)));
}

struct Bench {
    /// Holds the data folder.
    _app: TestApp,
    desk: Client,
    car: CarId,
    on_car: CarState,
}

impl Bench {
    async fn set_up() -> Bench {
        let app = TestApp::demo().await;
        let desk = app.owner().await;
        let mut conn = app.state.read.conn().await.unwrap();
        let car = underlamp::cars::store::all(&mut conn).await.unwrap()[0].id;
        let on_car = CarState::read(&mut conn, car).await.unwrap();
        drop(conn);
        Bench { _app: app, desk, car, on_car }
    }

    fn card(&self, title: &str) -> CardId {
        self.on_car.cards.iter().find(|state| state.card.facts.title == title).unwrap().card.id
    }

    async fn page(&self, tail: &str) -> String {
        let answer = self.desk.get(&format!("/cars/{}{tail}", self.car)).await;
        assert_eq!(answer.status, StatusCode::OK, "{tail}: {}", answer.text);
        answer.text
    }
}

#[tokio::test]
async fn findings_stand_beside_their_steps_and_over_the_card() {
    let bench = Bench::set_up().await;
    let card = bench.card(SLIPS[0].0);
    let page = bench.page(&format!("/cards/{card}")).await;
    for words in [
        "Checked: 1 stop, 1 warning",
        "Drained before the filler is known to open",
        "Mend it:",
        "transfer filler plug opens",
    ] {
        assert!(page.contains(words), "{words}");
    }
    let state = bench.on_car.card(card).unwrap();
    let drain = state.steps.iter().find(|step| step.facts.object == "transfer oil").unwrap().id;
    let beside =
        page.split(&format!("id=\"step-{drain}\"")).nth(1).unwrap().split("class=\"edit-step\"").next().unwrap();
    assert!(beside.contains("finding--stop"), "{beside}");
    let form = bench.page(&format!("/cards/{card}/steps/{drain}")).await;
    assert!(form.contains("As it was saved, the checker says"));
    let home = bench.page("").await;
    assert!(home.contains("1 stop by the checker") && home.contains("/road-check\""));
}

#[tokio::test]
async fn a_card_without_fault_says_that_the_checker_reads_the_card_and_not_the_car() {
    let bench = Bench::set_up().await;
    let page = bench.page(&format!("/cards/{}", bench.card("Renew the alternator belt"))).await;
    assert!(page.contains("The checker has nothing to say. It reads the card, not the car."));
    assert!(page.contains("Checked: nothing to say") && !page.contains("finding--stop"));
}

#[tokio::test]
async fn each_step_shows_the_car_after_it_in_a_picture_and_in_words() {
    let bench = Bench::set_up().await;
    let page = bench.page(&format!("/cards/{}", bench.card("Rear shock absorbers and Panhard rod bushes"))).await;
    let steps = page.matches("The car after this step").count();
    assert_eq!(steps, page.matches("class=\"above\"").count());
    assert!(page.contains("<li>Rear end is on stands</li>") && page.contains("<li>Rear wheels are off</li>"));
    assert!(page.contains("Nothing is loose, open or up."));
    assert_eq!(page.matches("<details class=\"after\" open>").count(), 1);
}

#[tokio::test]
async fn cards_laid_side_by_side_tell_what_clashes_and_what_they_share() {
    let bench = Bench::set_up().await;
    let asked = |titles: &[&str]| -> String {
        let cards: Vec<String> = titles.iter().map(|title| format!("card={}", bench.card(title))).collect();
        format!("/evening?{}", cards.join("&"))
    };
    let none = bench.page("/evening").await;
    assert!(none.contains("Choose at least two cards"));
    let pair = ["Rear brake shoes and wheel cylinders", "Rear shock absorbers and Panhard rod bushes"];
    let page = bench.page(&asked(&pair)).await;
    for words in
        ["2 cards laid side by side:", "both raise the rear end: once for both.", "must not be done", "Mend it:"]
    {
        assert!(page.contains(words), "{words}: {page}");
    }
    assert!(page.contains("A rubber bush clamped while the wheel hangs"), "each card’s own stops");
    let in_turn = page.split("One whole card after the other").nth(1).unwrap().split("Step by step").next().unwrap();
    assert!(in_turn.contains("they do not get in each other’s way"), "{in_turn}");
    let apart = bench.page(&asked(&["Renew the alternator belt", "Spark plugs, leads and compression"])).await;
    assert!(apart.contains("they do not clash"), "{apart}");
    assert!(apart.contains("Worked whole, in this order, they do not get in each other’s way."));
}

#[tokio::test]
async fn an_evening_of_cards_that_are_not_there_is_refused() {
    let bench = Bench::set_up().await;
    for tail in ["?card=01890a5d-ac96-774b-bcce-b302099a8057", "?card=x"] {
        let answer = bench.desk.get(&format!("/cars/{}/evening{tail}", bench.car)).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{tail}");
    }
    let answer = bench.desk.get(&format!("/cars/{}/evening?colour=red", bench.car)).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
}
