//! What the card checker says at the desk: beside the steps, over the card, of several cards in one evening.

use crate::support::TestApp;
use underlamp::jobs::paper::Shelves;
use underlamp::trade::checker::{Rule, State, check};
use underlamp::work::model::CarState;

/// The cards whose first draft stands in the demo with a slip in it, so that the checker has something to show.
const SLIPS: [(&str, Rule); 2] = [
    ("Renew gearbox and transfer gearbox oil", Rule::FillerUnproven),
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
async fn the_checker_finds_exactly_two_slips_in_the_demo() {
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
