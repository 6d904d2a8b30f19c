//! A unit of any dimension, as it is stored and offered in forms.

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::dimension::{Dimension, System};
use super::spelling;
use super::units::{
    AngleUnit, Facts, LengthUnit, MassUnit, PercentUnit, PressureUnit, TemperatureUnit, TorqueUnit, UnitSet,
    VoltageUnit, VolumeUnit,
};

/// A unit of any dimension; serialised as its code.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "&'static str")]
pub enum Unit {
    Torque(TorqueUnit),
    Volume(VolumeUnit),
    Pressure(PressureUnit),
    Length(LengthUnit),
    Temperature(TemperatureUnit),
    Angle(AngleUnit),
    Mass(MassUnit),
    Voltage(VoltageUnit),
    Percent(PercentUnit),
}

/// Runs `$body` with `$set` bound to the unit type of a dimension.
macro_rules! with_units_of {
    ($dimension:expr, $set:ident => $body:expr) => {
        match $dimension {
            Dimension::Torque => {
                type $set = TorqueUnit;
                $body
            }
            Dimension::Volume => {
                type $set = VolumeUnit;
                $body
            }
            Dimension::Pressure => {
                type $set = PressureUnit;
                $body
            }
            Dimension::Length => {
                type $set = LengthUnit;
                $body
            }
            Dimension::Temperature => {
                type $set = TemperatureUnit;
                $body
            }
            Dimension::Angle => {
                type $set = AngleUnit;
                $body
            }
            Dimension::Mass => {
                type $set = MassUnit;
                $body
            }
            Dimension::Voltage => {
                type $set = VoltageUnit;
                $body
            }
            Dimension::Percent => {
                type $set = PercentUnit;
                $body
            }
        }
    };
}
pub(crate) use with_units_of;

impl Unit {
    /// How a number in this unit comes to base units, exactly: `(number + zero) × top ÷ bottom`. For scripts, which know no
    /// unit.
    pub fn scale(self) -> [Decimal; 3] {
        let facts = self.facts();
        // The parts of every unit's size fit: a test walks through them all.
        let (top, bottom) = facts.size.parts().unwrap_or((Decimal::ONE, Decimal::ONE));
        [facts.zero, top, bottom]
    }

    /// A number in this unit as base units; `None` where it is too large to be told.
    pub fn to_base(self, number: Decimal) -> Option<Decimal> {
        let [zero, top, bottom] = self.scale();
        number.checked_add(zero)?.checked_mul(top)?.checked_div(bottom)
    }

    fn facts(self) -> Facts {
        match self {
            Self::Torque(unit) => unit.facts(),
            Self::Volume(unit) => unit.facts(),
            Self::Pressure(unit) => unit.facts(),
            Self::Length(unit) => unit.facts(),
            Self::Temperature(unit) => unit.facts(),
            Self::Angle(unit) => unit.facts(),
            Self::Mass(unit) => unit.facts(),
            Self::Voltage(unit) => unit.facts(),
            Self::Percent(unit) => unit.facts(),
        }
    }

    /// Every unit a value of that dimension may be written in, the usual ones first.
    pub fn all(dimension: Dimension) -> Vec<Self> {
        with_units_of!(dimension, Set => Set::ALL.iter().map(|unit| unit.wrap()).collect())
    }

    /// The unit shown first to someone who thinks in that system. Small and large values may be shown in a lesser
    /// or greater unit of the same system: see [`super::Quantity::units_for`].
    pub fn preferred(dimension: Dimension, system: System) -> Self {
        with_units_of!(dimension, Set => Set::everyday(system).usual.wrap())
    }

    /// The unit with that storage code, such as `lbf.ft`.
    pub fn from_code(code: &str) -> Option<Self> {
        Dimension::ALL.into_iter().flat_map(Self::all).find(|unit| unit.code() == code)
    }

    /// The first unit of any dimension with that canonical spelling.
    pub(super) fn spelled(canonical_words: &str) -> Option<Self> {
        Dimension::ALL.into_iter().find_map(
            |dimension| with_units_of!(dimension, Set => spelling::lookup::<Set>(canonical_words).map(UnitSet::wrap)),
        )
    }

    pub const fn dimension(self) -> Dimension {
        match self {
            Self::Torque(_) => Dimension::Torque,
            Self::Volume(_) => Dimension::Volume,
            Self::Pressure(_) => Dimension::Pressure,
            Self::Length(_) => Dimension::Length,
            Self::Temperature(_) => Dimension::Temperature,
            Self::Angle(_) => Dimension::Angle,
            Self::Mass(_) => Dimension::Mass,
            Self::Voltage(_) => Dimension::Voltage,
            Self::Percent(_) => Dimension::Percent,
        }
    }

    /// ASCII, unique over all dimensions, stored: never changes.
    pub fn code(self) -> &'static str {
        match self {
            Self::Torque(unit) => unit.code(),
            Self::Volume(unit) => unit.code(),
            Self::Pressure(unit) => unit.code(),
            Self::Length(unit) => unit.code(),
            Self::Temperature(unit) => unit.code(),
            Self::Angle(unit) => unit.code(),
            Self::Mass(unit) => unit.code(),
            Self::Voltage(unit) => unit.code(),
            Self::Percent(unit) => unit.code(),
        }
    }

    /// As it is shown, such as `lbf·ft`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Torque(unit) => unit.name(),
            Self::Volume(unit) => unit.name(),
            Self::Pressure(unit) => unit.name(),
            Self::Length(unit) => unit.name(),
            Self::Temperature(unit) => unit.name(),
            Self::Angle(unit) => unit.name(),
            Self::Mass(unit) => unit.name(),
            Self::Voltage(unit) => unit.name(),
            Self::Percent(unit) => unit.name(),
        }
    }
}

impl TryFrom<String> for Unit {
    type Error = String;

    fn try_from(code: String) -> Result<Self, Self::Error> {
        Self::from_code(&code).ok_or_else(|| format!("‘{code}’ is not the code of a unit."))
    }
}

impl From<Unit> for &'static str {
    fn from(unit: Unit) -> Self {
        unit.code()
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;

    fn every_unit() -> impl Iterator<Item = Unit> {
        Dimension::ALL.into_iter().flat_map(Unit::all)
    }

    #[test]
    fn codes_are_ascii_unique_and_lead_back_to_their_unit() {
        let mut seen = HashSet::new();
        for unit in every_unit() {
            assert!(unit.code().is_ascii(), "{unit:?}");
            assert!(seen.insert(unit.code()), "{unit:?}");
            assert_eq!(Unit::from_code(unit.code()), Some(unit));
        }
    }

    #[test]
    fn every_unit_is_in_the_list_of_its_own_dimension() {
        for dimension in Dimension::ALL {
            assert!(Unit::all(dimension).iter().all(|unit| unit.dimension() == dimension));
        }
    }

    #[test]
    fn a_unit_is_serialised_as_its_code() {
        let unit = Unit::Torque(TorqueUnit::PoundForceFoot);
        let text = serde_json::to_string(&unit).unwrap();
        assert_eq!(text, "\"lbf.ft\"");
        assert_eq!(serde_json::from_str::<Unit>(&text).unwrap(), unit);
        assert!(serde_json::from_str::<Unit>("\"furlong\"").is_err());
    }

    #[test]
    fn each_system_has_its_usual_unit_first() {
        let usual = |dimension, system| Unit::preferred(dimension, system).code();
        assert_eq!(usual(Dimension::Torque, System::Metric), "N.m");
        assert_eq!(usual(Dimension::Torque, System::Inch), "lbf.ft");
        assert_eq!(usual(Dimension::Volume, System::Inch), "US.qt");
        assert_eq!(usual(Dimension::Pressure, System::Metric), "bar");
        assert_eq!(usual(Dimension::Temperature, System::Inch), "degF");
        assert_eq!(usual(Dimension::Voltage, System::Inch), "V");
    }
}
