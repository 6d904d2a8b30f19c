//! A rule that comes to a least or a most, whatever is measured: judged here, and handed to the phone as numbers.
//!
//! The phone runs the same in `static/js/work/limit.js`; both run `tests/vectors/limits.json`.

use rust_decimal::Decimal;

use super::battery::{Nominal, judge_rest_voltage};
use super::bound::{Bound, Held};
use super::rule::{Entry, RuleError};
use super::trend::{Day, Outlook, Trend};
use super::{Outcome, rest_borders};
use crate::trade::quantity::{
    Amount, AngleUnit, Dimension, LengthUnit, MassUnit, PercentUnit, PressureUnit, TemperatureUnit, TorqueUnit, Unit,
    UnitSet, Voltage, VoltageUnit, VolumeUnit, with_units_of,
};

/// One side of a limit. A reading at the limit itself still holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Side {
    pub is_least: bool,
    /// As it was written: `10.5 mm`.
    pub text: String,
    /// In base units, as [`Unit::to_base`] gives them.
    pub limit: Decimal,
    /// In base units: how far inside the limit a reading is watched.
    pub margin: Decimal,
}

/// A limit on one side or both.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sides {
    pub dimension: Dimension,
    pub sides: Vec<Side>,
    /// In base units: what lies outside is no such reading at all, and is asked back.
    pub possible: Option<(Decimal, Decimal)>,
    /// A battery at rest, which says more than the borders do.
    pub battery: Option<Nominal>,
}

impl Side {
    /// Reads a side and its margin, which is a number in the side's unit. Errors are sentences.
    pub fn read(dimension: Dimension, is_least: bool, text: &str, margin: Decimal) -> Result<Side, RuleError> {
        let (number, unit) = with_units_of!(dimension, Set => one::<Set>(text))?;
        let far = || RuleError::Unreadable(format!("{text} is too large to be a limit."));
        let limit = unit.to_base(number).ok_or_else(far)?;
        // The difference of two readings of one unit: where the zero lies does not matter.
        let inner = unit.to_base(number.checked_add(margin).ok_or_else(far)?).ok_or_else(far)?;
        Ok(Side { is_least, text: text.trim().to_owned(), limit, margin: inner - limit })
    }

    /// How far inside the limit a reading in base units is; negative beyond it.
    fn room(&self, reading: Decimal) -> Decimal {
        if self.is_least { reading - self.limit } else { self.limit - reading }
    }

    fn judge(&self, reading: Decimal) -> Outcome {
        let room = self.room(reading);
        if room < Decimal::ZERO {
            Outcome::Fail
        } else if room < self.margin {
            Outcome::Watch
        } else {
            Outcome::Pass
        }
    }

    /// `at least 10.5 mm`
    pub fn words(&self) -> String {
        format!("{} {}", if self.is_least { "at least" } else { "at most" }, self.text)
    }
}

fn one<U: UnitSet>(text: &str) -> Result<(Decimal, Unit), RuleError> {
    let amount = Amount::<U>::parse(text).map_err(|why| RuleError::Unreadable(why.to_string()))?;
    Ok((amount.number(), amount.unit().wrap()))
}

impl Sides {
    /// A published limit of a length.
    pub fn held(held: &Held<LengthUnit>) -> Result<Sides, RuleError> {
        let (is_least, limit) = match &held.bound {
            Bound::AtLeast(limit) => (true, limit),
            Bound::AtMost(limit) => (false, limit),
        };
        let side = Side {
            is_least,
            text: limit.in_unit(limit.unit()).to_string(),
            // Straight into the base unit: by way of inches the last place would be rounded.
            margin: held.margin.to(LengthUnit::Millimetre),
            ..Side::read(Dimension::Length, is_least, limit.written(), Decimal::ZERO)?
        };
        Ok(Sides { dimension: Dimension::Length, sides: vec![side], possible: None, battery: None })
    }

    /// A lead-acid battery at rest.
    pub fn battery(nominal: Nominal) -> Result<Sides, RuleError> {
        let [flattest, fail, watch, highest] = rest_borders(nominal).map(|volts| volts.normalize());
        let side = Side::read(Dimension::Voltage, true, &format!("{fail} V"), watch - fail)?;
        Ok(Sides {
            dimension: Dimension::Voltage,
            sides: vec![side],
            possible: Some((flattest, highest)),
            battery: Some(nominal),
        })
    }

    /// `at least 2 bar, at most 2.4 bar`
    pub fn words(&self) -> String {
        self.sides.iter().map(Side::words).collect::<Vec<_>>().join(", ")
    }

    /// How a reading stands, the worse of both sides, and the sentence that says so. `what` begins it. Errors: another unit,
    /// or a number that is no such reading.
    pub fn judge(&self, what: &str, reading: &Entry<'_>) -> Result<(Outcome, String), RuleError> {
        let unit = reading.unit_of(self.dimension)?;
        let number = self.in_base(reading)?;
        let shown = reading.shown();
        if let Some(nominal) = self.battery {
            let volts = Voltage::parse(&reading.text(unit)).map_err(|why| RuleError::Unreadable(why.to_string()))?;
            let judged = judge_rest_voltage(&volts, nominal).map_err(|why| RuleError::Unreadable(why.to_string()))?;
            return Ok((judged.outcome, judged.says));
        }
        if self.possible.is_some_and(|(low, high)| number < low || number > high) {
            return Err(RuleError::NoSuchReading(shown));
        }
        let outcome = self.sides.iter().map(|side| side.judge(number)).max().unwrap_or(Outcome::Pass);
        let next = match outcome {
            Outcome::Pass => "within it.",
            Outcome::Watch => "close to the limit: measure again soon.",
            Outcome::Fail => "past the limit.",
        };
        Ok((outcome, format!("{what} reads {shown}; the limit is {}: {next}", self.words())))
    }

    /// A reading in base units.
    pub fn in_base(&self, reading: &Entry<'_>) -> Result<Decimal, RuleError> {
        let unit = reading.unit_of(self.dimension)?;
        let number = with_units_of!(self.dimension, Set => one::<Set>(&reading.text(unit)))?.0;
        unit.to_base(number).ok_or_else(|| RuleError::NoSuchReading(reading.shown()))
    }

    /// When each side would be reached. Errors, as a sentence: why there is no line.
    pub fn outlook(&self, readings: &[(Day, Entry<'_>)]) -> Result<Vec<Outlook>, String> {
        with_units_of!(self.dimension, Set => outlook::<Set>(&self.sides, readings))
    }
}

fn outlook<U: UnitSet>(sides: &[Side], readings: &[(Day, Entry<'_>)]) -> Result<Vec<Outlook>, String> {
    let amount = |(day, reading): &(Day, Entry<'_>)| {
        let unit = reading.unit_of(U::DIMENSION).ok()?;
        Some((*day, Amount::<U>::parse(&reading.text(unit)).ok()?))
    };
    let readings: Vec<_> = readings.iter().filter_map(amount).collect();
    let trend = Trend::of(&readings).map_err(|why| why.to_string())?;
    let bound = |side: &Side| {
        let limit = Amount::<U>::parse(&side.text).ok()?;
        Some(if side.is_least { Bound::AtLeast(limit) } else { Bound::AtMost(limit) })
    };
    Ok(sides.iter().filter_map(bound).map(|bound| trend.outlook(&bound)).collect())
}

#[cfg(test)]
mod tests {
    use super::super::{LiningRule, TreadRule, judge_lining, judge_tread, lining_limit, tread_limit};
    use super::*;
    use crate::trade::quantity::Length;

    /// The numbers that go to the phone must say what the published rules say.
    #[test]
    fn the_numbers_for_the_phone_agree_with_the_rules_over_the_whole_gauge() {
        for hundredths in 1..800 {
            let text = Decimal::new(hundredths, 2).to_string();
            let (reading, depth) = (Entry { number: &text, unit: "mm" }, Length::parse(&format!("{text} mm")).unwrap());
            for rule in [TreadRule::Uk, TreadRule::Us] {
                let ours = Sides::held(&tread_limit(rule)).unwrap().judge("It", &reading).unwrap().0;
                assert_eq!(ours, judge_tread(rule, std::slice::from_ref(&depth)).unwrap().outcome, "{text} {rule}");
            }
            for rule in [LiningRule::Uk, LiningRule::Us] {
                let ours = Sides::held(&lining_limit(rule)).unwrap().judge("It", &reading).unwrap().0;
                assert_eq!(ours, judge_lining(rule, &depth).outcome, "{text} {rule}");
            }
        }
    }

    #[test]
    fn the_borders_of_a_battery_at_rest_are_those_of_the_lists() {
        for nominal in [Nominal::Six, Nominal::Twelve] {
            let sides = Sides::battery(nominal).unwrap();
            let (low, high) = sides.possible.unwrap();
            for hundredths in 300..1500 {
                let volts = Decimal::new(hundredths, 2);
                let judged = judge_rest_voltage(&Voltage::parse(&format!("{volts} V")).unwrap(), nominal);
                assert_eq!((low..=high).contains(&volts), judged.is_ok(), "{volts} {nominal}");
                let outcome = sides.sides[0].judge(volts);
                assert!(judged.is_err() || judged.unwrap().outcome == outcome, "{volts} {nominal}");
            }
        }
    }

    #[test]
    fn a_margin_of_degrees_is_a_difference_not_a_temperature() {
        let side = Side::read(Dimension::Temperature, false, "100 °C", Decimal::from(5)).unwrap();
        assert_eq!(side.judge(Decimal::new(37315, 2)), Outcome::Watch);
        assert_eq!(side.judge(Decimal::new(36900, 2)), Outcome::Watch);
        assert_eq!(side.judge(Decimal::new(36700, 2)), Outcome::Pass);
        assert_eq!(side.judge(Decimal::new(37400, 2)), Outcome::Fail);
    }
}
