//! Unit conversion against published factors and against a reference library.
//!
//! * `data/units_nist.csv`: NIST Special Publication 811 (2008), appendix B.8; its head says which figure was read where.
//! * `data/units_pint.csv`: the Python library pint, by `pint_units.py`, which checks the file again with `--check`.

use std::collections::HashSet;

use rust_decimal::Decimal;
use underlamp::trade::quantity::*;

struct Row {
    line: &'static str,
    dimension: Dimension,
    value: &'static str,
    from: Unit,
    expected: &'static str,
    to: Unit,
    exact: bool,
}

impl Row {
    fn read(line: &'static str) -> Self {
        let cells: Vec<_> = line.split(',').collect();
        let unit = |code: &str| Unit::from_code(code).unwrap_or_else(|| panic!("unit {code}"));
        Self {
            line,
            dimension: Dimension::from_code(cells[0]).unwrap(),
            value: cells[1],
            from: unit(cells[2]),
            expected: cells[3],
            to: unit(cells[4]),
            exact: cells.get(5) == Some(&"yes"),
        }
    }

    fn converted(&self) -> Decimal {
        let text = format!("{} {}", self.value, self.from.code());
        let quantity = Quantity::parse(self.dimension, &text).unwrap();
        quantity.to(self.to).unwrap().0
    }
}

fn rows(table: &'static str) -> Vec<Row> {
    let data = table.lines().filter(|line| !line.starts_with('#'));
    data.skip(1).map(Row::read).collect()
}

fn nist() -> Vec<Row> {
    rows(include_str!("data/units_nist.csv"))
}

fn pint() -> Vec<Row> {
    rows(include_str!("data/units_pint.csv"))
}

/// Source: NIST SP 811 (2008), B.8, and the definitions it states.
#[test]
fn exact_factors_come_out_to_the_last_digit() {
    for row in nist().into_iter().filter(|row| row.exact) {
        let expected = Decimal::from_str_exact(row.expected).unwrap();
        assert_eq!(row.converted(), expected, "{}", row.line);
    }
}

/// Source: NIST SP 811 (2008), B.8: factors given to seven digits, and points computed from the definitions.
#[test]
fn rounded_factors_come_out_within_their_last_digit() {
    for row in nist().into_iter().filter(|row| !row.exact) {
        let expected = Decimal::from_str_exact(row.expected).unwrap();
        let half_a_place = Decimal::new(5, expected.scale() + 1);
        let off = (row.converted() - expected).abs();
        assert!(off <= half_a_place, "{} came out as {}", row.line, row.converted());
    }
}

/// Source: pint 0.25.3, calculating in decimals; both sides round, so the last of 28 digits may differ.
#[test]
fn every_conversion_agrees_with_the_reference_library_to_twenty_two_digits() {
    let rows = pint();
    assert!(rows.len() >= 300);
    for row in rows {
        let expected = Decimal::from_str_exact(row.expected).unwrap();
        let off = (row.converted() - expected).abs();
        let allowed = expected.abs() * Decimal::new(1, 22) + Decimal::new(1, 27);
        assert!(off <= allowed, "{} came out as {}", row.line, row.converted());
    }
}

#[test]
fn the_reference_library_was_asked_for_every_pair_of_units() {
    let asked: HashSet<_> = pint().iter().map(|row| (row.from, row.to)).collect();
    for dimension in Dimension::ALL {
        for from in Unit::all(dimension) {
            for to in Unit::all(dimension) {
                assert!(from == to || asked.contains(&(from, to)), "{from:?} {to:?}");
            }
        }
    }
}

/// Source: 1 imp qt = 1.1365225 l and 1 US qt = 0.946352946 l (NIST SP 811, from the gallons).
#[test]
fn a_quart_without_a_country_is_refused_because_the_two_differ_by_twenty_percent() {
    let quart = |text| Volume::parse(text).unwrap().to(VolumeUnit::Litre);
    let share = quart("1 imp qt") / quart("1 US qt");
    assert_eq!(share.round_dp(2), Decimal::new(120, 2));
    assert!(Volume::parse("1 qt").unwrap_err().to_string().contains("20 %"));
}

/// Source: twelve inches to the foot (NIST SP 811).
#[test]
fn a_pound_inch_is_a_twelfth_of_a_pound_foot() {
    let foot = Torque::parse("1 lbf ft").unwrap();
    assert_eq!(foot.to(TorqueUnit::PoundForceInch), Decimal::from(12));
}

/// Source: the kilogram-force metre of older metric manuals, 9.80665 N·m (NIST SP 811, B.8); its short spellings are common
/// practice, no source.
#[test]
fn the_kilogram_metre_of_an_old_manual_is_read_as_kilogram_force() {
    for text in ["1 kgm", "1 mkg", "1 kgf m", "1 kpm"] {
        let torque = Torque::parse(text).unwrap();
        assert_eq!(torque.to(TorqueUnit::NewtonMetre), Decimal::new(980_665, 5), "{text}");
    }
}
