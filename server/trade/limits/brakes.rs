//! Brake discs and linings against their least thickness and most run-out.

use rust_decimal::Decimal;
use thiserror::Error;

use super::Judged;
use super::bound::{Bound, Held, judge};
use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{Length, LengthUnit, Percent, PercentUnit, SizeError};

closed_set! {
    /// Whose limit for linings and pads it is.
    pub enum LiningRule {
        Uk = "uk", "United Kingdom: 1.5 mm at any point";
        Us = "us", "United States: 1/32 in over the rivets, or over the shoe if bonded";
    }
}

/// Why a disc was not judged.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DiscError {
    #[error("Measure the disc in at least one place, better in four around it.")]
    NoReadings,

    #[error("A least thickness of zero is none: it is cast into the disc or its hub, often after ‘MIN TH’.")]
    NoMinimum,
}

/// Why a pedal's travel was not judged.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum PedalError {
    #[error("Measure from the free pedal to the floor first: that distance cannot be zero.")]
    NoTravel,

    #[error(
        "{pressed} left under the pressed pedal is more than the {free} under the free one: are they the wrong way round?"
    )]
    WrongWayRound { free: String, pressed: String },

    #[error(transparent)]
    Size(#[from] SizeError),
}

const PEDAL: Citation = Citation::quoted("49 CFR 570.5(c); RCW 46.37.360(2)");
const PEDAL_MOST: Decimal = Decimal::from_parts(80, 0, 0, false, 0);
/// Common practice, no source.
const PEDAL_WATCH: Decimal = Decimal::from_parts(20, 0, 0, false, 0);

const CAST_IN: Citation = Citation::quoted("49 CFR 570.5; RCW 46.37.360(4): the figure cast in or given by the maker");
const RUN_OUT: Citation = Citation::PRACTICE;

/// Half a millimetre of disc is soon gone. Common practice, no source.
const DISC_MARGIN: Decimal = Decimal::from_parts(5, 0, 0, false, 1);
/// Pads are looked at again below this. Common practice, no source.
const LINING_WATCH: Decimal = Decimal::from_parts(3, 0, 0, false, 0);

fn millimetres(number: Decimal) -> Length {
    // Called with a few millimetres only.
    Length::computed(number, LengthUnit::Millimetre).unwrap_or_else(|_| unreachable!())
}

/// The least thickness of a disc, and what is watched above it. Errors where the figure is zero.
pub fn disc_limit(minimum: &Length) -> Result<Held<LengthUnit>, DiscError> {
    if minimum.number().is_zero() {
        return Err(DiscError::NoMinimum);
    }
    Ok(Held { bound: Bound::AtLeast(minimum.clone()), margin: millimetres(DISC_MARGIN), source: CAST_IN })
}

/// The thinnest place of a disc against the figure cast into it.
pub fn judge_disc(readings: &[Length], minimum: &Length) -> Result<Judged, DiscError> {
    let limit = disc_limit(minimum)?;
    let thinnest = readings.iter().min_by(|a, b| a.compare(b)).ok_or(DiscError::NoReadings)?;
    Ok(limit.judge("The disc at its thinnest", thinnest))
}

/// Total indicator reading of a disc or wheel against the most that the maker allows.
pub fn judge_run_out(reading: &Length, most: &Length) -> Judged {
    let tenth = most.checked_mul(Decimal::new(1, 1)).unwrap_or_else(|_| most.clone());
    judge("The run-out", reading, &Bound::AtMost(most.clone()), &tenth, RUN_OUT)
}

/// How much of its way to the floor the pedal uses, by the United States rule: at most 80 %. `free` and `pressed` are the
/// distances from pedal to floor: (free − pressed)/free.
pub fn judge_pedal_travel(free: &Length, pressed: &Length) -> Result<Judged, PedalError> {
    if free.number().is_zero() {
        return Err(PedalError::NoTravel);
    }
    if pressed.compare(free).is_gt() {
        return Err(PedalError::WrongWayRound { free: free.to_string(), pressed: pressed.to_string() });
    }
    let used = (free.number() - pressed.to(free.unit())) / free.number() * Decimal::ONE_HUNDRED;
    let percent = |number| Percent::computed(number, PercentUnit::Percent);
    let bound = Bound::AtMost(percent(PEDAL_MOST)?);
    Ok(judge("The pedal's way to the floor", &percent(used)?, &bound, &percent(PEDAL_WATCH)?, PEDAL))
}

/// The least thickness of a lining or pad.
pub fn lining_limit(rule: LiningRule) -> Held<LengthUnit> {
    let (least, source) = match rule {
        LiningRule::Uk => {
            (millimetres(Decimal::new(15, 1)), Citation::quoted("MOT inspection manual of 2012, section 3.5"))
        }
        LiningRule::Us => {
            let least = Length::computed(Decimal::new(3125, 5), LengthUnit::Inch).unwrap_or_else(|_| unreachable!());
            (least, Citation::quoted("49 CFR 570.5; RCW 46.37.360(5)"))
        }
    };
    let margin = millimetres(LINING_WATCH - least.to(LengthUnit::Millimetre));
    Held { bound: Bound::AtLeast(least), margin, source }
}

/// A lining or pad at its thinnest. Over the rivet heads if riveted.
pub fn judge_lining(rule: LiningRule, thinnest: &Length) -> Judged {
    lining_limit(rule).judge("The lining", thinnest)
}

#[cfg(test)]
mod tests {
    use super::super::Outcome;
    use super::*;

    fn length(text: &str) -> Length {
        Length::parse(text).unwrap()
    }

    #[test]
    fn the_thinnest_place_of_a_disc_counts() {
        let disc = |texts: &[&str]| {
            let readings: Vec<_> = texts.iter().map(|text| length(text)).collect();
            judge_disc(&readings, &length("10 mm")).map(|judged| judged.outcome)
        };
        assert_eq!(disc(&["10.8 mm", "11 mm"]), Ok(Outcome::Pass));
        assert_eq!(disc(&["11 mm", "10.2 mm"]), Ok(Outcome::Watch));
        assert_eq!(disc(&["11 mm", "0.39 in"]), Ok(Outcome::Fail));
        assert_eq!(disc(&[]), Err(DiscError::NoReadings));
        assert_eq!(judge_disc(&[length("10 mm")], &length("0 mm")), Err(DiscError::NoMinimum));
    }

    #[test]
    fn run_out_is_judged_against_the_makers_figure() {
        let outcome = |text| judge_run_out(&length(text), &length("0.10 mm")).outcome;
        assert_eq!(outcome("0.05 mm"), Outcome::Pass);
        assert_eq!(outcome("0.095 mm"), Outcome::Watch);
        assert_eq!(outcome("5 thou"), Outcome::Fail);
    }
}
