//! Coolant: freezing points against a reference library and published tables, and the arithmetic of mixing.
//!
//! * `data/coolant_coolprop.csv`: the library CoolProp 8.0.0, by `coolprop_freeze.py`, which checks the file again with
//!   `--check`. By mass: pure ethylene glycol. By volume: the ASHRAE set.
//! * Service tables of one maker of heavy diesel engines (1997, and a later one), read in copies of its manuals.
//! * ASHRAE Handbook Fundamentals, by mass: from memory.
//! * Weight to volume: a glossary's worked example after ASHRAE 1993.

use rust_decimal::Decimal;
use underlamp::trade::fluid::{Basis, Strength, Table, by_volume, exchange, frost, strength_after};
use underlamp::trade::quantity::{Percent, Volume, VolumeUnit};

fn decimal(text: &str) -> Decimal {
    text.parse().unwrap()
}

fn percent(text: &str) -> Percent {
    Percent::parse(&format!("{text} %")).unwrap()
}

struct Row {
    basis: Basis,
    percent: &'static str,
    freezes: Decimal,
}

fn coolprop() -> Vec<Row> {
    let table = include_str!("data/coolant_coolprop.csv");
    let rows = table.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.map(|line| {
        let cells: Vec<_> = line.split(',').collect();
        Row { basis: Basis::from_name(cells[0]).unwrap(), percent: cells[1], freezes: decimal(cells[2]) }
    })
    .collect()
}

fn said(strength: &str, basis: Basis, table: Table) -> Option<Decimal> {
    let frost = frost(&percent(strength), basis).unwrap();
    frost.tables.iter().find(|said| said.table == table).map(|said| said.freezes.number())
}

/// Source: CoolProp 8.0.0. Straight lines between the five-percent points may add a tenth of a degree, rounding another.
#[test]
fn the_curves_follow_the_reference_library_at_every_whole_percent() {
    let rows = coolprop();
    assert_eq!(rows.len(), 2 * 51);
    for row in rows {
        let table = match row.basis {
            Basis::Volume => Table::AshraeByVolume,
            Basis::Mass => Table::PureByMass,
        };
        let found = said(row.percent, row.basis, table).unwrap();
        assert!((found - row.freezes).abs() <= decimal("0.2"), "{} % {}: {found}", row.percent, row.basis);
    }
}

/// Source: the two service tables: °C at percent of concentrate by volume.
#[test]
fn both_service_tables_are_kept_as_they_were_printed() {
    for (strength, table_1997, later) in [
        ("15", Some("-7"), "-6"),
        ("20", Some("-10"), "-9"),
        ("25", Some("-14"), "-12"),
        ("30", Some("-18"), "-16"),
        ("35", Some("-24"), "-22"),
        ("40", Some("-30"), "-27"),
        ("45", Some("-38"), "-32"),
        ("50", Some("-40"), "-46"),
        ("60", None, "-55"),
    ] {
        assert_eq!(said(strength, Basis::Volume, Table::Service1997), table_1997.map(decimal), "{strength} %");
        assert_eq!(said(strength, Basis::Volume, Table::ServiceLater), Some(decimal(later)), "{strength} %");
    }
}

/// Source: ASHRAE Handbook Fundamentals, by mass, from memory; its figures are the warmer ones.
#[test]
fn by_mass_the_figure_to_count_on_is_that_of_the_handbook() {
    for (mass, freezes) in
        [("10", "-3.2"), ("20", "-7.8"), ("30", "-14.1"), ("40", "-22.3"), ("50", "-33.8"), ("60", "-48.3")]
    {
        assert_eq!(frost(&percent(mass), Basis::Mass).unwrap().count_on.number(), decimal(freezes), "{mass} %");
    }
}

/// Half and half protects by volume to about −37 °C at the cautious end and −46 °C at the other: 9 K apart.
#[test]
fn the_two_bases_and_the_spread_of_the_tables_are_kept_apart() {
    let volume = frost(&percent("50"), Basis::Volume).unwrap();
    let mass = frost(&percent("50"), Basis::Mass).unwrap();
    assert_eq!((volume.count_on.number(), volume.at_best.number()), (decimal("-37.1"), decimal("-46")));
    assert_ne!(volume.count_on, mass.count_on);
}

/// Source: a glossary's example after ASHRAE 1993: a system of 1000 gallons at 30 % by weight, density 1.1155, takes
/// 277.6 gallons of glycol.
#[test]
fn thirty_percent_by_weight_is_277_6_gallons_in_a_thousand() {
    let share = by_volume(&percent("30"));
    let gallons = share.number() * decimal("10");
    assert_eq!(gallons.round_dp(1), decimal("277.6"));
}

/// Source: balance of volumes: 8 l at 30 %, wanted 50 %, neat concentrate: drain 2.286 l.
#[test]
fn eight_litres_at_thirty_percent_are_brought_to_fifty_by_draining_two_point_three() {
    let system = Volume::parse("8 l").unwrap();
    let strength = |text| Strength::parse(text).unwrap();
    let change = exchange(&system, strength("30"), strength("50"), Strength::NEAT).unwrap();
    assert_eq!(change.volume.to(VolumeUnit::Litre).round_dp(3), decimal("2.286"));
}

/// Source: the same balance, the other way round.
#[test]
fn what_is_drained_and_poured_gives_the_strength_that_was_wanted() {
    let system = Volume::parse("2 imp gal").unwrap();
    for (present, wanted) in [(0, 33), (20, 50), (30, 50), (50, 60), (60, 40), (70, 35), (100, 50)] {
        let [present, wanted] = [present, wanted].map(|whole: i32| Strength::parse(&whole.to_string()).unwrap());
        let poured = if wanted > present { Strength::NEAT } else { Strength::WATER };
        let change = exchange(&system, present, wanted, poured).unwrap();
        let reached = strength_after(&system, present, &change.volume, poured).unwrap();
        assert_eq!(reached.percent().round_dp(20), wanted.percent(), "{present} to {wanted}");
    }
}

#[test]
fn a_hundred_and_thirty_percent_is_refused_with_a_sentence_that_helps() {
    let refusal = Strength::parse("130 %").unwrap_err().to_string();
    assert!(refusal.contains("130 % cannot be") && refusal.contains("Read the tester"), "{refusal}");
}
