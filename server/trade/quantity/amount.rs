//! One value of one dimension: an exact number, its unit, and the words it was read from.

use std::cmp::Ordering;
use std::fmt;

use rust_decimal::Decimal;

use super::error::{ParseError, SizeError, quoted};
use super::figure::{Figure, Number};
use super::shown::{self, Shown};
use super::span::Span;
use super::units::{
    Additive, AngleUnit, Facts, LengthUnit, Lowest, MassUnit, PercentUnit, PressureUnit, TemperatureUnit, TorqueUnit,
    UnitSet, VoltageUnit, VolumeUnit,
};

pub type Torque = Amount<TorqueUnit>;
pub type Volume = Amount<VolumeUnit>;
/// Gauge pressure; negative below the air outside.
pub type Pressure = Amount<PressureUnit>;
pub type Length = Amount<LengthUnit>;
pub type Temperature = Amount<TemperatureUnit>;
pub type Angle = Amount<AngleUnit>;
pub type Mass = Amount<MassUnit>;
pub type Voltage = Amount<VoltageUnit>;
pub type Percent = Amount<PercentUnit>;

/// A single value in a unit of set `U`, of a size that a car can have. Equal when written the same; to compare by
/// size use [`Amount::compare`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amount<U> {
    number: Number,
    unit: U,
    /// The characters of the number; none when it was computed and so may be rounded in its own unit too.
    figure: Option<String>,
    written: String,
}

impl<U: UnitSet> Amount<U> {
    /// Reads one value, such as `62 lbf ft`. Errors are sentences for the person who typed it; a range is refused.
    pub fn parse(text: &str) -> Result<Self, ParseError> {
        let span = Span::parse(text)?;
        span.single().cloned().ok_or_else(|| ParseError::NotOneValue { read: quoted(text), dimension: U::DIMENSION })
    }

    /// A value that was worked out rather than read: rounded whenever it is shown.
    pub fn computed(number: Decimal, unit: U) -> Result<Self, SizeError> {
        let number = Number::plain(number.normalize());
        check_size::<U>(number, unit)?;
        Ok(Self { number, unit, figure: None, written: format!("{} {}", number.top, unit.name()) })
    }

    pub(super) fn read(figure: Figure, unit: U, written: String) -> Result<Self, SizeError> {
        check_size::<U>(figure.number, unit)?;
        Ok(Self { number: figure.number, unit, figure: Some(figure.text), written })
    }

    /// In the unit it was written in: exact, or right to 28 digits for a fraction without an end.
    pub fn number(&self) -> Decimal {
        self.number.decimal()
    }

    pub const fn unit(&self) -> U {
        self.unit
    }

    /// The words it was read from, unchanged.
    pub fn written(&self) -> &str {
        &self.written
    }

    pub(super) fn figure(&self) -> Option<&str> {
        self.figure.as_deref()
    }

    /// The number of `unit`s it makes, right to 28 digits.
    pub fn to(&self, unit: U) -> Decimal {
        if unit == self.unit {
            return self.number();
        }
        let number = convert(self.number, self.unit.facts(), unit.facts());
        #[expect(
            clippy::expect_used,
            reason = "sizes are bounded when a value is made, far below what any unit of the set can hold; \
                      a test walks the bounds of every pair of units"
        )]
        number.expect("a bounded size converts to every unit of its set")
    }

    /// In base units of the dimension.
    pub(super) fn base(&self) -> Decimal {
        in_base_units(self.number, self.unit.facts()).unwrap_or_else(|| self.number())
    }

    /// In the figures it was written in if `unit` is its own, else rounded to what a tool in `unit` can be set to.
    pub fn in_unit(&self, unit: U) -> Shown {
        match &self.figure {
            Some(figure) if unit == self.unit => Shown::as_written(figure, unit.name()),
            _ => shown::single(self.to(unit), unit.facts()),
        }
    }

    /// By size, whatever the units.
    pub fn compare(&self, other: &Self) -> Ordering {
        self.base().cmp(&other.base())
    }

    /// `factor` times as much, in the same unit; errors when no car has such a value.
    pub fn checked_mul(&self, factor: Decimal) -> Result<Self, SizeError> {
        let product = self.number().checked_mul(factor);
        Self::computed(product.ok_or_else(too_large::<U>)?, self.unit)
    }
}

impl<U: Additive> Amount<U> {
    /// Both together, in the unit of the first; errors when no car has such a value.
    pub fn checked_add(&self, other: &Self) -> Result<Self, SizeError> {
        let sum = self.number().checked_add(other.to(self.unit));
        Self::computed(sum.ok_or_else(too_large::<U>)?, self.unit)
    }

    /// What is left, in the unit of the first; errors when it would be negative where nothing can be.
    pub fn checked_sub(&self, other: &Self) -> Result<Self, SizeError> {
        let rest = self.number().checked_sub(other.to(self.unit));
        Self::computed(rest.ok_or_else(too_large::<U>)?, self.unit)
    }
}

impl<U> fmt::Display for Amount<U> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.written)
    }
}

/// `None` only when the result has no room in 28 digits.
fn convert(number: Number, from: Facts, to: Facts) -> Option<Decimal> {
    let (top, bottom) = from.size.over(to.size).parts()?;
    let parts = Decimal::from(number.bottom);
    number
        .top
        .checked_add(from.zero.checked_mul(parts)?)?
        .checked_mul(top)?
        .checked_div(bottom.checked_mul(parts)?)?
        .checked_sub(to.zero)
        .map(|converted| converted.normalize())
}

fn in_base_units(number: Number, unit: Facts) -> Option<Decimal> {
    let base = Facts { size: super::ratio::Ratio::ONE, zero: Decimal::ZERO, ..unit };
    convert(number, unit, base)
}

fn check_size<U: UnitSet>(number: Number, unit: U) -> Result<(), SizeError> {
    let bounds = U::BOUNDS;
    let base = in_base_units(number, unit.facts()).ok_or_else(too_large::<U>)?;
    match bounds.lowest {
        Lowest::AboveZero if number.top.is_zero() => return Err(SizeError::Zero(U::DIMENSION)),
        Lowest::AboveZero | Lowest::Zero if base < Decimal::ZERO => {
            return Err(SizeError::Negative(U::DIMENSION));
        }
        Lowest::Vacuum(limit) if base < limit => return Err(SizeError::BelowVacuum),
        Lowest::AbsoluteZero if base < Decimal::ZERO => return Err(SizeError::BelowAbsoluteZero),
        Lowest::Mirrored if base < -bounds.highest => return Err(too_large::<U>()),
        Lowest::AboveZero | Lowest::Zero | Lowest::Vacuum(_) | Lowest::AbsoluteZero | Lowest::Mirrored => {}
    }
    if base > bounds.highest {
        return Err(too_large::<U>());
    }
    Ok(())
}

fn too_large<U: UnitSet>() -> SizeError {
    SizeError::TooLarge { dimension: U::DIMENSION, limit: U::BOUNDS.highest_says }
}

#[cfg(test)]
mod tests {
    use super::super::dimension::Dimension;
    use super::super::figure::LARGEST_BOTTOM;
    use super::super::unit::with_units_of;
    use super::*;

    fn decimal(text: &str) -> Decimal {
        Decimal::from_str_exact(text).unwrap()
    }

    #[test]
    fn torque_spellings_of_a_workshop_are_read() {
        for (text, number, code) in [
            ("45 Nm", "45", "N.m"),
            ("45 N·m", "45", "N.m"),
            ("45 N m", "45", "N.m"),
            ("45Nm", "45", "N.m"),
            ("62 lbf ft", "62", "lbf.ft"),
            ("62 lb-ft", "62", "lbf.ft"),
            ("62 ft lb", "62", "lbf.ft"),
            ("62 ft. lbs.", "62", "lbf.ft"),
            ("62 lbf·ft", "62", "lbf.ft"),
            ("120 lbf in", "120", "lbf.in"),
            ("120 in lb", "120", "lbf.in"),
            ("4.5 kgf m", "4.5", "kgf.m"),
            ("4,5 mkg", "4.5", "kgf.m"),
            ("4.5 kgm", "4.5", "kgf.m"),
            ("4.5 m.daN", "4.5", "daN.m"),
            ("45 kgf cm", "45", "kgf.cm"),
        ] {
            let torque = Torque::parse(text).unwrap();
            assert_eq!(torque.number(), decimal(number), "{text}");
            assert_eq!(torque.unit().code(), code, "{text}");
            assert_eq!(torque.written(), text);
        }
    }

    #[test]
    fn volume_spellings_of_a_workshop_are_read() {
        for (text, number, code) in [
            ("4,2 l", "4.2", "l"),
            ("4.2 L", "4.2", "l"),
            ("2 1/2 US qt", "2.5", "US.qt"),
            ("2½ U.S. qt", "2.5", "US.qt"),
            ("2½ quarts (US)", "2.5", "US.qt"),
            ("7 imp pt", "7", "imp.pt"),
            ("7 imperial pints", "7", "imp.pt"),
            ("7 UK pt", "7", "imp.pt"),
            ("1 US gal", "1", "US.gal"),
            ("600 ml", "600", "ml"),
            ("60 cc", "60", "cm3"),
            ("60 cm³", "60", "cm3"),
            ("60 cm^3", "60", "cm3"),
            ("5 US fl. oz.", "5", "US.fl.oz"),
            ("5 imp fl oz", "5", "imp.fl.oz"),
        ] {
            let volume = Volume::parse(text).unwrap();
            assert_eq!(volume.number(), decimal(number), "{text}");
            assert_eq!(volume.unit().code(), code, "{text}");
        }
    }

    #[test]
    fn the_other_spellings_of_a_workshop_are_read() {
        fn code<U: UnitSet>(text: &str) -> &'static str {
            Amount::<U>::parse(text).unwrap().unit().code()
        }
        assert_eq!(code::<PressureUnit>("32 psi"), "psi");
        assert_eq!(code::<PressureUnit>("32 lbf/in²"), "psi");
        assert_eq!(code::<PressureUnit>("2.2 kgf/cm2"), "kgf/cm2");
        assert_eq!(code::<PressureUnit>("2,2 kg/cm²"), "kgf/cm2");
        assert_eq!(code::<PressureUnit>("220 kPa"), "kPa");
        assert_eq!(code::<PressureUnit>("-18 inHg"), "inHg");
        assert_eq!(code::<LengthUnit>("0,028 in"), "in");
        assert_eq!(code::<LengthUnit>("11/16\""), "in");
        assert_eq!(code::<LengthUnit>("28 thou"), "thou");
        assert_eq!(code::<LengthUnit>("1.2 cm"), "cm");
        assert_eq!(code::<LengthUnit>("3 m"), "m");
        assert_eq!(code::<LengthUnit>("1 ft"), "ft");
        assert_eq!(code::<TemperatureUnit>("88 °C"), "degC");
        assert_eq!(code::<TemperatureUnit>("88 C"), "degC");
        assert_eq!(code::<TemperatureUnit>("190 °F"), "degF");
        assert_eq!(code::<AngleUnit>("90°"), "deg");
        assert_eq!(code::<AngleUnit>("90 deg"), "deg");
        assert_eq!(code::<AngleUnit>("1/4 turn"), "turn");
        assert_eq!(code::<AngleUnit>("20'"), "arcmin");
        assert_eq!(code::<MassUnit>("1.2 kg"), "kg");
        assert_eq!(code::<VoltageUnit>("12.6 V"), "V");
        assert_eq!(code::<PercentUnit>("25 %"), "%");
    }

    #[test]
    fn a_quart_pint_or_gallon_must_be_said_to_be_us_or_imperial() {
        assert_eq!(
            Volume::parse("4 qt").unwrap_err().to_string(),
            "‘qt’ can be either of two units. A US quart and an imperial quart differ by 20 %: is it US qt or imp qt?"
        );
        for text in ["4 pints", "1 gal", "5 fl oz", "5 oz"] {
            let refusal = Volume::parse(text).unwrap_err();
            assert!(matches!(refusal, ParseError::Unclear { .. }), "{text}");
        }
        let bare_degrees = Temperature::parse("88°").unwrap_err();
        assert!(matches!(bare_degrees, ParseError::Unclear { .. }));
    }

    #[test]
    fn a_refused_unit_is_named_with_those_that_can_be_written() {
        assert_eq!(
            Torque::parse("4.2 l").unwrap_err().to_string(),
            "‘l’ is a unit for a volume, but a torque is wanted here: write one of N·m, lbf·ft, lbf·in, kgf·m, kgf·cm, \
             daN·m, N·cm, ozf·in."
        );
        assert_eq!(
            Temperature::parse("88 °X").unwrap_err().to_string(),
            "‘°X’ is not a unit known for a temperature: write one of °C, °F, K."
        );
        assert_eq!(Percent::parse("25").unwrap_err().to_string(), "‘25’ has no unit: write one of % after the number.");
        assert!(matches!(Torque::parse("84 Nm (62 lbf ft)"), Err(ParseError::MoreThanOne { .. })));
        assert!(matches!(Torque::parse("84 Nm + 90°"), Err(ParseError::MoreThanOne { .. })));
    }

    #[test]
    fn sizes_no_car_has_are_refused_in_one_sentence() {
        for (refusal, sentence) in [
            (Torque::parse("-5 Nm").unwrap_err(), "A torque cannot be negative."),
            (Torque::parse("0 Nm").unwrap_err(), "A torque cannot be zero: leave it out when it is not known."),
            (
                Torque::parse("10001 Nm").unwrap_err(),
                "A torque beyond 10 000 N·m does not belong on a car: check the number and its unit.",
            ),
            (Volume::parse("−1 l").unwrap_err(), "A volume cannot be negative."),
            (
                Pressure::parse("-31 inHg").unwrap_err(),
                "A gauge cannot read lower than an empty vacuum, about −1 bar, −14.7 psi or −29.9 inHg.",
            ),
            (
                Temperature::parse("-460 F").unwrap_err(),
                "A temperature cannot be below absolute zero, −273.15 °C or −459.67 °F.",
            ),
            (
                Voltage::parse("-200 kV").unwrap_err(),
                "A voltage beyond 100 kV does not belong on a car: check the number and its unit.",
            ),
        ] {
            assert_eq!(refusal.to_string(), sentence);
        }
        assert!(Pressure::parse("-1 bar").is_ok());
        assert!(Torque::parse("9999999999999999999999999999 Nm").is_err());
    }

    #[test]
    fn a_range_is_no_single_value() {
        assert!(matches!(Torque::parse("40-45 Nm"), Err(ParseError::NotOneValue { .. })));
    }

    #[test]
    fn a_third_of_a_turn_is_exactly_a_hundred_and_twenty_degrees() {
        let turn = Angle::parse("1/3 turn").unwrap();
        assert_eq!(turn.to(AngleUnit::Degree), decimal("120"));
    }

    #[test]
    fn sums_keep_the_unit_of_the_first_and_the_exact_size() {
        let sump = Volume::parse("4.2 l").unwrap();
        let filter = Volume::parse("300 ml").unwrap();
        assert_eq!(sump.checked_add(&filter).unwrap().number(), decimal("4.5"));
        assert_eq!(filter.checked_sub(&sump), Err(SizeError::Negative(Dimension::Volume)));
        let two_jobs = sump.checked_mul(decimal("2")).unwrap();
        assert_eq!(two_jobs.number(), decimal("8.4"));
        assert!(sump.checked_mul(Decimal::MAX).is_err());
    }

    #[test]
    fn values_compare_by_size_whatever_their_units() {
        let inches = Torque::parse("120 lbf in").unwrap();
        let feet = Torque::parse("10 lbf ft").unwrap();
        assert_eq!(inches.compare(&feet), Ordering::Equal);
        assert_ne!(inches, feet);
    }

    fn walk_bounds<U: UnitSet>() {
        for from in U::ALL {
            for base in [U::BOUNDS.highest, -U::BOUNDS.highest] {
                let facts = from.facts();
                let (size, parts) = facts.size.parts().unwrap();
                let top = base * parts / size - facts.zero;
                let number = Number { top: top * Decimal::from(LARGEST_BOTTOM), bottom: LARGEST_BOTTOM };
                for to in U::ALL {
                    assert!(convert(number, facts, to.facts()).is_some(), "{from:?} {to:?}");
                }
            }
        }
    }

    #[test]
    fn the_largest_values_convert_to_every_unit_of_their_set() {
        for dimension in Dimension::ALL {
            with_units_of!(dimension, Set => walk_bounds::<Set>());
        }
    }
}
