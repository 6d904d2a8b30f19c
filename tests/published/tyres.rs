//! Tyre markings. Date codes: 49 CFR 574.5, with the examples of a van owner's manual of 2006 (page 197); the sentence of
//! the regulation itself was not read. Load indices and speed symbols: from memory of UN Regulation 30, held against the law
//! that the table was made by.

use rust_decimal::Decimal;
use underlamp::trade::marking::{DateCode, SpeedSymbol, Subject, TyreSize, load_of_index, read};
use underlamp::trade::quantity::LengthUnit;

/// Source: the owner's manual.
#[test]
fn date_codes_of_three_and_four_figures_are_read_as_published() {
    for (code, week, years) in [("0301", 3, vec![2001]), ("031", 3, vec![1981, 1991]), ("2501", 25, vec![2001])] {
        let date = DateCode::parse(code).unwrap();
        assert_eq!((date.week, date.years.clone()), (week, years), "{code}");
        assert_eq!(date.is_ambiguous(), code.len() == 3, "{code}");
    }
}

/// Three figures were given up in July 2000 (64 FR 36807, 8 July 1999).
#[test]
fn a_three_figure_code_is_said_to_be_ambiguous_and_over_age() {
    let found = read("DOT AB12 CDE 031");
    assert_eq!(found[0].subject, Subject::TyreDate);
    assert!(found[0].means.contains("before 2000") && found[0].means.contains("decade"), "{}", found[0].means);
    assert!(found[0].notes[0].contains("over age"));
}

/// Source: load index doubles every 24 steps and is 450 kg at 80: 45 kg · 10^(index/80), rounded to handy figures.
#[test]
fn every_load_is_within_two_percent_of_the_law_behind_the_table() {
    for index in 60..=121 {
        let law = 45.0 * 10_f64.powf(f64::from(index) / 80.0);
        let load = f64::from(load_of_index(index).unwrap());
        assert!((load / law - 1.0).abs() < 0.02, "{index}: {load} kg, {law:.0} by the law");
        assert!(index == 60 || load_of_index(index) > load_of_index(index - 1));
    }
    assert_eq!((load_of_index(80), load_of_index(100), load_of_index(59)), (Some(450), Some(800), None));
}

/// Source: UN Regulation 30, from memory.
#[test]
fn speed_symbols_climb_and_h_stands_after_u() {
    assert!(SpeedSymbol::ALL.is_sorted_by_key(|symbol| symbol.up_to()));
    for (symbol, speed) in [(SpeedSymbol::S, 180), (SpeedSymbol::T, 190), (SpeedSymbol::H, 210), (SpeedSymbol::V, 240)]
    {
        assert_eq!(symbol.up_to(), speed);
    }
}

/// Source: the size itself: 2 · 185 · 0.65 + 14 · 25.4 = 596.1 mm.
#[test]
fn the_diameter_follows_from_the_size() {
    let size = TyreSize::parse("185/65 R14 86T").unwrap();
    assert_eq!(size.diameter().unwrap().to(LengthUnit::Millimetre), "596.1".parse::<Decimal>().unwrap());
    assert_eq!(TyreSize::parse("165 SR 13").unwrap().diameter(), None);
}

#[test]
fn a_sidewall_is_explained_in_sentences() {
    let found = &read("185/65 R14 86T")[0];
    for part in ["185 mm wide", "radial", "14 in", "65 %", "530 kg", "190 km/h"] {
        assert!(found.means.contains(part), "{part}: {}", found.means);
    }
    let old = &read("6.00-16")[0];
    assert!(old.means.contains("6.00 in wide, cross-ply"), "{}", old.means);
}
