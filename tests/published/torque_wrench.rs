//! Torque wrenches with adapters, and the deviations permitted to them.
//!
//! Worked examples, each from the manual named beside it; two are from leaflets, read second-hand. Angles were computed
//! from the formula of TM 9-254, fig 4-6, whose example could not be read. ISO 6789: a tool maker's review of the
//! standard, and an example computed from it; the interval of calibration from memory.

use rust_decimal::Decimal;
use underlamp::trade::quantity::{Angle, Length, Span, TorqueUnit};
use underlamp::trade::torque_wrench::*;

fn decimal(text: &str) -> Decimal {
    Decimal::from_str_exact(text).unwrap()
}

fn corrected(target: &str, lever: &str, reach: &str, angle: &str) -> Decimal {
    let (lever, reach) = (Length::parse(lever).unwrap(), Length::parse(reach).unwrap());
    let offset = Offset::new(lever, reach, Angle::parse(angle).unwrap()).unwrap();
    let wanted = Span::<TorqueUnit>::parse(target).unwrap();
    offset.correct(&wanted).unwrap().torque.low().number()
}

/// What is wanted, L, E, and what to set, to as many places as the source prints.
const STRAIGHT: &[(&str, &str, &str, &str)] = &[
    // US Navy, NAVEDTRA 14315, figs 3-44 and 3-45
    ("100 lbf in", "12 in", "6 in", "66.7"),
    // US Army TM 1-1500-204-23-9, on extending the lever, figs 8-15 to 8-20
    ("300 lbf in", "10 in", "4 in", "214"),
    // US Army TM 9-254, para 4-1 d, fig 4-5 (set 60, applied 70)
    ("70 lbf in", "12 in", "2 in", "60"),
    // US Army TM 9-2350-277-40&P, WP 0004, and TM 9-2350-261-34, WP 0014
    ("40 lbf ft", "12 in", "4 in", "30"),
    // a torque wrench maker's leaflet, read second-hand
    ("50 lbf ft", "16 in", "2 in", "44.44"),
    // a supplier's torque data page, read second-hand (set 100, applied 130)
    ("130 Nm", "500 mm", "150 mm", "100"),
];

#[test]
fn settings_with_a_straight_adapter_are_those_of_the_manuals() {
    for (target, lever, reach, expected) in STRAIGHT {
        let expected = decimal(expected);
        let found = corrected(target, lever, reach, "0°");
        assert_eq!(found.round_dp(expected.scale()), expected, "{target}, {lever}, {reach}: {found}");
    }
}

/// Computed from the formula of TM 9-254: 100 wanted, L = 12, E = 6.
#[test]
fn settings_with_an_angled_adapter_are_those_of_the_formula() {
    for (angle, expected) in [
        ("0°", "66.67"),
        ("30°", "69.78"),
        ("45°", "73.88"),
        ("60°", "80.00"),
        ("90°", "100.00"),
        ("120°", "133.33"),
        ("135°", "154.69"),
        ("150°", "176.37"),
        ("180°", "200.00"),
    ] {
        assert_eq!(corrected("100 lbf ft", "12 in", "6 in", angle).round_dp(2), decimal(expected), "{angle}");
    }
}

/// NAVEDTRA 14008: a backwards-pointing adapter is subtracted, one at a right angle changes nothing.
#[test]
fn a_backwards_adapter_is_subtracted_and_one_across_changes_nothing() {
    assert_eq!(corrected("60 lbf ft", "12 in", "3 in", "180°"), Decimal::from(80));
    assert_eq!(corrected("60 lbf ft", "12 in", "3 in", "90°"), Decimal::from(60));
}

fn click(range: &str) -> Wrench {
    let typed = Typed { name: "Wrench", range, graduation: "0.5", calibrated: "2026-01-15", ..Typed::default() };
    Wrench::read(WrenchKind::Click, typed).unwrap()
}

fn on(day: &str) -> Day {
    Day::parse(day).unwrap()
}

/// ISO 6789, adjustable click wrench (type II, class A): ±4 % above 10 N·m, ±6 % to 10 N·m.
#[test]
fn the_permitted_deviation_follows_the_highest_mark() {
    assert_eq!(click("10-50 Nm").deviation(), Decimal::from(4));
    assert_eq!(click("2-10 Nm").deviation(), Decimal::from(6));
    assert_eq!(click("2-11 Nm").deviation(), Decimal::from(4));
    // 88 lbf·in is 9.94 N·m
    assert_eq!(click("20-88 lbf in").deviation(), Decimal::from(6));
}

/// Computed from it: 40 N·m ± 4 % is 38.4 to 41.6 N·m.
#[test]
fn what_the_bolt_gets_lies_within_the_permitted_deviation() {
    let found = suitability(&click("10-50 Nm"), &Span::parse("40 Nm").unwrap(), on("2026-02-01"));
    assert_eq!(found.fitness, Fitness::Suits);
    assert_eq!(found.setting.unwrap().between, (decimal("38.400"), decimal("41.600")));
}

/// ISO 6789 tests at 20, 60 and 100 % of the highest mark: 9 N·m of 50 is 18 %.
#[test]
fn a_torque_below_a_fifth_of_the_highest_mark_is_in_the_lower_part() {
    let at = |torque: &str| suitability(&click("5-50 Nm"), &Span::parse(torque).unwrap(), on("2026-02-01")).fitness;
    assert_eq!(at("9 Nm"), Fitness::LowerPart);
    assert_eq!(at("10 Nm"), Fitness::Suits);
}

/// ISO 6789-1:2017, from memory: twelve months where the user has no rule of his own.
#[test]
fn a_calibration_counts_for_twelve_months() {
    let calibration = click("5-50 Nm").calibration();
    assert!(calibration.state(on("2027-01-15")).counts());
    assert!(!calibration.state(on("2027-01-16")).counts());
}
