//! Rounding a value to what the tool in hand can be set to, and saying that it was rounded.
//!
//! Rules (common practice, no source: the graduations of ordinary click wrenches, jugs, gauges and rules):
//! * In the unit it was written in, a value is shown in the figures it was written in, whole zeros and fractions kept. Only
//!   its decimal mark is always a point (ISO 80000-1 allows both marks; one page has one), since a comma beside a point
//!   makes people look twice. The source's own characters are quoted beside it.
//! * Elsewhere it goes to the nearest step of the unit: a torque in N·m or lbf·ft, for instance, to 0.05 below 2,
//!   0.1 below 5, 0.5 below 20, 1 below 200 and 5 from there. The steps are listed with the units in `units/`.
//! * A range is rounded inwards, so that no value shown lies outside what the source allows; one too narrow for that goes
//!   to the nearest steps.
//! * A value below five of the smallest steps keeps two significant figures instead, so that nothing is rounded away.

use std::fmt;

use rust_decimal::{Decimal, RoundingStrategy};
use serde::Serialize;

use super::span::join;
use super::units::Facts;

/// A value ready to be shown.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Shown {
    /// The figure alone, such as `84`, `2 1/2` or `54–61`.
    pub text: String,
    /// The name of the unit, such as `N·m`.
    pub unit: &'static str,
    /// Whether the figure differs from the exact value.
    pub rounded: bool,
}

impl Shown {
    /// A figure holds no comma but a decimal one: thousands marks are refused where it is read.
    pub(super) fn as_written(figure: &str, unit: &'static str) -> Self {
        Self { text: figure.replace(',', "."), unit, rounded: false }
    }
}

/// Figure and unit, as in `84 N·m` or `90°`.
impl fmt::Display for Shown {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let gap = if matches!(self.unit, "°" | "′") { "" } else { " " };
        write!(out, "{}{gap}{}", self.text, self.unit)
    }
}

pub(super) fn single(exact: Decimal, unit: Facts) -> Shown {
    let value = round(exact, unit, RoundingStrategy::MidpointAwayFromZero);
    Shown { text: text(value), unit: unit.name, rounded: value != exact }
}

pub(super) fn range(low: Decimal, high: Decimal, unit: Facts) -> Shown {
    let inwards = (
        round(low, unit, RoundingStrategy::ToPositiveInfinity),
        round(high, unit, RoundingStrategy::ToNegativeInfinity),
    );
    let nearest = |end| round(end, unit, RoundingStrategy::MidpointAwayFromZero);
    let (shown_low, shown_high) = if inwards.0 <= inwards.1 { inwards } else { (nearest(low), nearest(high)) };
    let text = if shown_low == shown_high { text(shown_low) } else { join(&text(shown_low), &text(shown_high)) };
    Shown { text, unit: unit.name, rounded: (shown_low, shown_high) != (low, high) }
}

fn round(exact: Decimal, unit: Facts, strategy: RoundingStrategy) -> Decimal {
    const FEWEST_STEPS: Decimal = Decimal::from_parts(5, 0, 0, false, 0);
    let size = exact.abs();
    let step = step_for(size, unit);
    let zero_is_nothing = unit.zero.is_zero();
    let rounded = if zero_is_nothing && size < step * FEWEST_STEPS {
        exact.round_sf_with_strategy(2, strategy)
    } else {
        exact.checked_div(step).and_then(|steps| steps.round_dp_with_strategy(0, strategy).checked_mul(step))
    };
    rounded.unwrap_or(exact).normalize()
}

fn step_for(size: Decimal, unit: Facts) -> Decimal {
    unit.steps.ladder.iter().find(|(below, _)| size < Decimal::from(*below)).map_or(unit.steps.last, |(_, step)| *step)
}

/// With a true minus sign.
fn text(value: Decimal) -> String {
    value.to_string().replace('-', "−")
}

#[cfg(test)]
mod tests {
    use super::super::amount::{Amount, Angle, Length, Pressure, Temperature, Torque, Volume};
    use super::super::span::Span;
    use super::super::units::{AngleUnit, LengthUnit, PressureUnit, TemperatureUnit, TorqueUnit, UnitSet, VolumeUnit};
    use super::*;

    fn shown<U: UnitSet>(text: &str, unit: U) -> (String, bool) {
        let shown = Amount::<U>::parse(text).unwrap().in_unit(unit);
        (shown.to_string(), shown.rounded)
    }

    #[test]
    fn torques_go_to_the_marks_of_a_click_wrench() {
        for (text, expected) in [
            ("62 lbf ft", "84 N·m"),
            ("10 lbf ft", "13.5 N·m"),
            ("2 lbf ft", "2.7 N·m"),
            ("180 lbf ft", "245 N·m"),
            ("1 ozf in", "0.0071 N·m"),
        ] {
            let (shown, rounded) = shown(text, TorqueUnit::NewtonMetre);
            assert_eq!(shown, expected);
            assert!(rounded);
        }
    }

    #[test]
    fn a_value_in_its_own_unit_keeps_its_figures_with_a_decimal_point() {
        let own = |text: &str, unit| Volume::parse(text).unwrap().in_unit(unit).to_string();
        assert_eq!(own("2 1/2 US quarts", VolumeUnit::UsQuart), "2 1/2 US qt");
        assert_eq!(own("4,23 l", VolumeUnit::Litre), "4.23 l");
        assert_eq!(own("2,0 l", VolumeUnit::Litre), "2.0 l");
        assert_eq!(Span::parse("4,2 - 4,6 l").unwrap().in_unit(VolumeUnit::Litre).to_string(), "4.2–4.6 l");
        let angle = Angle::parse("90 deg").unwrap();
        assert_eq!(angle.in_unit(AngleUnit::Degree).to_string(), "90°");
    }

    #[test]
    fn a_conversion_that_falls_on_a_mark_is_not_called_rounded() {
        let turn = shown("1/4 turn", AngleUnit::Degree);
        assert_eq!(turn, ("90°".to_owned(), false));
        let pint = shown("600 ml", VolumeUnit::Litre);
        assert_eq!(pint, ("0.6 l".to_owned(), false));
    }

    #[test]
    fn a_computed_value_is_rounded_in_its_own_unit_too() {
        let setting = Torque::computed(Decimal::new(66_667, 3), TorqueUnit::PoundForceFoot).unwrap();
        let shown = setting.in_unit(TorqueUnit::PoundForceFoot);
        assert_eq!((shown.text.as_str(), shown.rounded), ("67", true));
    }

    #[test]
    fn a_range_is_rounded_inwards() {
        let span = |text: &str, unit| Span::parse(text).unwrap().in_unit(unit).to_string();
        // 29.502 to 33.190 lbf·ft
        let unit = TorqueUnit::PoundForceFoot;
        assert_eq!(span("40-45 Nm", unit), "30–33 lbf·ft");
        // 29.502 to 29.576 lbf·ft: narrower than a step
        assert_eq!(span("40-40.1 Nm", unit), "30 lbf·ft");
        let cold = Span::parse("-10 to -5 °C").unwrap();
        assert_eq!(cold.in_unit(TemperatureUnit::Fahrenheit).to_string(), "14–23 °F");
        let colder = Span::parse("-40 to -30 °C").unwrap();
        assert_eq!(colder.in_unit(TemperatureUnit::Fahrenheit).to_string(), "−40 to −22 °F");
    }

    #[test]
    fn gauges_feelers_and_thermometers_have_their_own_marks() {
        let tyre = Pressure::parse("32 psi").unwrap();
        assert_eq!(tyre.in_unit(PressureUnit::Bar).to_string(), "2.2 bar");
        let plug = Length::parse("0.7 mm").unwrap();
        assert_eq!(plug.in_unit(LengthUnit::Inch).to_string(), "0.028 in");
        assert_eq!(plug.in_unit(LengthUnit::Thou).to_string(), "28 thou");
        let hot = Temperature::parse("88 °C").unwrap();
        assert_eq!(hot.in_unit(TemperatureUnit::Fahrenheit).to_string(), "190 °F");
    }
}
