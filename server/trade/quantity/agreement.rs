//! Whether two sources say the same.
//!
//! Two values agree when they differ by no more than a share of the larger: 5 % for torque, volume, pressure and percentages
//! (or 0.1 % of the whole), 2 % for length (or half a thou), angle (or 0.05°) and mass, 1 % for voltage (or
//! 0.01 V); temperatures when within 2 °C. A value agrees with a range it lies in, and a range with one that holds it.
//! Common practice, no source: about what rounding between unit systems and between printings of a manual brings.

use rust_decimal::Decimal;

use super::any::Quantity;
use super::dimension::Dimension;
use super::unit::with_units_of;
use super::units::{
    AngleUnit, LengthUnit, MassUnit, PercentUnit, PressureUnit, TemperatureUnit, Tolerance, TorqueUnit, UnitSet,
    VoltageUnit, VolumeUnit,
};

/// Whether two sources agree; never across dimensions.
pub fn agree(a: &Quantity, b: &Quantity) -> bool {
    let tolerance = with_units_of!(a.dimension(), Set => Set::TOLERANCE);
    a.dimension() == b.dimension() && ends_agree(a.base_ends(), b.base_ends(), tolerance)
}

/// Both in base units of one dimension, low end first.
pub(super) fn ends_agree(a: Ends, b: Ends, tolerance: Tolerance) -> bool {
    holds(a, b, tolerance) || holds(b, a, tolerance)
}

type Ends = (Decimal, Decimal);

fn holds(outer: Ends, inner: Ends, tolerance: Tolerance) -> bool {
    let above_low = inner.0 >= outer.0 || near(inner.0, outer.0, tolerance);
    let below_high = inner.1 <= outer.1 || near(inner.1, outer.1, tolerance);
    above_low && below_high
}

/// The sizes are bounded when values are made, so that nothing here can overflow.
fn near(a: Decimal, b: Decimal, tolerance: Tolerance) -> bool {
    let share = a.abs().max(b.abs()) * tolerance.percent / Decimal::ONE_HUNDRED;
    (a - b).abs() <= share.max(tolerance.floor)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn agree_as(dimension: Dimension, a: &str, b: &str) -> bool {
        let read = |text| Quantity::parse(dimension, text).unwrap();
        let (a, b) = (read(a), read(b));
        assert_eq!(agree(&a, &b), agree(&b, &a), "{a} and {b}, either way round");
        agree(&a, &b)
    }

    #[test]
    fn values_within_tolerance_agree_across_units() {
        assert!(agree_as(Dimension::Torque, "62 lbf ft", "84 Nm"));
        assert!(agree_as(Dimension::Torque, "100 Nm", "95 Nm"));
        assert!(agree_as(Dimension::Volume, "4.5 imp qt", "5.1 l"));
        assert!(agree_as(Dimension::Length, "0.7 mm", "0.028 in"));
        assert!(agree_as(Dimension::Temperature, "88 °C", "190 °F"));
        assert!(agree_as(Dimension::Temperature, "-1 °C", "1 °C"));
    }

    #[test]
    fn values_beyond_tolerance_disagree() {
        assert!(!agree_as(Dimension::Torque, "100 Nm", "94 Nm"));
        assert!(!agree_as(Dimension::Torque, "45 Nm", "45 lbf ft"));
        assert!(!agree_as(Dimension::Volume, "4.5 imp qt", "4.5 US qt"));
        assert!(!agree_as(Dimension::Temperature, "88 °C", "92 °C"));
        assert!(!agree_as(Dimension::Voltage, "12.6 V", "12.2 V"));
    }

    #[test]
    fn a_value_agrees_with_a_range_that_holds_it_but_half_meeting_ranges_do_not() {
        assert!(agree_as(Dimension::Torque, "40-50 Nm", "47 Nm"));
        assert!(agree_as(Dimension::Torque, "40-50 Nm", "41-49 Nm"));
        assert!(!agree_as(Dimension::Torque, "40-45 Nm", "44-60 Nm"));
    }

    #[test]
    fn different_dimensions_never_agree() {
        let torque = Quantity::parse(Dimension::Torque, "12 Nm").unwrap();
        let volts = Quantity::parse(Dimension::Voltage, "12 V").unwrap();
        assert!(!agree(&torque, &volts));
    }
}
