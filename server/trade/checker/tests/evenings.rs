//! Cards laid side by side.

use super::evening::{Clash, Evening, side_by_side};
use super::*;

fn rear_brakes() -> CardOnPaper {
    card(vec![
        step("chock corner front end"),
        step("raise corner rear end"),
        step("support corner rear end"),
        step("remove part rear wheels"),
        step("fit part rear wheels"),
        step("lower corner rear end"),
    ])
}

fn clashes(cards: &[CardOnPaper]) -> Vec<Clash> {
    laid(cards).clashes
}

fn laid(cards: &[CardOnPaper]) -> Evening {
    let programs: Vec<Vec<StepProgram>> = cards.iter().map(compile).collect();
    side_by_side(&programs.iter().map(Vec::as_slice).collect::<Vec<_>>(), &State::default())
}

#[test]
fn one_wants_the_rear_on_its_wheels_while_the_other_has_it_on_stands() {
    let level = card(vec![step("inspect none work place"), step("measure fluid gearbox oil")]);
    let found = clashes(&[level, rear_brakes()]);
    assert_eq!(found.len(), 1, "{found:?}");
    let clash = &found[0];
    assert_eq!((clash.waits, clash.step, clash.other, clash.rule), (0, 1, 1, Rule::LevelTilted));
    assert_eq!((clash.from, clash.until), (2, Some(5)), "between its stands and its lowering");
}

#[test]
fn one_drains_what_the_other_runs() {
    let oil = card(vec![
        step("open opening oil filler cap"),
        step("drain fluid engine oil").tool("pan, 8 l"),
        step("fill fluid engine oil"),
        step("close opening oil filler cap"),
    ]);
    let idle = card(vec![step("run none engine").mark(Mark::GasLedOut)]);
    let found = clashes(&[idle, oil]);
    assert_eq!(found.len(), 1, "{found:?}");
    assert_eq!((found[0].rule, found[0].from, found[0].until), (Rule::RunDry, 1, Some(2)));
}

#[test]
fn one_lowers_what_the_other_lies_under() {
    let under = |line: &str| step(line).mark(Mark::UnderCar);
    let mut exhaust = rear_brakes();
    exhaust.steps[3] = under("inspect part exhaust pipe");
    exhaust.steps[4] = under("inspect part rear axle");
    let found = clashes(&[exhaust, rear_brakes()]);
    let gone: Vec<&Clash> = found.iter().filter(|clash| clash.rule == Rule::StandsGone).collect();
    assert!(!gone.is_empty(), "{found:?}");
    assert!(gone.iter().all(|clash| clash.waits == 0 && clash.until.is_none()), "{gone:?}");
}

#[test]
fn cards_that_have_nothing_to_do_with_each_other_are_silent() {
    let lamps = card(vec![step("inspect none lamps")]);
    let found = laid(&[lamps, rear_brakes()]);
    assert_eq!((found.clashes, found.shared), (vec![], vec![]));
}

#[test]
fn access_that_both_open_is_named_once() {
    let mut other = rear_brakes();
    other.steps[3] = step("disconnect connection handbrake cable");
    other.steps[4] = step("connect connection handbrake cable");
    let shared = laid(&[rear_brakes(), other]).shared;
    assert_eq!(shared.len(), 1);
    assert_eq!((shared[0].thing.as_str(), shared[0].cards), ("rear end", (0, 1)));
}
