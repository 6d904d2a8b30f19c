//! How much goes in, and what the amount that came out may tell.

use rust_decimal::Decimal;
use thiserror::Error;

use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{ParseError, Percent, PercentUnit, Volume};

/// The two fills of one system: after a drain, and into clean empty parts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fill {
    service: Volume,
    dry: Option<Volume>,
}

/// Why fills, or an amount that came out, were not taken.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum FillError {
    #[error("A system of zero litres holds nothing: write what the manual gives for a service fill.")]
    Nothing,

    #[error(
        "The dry fill of {dry} is less than the service fill of {service}: a drain always leaves some inside, so the dry fill \
         is the larger of the two. Are they the wrong way round?"
    )]
    DryBelowService { service: String, dry: String },

    #[error(transparent)]
    Unreadable(#[from] ParseError),
}

closed_set! {
    /// How the system was emptied.
    pub enum Emptied {
        Drained = "drained", "drained through its plug";
        Apart = "apart", "apart, or new and dry";
    }
}

/// How much to have ready, and how to go about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pour {
    pub volume: Volume,
    pub says: String,
}

closed_set! {
    /// What came out against what should have been inside.
    pub enum Difference {
        AsExpected = "as-expected", "about as much as goes in";
        Less = "less", "less than goes in";
        MuchLess = "much-less", "much less than goes in";
        More = "more", "more than goes in";
    }
}

/// What the amount that came out may tell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CameOut {
    pub difference: Difference,
    /// Of the service fill.
    pub share: Percent,
    pub may_mean: &'static [&'static str],
    pub source: Citation,
}

/// Shares of the service fill in percent that bound 'as expected' and 'less'. Common practice, no source.
const MUCH_LESS_BELOW: Decimal = Decimal::from_parts(70, 0, 0, false, 0);
const LESS_BELOW: Decimal = Decimal::from_parts(90, 0, 0, false, 0);
const MORE_ABOVE: Decimal = Decimal::from_parts(110, 0, 0, false, 0);

impl Fill {
    /// Errors if the service fill is zero, or the dry fill is less than it.
    pub fn new(service: Volume, dry: Option<Volume>) -> Result<Self, FillError> {
        if service.number().is_zero() {
            return Err(FillError::Nothing);
        }
        if let Some(dry) = dry.as_ref().filter(|dry| dry.compare(&service).is_lt()) {
            return Err(FillError::DryBelowService { service: service.to_string(), dry: dry.to_string() });
        }
        Ok(Self { service, dry })
    }

    /// `dry` may be empty.
    pub fn parse(service: &str, dry: &str) -> Result<Self, FillError> {
        let dry = if dry.trim().is_empty() { None } else { Some(Volume::parse(dry)?) };
        Self::new(Volume::parse(service)?, dry)
    }

    pub fn to_pour(&self, emptied: Emptied) -> Pour {
        match (emptied, &self.dry) {
            (Emptied::Drained, _) => Pour {
                volume: self.service.clone(),
                says: "Service fill: pour nine tenths of it, then go by the mark or the filler hole, not by the jug.".to_owned(),
            },
            (Emptied::Apart, Some(dry)) => Pour {
                volume: dry.clone(),
                says: format!("Dry fill. A later change takes only the service fill of {}.", self.service),
            },
            (Emptied::Apart, None) => Pour {
                volume: self.service.clone(),
                says: "Only the service fill is known, and dry parts take more: have extra ready, and look at the level again \
                       after the first run."
                    .to_owned(),
            },
        }
    }

    /// What `volume` in the drain pan may tell; never proof. The limits are common practice, no source.
    pub fn came_out(&self, volume: &Volume) -> CameOut {
        let unit = self.service.unit();
        let most = Decimal::from(1000);
        let share = volume.to(unit).checked_div(self.service.number());
        let percent = share.and_then(|share| share.checked_mul(Decimal::ONE_HUNDRED)).unwrap_or(most).min(most);
        let within_dry = self.dry.as_ref().is_some_and(|dry| volume.compare(dry).is_le());
        let difference = if percent < MUCH_LESS_BELOW {
            Difference::MuchLess
        } else if percent < LESS_BELOW {
            Difference::Less
        } else if percent > MORE_ABOVE && !within_dry {
            Difference::More
        } else {
            Difference::AsExpected
        };
        // Within the bounds of a percentage, so that it cannot fail; a pan a thousand times too full is shown as 1000 %.
        let share = Percent::computed(percent, PercentUnit::Percent).unwrap_or_else(|_| unreachable!());
        CameOut { difference, share, may_mean: difference.may_mean(), source: Citation::PRACTICE }
    }
}

impl Difference {
    fn may_mean(self) -> &'static [&'static str] {
        match self {
            Self::AsExpected => &[],
            Self::Less => &[
                "It may have run low: look for leaks before you fill.",
                "Some may still be inside: was it warm, level, and left to drip?",
            ],
            Self::MuchLess => &[
                "It may have run far too low: look for leaks, and for wear where it did not reach.",
                "The drain may be partly blocked by sludge, or the car may not have stood level.",
                "The capacity may be that of another variant: check its source.",
            ],
            Self::More => &[
                "It may have been overfilled: pressure then pushes seals out.",
                "Water, fuel or another fluid may have got in: look at its colour and smell.",
                "The capacity may be that of another variant: check its source.",
            ],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fill() -> Fill {
        Fill::parse("4.0 l", "4.5 l").unwrap()
    }

    #[test]
    fn a_dry_engine_takes_more_than_a_drained_one() {
        assert_eq!(fill().to_pour(Emptied::Drained).volume.to_string(), "4.0 l");
        assert_eq!(fill().to_pour(Emptied::Apart).volume.to_string(), "4.5 l");
        let unknown = Fill::parse("4 l", " ").unwrap().to_pour(Emptied::Apart);
        assert!(unknown.says.contains("dry parts take more"));
    }

    #[test]
    fn what_came_out_is_weighed_against_what_goes_in_whatever_the_unit() {
        for (pan, difference, share) in [
            ("4 l", Difference::AsExpected, "100"),
            ("3.6 l", Difference::AsExpected, "90"),
            ("3500 ml", Difference::Less, "87.5"),
            ("2.5 l", Difference::MuchLess, "62.5"),
            ("0 l", Difference::MuchLess, "0"),
            ("4.5 l", Difference::AsExpected, "112.5"),
            ("4.6 l", Difference::More, "115"),
        ] {
            let out = fill().came_out(&Volume::parse(pan).unwrap());
            assert_eq!((out.difference, out.share.number()), (difference, share.parse().unwrap()), "{pan}");
            assert_eq!(out.may_mean.is_empty(), difference == Difference::AsExpected, "{pan}");
        }
        let flood = fill().came_out(&Volume::parse("9000 l").unwrap());
        assert_eq!(flood.difference, Difference::More);
        let thimble = Fill::parse("0.0000000000000000000000001 l", "").unwrap();
        assert_eq!(thimble.came_out(&Volume::parse("9999 l").unwrap()).difference, Difference::More);
    }

    #[test]
    fn fills_that_cannot_be_are_refused_with_a_way_out() {
        assert_eq!(Fill::parse("0 l", ""), Err(FillError::Nothing));
        let swapped = Fill::parse("4.5 l", "4 l").unwrap_err().to_string();
        assert!(swapped.contains("wrong way round"), "{swapped}");
        assert!(matches!(Fill::parse("4 qt", ""), Err(FillError::Unreadable(_))));
    }
}
