//! A quantity of any dimension, for storage, forms and pages.

use std::fmt;

use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

use super::dimension::{Dimension, System};
use super::error::ParseError;
use super::shown::Shown;
use super::span::Span;
use super::unit::{Unit, with_units_of};
use super::units::{
    AngleUnit, LengthUnit, MassUnit, PercentUnit, PressureUnit, TemperatureUnit, TorqueUnit, UnitSet, VoltageUnit,
    VolumeUnit,
};

/// A value or range of any dimension. Serialised as `{"dimension":"torque","written":"62 lbf ft"}` and parsed again
/// when read, so that what is stored is only ever what was written.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Record", into = "Record")]
pub enum Quantity {
    Torque(Span<TorqueUnit>),
    Volume(Span<VolumeUnit>),
    Pressure(Span<PressureUnit>),
    Length(Span<LengthUnit>),
    Temperature(Span<TemperatureUnit>),
    Angle(Span<AngleUnit>),
    Mass(Span<MassUnit>),
    Voltage(Span<VoltageUnit>),
    Percent(Span<PercentUnit>),
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Record {
    dimension: Dimension,
    written: String,
}

/// Runs `$body` with `$span` bound to the span inside a quantity.
macro_rules! with_span_of {
    ($quantity:expr, $span:ident => $body:expr) => {
        match $quantity {
            Quantity::Torque($span) => $body,
            Quantity::Volume($span) => $body,
            Quantity::Pressure($span) => $body,
            Quantity::Length($span) => $body,
            Quantity::Temperature($span) => $body,
            Quantity::Angle($span) => $body,
            Quantity::Mass($span) => $body,
            Quantity::Voltage($span) => $body,
            Quantity::Percent($span) => $body,
        }
    };
}

impl Quantity {
    /// Reads a value, a range or a value with a tolerance. Errors are sentences for the person who typed it.
    pub fn parse(dimension: Dimension, text: &str) -> Result<Self, ParseError> {
        with_units_of!(dimension, Set => Span::<Set>::parse(text).map(Self::from))
    }

    pub const fn dimension(&self) -> Dimension {
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

    /// The words it was read from, unchanged.
    pub fn written(&self) -> &str {
        with_span_of!(self, span => span.written())
    }

    /// The unit it was written in.
    pub fn unit(&self) -> Unit {
        with_span_of!(self, span => span.unit().wrap())
    }

    pub fn is_single(&self) -> bool {
        with_span_of!(self, span => span.is_single())
    }

    /// Low and high end in `unit`, right to 28 digits; `None` if it is a unit of another dimension.
    pub fn to(&self, unit: Unit) -> Option<(Decimal, Decimal)> {
        with_span_of!(self, span => {
            let unit = own_unit(span, unit)?;
            Some((span.low().to(unit), span.high().to(unit)))
        })
    }

    /// As written if `unit` is its own, else rounded to what a tool in `unit` can be set to; `None` if it is a unit
    /// of another dimension.
    pub fn in_unit(&self, unit: Unit) -> Option<Shown> {
        with_span_of!(self, span => Some(span.in_unit(own_unit(span, unit)?)))
    }

    /// The unit to show first to someone who thinks in `system`, and the one to show second: that of the source where
    /// it differs, else that of the other system.
    pub fn units_for(&self, system: System) -> (Unit, Option<Unit>) {
        with_span_of!(self, span => {
            let (first, second) = span.units_for(system);
            (first.wrap(), second.map(UnitSet::wrap))
        })
    }

    /// The value in the two units of [`Self::units_for`].
    pub fn both(&self, system: System) -> (Shown, Option<Shown>) {
        with_span_of!(self, span => {
            let (first, second) = span.units_for(system);
            (span.in_unit(first), second.map(|unit| span.in_unit(unit)))
        })
    }

    pub(super) fn base_ends(&self) -> (Decimal, Decimal) {
        with_span_of!(self, span => span.base_ends())
    }
}

/// `unit` as one of the units of the span, if it is of the same dimension.
fn own_unit<U: UnitSet>(_: &Span<U>, unit: Unit) -> Option<U> {
    U::ALL.iter().copied().find(|own| own.wrap() == unit)
}

impl fmt::Display for Quantity {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.written())
    }
}

impl TryFrom<Record> for Quantity {
    type Error = ParseError;

    fn try_from(record: Record) -> Result<Self, Self::Error> {
        Self::parse(record.dimension, &record.written)
    }
}

impl From<Quantity> for Record {
    fn from(quantity: Quantity) -> Self {
        Self { dimension: quantity.dimension(), written: quantity.written().to_owned() }
    }
}

macro_rules! from_span {
    ($($variant:ident of $set:ident),+) => {
        $(impl From<Span<$set>> for Quantity {
            fn from(span: Span<$set>) -> Self {
                Self::$variant(span)
            }
        })+
    };
}
from_span!(
    Torque of TorqueUnit,
    Volume of VolumeUnit,
    Pressure of PressureUnit,
    Length of LengthUnit,
    Temperature of TemperatureUnit,
    Angle of AngleUnit,
    Mass of MassUnit,
    Voltage of VoltageUnit,
    Percent of PercentUnit
);

#[cfg(test)]
mod tests {
    use super::*;

    fn both(dimension: Dimension, text: &str, system: System) -> (String, Option<String>) {
        let (first, second) = Quantity::parse(dimension, text).unwrap().both(system);
        (first.to_string(), second.map(|shown| shown.to_string()))
    }

    #[test]
    fn a_value_is_shown_in_the_wanted_unit_first_and_its_own_second() {
        let pair = |first: &str, second: &str| (first.to_owned(), Some(second.to_owned()));
        assert_eq!(both(Dimension::Torque, "62 lbf ft", System::Metric), pair("84 N·m", "62 lbf·ft"));
        assert_eq!(both(Dimension::Torque, "84 Nm", System::Metric), pair("84 N·m", "62 lbf·ft"));
        assert_eq!(both(Dimension::Torque, "4.5 kgm", System::Inch), pair("33 lbf·ft", "4.5 kgf·m"));
        assert_eq!(both(Dimension::Torque, "9 Nm", System::Inch), pair("80 lbf·in", "9 N·m"));
        assert_eq!(both(Dimension::Pressure, "220 kPa", System::Metric), pair("2.2 bar", "220 kPa"));
        assert_eq!(both(Dimension::Voltage, "12.6 V", System::Inch), ("12.6 V".to_owned(), None));
    }

    #[test]
    fn a_quantity_is_stored_as_it_was_written() {
        let quantity = Quantity::parse(Dimension::Volume, "2½ US qt").unwrap();
        let stored = serde_json::to_string(&quantity).unwrap();
        assert_eq!(stored, r#"{"dimension":"volume","written":"2½ US qt"}"#);
        assert_eq!(serde_json::from_str::<Quantity>(&stored).unwrap(), quantity);
    }

    #[test]
    fn stored_nonsense_and_unknown_fields_are_refused() {
        for stored in [
            r#"{"dimension":"torque","written":"4 l"}"#,
            r#"{"dimension":"energy","written":"4 J"}"#,
            r#"{"dimension":"torque","written":"4 Nm","unit":"N.m"}"#,
        ] {
            assert!(serde_json::from_str::<Quantity>(stored).is_err(), "{stored}");
        }
    }

    #[test]
    fn a_unit_of_another_dimension_gives_nothing() {
        let torque = Quantity::parse(Dimension::Torque, "45 Nm").unwrap();
        assert_eq!(torque.in_unit(Unit::Volume(VolumeUnit::Litre)), None);
        assert_eq!(torque.to(Unit::Volume(VolumeUnit::Litre)), None);
    }

    #[test]
    fn every_unit_can_be_read_by_its_code_and_by_its_name() {
        for unit in Dimension::ALL.into_iter().flat_map(Unit::all) {
            for word in [unit.code(), unit.name()] {
                let read = Quantity::parse(unit.dimension(), &format!("1 {word}")).unwrap();
                assert_eq!(read.unit(), unit, "{word}");
            }
        }
    }
}
