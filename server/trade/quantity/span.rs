//! One value or a range of values: `45 Nm`, `40–45 Nm`, `45 ± 5 Nm`.

use std::fmt;

use rust_decimal::Decimal;

use super::agreement;
use super::amount::Amount;
use super::dimension::System;
use super::error::{ParseError, SizeError, quoted};
use super::figure::{Figure, Number};
use super::reading::{self, Piece, Reading};
use super::shown::{self, Shown};
use super::spelling;
use super::units::{Everyday, UnitSet};

/// A value or a range in one unit of set `U`; the low end is never above the high end. Equal when written the same.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span<U> {
    low: Amount<U>,
    high: Amount<U>,
    /// The characters before the unit; none when computed.
    figure: Option<String>,
    written: String,
}

impl<U: UnitSet> Span<U> {
    /// Reads a value, a range or a value with a tolerance. Errors are sentences for the person who typed it.
    pub fn parse(text: &str) -> Result<Self, ParseError> {
        let tidied = reading::tidy(text, U::DIMENSION)?;
        let written = text.trim();
        match reading::read(&tidied, U::DIMENSION)? {
            Reading::One(piece) => Self::one(piece, written),
            Reading::Range(low, high) => Self::range(low, high, written),
            Reading::Around(middle, by) => Self::around(middle, by, written),
        }
    }

    /// A single value.
    pub fn of(amount: Amount<U>) -> Self {
        Self {
            figure: amount.figure().map(str::to_owned),
            written: amount.written().to_owned(),
            high: amount.clone(),
            low: amount,
        }
    }

    /// A range that was worked out rather than read: rounded whenever it is shown.
    pub fn computed(low: Decimal, high: Decimal, unit: U) -> Result<Self, SizeError> {
        if high < low {
            return Err(SizeError::Backwards { low: low.to_string(), high: high.to_string() });
        }
        let (low, high) = (Amount::computed(low, unit)?, Amount::computed(high, unit)?);
        let joined = join(&low.number().to_string(), &high.number().to_string());
        Ok(Self { low, high, figure: None, written: format!("{joined} {}", unit.name()) })
    }

    fn one(piece: Piece<'_>, written: &str) -> Result<Self, ParseError> {
        let unit = unit_of(&piece, written)?;
        Ok(Self::of(Amount::read(piece.figure, unit, written.to_owned())?))
    }

    fn range(low: Piece<'_>, high: Piece<'_>, written: &str) -> Result<Self, ParseError> {
        let (unit, words) = shared_unit(&low, &high, written)?;
        let (low, high) = (low.figure, high.figure);
        if high.number.decimal() < low.number.decimal() {
            return Err(ParseError::Backwards { low: low.text, high: high.text });
        }
        let figure = join(&low.text, &high.text);
        Self::read(low, high, unit, words, figure, written)
    }

    fn around(middle: Piece<'_>, by: Piece<'_>, written: &str) -> Result<Self, ParseError> {
        if by.figure.text.starts_with(['-', '−', '+']) {
            let read = quoted(written);
            return Err(ParseError::SignedTolerance { read });
        }
        let share_of_value = by.unit == "%" && !middle.unit.is_empty() && middle.unit != "%";
        let centre = middle.figure.number.decimal();
        let width = by.figure.number.decimal();
        let (unit, words, width, figure) = if share_of_value {
            let width = centre.abs().checked_mul(width / Decimal::ONE_HUNDRED);
            (unit_of(&middle, written)?, middle.unit, width, None)
        } else {
            let (unit, words) = shared_unit(&middle, &by, written)?;
            let figure = format!("{} ± {}", middle.figure.text, by.figure.text);
            (unit, words, Some(width), Some(figure))
        };
        let end = |number: Option<Decimal>| {
            let number = number
                .map(|number| number.normalize())
                .ok_or_else(|| ParseError::TooManyDigits { read: quoted(written) })?;
            Ok::<_, ParseError>(Figure { number: Number::plain(number), text: number.to_string() })
        };
        let low = end(width.and_then(|width| centre.checked_sub(width)))?;
        let high = end(width.and_then(|width| centre.checked_add(width)))?;
        let figure = figure.unwrap_or_else(|| join(&low.text, &high.text));
        Self::read(low, high, unit, words, figure, written)
    }

    fn read(
        low: Figure,
        high: Figure,
        unit: U,
        unit_words: &str,
        figure: String,
        written: &str,
    ) -> Result<Self, ParseError> {
        let amount = |end: Figure| {
            let written = format!("{} {unit_words}", end.text);
            Amount::read(end, unit, written)
        };
        Ok(Self { low: amount(low)?, high: amount(high)?, figure: Some(figure), written: written.to_owned() })
    }

    pub const fn low(&self) -> &Amount<U> {
        &self.low
    }

    pub const fn high(&self) -> &Amount<U> {
        &self.high
    }

    /// The unit it was written in.
    pub const fn unit(&self) -> U {
        self.low.unit()
    }

    /// The words it was read from, unchanged.
    pub fn written(&self) -> &str {
        &self.written
    }

    pub fn is_single(&self) -> bool {
        self.low.number() == self.high.number()
    }

    /// The value, unless it is a range.
    pub fn single(&self) -> Option<&Amount<U>> {
        self.is_single().then_some(&self.low)
    }

    /// In the figures it was written in if `unit` is its own, else rounded to what a tool in `unit` can be set to, and for
    /// a range inwards.
    pub fn in_unit(&self, unit: U) -> Shown {
        match &self.figure {
            Some(figure) if unit == self.unit() => Shown::as_written(figure, unit.name()),
            _ if self.is_single() => shown::single(self.low.to(unit), unit.facts()),
            _ => shown::range(self.low.to(unit), self.high.to(unit), unit.facts()),
        }
    }

    /// The unit to show first to someone who thinks in `system`, and the one to show second: that of the source where
    /// it differs, else that of the other system.
    pub fn units_for(&self, system: System) -> (U, Option<U>) {
        let written = self.unit();
        let everyday = U::everyday(system);
        if !everyday.includes(written) {
            return (self.by_size(&everyday), Some(written));
        }
        let other = self.by_size(&U::everyday(system.other()));
        (written, (other != written).then_some(other))
    }

    fn by_size(&self, everyday: &Everyday<U>) -> U {
        let fits = |(unit, below): &&(U, i64)| self.high.to(*unit).abs() < Decimal::from(*below);
        everyday.lesser.iter().find(fits).map_or(everyday.greatest, |(unit, _)| *unit)
    }

    /// Whether both sources may be said to give the same value: see [`super::agree`].
    pub fn agrees_with(&self, other: &Self) -> bool {
        agreement::ends_agree(self.base_ends(), other.base_ends(), U::TOLERANCE)
    }

    pub(super) fn base_ends(&self) -> (Decimal, Decimal) {
        (self.low.base(), self.high.base())
    }
}

impl<U> fmt::Display for Span<U> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.written)
    }
}

/// With a dash, or the word where a dash beside a minus sign would be misread.
pub(super) fn join(low: &str, high: &str) -> String {
    let signed = |text: &str| text.starts_with(['-', '−', '+']);
    let between = if signed(low) || signed(high) { " to " } else { "–" };
    format!("{low}{between}{high}")
}

fn unit_of<U: UnitSet>(piece: &Piece<'_>, written: &str) -> Result<U, ParseError> {
    if piece.unit.is_empty() {
        return Err(ParseError::NoUnit { read: quoted(written), units: spelling::names::<U>() });
    }
    spelling::resolve(piece.unit, written)
}

/// The unit of both pieces and the words for it; it may stand at one of them or at both.
fn shared_unit<'a, U: UnitSet>(
    first: &Piece<'a>,
    second: &Piece<'a>,
    written: &str,
) -> Result<(U, &'a str), ParseError> {
    if first.unit.is_empty() {
        return Ok((unit_of(second, written)?, second.unit));
    }
    let unit = unit_of(first, written)?;
    if !second.unit.is_empty() && unit != unit_of(second, written)? {
        let read = quoted(written);
        return Err(ParseError::MixedUnits { read });
    }
    Ok((unit, first.unit))
}

#[cfg(test)]
mod tests {
    use super::super::units::{PercentUnit, TemperatureUnit, TorqueUnit, VolumeUnit};
    use super::*;

    fn ends<U: UnitSet>(text: &str) -> (String, String) {
        let span = Span::<U>::parse(text).unwrap();
        (span.low().number().to_string(), span.high().number().to_string())
    }

    #[test]
    fn ranges_and_tolerances_give_both_ends() {
        for (text, low, high) in [
            ("45 Nm", "45", "45"),
            ("40-45 Nm", "40", "45"),
            ("40…45 Nm", "40", "45"),
            ("40 Nm to 45 Nm", "40", "45"),
            ("40 Nm - 45", "40", "45"),
            ("45 ± 5 Nm", "40", "50"),
            ("45 Nm ± 5 Nm", "40", "50"),
            ("45 Nm ± 10 %", "40.5", "49.5"),
            ("30-35 lb-ft", "30", "35"),
        ] {
            assert_eq!(ends::<TorqueUnit>(text), (low.into(), high.into()), "{text}");
        }
        assert_eq!(ends::<TemperatureUnit>("-10 - -5 °C"), ("-10".into(), "-5".into()));
        assert_eq!(ends::<PercentUnit>("50 ± 5 %"), ("45".into(), "55".into()));
        assert_eq!(ends::<VolumeUnit>("2-1/2 US qt"), ("2.5".into(), "2.5".into()));
    }

    #[test]
    fn what_was_written_is_kept() {
        let span = Span::<TorqueUnit>::parse("  45 ± 5  Nm ").unwrap();
        assert_eq!(span.written(), "45 ± 5  Nm");
        assert_eq!(span.in_unit(TorqueUnit::NewtonMetre).to_string(), "45 ± 5 N·m");
        assert_eq!(span.low().written(), "40 Nm");
    }

    #[test]
    fn ranges_that_cannot_be_are_refused() {
        let refusal = |text: &str| Span::<TorqueUnit>::parse(text).unwrap_err().to_string();
        assert_eq!(refusal("45-40 Nm"), "The range from 45 to 40 runs backwards: write the smaller number first.");
        assert_eq!(
            refusal("40 Nm - 45 lbf ft"),
            "The two ends of ‘40 Nm - 45 lbf ft’ have different units: write both in the same one."
        );
        assert_eq!(
            refusal("45 ± -5 Nm"),
            "‘45 ± -5 Nm’ has a sign after the ±: write the tolerance as a plain number, such as ± 5."
        );
        assert_eq!(refusal("5 ± 6 Nm"), "A torque cannot be negative.");
        assert!(Span::<TorqueUnit>::parse("40-45").is_err());
        assert!(Span::<TorqueUnit>::parse("40-45-50 Nm").is_err());
    }

    #[test]
    fn a_computed_range_cannot_run_backwards() {
        let unit = TorqueUnit::NewtonMetre;
        let span = Span::computed(Decimal::ONE, Decimal::TEN, unit).unwrap();
        assert_eq!(span.written(), "1–10 N·m");
        assert!(Span::computed(Decimal::TEN, Decimal::ONE, unit).is_err());
    }

    #[test]
    fn the_written_unit_comes_first_where_the_system_uses_it_and_second_where_not() {
        let units = |text: &str, system| {
            let (first, second) = Span::<VolumeUnit>::parse(text).unwrap().units_for(system);
            (first.code(), second.map(UnitSet::code))
        };
        assert_eq!(units("4.2 l", System::Metric), ("l", Some("US.qt")));
        assert_eq!(units("4.2 l", System::Inch), ("US.qt", Some("l")));
        assert_eq!(units("0.9 l", System::Metric), ("l", Some("US.fl.oz")));
        assert_eq!(units("60 cc", System::Metric), ("ml", Some("cm3")));
        assert_eq!(units("7 imp pt", System::Inch), ("US.qt", Some("imp.pt")));
        assert_eq!(units("60 l", System::Inch), ("US.gal", Some("l")));
    }
}
