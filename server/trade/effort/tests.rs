//! Shares, access and correction. Every seeded pattern is derived in `patterns/text/tests.rs`.

use super::*;
use crate::trade::checker::StepOnPaper;
use crate::trade::spec::System;
use crate::trade::steps::{ObjectKind, Verb};
use proptest::prelude::*;
use rust_decimal::Decimal;

fn steps(deeds: &[&str]) -> Vec<StepOnPaper> {
    let step = |deed: &&str| {
        let mut words = deed.splitn(3, ' ');
        let (verb, kind, object) = (words.next().unwrap(), words.next().unwrap(), words.next().unwrap());
        StepOnPaper::new(Verb::from_name(verb).unwrap(), ObjectKind::from_name(kind).unwrap(), object)
    };
    deeds.iter().map(step).collect()
}

fn card(deeds: &[&str]) -> CardOnPaper {
    CardOnPaper { title: "Work".into(), system: System::Brakes, helper: false, steps: steps(deeds) }
}

fn minutes(low: i64, likely: i64, high: i64) -> Minutes {
    Minutes::new([low, likely, high]).unwrap()
}

const WHEELS_OFF: [&str; 12] = [
    "chock corner rear end",
    "loosen fastener front wheel nuts",
    "raise corner front end",
    "support corner front end",
    "remove fastener front wheel nuts",
    "remove part front wheels",
    "measure part front linings",
    "fit part front wheels",
    "fit fastener front wheel nuts",
    "lower corner front end",
    "tighten fastener front wheel nuts",
    "note none findings",
];

#[test]
fn raising_and_wheels_are_derived_with_the_steps_that_open_and_close_them() {
    let card = card(&WHEELS_OFF);
    let effort = effort(&card, minutes(40, 60, 90));
    let found: Vec<_> =
        effort.access.iter().map(|one| (one.key.as_str(), one.opened_by.clone(), one.closed_by.clone())).collect();
    assert_eq!(
        found,
        [("corner:front end", vec![0, 2, 3], vec![9]), ("part:front wheels", vec![1, 4, 5], vec![7, 8, 10]),]
    );
    assert_eq!(effort.access[0].words, "front end is on stands");
    let spent: Minutes = effort.access.iter().map(Access::saves).sum();
    assert_eq!(spent + effort.work, effort.whole);
}

#[test]
fn a_tap_belongs_to_the_fluid_and_a_clip_to_the_hose_it_holds() {
    let card = card(&[
        "open opening radiator cap",
        "open opening radiator drain tap",
        "drain fluid coolant",
        "loosen fastener hose clips",
        "disconnect connection top hose",
        "fit part thermostat",
        "connect connection top hose",
        "tighten fastener hose clips",
        "close opening radiator drain tap",
        "fill fluid coolant",
        "close opening radiator cap",
    ]);
    let access = access(&card, &[]);
    let found: Vec<_> =
        access.iter().map(|one| (one.key.as_str(), one.opened_by.clone(), one.closed_by.clone())).collect();
    assert_eq!(
        found,
        [("fluid:coolant", vec![0, 1, 2], vec![8, 9, 10]), ("connection:top hose", vec![3, 4], vec![6, 7])]
    );
}

#[test]
fn what_two_cards_open_is_shared_and_the_rest_stays_in_the_work() {
    let wheels = effort(&card(&WHEELS_OFF), minutes(40, 60, 90));
    let raised = [
        "chock corner rear end",
        "raise corner front end",
        "drain fluid oil",
        "fill fluid oil",
        "lower corner front end",
    ];
    let oil = effort(&card(&raised), minutes(20, 30, 50));
    let [common] = in_common(&[&wheels.access, &oil.access]).try_into().unwrap();
    assert_eq!((common.key.as_str(), common.cards.as_slice()), ("corner:front end", [0, 1].as_slice()));
    for effort in [&wheels, &oil] {
        let raising = effort.access.iter().find(|access| access.key == common.key).unwrap().saves();
        assert_eq!(effort.work_besides(std::slice::from_ref(&common)) + raising, effort.whole);
        assert!(common.opens.likely() + common.closes.likely() >= raising.likely());
    }
    assert_eq!(oil.work_besides(&[]), oil.whole);
    assert_eq!(in_common(&[&oil.access]), []);
}

#[test]
fn what_a_card_leaves_open_has_nothing_that_closes_it() {
    let access = access(&card(&["remove part undertray"]), &[]);
    assert!(access[0].closed_by.is_empty());
}

#[test]
fn checking_a_bolt_opens_nothing() {
    let card = card(&["tighten fastener wheel nuts", "inspect part brakes", "open opening bleed screws"]);
    assert_eq!(access(&card, &[]), []);
}

#[test]
fn tools_and_parts_are_listed_once_and_a_helper_is_no_tool() {
    let mut card = card(&["loosen fastener plug", "tighten fastener plug"]);
    card.steps[0].tools = vec!["Socket set".into(), "helper".into()];
    card.steps[1].tools = vec!["socket set".into(), "torque wrench".into()];
    card.steps[1].parts = vec!["washer".into()];
    card.steps[1].marks.marks = vec![Mark::TwoPeople];
    let effort = effort(&card, minutes(10, 20, 30));
    assert_eq!(effort.tools, ["Socket set", "torque wrench"]);
    assert_eq!(effort.parts, ["washer"]);
    assert!(effort.helper);
    assert_eq!(effort.with_helper, [1]);
}

#[test]
fn three_numbers_that_are_no_time_are_refused() {
    assert_eq!(Minutes::new([3, 2, 1]), Err(MinutesError::Order(3, 2, 1)));
    assert_eq!(Minutes::new([0, 1, 2]), Err(MinutesError::Range));
    assert_eq!(Minutes::new([1, 2, 6001]), Err(MinutesError::Range));
    assert_eq!(Minutes::new([i64::MIN, 0, i64::MAX]), Err(MinutesError::Range));
}

#[test]
fn a_card_without_steps_shares_nothing_out() {
    assert_eq!(shared_out(minutes(1, 2, 3), &[]), []);
}

/// The divisors 1, 3, 5 … are those of Webster and Sainte-Laguë; the quotients were worked by hand.
#[test]
fn minutes_are_shared_by_the_divisor_method() {
    // Draining, measuring and looking weigh 8, 4 and 2: the quotients go 8, 4, 8/3, 2, 8/5, 4/3, 8/7.
    let steps = steps(&["drain fluid oil", "measure part disc", "inspect part disc"]);
    let shares = shared_out(minutes(3, 4, 7), &steps);
    let of = |rule: fn(Minutes) -> u32| shares.iter().map(|share| rule(*share)).collect::<Vec<_>>();
    assert_eq!(of(Minutes::low), [2, 1, 0]);
    assert_eq!(of(Minutes::likely), [2, 1, 1]);
    assert_eq!(of(Minutes::high), [4, 2, 1]);
}

fn record(estimated: u32, taken: u32) -> Record {
    Record { estimated, taken }
}

#[test]
fn own_records_are_shown_from_three_on() {
    let records = [record(60, 84), record(100, 150), record(90, 90)];
    assert_eq!(correction(&records[..2]), None);
    let correction = correction(&records).unwrap();
    assert_eq!(correction.to_string(), "Your evenings run 1.4 times the estimate, by 3 records.");
    assert_eq!(correction.applied(minutes(50, 60, 75)), minutes(70, 84, 105));
}

#[test]
fn one_slip_of_the_pen_does_not_move_it() {
    let mut records = vec![record(60, 60), record(50, 50), record(40, 40), record(30, 30)];
    records.push(record(60, 6000));
    assert_eq!(correction(&records).unwrap().to_string(), "Your evenings run as estimated, by 5 records.");
}

#[test]
fn of_an_even_number_the_two_in_the_middle_are_averaged() {
    let records = [record(10, 10), record(10, 12), record(10, 16), record(10, 90)];
    assert_eq!(correction(&records).unwrap().ratio(), Decimal::new(14, 1));
}

#[test]
fn records_without_an_estimate_or_a_time_count_for_nothing() {
    let records = [record(0, 50), record(60, 0), record(60, 60), record(60, 60)];
    assert_eq!(correction(&records), None);
}

#[test]
fn what_was_much_quicker_still_reads_as_something_and_takes_a_minute() {
    let records = [record(1000, 10); 3];
    let correction = correction(&records).unwrap();
    assert_eq!(correction.to_string(), "Your evenings run 0.01 times the estimate, by 3 records.");
    assert_eq!(correction.applied(minutes(1, 1, 2)), minutes(1, 1, 1));
}

proptest! {
    #[test]
    fn shares_together_are_the_whole_and_each_keeps_its_order(
        low in 1i64..300, more in 0i64..300, most in 0i64..300, picked in prop::collection::vec(0usize..12, 1..20),
    ) {
        let whole = minutes(low, low + more, low + more + most);
        let deeds: Vec<&str> = picked.iter().map(|at| WHEELS_OFF[*at]).collect();
        let shares = shared_out(whole, &steps(&deeds));
        prop_assert_eq!(shares.iter().copied().sum::<Minutes>(), whole);
        prop_assert!(shares.iter().all(|share| share.low() <= share.likely() && share.likely() <= share.high()));
    }

    #[test]
    fn the_median_lies_between_the_least_and_the_greatest_and_hangs_on_no_order(
        taken in prop::collection::vec((1u32..1000, 1u32..1000), 3..12), turn in 0usize..12,
    ) {
        let mut records: Vec<Record> = taken.iter().map(|(one, other)| record(*one, *other)).collect();
        let first = correction(&records).unwrap();
        let ratio = |record: &Record| Decimal::from(record.taken) / Decimal::from(record.estimated);
        prop_assert!(records.iter().map(ratio).min().unwrap() <= first.ratio());
        prop_assert!(records.iter().map(ratio).max().unwrap() >= first.ratio());
        let by = turn % records.len();
        records.rotate_left(by);
        prop_assert_eq!(first, correction(&records).unwrap());
    }
}
