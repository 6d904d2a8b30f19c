//! Properties that must hold for any text and any value.

use proptest::prelude::*;
use rust_decimal::Decimal;

use super::{Dimension, Quantity, System, Unit, agree};

fn any_dimension() -> impl Strategy<Value = Dimension> {
    prop::sample::select(Dimension::ALL.to_vec())
}

fn any_unit() -> impl Strategy<Value = Unit> {
    let units: Vec<_> = Dimension::ALL.into_iter().flat_map(Unit::all).collect();
    prop::sample::select(units)
}

/// Words that look like values, to reach deeper than random letters do.
fn value_like() -> impl Strategy<Value = String> {
    let scraps = [
        "4", "0", "12", "999999", ",", ".", "/", "-", "−", "±", "…", "½", " ", " to ", "%", "°", "Nm", "lbf ft",
        "US qt", "qt", "mm", "1/2", "+", "(", "²", "C", "'",
    ];
    prop::collection::vec(prop::sample::select(scraps.to_vec()), 0..9).prop_map(|words| words.concat())
}

/// Uses everything that can be asked of a value.
fn exercise(dimension: Dimension, text: &str) {
    let Ok(quantity) = Quantity::parse(dimension, text) else {
        return;
    };
    for unit in Unit::all(dimension) {
        let (low, high) = quantity.to(unit).unwrap();
        assert!(low <= high);
        assert!(!quantity.in_unit(unit).unwrap().text.is_empty());
    }
    for system in [System::Metric, System::Inch] {
        assert!(!quantity.both(system).0.text.is_empty());
    }
    assert!(agree(&quantity, &quantity));
    assert_eq!(quantity.written(), text.trim());
}

proptest! {
    #[test]
    fn no_text_makes_it_panic(dimension in any_dimension(), text in any::<String>()) {
        exercise(dimension, &text);
    }

    #[test]
    fn no_value_like_text_makes_it_panic(dimension in any_dimension(), text in value_like()) {
        exercise(dimension, &text);
    }

    #[test]
    fn a_value_survives_the_way_there_and_back(unit in any_unit(), hundredths in 1_i64..90_000) {
        let number = Decimal::new(hundredths, 2);
        let text = format!("{number} {}", unit.code());
        let Ok(quantity) = Quantity::parse(unit.dimension(), &text) else {
            return Ok(());
        };
        for other in Unit::all(unit.dimension()) {
            let (there, _) = quantity.to(other).unwrap();
            let Ok(converted) = Quantity::parse(unit.dimension(), &format!("{there} {}", other.code())) else {
                continue;
            };
            let (back, _) = converted.to(unit).unwrap();
            prop_assert!((back - number).abs() < Decimal::new(1, 18), "{text} by {other:?} came back as {back}");
        }
    }

    #[test]
    fn a_shown_range_never_leaves_the_written_one(unit in any_unit(), low in 1_i64..90_000, more in 0_i64..90_000) {
        let (low, high) = (Decimal::new(low, 2), Decimal::new(low + more, 2));
        let text = format!("{low} to {high} {}", unit.code());
        let Ok(quantity) = Quantity::parse(unit.dimension(), &text) else {
            return Ok(());
        };
        for other in Unit::all(unit.dimension()) {
            let shown = quantity.in_unit(other).unwrap();
            let Some((from, to)) = shown.text.split_once('–') else {
                continue;
            };
            let (exact_from, exact_to) = quantity.to(other).unwrap();
            let end = |text: &str| Decimal::from_str_exact(text).unwrap();
            let inside = exact_from <= end(from) && end(to) <= exact_to;
            let narrow = exact_to - exact_from < end(to) - end(from);
            prop_assert!(inside || narrow || !shown.rounded, "{text} shown as {shown}");
        }
    }
}
