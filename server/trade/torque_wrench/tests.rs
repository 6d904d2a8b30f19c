//! Wrenches, marks, choice and adapters; worked examples from manuals are in `tests/published/torque_wrench.rs`.

use rust_decimal::Decimal;

use super::*;
use crate::trade::quantity::{Angle, Length, Span, TorqueUnit};

const TODAY: &str = "2026-06-01";

fn typed<'a>(name: &'a str, range: &'a str, graduation: &'a str) -> Typed<'a> {
    Typed { name, range, graduation, calibrated: "2026-01-15", ..Typed::default() }
}

fn wrench(name: &str, range: &str, graduation: &str) -> Wrench {
    Wrench::read(WrenchKind::Click, typed(name, range, graduation)).unwrap()
}

fn today() -> Day {
    Day::parse(TODAY).unwrap()
}

fn wanted(text: &str) -> Span<TorqueUnit> {
    Span::parse(text).unwrap()
}

fn set(wrench: &Wrench, text: &str) -> (String, String) {
    let setting = suitability(wrench, &wanted(text), today()).setting.unwrap();
    (setting.mark.to_string(), setting.off.to_string())
}

fn offset(lever: &str, reach: &str, angle: &str) -> Result<Offset, OffsetError> {
    Offset::new(Length::parse(lever).unwrap(), Length::parse(reach).unwrap(), Angle::parse(angle).unwrap())
}

#[test]
fn the_mark_is_in_the_wrenchs_own_unit_and_tells_how_far_off_it_is() {
    let metric = wrench("Big", "40-200 Nm", "1 Nm");
    assert_eq!(set(&metric, "84 Nm"), ("84 N·m".into(), "0".into()));
    assert_eq!(set(&metric, "62 lbf ft"), ("84 N·m".into(), "-0.1".into()));
    assert_eq!(set(&metric, "40.5 Nm"), ("40 N·m".into(), "-1.2".into()));
    let inch = wrench("Old", "10-100 lbf ft", "5");
    assert_eq!(set(&inch, "84 Nm"), ("60 lbf·ft".into(), "-3.2".into()));
}

#[test]
fn marks_are_counted_from_the_lowest_and_never_leave_the_scale() {
    let odd = wrench("Odd", "28-210 Nm", "4 Nm");
    assert_eq!(set(&odd, "29 Nm").0, "28 N·m");
    assert_eq!(set(&odd, "209.5 Nm").0, "210 N·m");
    assert_eq!(set(&odd, "100-106 Nm"), ("104 N·m".into(), "0".into()));
}

#[test]
fn a_torque_outside_the_range_has_no_setting() {
    let big = wrench("Big", "40-200 Nm", "1 Nm");
    for (text, fitness) in [("39 Nm", Fitness::Below), ("201 Nm", Fitness::Above), ("180 lbf ft", Fitness::Above)] {
        let found = suitability(&big, &wanted(text), today());
        assert_eq!((found.fitness, found.setting), (fitness, None), "{text}");
        assert!(found.sentence.starts_with("Big "), "{}", found.sentence);
    }
}

#[test]
fn marks_too_far_apart_are_said_to_be() {
    let coarse = wrench("Coarse", "10-100 Nm", "10 Nm");
    let found = suitability(&coarse, &wanted("25 Nm"), today());
    assert_eq!(found.fitness, Fitness::TooCoarse);
    assert!(found.sentence.contains("too far apart"));
}

#[test]
fn what_the_sheet_says_goes_before_what_the_standard_permits() {
    let fine = Wrench::read(WrenchKind::Electronic, Typed { deviation: "±2", ..typed("Fine", "10-100 Nm", "0.1") });
    assert_eq!(fine.unwrap().deviation(), Decimal::TWO);
    let small = Wrench::read(WrenchKind::Click, typed("Small", "2-10 Nm", "0.1")).unwrap();
    assert_eq!(small.deviation(), Decimal::from(6));
    assert_eq!(Wrench::read(WrenchKind::Beam, typed("Beam", "20-150 Nm", "5")).unwrap().deviation(), Decimal::from(6));
}

#[test]
fn a_calibration_counts_for_a_year_or_five_thousand_uses() {
    let state = |on: &str, uses| Calibration { on: Some(Day::parse(on).unwrap()), uses }.state(today());
    assert!(state("2025-06-01", None).counts());
    assert!(matches!(state("2025-05-31", None), CalibrationState::TooOld(_)));
    assert!(state("2026-01-15", Some(5000)).counts());
    assert_eq!(state("2026-01-15", Some(5001)), CalibrationState::TooManyUses(5001));
    assert!(matches!(state("2026-06-02", None), CalibrationState::InFuture(_)));
    assert_eq!(Calibration::default().state(today()), CalibrationState::Unknown);
}

#[test]
fn the_wrench_whose_tested_range_holds_the_torque_is_taken_and_the_reason_told() {
    let chest =
        [wrench("Big", "40-200 Nm", "1"), wrench("Small", "5-25 Nm", "0.25"), wrench("Middle", "10-110 Nm", "0.5")];
    let best_of = |text| best(&chest, &wanted(text), today());
    assert_eq!(best_of("12 Nm").best, Some(1));
    assert!(
        best_of("12 Nm").sentence.starts_with("Take Small rather than Middle: there the torque is in the untested")
    );
    assert_eq!(best_of("150 Nm").best, Some(0));
    assert_eq!(best_of("50 Nm").best, Some(2));
    assert_eq!(best_of("300 Nm").best, None);
    assert!(best(&[], &wanted("50 Nm"), today()).sentence.contains("No torque wrench"));
}

#[test]
fn of_two_that_serve_the_one_with_a_calibration_that_counts_is_taken() {
    let old = Wrench::read(WrenchKind::Click, Typed { calibrated: "2019-01-01", ..typed("Old", "10-110 Nm", "0.5") });
    let chest = [old.unwrap(), wrench("New", "40-200 Nm", "1")];
    let choice = best(&chest, &wanted("50 Nm"), today());
    assert_eq!(choice.best, Some(1));
    assert!(choice.sentence.contains("calibration does not count"), "{}", choice.sentence);
}

#[test]
fn a_wrench_that_makes_no_sense_is_refused_with_a_sentence() {
    let read = |typed| Wrench::read(WrenchKind::Click, typed).unwrap_err();
    assert_eq!(read(typed(" ", "40-200 Nm", "1")), WrenchError::NoName);
    assert_eq!(read(typed("A", "200 Nm", "1")), WrenchError::NotARange);
    assert_eq!(read(typed("A", "40-200 Nm", "1 lbf ft")), WrenchError::OtherUnit(TorqueUnit::NewtonMetre));
    assert!(matches!(read(typed("A", "40-200 Nm", "161")), WrenchError::TooCoarse { .. }));
    assert!(matches!(read(typed("A", "40-200 Nm", "0.0000000000000000000000001")), WrenchError::TooFine { .. }));
    for (range, graduation) in [("40-200 Nm", ""), ("40-200 Nm", "0"), ("", "1"), ("40-200 l", "1"), ("200-40 Nm", "1")]
    {
        assert!(matches!(read(typed("A", range, graduation)), WrenchError::Unreadable(_)), "{range} {graduation}");
    }
    let with = |change: fn(&mut Typed<'static>)| {
        let mut typed = typed("A", "40-200 Nm", "1");
        change(&mut typed);
        read(typed)
    };
    assert_eq!(with(|typed| typed.deviation = "40 %"), WrenchError::Deviation(Decimal::from(40)));
    assert!(matches!(with(|typed| typed.calibrated = "last year"), WrenchError::Day(_)));
    assert!(matches!(with(|typed| typed.uses = "many"), WrenchError::Uses(_)));
}

#[test]
fn adapters_without_length_or_lever_are_refused() {
    assert_eq!(offset("0 mm", "50 mm", "0°"), Err(OffsetError::NoLever));
    assert_eq!(offset("400 mm", "0 mm", "0°"), Err(OffsetError::NoReach));
    assert_eq!(offset("150 mm", "150 mm", "180°"), Err(OffsetError::FoldedPastZero));
    assert_eq!(offset("150 mm", "400 mm", "180°"), Err(OffsetError::FoldedPastZero));
    let almost = offset("150 mm", "149.9999 mm", "180°").unwrap();
    assert!(matches!(almost.correct(&wanted("100 Nm")), Err(OffsetError::Beyond(_))));
}

#[test]
fn a_correction_past_what_is_sensible_is_warned_of() {
    let warned = |lever, reach, angle| {
        let warnings = offset(lever, reach, angle).unwrap().correct(&wanted("40 Nm")).unwrap().warnings;
        (
            warnings.iter().any(|warning| warning.contains("past what is sensible")),
            warnings.iter().any(|warning| warning.contains("reaches further")),
        )
    };
    assert_eq!(warned("400 mm", "60 mm", "0°"), (false, false));
    assert_eq!(warned("150 mm", "160 mm", "0°"), (true, true));
    assert_eq!(warned("400 mm", "250 mm", "180°"), (true, false));
    assert_eq!(warned("150 mm", "160 mm", "90°"), (false, true));
}

#[test]
fn a_socket_extension_changes_nothing_and_warns_of_twist() {
    let corrected = socket_extension(&wanted("84 Nm"));
    assert_eq!((corrected.factor, corrected.torque), (Decimal::ONE, wanted("84 Nm")));
    assert!(corrected.warnings[0].contains("twists"));
}

#[test]
fn units_of_length_may_differ_and_angles_go_all_the_way_round() {
    let factor = |lever: &str, reach: &str, angle: &str| {
        offset(lever, reach, angle).unwrap().correct(&wanted("100 Nm")).unwrap().factor
    };
    assert_eq!(factor("12 in", "6 in", "0°"), factor("304.8 mm", "15.24 cm", "360°"));
    assert_eq!(factor("300 mm", "60 mm", "45°"), factor("300 mm", "60 mm", "-45°"));
    assert_eq!(factor("300 mm", "60 mm", "90°"), Decimal::ONE);
    assert_eq!(factor("300 mm", "60 mm", "1/4 turn"), Decimal::ONE);
}

#[test]
fn through_an_adapter_the_mark_and_what_the_bolt_gets_are_both_told() {
    let adapter = offset("400 mm", "50 mm", "0°").unwrap();
    let found = suitability_with(&wrench("Big", "40-200 Nm", "1"), &wanted("84 Nm"), &adapter, today()).unwrap();
    let setting = found.setting.unwrap();
    assert_eq!((setting.mark.to_string().as_str(), setting.off), ("75 N·m", Decimal::new(4, 1)));
    assert_eq!(setting.at_bolt.round_dp(3), Decimal::new(84_375, 3));
    assert_eq!(
        found.sentence,
        "Set Big to 75 N·m on its scale; through the adapter that makes 84.4 N·m, 0.4 % over the 84 Nm that are \
         wanted. It may be 4 % out either way, so the bolt gets 81 to 87.8 N·m. Its calibration counts until \
         2027-01-15, unless it is dropped or overloaded before."
    );
    let told = adapter.correct(&wanted("84 Nm")).unwrap().sentence;
    assert!(told.contains("75 N·m for 84 Nm"), "{told}");
}

#[test]
fn an_adapter_can_take_a_torque_out_of_the_range_of_a_wrench() {
    let adapter = offset("400 mm", "100 mm", "0°").unwrap();
    let found = suitability_with(&wrench("Big", "40-200 Nm", "1"), &wanted("45 Nm"), &adapter, today()).unwrap();
    assert_eq!(found.fitness, Fitness::Below);
    assert!(found.sentence.contains("36 N·m to be set"), "{}", found.sentence);
}

#[test]
fn the_drawing_is_to_scale() {
    let drawing = offset("300 mm", "60 mm", "60°").unwrap().drawing();
    let near = |a: f64, b: f64| (a - b).abs() < 1e-9;
    assert!(near(drawing.grip.x, -300.0) && near(drawing.bolt.x, 30.0) && near(drawing.foot.x, 30.0));
    assert!(near(drawing.bolt.x.hypot(drawing.bolt.y), 60.0));
    let back = offset("300 mm", "60 mm", "180°").unwrap().drawing();
    assert!(near(back.high.x, 0.0) && near(back.low.x, -300.0) && near(back.bolt.x, -60.0));
}

proptest::proptest! {
    #[test]
    fn a_mark_is_on_the_scale_and_never_half_a_step_off(
        low in 1_i64..200, width in 1_i64..400, step in 1_i64..50, tenths in 1_i64..7000,
    ) {
        proptest::prop_assume!(step <= width);
        let scale = wrench("Any", &format!("{low}-{} Nm", low + width), &step.to_string());
        let target = format!("{} Nm", Decimal::new(tenths, 1));
        let found = suitability(&scale, &wanted(&target), today());
        let inside = tenths >= low * 10 && tenths <= (low + width) * 10;
        proptest::prop_assert_eq!(found.setting.is_some(), inside);
        proptest::prop_assert_eq!(found.fitness.can_be_set(), inside);
        if let Some(setting) = found.setting {
            let mark = setting.mark.number();
            let on_a_step = ((mark - Decimal::from(low)) % Decimal::from(step)).is_zero();
            proptest::prop_assert!(on_a_step || mark == Decimal::from(low + width));
            proptest::prop_assert!((mark - Decimal::new(tenths, 1)).abs() * Decimal::TWO <= Decimal::from(step));
        }
    }

    #[test]
    fn any_adapter_is_corrected_or_refused(lever in 1_u32..2000, reach in 1_u32..2000, degrees in -720_i32..720) {
        let built = offset(&format!("{lever} mm"), &format!("{reach} mm"), &format!("{degrees}°"));
        let along = f64::from(lever) + f64::from(reach) * f64::from(degrees).to_radians().cos();
        match built {
            Ok(offset) => match offset.correct(&wanted("1 Nm")) {
                Ok(corrected) => {
                    let factor = crate::trade::mechanics::double(corrected.factor);
                    proptest::prop_assert!((factor * along / f64::from(lever) - 1.0).abs() < 1e-6);
                }
                Err(_) => proptest::prop_assert!(along < 1.0),
            },
            Err(error) => proptest::prop_assert!(error == OffsetError::FoldedPastZero && along < 1e-6),
        }
    }

    #[test]
    fn whatever_an_owner_types_gets_a_wrench_or_a_sentence(
        range in "[0-9]{0,4}[-–]?[0-9]{0,4} ?(Nm|lbf ft|é)?", graduation in "\\PC{0,6}", deviation in "\\PC{0,6}",
        calibrated in "[0-9-]{0,10}", uses in "\\PC{0,5}",
    ) {
        let typed = Typed { name: "A", range: &range, graduation: &graduation, deviation: &deviation, calibrated: &calibrated, uses: &uses };
        if let Err(error) = Wrench::read(WrenchKind::Click, typed) {
            proptest::prop_assert!(error.to_string().ends_with('.'));
        }
    }
}
