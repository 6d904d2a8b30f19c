//! Brake fluids against the figures of 49 CFR 571.116 (FMVSS 116), S5.1.1–S5.1.4, and ISO 4925.
//!
//! The number tables of the regulation were not read in the source; four secondary pages that quote them agree. The values
//! of ISO 4925 classes 6 and 7 are from memory. Colours: S5.1.14, read in letters of NHTSA's Chief Counsel (1980 to 1991).
//! That DOT 5.1 is colourless to amber was read in an encyclopaedia.

use underlamp::trade::fluid::{BrakeFluid, Fluid, Verdict, mixes, suits};

fn brake(text: &str) -> BrakeFluid {
    match Fluid::parse(text) {
        Ok(Fluid::Brake(brake)) => brake,
        other => panic!("{text} was read as {other:?}"),
    }
}

fn fluid(text: &str) -> Fluid {
    Fluid::parse(text).unwrap_or_else(|refusal| panic!("{text}: {refusal}"))
}

/// Source: 49 CFR 571.116, S5.1.1–S5.1.3, as quoted. Grade, dry and wet boiling point in °C, viscosity at −40 °C in mm²/s.
const GRADES: [(&str, u32, u32, u32); 4] =
    [("DOT 3", 205, 140, 1500), ("DOT 4", 230, 155, 1800), ("DOT 5", 260, 180, 900), ("DOT 5.1", 260, 180, 900)];

#[test]
fn each_grade_has_the_boiling_points_and_viscosity_of_the_regulation() {
    for (grade, dry, wet, cold) in GRADES {
        let limits = brake(grade).limits().unwrap();
        assert_eq!((limits.dry_boiling, limits.wet_boiling, limits.thickest_cold), (dry, wet, cold), "{grade}");
    }
}

/// Source: ISO 4925, from memory; the classes and their DOT grades as an encyclopaedia lists them.
#[test]
fn iso_and_sae_numbers_name_the_same_grades() {
    for (number, grade, dry, wet, cold) in [
        ("ISO 4925 class 6", "DOT 4 low viscosity ISO 4925 class 6", 250, 165, 750),
        ("ISO 4925 class 7", "DOT 5.1 low viscosity ISO 4925 class 7", 260, 180, 750),
        ("ISO 4925 class 3", "DOT 3", 205, 140, 1500),
        ("ISO 4925 class 5-1", "DOT 5.1", 260, 180, 900),
    ] {
        let limits = brake(number).limits().unwrap();
        assert_eq!(brake(number), brake(grade), "{number}");
        assert_eq!((limits.dry_boiling, limits.wet_boiling, limits.thickest_cold), (dry, wet, cold), "{number}");
    }
    for (number, grade) in
        [("SAE J1703", "DOT 3"), ("SAE J1704", "DOT 4"), ("SAE J1705", "DOT 5"), ("ISO 4925 class 4", "DOT 4")]
    {
        assert_eq!(brake(number), brake(grade), "{number}");
    }
}

/// Source: 49 CFR 571.116, S5.1.14.
#[test]
fn new_fluids_have_the_colours_of_the_regulation() {
    for (text, colour) in [
        ("DOT 3", "colourless to amber"),
        ("DOT 4", "colourless to amber"),
        ("DOT 5.1", "colourless to amber"),
        ("DOT 5 silicone", "purple"),
        ("hydraulic system mineral oil", "green"),
    ] {
        assert_eq!(brake(text).colour_when_new(), colour, "{text}");
    }
}

/// Source: advice of fluid makers, as quoted; that the lowest grade governs follows from the limits. The regulation has no
/// mixing table.
#[test]
fn glycol_grades_mix_and_nothing_else_does() {
    for (a, b, verdict) in [
        ("DOT 3", "DOT 4", Verdict::Yes),
        ("DOT 3", "DOT 5.1", Verdict::Yes),
        ("DOT 4", "DOT 5.1", Verdict::Yes),
        ("DOT 5", "DOT 3", Verdict::No),
        ("DOT 5", "DOT 4", Verdict::No),
        ("DOT 5", "DOT 5.1", Verdict::No),
        ("mineral brake oil", "DOT 3", Verdict::No),
        ("mineral brake oil", "DOT 4", Verdict::No),
        ("mineral brake oil", "DOT 5", Verdict::No),
        ("mineral brake oil", "DOT 5.1", Verdict::No),
    ] {
        assert_eq!(mixes(&fluid(a), &fluid(b)).verdict, verdict, "{a} / {b}");
        assert_eq!(mixes(&fluid(b), &fluid(a)).verdict, verdict, "{b} / {a}");
    }
}

/// Source: the limits above: a fluid stands in for another only if it boils no lower.
#[test]
fn a_higher_glycol_grade_may_replace_a_lower_one_and_never_the_other_way() {
    for (wanted, offered, verdict) in [
        ("DOT 3", "DOT 4", Verdict::Yes),
        ("DOT 3", "DOT 5.1", Verdict::Yes),
        ("DOT 4", "DOT 5.1", Verdict::Yes),
        ("DOT 4", "DOT 3", Verdict::No),
        ("DOT 5.1", "DOT 4", Verdict::No),
        ("DOT 5.1", "ISO 4925 class 6", Verdict::No),
        ("DOT 4", "ISO 4925 class 6", Verdict::Yes),
        ("ISO 4925 class 6", "DOT 5.1", Verdict::No),
        ("ISO 4925 class 6", "ISO 4925 class 7", Verdict::Yes),
        ("DOT 5.1", "DOT 5", Verdict::No),
        ("DOT 5", "DOT 5.1", Verdict::No),
        ("DOT 4", "mineral brake oil", Verdict::No),
        ("mineral brake oil", "DOT 5.1", Verdict::No),
    ] {
        assert_eq!(suits(&fluid(wanted), &fluid(offered)).verdict, verdict, "{wanted} / {offered}");
    }
}

#[test]
fn silicone_into_glycol_is_refused_with_the_reason_and_the_way_out_of_the_name() {
    let answer = mixes(&fluid("DOT 4"), &fluid("DOT 5"));
    assert!(answer.says.contains("never"), "{}", answer.says);
    assert!(answer.says.contains("DOT 5.1 is close"), "{}", answer.says);
}

/// Some pages print 270 °C and 191 °C for DOT 5.1; that is not the federal minimum.
#[test]
fn dot_5_1_is_not_given_the_figures_of_a_well_known_misprint() {
    let limits = brake("DOT 5.1").limits().unwrap();
    assert_ne!((limits.dry_boiling, limits.wet_boiling), (270, 191));
}
