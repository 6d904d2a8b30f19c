//! Limits against the documents that set them. Read in the source: 49 CFR 570.7, the US Army manuals on compression and
//! batteries. Read in pages that quote them: 49 CFR 570.5 and 570.9 (through RCW 46.37), the MOT manual (2012 copies). Battery
//! voltages: two lists of common practice.

use rust_decimal::Decimal;
use underlamp::trade::limits::*;
use underlamp::trade::quantity::{Angle, AngleUnit, Length, LengthUnit, Pressure, Temperature, Voltage};

fn length(text: &str) -> Length {
    Length::parse(text).unwrap()
}

fn decimal(text: &str) -> Decimal {
    text.parse().unwrap()
}

/// Sources: US Army TM 5-4210-230-14&P-1 (75 %), TM 1-1500-204-23-1 (20 % below the average), TM 10-3930-618-20 (10 psi),
/// TM 5-3895-359-14&P (25 psi), TM 5-2420-230-24-2 (100 psi); within 10 %: a forum.
#[test]
fn compression_is_judged_by_the_rule_that_was_picked() {
    use CompressionRule::{BelowMean, Spread10, Spread25, Spread100, TenPercent, ThreeQuarters};
    for (rule, psi, outcome) in [
        (ThreeQuarters, [160, 155, 150, 145], Outcome::Pass),
        (ThreeQuarters, [160, 155, 150, 125], Outcome::Watch),
        (ThreeQuarters, [160, 155, 150, 120], Outcome::Watch),
        (ThreeQuarters, [160, 155, 150, 119], Outcome::Fail),
        (BelowMean, [100, 100, 100, 60], Outcome::Fail),
        (BelowMean, [100, 100, 100, 75], Outcome::Watch),
        (TenPercent, [160, 160, 160, 144], Outcome::Watch),
        (TenPercent, [160, 160, 160, 143], Outcome::Fail),
        (Spread10, [125, 120, 121, 122], Outcome::Pass),
        (Spread10, [125, 120, 121, 114], Outcome::Fail),
        (Spread25, [400, 390, 380, 375], Outcome::Watch),
        (Spread25, [400, 390, 380, 374], Outcome::Fail),
        (Spread100, [350, 340, 330, 300], Outcome::Pass),
        (Spread100, [350, 340, 330, 249], Outcome::Fail),
    ] {
        let cylinders = psi.map(|reading| Pressure::parse(&format!("{reading} psi")).unwrap());
        let judged = judge_compression(rule, &cylinders).unwrap();
        assert_eq!(judged.outcome, outcome, "{rule} {psi:?}: {}", judged.says);
    }
}

/// The same engine passes by one rule and fails by another: the person must choose.
#[test]
fn the_same_readings_pass_one_rule_and_fail_another() {
    let cylinders = ["10.0 bar", "9.8 bar", "9.9 bar", "8.9 bar"].map(|text| Pressure::parse(text).unwrap());
    let outcome = |rule| judge_compression(rule, &cylinders).unwrap().outcome;
    assert_eq!(outcome(CompressionRule::ThreeQuarters), Outcome::Pass);
    assert_eq!(outcome(CompressionRule::TenPercent), Outcome::Fail);
}

/// Source: TM 5-4210-230-14&P-1, addendum 2.
#[test]
fn a_spoon_of_oil_tells_rings_from_valves_and_gasket() {
    let pressure = |text| Pressure::parse(text).unwrap();
    let test = |oiled, neighbour| oil_test(&pressure("6 bar"), &pressure(oiled), neighbour).may_be;
    assert!(test("8 bar", false).contains("rings"));
    assert!(test("6.1 bar", false).contains("valve"));
    assert!(test("6.1 bar", true).contains("gasket"));
}

/// Source: the two lists of common practice; charge in percent by list 1 and list 2.
#[test]
fn the_charge_at_rest_lies_between_the_two_lists() {
    for (volts, list_1, list_2) in [
        ("12.6", Some("100"), None),
        ("12.4", Some("75"), None),
        ("12.2", Some("50"), None),
        ("12.0", Some("25"), None),
        ("11.6", Some("0"), None),
        ("12.66", None, Some("100")),
        ("12.45", None, Some("75")),
        ("12.30", None, Some("50")),
        ("12.15", None, Some("25")),
    ] {
        let charge = charge_at_rest(&Voltage::parse(&format!("{volts} V")).unwrap(), Nominal::Twelve).unwrap();
        assert!(list_1.is_none_or(|expected| charge.high == decimal(expected)), "{volts} V: {charge:?}");
        assert!(list_2.is_none_or(|expected| charge.low == decimal(expected)), "{volts} V: {charge:?}");
    }
}

/// Source: an engine maker's service manual (read in a copy): 0.004 for each 10 °F from 80 °F.
#[test]
fn gravity_is_corrected_for_temperature_as_in_the_published_examples() {
    for (reading, fahrenheit, corrected) in
        [("1.250", "20", "1.226"), ("1.235", "100", "1.243"), ("1.260", "80", "1.260")]
    {
        let acid = Temperature::parse(&format!("{fahrenheit} °F")).unwrap();
        let gravity = corrected_gravity(Gravity::parse(reading).unwrap(), &acid);
        assert_eq!(gravity.to_string(), corrected, "{reading} at {fahrenheit} °F");
    }
}

/// Source: TM 9-6140-200-14: more than 0.025 between any two cells of a charged battery.
#[test]
fn cells_more_than_twenty_five_points_apart_fail() {
    let judged = |cells: [&str; 3]| judge_cells(&cells.map(|cell| Gravity::parse(cell).unwrap())).unwrap();
    assert_eq!(judged(["1.270", "1.265", "1.268"]).outcome, Outcome::Pass);
    assert_eq!(judged(["1.270", "1.245", "1.268"]).outcome, Outcome::Watch);
    let failing = judged(["1.270", "1.244", "1.268"]);
    assert_eq!(failing.outcome, Outcome::Fail);
    assert!(failing.says.contains("cell 2"), "{}", failing.says);
    assert_eq!(judged(["1.210", "1.212", "1.214"]).outcome, Outcome::Watch);
}

/// Sources: MOT manual (1.6 mm), 49 CFR 570.9 through RCW 46.37.425(4) (2/32 in).
#[test]
fn tread_is_judged_by_its_shallowest_groove_and_the_countrys_limit() {
    for (rule, depths, outcome) in [
        (TreadRule::Uk, ["5 mm", "6 mm", "5 mm"], Outcome::Pass),
        (TreadRule::Uk, ["5 mm", "2.9 mm", "5 mm"], Outcome::Watch),
        (TreadRule::Uk, ["5 mm", "6 mm", "1.6 mm"], Outcome::Watch),
        (TreadRule::Uk, ["5 mm", "6 mm", "1.59 mm"], Outcome::Fail),
        (TreadRule::Us, ["5 mm", "6 mm", "1.59 mm"], Outcome::Watch),
        (TreadRule::Us, ["6/32 in", "2/32 in", "6/32 in"], Outcome::Watch),
        (TreadRule::Us, ["6/32 in", "0.062 in", "6/32 in"], Outcome::Fail),
    ] {
        let judged = judge_tread(rule, &depths.map(length)).unwrap();
        assert_eq!(judged.outcome, outcome, "{rule} {depths:?}: {}", judged.says);
    }
    assert_eq!(judge_tread(TreadRule::Uk, &[]), Err(TreadError::NoDepths));
    assert!(matches!(judge_tread(TreadRule::Uk, &[length("5 in")]), Err(TreadError::TooDeep(_))));
}

/// Sources: MOT manual of 2012, section 3.5 (1.5 mm); 49 CFR 570.5 through RCW 46.37.360(5) (1/32 in).
#[test]
fn linings_have_another_limit_in_each_country() {
    for (rule, thinnest, outcome) in [
        (LiningRule::Uk, "4 mm", Outcome::Pass),
        (LiningRule::Uk, "1.5 mm", Outcome::Watch),
        (LiningRule::Uk, "1.4 mm", Outcome::Fail),
        (LiningRule::Us, "1.4 mm", Outcome::Watch),
        (LiningRule::Us, "1/32 in", Outcome::Watch),
        (LiningRule::Us, "0.7 mm", Outcome::Fail),
    ] {
        assert_eq!(judge_lining(rule, &length(thinnest)).outcome, outcome, "{rule} {thinnest}");
    }
}

/// Source: 49 CFR 570.7(a), table 1. Between two rows the next smaller counts.
#[test]
fn play_at_the_wheel_follows_the_federal_table() {
    for (wheel, most) in [
        ("14 in", "2"),
        ("16 in", "2"),
        ("17 in", "2"),
        ("18 in", "2.25"),
        ("20 in", "2.50"),
        ("22 in", "2.75"),
        ("24 in", "2.75"),
    ] {
        let outcome = |play: Decimal| {
            let play = length(&format!("{play} in"));
            judge_play_us(&play, &length(wheel)).unwrap().outcome
        };
        assert_ne!(outcome(decimal(most)), Outcome::Fail, "{wheel}");
        assert_eq!(outcome(decimal(most) + decimal("0.01")), Outcome::Fail, "{wheel}");
    }
    assert!(judge_play_us(&length("1 in"), &length("16 mm")).is_err());
}

/// Source: MOT manual of 2012, section 2.2: 13 mm and 75 mm at a wheel of 380 mm.
#[test]
fn play_at_the_wheel_scales_with_the_wheel_in_the_british_manual() {
    let outcome = |play, wheel, steering| judge_play_uk(&length(play), &length(wheel), steering).unwrap().outcome;
    assert_eq!(outcome("13 mm", "380 mm", SteeringBox::Rack), Outcome::Watch);
    assert_eq!(outcome("13.1 mm", "380 mm", SteeringBox::Rack), Outcome::Fail);
    assert_eq!(outcome("13.1 mm", "400 mm", SteeringBox::Rack), Outcome::Watch);
    assert_eq!(outcome("60 mm", "380 mm", SteeringBox::Other), Outcome::Pass);
    assert_eq!(outcome("76 mm", "380 mm", SteeringBox::Other), Outcome::Fail);
}

/// Source: 49 CFR 570.7(b) (1/4 in at the tread) and 570.7(d) (1.5 times the maker's toe).
#[test]
fn linkage_play_and_toe_have_their_federal_limits() {
    assert_ne!(judge_linkage_play(&length("1/4 in")).outcome, Outcome::Fail);
    assert_eq!(judge_linkage_play(&length("6.4 mm")).outcome, Outcome::Fail);
    let toe = |measured| judge_toe(&length(measured), &length("2 mm")).unwrap().outcome;
    assert_eq!((toe("2 mm"), toe("3 mm"), toe("3.1 mm")), (Outcome::Pass, Outcome::Watch, Outcome::Fail));
}

/// Source: 49 CFR 570.10(b): 1/8 in of total indicator reading.
#[test]
fn a_wheel_may_run_out_by_an_eighth_of_an_inch() {
    let outcome = |text| judge_wheel_run_out(&length(text)).outcome;
    assert_eq!((outcome("1 mm"), outcome("1/8 in"), outcome("3.2 mm")), (Outcome::Pass, Outcome::Watch, Outcome::Fail));
}

/// Source: 49 CFR 570.5(c) through RCW 46.37.360(2), 80 %; the formula (A − B)/A as subpart B writes it.
#[test]
fn a_brake_pedal_may_use_four_fifths_of_its_way() {
    let judged = |free, pressed| judge_pedal_travel(&length(free), &length(pressed)).map(|judged| judged.outcome);
    assert_eq!(judged("150 mm", "75 mm"), Ok(Outcome::Pass));
    assert_eq!(judged("150 mm", "30 mm"), Ok(Outcome::Watch));
    assert_eq!(judged("150 mm", "1.1 in"), Ok(Outcome::Fail));
    assert!(judged("75 mm", "150 mm").unwrap_err().to_string().contains("wrong way round"));
    assert!(judged("0 mm", "0 mm").is_err());
}

/// Source: geometry: 2 · D · sin(θ/2); 20 minutes at 350 mm are 2.036 mm, one degree at 400 mm is 6.981 mm.
#[test]
fn toe_in_minutes_and_in_millimetres_at_the_rim_agree() {
    for (minutes, rim, expected) in [("20", "350 mm", "2.036"), ("60", "400 mm", "6.981"), ("-20", "350 mm", "2.036")] {
        let angle = Angle::parse(&format!("{minutes} arcmin")).unwrap();
        let difference = toe_length(&angle, &length(rim)).unwrap();
        assert_eq!(difference.to(LengthUnit::Millimetre).round_dp(3), decimal(expected), "{minutes}′");
    }
    let angle = toe_angle(&length("2.036 mm"), &length("350 mm")).unwrap();
    assert_eq!(angle.to(AngleUnit::ArcMinute).round_dp(1), decimal("20.0"));
}

/// Source: F. J. Anscombe, Graphs in Statistical Analysis, 1973, data set 1 (from memory): y = 3.00 + 0.500 x, standard error
/// of the slope 0.118.
#[test]
fn the_line_through_a_published_data_set_has_its_published_slope() {
    const DATA: [(i32, &str); 11] = [
        (10, "8.04"),
        (8, "6.95"),
        (13, "7.58"),
        (9, "8.81"),
        (11, "8.33"),
        (14, "9.96"),
        (6, "7.24"),
        (4, "4.26"),
        (12, "10.84"),
        (7, "4.82"),
        (5, "5.68"),
    ];
    let readings = DATA.map(|(day, mm)| (Day(day), length(&format!("{mm} mm"))));
    let trend = Trend::of(&readings).unwrap();
    assert!((trend.slope() - 0.500).abs() < 0.0005, "{}", trend.slope());
    assert!((trend.slope_error() - 0.118).abs() < 0.0005, "{}", trend.slope_error());
    assert!((trend.on(Day(0)) - 3.00).abs() < 0.005, "{}", trend.on(Day(0)));
    assert!(trend.is_clear());
}
