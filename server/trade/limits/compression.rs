//! Compression of the cylinders against each other. Published rules differ by engine, so the person picks one.

use std::cmp::Ordering;

use rust_decimal::Decimal;
use thiserror::Error;

use super::{Judged, Outcome};
use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{Pressure, PressureUnit};

closed_set! {
    /// A published rule for the spread between cylinders.
    pub enum CompressionRule {
        ThreeQuarters = "three-quarters", "lowest at least 75 % of the highest (petrol engine)";
        BelowMean = "below-mean", "none more than 20 % below the average (aircraft piston engine)";
        TenPercent = "ten-percent", "all within 10 % of the highest";
        Spread10 = "spread-10-psi", "highest and lowest within 10 psi (low-compression petrol engine)";
        Spread25 = "spread-25-psi", "highest and lowest within 25 psi (two-stroke diesel, running)";
        Spread100 = "spread-100-psi", "highest and lowest within 100 psi (diesel, cranking)";
    }
}

closed_set! {
    /// What the lowest cylinder is compared with.
    pub enum DropFrom {
        Highest = "highest", "as a share of the highest";
        Mean = "mean", "as a share of the average";
        Psi = "psi", "in psi, from the highest";
    }
}

/// Why readings were not judged.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum CompressionError {
    #[error("One cylinder cannot be compared with itself: write a reading for each, in their order along the engine.")]
    TooFew,

    #[error("Cylinder {0} reads nothing at all or a vacuum: is the gauge screwed in, and was the engine turned over?")]
    NoPressure(usize),
}

impl CompressionRule {
    pub fn source(self) -> Citation {
        match self {
            Self::ThreeQuarters => Citation::read("US Army TM 5-4210-230-14&P-1, addendum 2"),
            Self::BelowMean => Citation::read("US Army TM 1-1500-204-23-1"),
            Self::TenPercent => Citation::PRACTICE,
            Self::Spread10 => Citation::read("US Army TM 10-3930-618-20"),
            Self::Spread25 => Citation::read("US Army TM 5-3895-359-14&P"),
            Self::Spread100 => Citation::read("US Army TM 5-2420-230-24-2"),
        }
    }

    /// What the drop is measured from, and how much of it is allowed: a share, or psi. The same that [`Self::used`] works
    /// with; a phone is given it as data.
    pub fn allows(self) -> (DropFrom, Decimal) {
        match self {
            Self::ThreeQuarters => (DropFrom::Highest, Decimal::new(25, 2)),
            Self::BelowMean => (DropFrom::Mean, Decimal::new(20, 2)),
            Self::TenPercent => (DropFrom::Highest, Decimal::new(10, 2)),
            Self::Spread10 => (DropFrom::Psi, Decimal::from(10)),
            Self::Spread25 => (DropFrom::Psi, Decimal::from(25)),
            Self::Spread100 => (DropFrom::Psi, Decimal::from(100)),
        }
    }

    /// Whether it is about a diesel, which fires on oil in its cylinders or locks on it: common practice, no source.
    fn is_diesel(self) -> bool {
        match self {
            Self::Spread25 | Self::Spread100 => true,
            Self::ThreeQuarters | Self::BelowMean | Self::TenPercent | Self::Spread10 => false,
        }
    }

    /// How much of what the rule allows is used: 1 at the limit, more beyond it.
    fn used(self, psi: &[Decimal]) -> Decimal {
        // At least two readings, all above zero.
        let lowest = psi.iter().min().copied().unwrap_or(Decimal::ONE);
        let highest = psi.iter().max().copied().unwrap_or(Decimal::ONE);
        let mean = psi.iter().sum::<Decimal>() / Decimal::from(psi.len());
        let drop_from = |top: Decimal| (top - lowest) / top;
        let (from, allowed) = self.allows();
        let drop = match from {
            DropFrom::Highest => drop_from(highest),
            DropFrom::Mean => drop_from(mean),
            DropFrom::Psi => highest - lowest,
        };
        drop / allowed
    }
}

/// Share of the allowed spread from which a reading is watched. Common practice, no source.
const WATCH_FROM: Decimal = Decimal::from_parts(8, 0, 0, false, 1);

/// Readings of all cylinders, in their order, against a rule. Errors with fewer than two, or one that is not above zero.
pub fn judge_compression(rule: CompressionRule, cylinders: &[Pressure]) -> Result<Judged, CompressionError> {
    if cylinders.len() < 2 {
        return Err(CompressionError::TooFew);
    }
    let psi: Vec<_> = cylinders.iter().map(|reading| reading.to(PressureUnit::PoundForcePerSquareInch)).collect();
    if let Some(at) = psi.iter().position(|reading| *reading <= Decimal::ZERO) {
        return Err(CompressionError::NoPressure(at + 1));
    }
    let used = rule.used(&psi);
    let outcome = match (used.cmp(&Decimal::ONE), used.cmp(&WATCH_FROM)) {
        (Ordering::Greater, _) => Outcome::Fail,
        (Ordering::Equal | Ordering::Less, Ordering::Greater) => Outcome::Watch,
        (Ordering::Equal | Ordering::Less, Ordering::Equal | Ordering::Less) => Outcome::Pass,
    };
    Ok(Judged { outcome, says: says(outcome, rule, cylinders), source: rule.source() })
}

fn says(outcome: Outcome, rule: CompressionRule, cylinders: &[Pressure]) -> String {
    let by_size = |(_, a): &(usize, &Pressure), (_, b): &(usize, &Pressure)| a.compare(b);
    let end = |found: Option<(usize, &Pressure)>| {
        found
            .map(|(at, reading)| format!("{} in cylinder {}", reading.in_unit(reading.unit()), at + 1))
            .unwrap_or_default()
    };
    // The first of equals on both ends.
    let lowest = end(cylinders.iter().enumerate().min_by(by_size));
    let highest = end(cylinders.iter().enumerate().rev().max_by(by_size));
    let next = match outcome {
        Outcome::Pass => "They stand close enough together.",
        Outcome::Watch => "Close to what the rule allows: measure again warm, with the throttle open.",
        Outcome::Fail if rule.is_diesel() => {
            "Too far apart: have injectors, valves and rings looked at. No oil goes into a diesel: it can fire on it, or lock."
        }
        Outcome::Fail => "Too far apart: try a spoon of oil in the low cylinder and measure again.",
    };
    format!("Lowest {lowest}, highest {highest}. Rule: {rule}. {next}")
}

/// What a spoon of oil in a low cylinder tells.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OilTest {
    pub may_be: &'static str,
    pub source: Citation,
}

/// Rise from which the oil is said to have helped: a tenth. Common practice, no source.
const CLEAR_RISE: Decimal = Decimal::from_parts(11, 0, 0, false, 1);

/// `dry` before and `oiled` after a tablespoon of oil in the same cylinder; `neighbour_low` if the one beside it is low too.
pub fn oil_test(dry: &Pressure, oiled: &Pressure, neighbour_low: bool) -> OilTest {
    let rises = oiled.to(dry.unit()) >= dry.number() * CLEAR_RISE;
    let may_be = match (rises, neighbour_low) {
        (true, _) => "The oil sealed it: piston rings or bore may be worn.",
        (false, true) => "No rise, and the cylinder beside it is low too: the head gasket may leak between them.",
        (false, false) => "No rise: a valve may leak. Look at its clearance first.",
    };
    OilTest { may_be, source: Citation::read("US Army TM 5-4210-230-14&P-1, addendum 2") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn readings(texts: &[&str]) -> Vec<Pressure> {
        texts.iter().map(|text| Pressure::parse(text).unwrap()).collect()
    }

    #[test]
    fn lowest_and_highest_are_named_with_their_cylinders() {
        let judged =
            judge_compression(CompressionRule::ThreeQuarters, &readings(&["10 bar", "7 bar", "9.5 bar", "10 bar"]));
        let judged = judged.unwrap();
        assert_eq!(judged.outcome, Outcome::Fail);
        assert!(
            judged.says.starts_with("Lowest 7 bar in cylinder 2, highest 10 bar in cylinder 1."),
            "{}",
            judged.says
        );
    }

    #[test]
    fn oil_is_proposed_for_a_petrol_engine_and_never_for_a_diesel() {
        let diesel = [CompressionRule::Spread25, CompressionRule::Spread100];
        for rule in CompressionRule::ALL {
            let says = judge_compression(*rule, &readings(&["400 psi", "200 psi"])).unwrap().says;
            assert_eq!(says.contains("No oil goes into a diesel"), diesel.contains(rule), "{says}");
            assert_eq!(says.contains("try a spoon of oil"), !diesel.contains(rule), "{says}");
        }
    }

    #[test]
    fn readings_that_cannot_be_compared_are_refused() {
        let judge = |texts: &[&str]| judge_compression(CompressionRule::TenPercent, &readings(texts));
        assert_eq!(judge(&["10 bar"]), Err(CompressionError::TooFew));
        assert_eq!(judge(&["10 bar", "0 bar"]), Err(CompressionError::NoPressure(2)));
        assert_eq!(judge(&["-1 bar", "10 bar"]), Err(CompressionError::NoPressure(1)));
    }
}
