//! Strength of a coolant mix: how much to drain and replace, how much to pour into an empty system.
//!
//! A strength is always percent **by volume of inhibited concentrate**, as bottles and jugs have it. Curves by mass are
//! another scale: see `freezing`.

use rust_decimal::Decimal;
use thiserror::Error;

use crate::trade::citation::Citation;
use crate::trade::quantity::{ParseError, Percent, PercentUnit, SizeError, Volume};

/// Share of concentrate in a coolant by volume, from plain water to neat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Strength(Decimal);

/// Why a strength or a mix was not taken.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum MixError {
    #[error(
        "{0} cannot be: neat concentrate is 100 %. Read the tester or the label again, and see which scale it has."
    )]
    BeyondNeat(String),

    #[error("A cooling system of zero litres holds nothing: write how much the manual gives, heater included.")]
    NoSystem,

    #[error(
        "{wanted} cannot be reached from {present} by pouring in {poured}: the wanted strength must lie between what is inside \
         and what is poured."
    )]
    OutOfReach { present: Strength, wanted: Strength, poured: Strength },

    #[error("More was drained than the system holds: check both figures and their units.")]
    OverDrained,

    #[error(transparent)]
    Unreadable(#[from] ParseError),

    #[error(transparent)]
    Size(#[from] SizeError),
}

/// What to drain and pour to change the strength of a full system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Exchange {
    /// The same volume goes out and comes in.
    pub volume: Volume,
    pub says: String,
    pub warns: Vec<Warning>,
    pub source: Citation,
}

/// What to pour into an empty system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Blend {
    pub concentrate: Volume,
    pub water: Volume,
    pub warns: Vec<Warning>,
}

/// Something to know about a strength before mixing it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Warning {
    pub says: &'static str,
    pub source: Citation,
}

const BALANCE: Citation = Citation::worked_out("balance of volumes");
const TOO_STRONG: Warning = Warning {
    says: "Above 70 % the mix freezes sooner again, carries less heat and may overheat the engine: 50 % is usual, 60 % about the \
           most that helps.",
    source: Citation::memory("freezing behaviour of glycol and water"),
};
const TOO_WEAK: Warning = Warning {
    says: "Below 30 % there may be too little rust inhibitor in it, whatever the frost: ask the label for its least strength.",
    source: Citation::PRACTICE,
};

impl Strength {
    pub const WATER: Self = Self(Decimal::ZERO);
    pub const NEAT: Self = Self(Decimal::ONE_HUNDRED);

    /// Errors beyond 100 %.
    pub fn new(percent: &Percent) -> Result<Self, MixError> {
        if percent.number() > Decimal::ONE_HUNDRED {
            return Err(MixError::BeyondNeat(percent.to_string()));
        }
        Ok(Self(percent.number()))
    }

    /// Reads `50 %` or plain `50`.
    pub fn parse(text: &str) -> Result<Self, MixError> {
        let bare = text.trim().chars().all(|letter| letter.is_ascii_digit() || matches!(letter, '.' | ','));
        let percent = if bare && !text.trim().is_empty() {
            Percent::parse(&format!("{} %", text.trim()))?
        } else {
            Percent::parse(text)?
        };
        Self::new(&percent)
    }

    /// In percent, 0 to 100.
    pub fn percent(self) -> Decimal {
        self.0
    }

    /// What to know before mixing it.
    pub fn warns(self) -> Vec<Warning> {
        let strong = (self.0 > Decimal::from(70)).then_some(TOO_STRONG);
        let weak = (self.0 < Decimal::from(30)).then_some(TOO_WEAK);
        strong.into_iter().chain(weak).collect()
    }
}

impl std::fmt::Display for Strength {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{} %", self.0.round_dp(1).normalize())
    }
}

/// How much of a full `system` to drain and replace by `poured` (mostly [`Strength::NEAT`] or [`Strength::WATER`]) so that
/// `present` becomes `wanted`: V·(c₂−c₁)/(c₊−c₁).
pub fn exchange(system: &Volume, present: Strength, wanted: Strength, poured: Strength) -> Result<Exchange, MixError> {
    if system.number().is_zero() {
        return Err(MixError::NoSystem);
    }
    if wanted == present {
        let volume = system.checked_mul(Decimal::ZERO)?;
        let says = format!("It is at {present} already: nothing to drain.");
        return Ok(Exchange { volume, says, warns: wanted.warns(), source: BALANCE });
    }
    let share = (wanted.0 - present.0).checked_div(poured.0 - present.0);
    let Some(share) = share.filter(|share| (Decimal::ZERO..=Decimal::ONE).contains(share)) else {
        return Err(MixError::OutOfReach { present, wanted, poured });
    };
    let volume = system.checked_mul(share)?;
    let shown = volume.in_unit(volume.unit());
    let says = format!(
        "Drain {shown}, pour in {shown} of {}, run the engine warm with the heater on, let it cool, and test again.",
        what(poured)
    );
    Ok(Exchange { volume, says, warns: wanted.warns(), source: BALANCE })
}

fn what(poured: Strength) -> String {
    if poured == Strength::NEAT {
        return "neat concentrate".to_owned();
    }
    if poured == Strength::WATER {
        return "clean soft or distilled water".to_owned();
    }
    format!("a mix of {poured}")
}

/// Strength of a full `system` at `present` once `drained` was replaced by `poured`.
pub fn strength_after(
    system: &Volume,
    present: Strength,
    drained: &Volume,
    poured: Strength,
) -> Result<Strength, MixError> {
    if system.number().is_zero() {
        return Err(MixError::NoSystem);
    }
    if drained.compare(system).is_gt() {
        return Err(MixError::OverDrained);
    }
    let share = drained.to(system.unit()) / system.number();
    let mixed = present.0 * (Decimal::ONE - share) + poured.0 * share;
    Strength::new(&Percent::computed(mixed, PercentUnit::Percent)?)
}

/// What to pour into an empty `system` for `wanted`. Contraction on mixing, below 1 %, is left out.
pub fn blend(system: &Volume, wanted: Strength) -> Result<Blend, MixError> {
    if system.number().is_zero() {
        return Err(MixError::NoSystem);
    }
    let concentrate = system.checked_mul(wanted.0 / Decimal::ONE_HUNDRED)?;
    let water = system.checked_sub(&concentrate)?;
    Ok(Blend { concentrate, water, warns: wanted.warns() })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn litres(text: &str) -> Volume {
        Volume::parse(&format!("{text} l")).unwrap()
    }

    fn strength(text: &str) -> Strength {
        Strength::parse(text).unwrap()
    }

    #[test]
    fn a_strength_is_read_with_or_without_its_sign_and_never_beyond_neat() {
        assert_eq!(strength("50"), strength("50 %"));
        assert_eq!(strength("33,5").percent(), "33.5".parse().unwrap());
        assert!(Strength::parse("130 %").unwrap_err().to_string().contains("neat concentrate is 100 %"));
        assert!(Strength::parse("130").is_err());
        assert!(Strength::parse("-5 %").is_err());
        assert!(Strength::parse("").is_err());
        assert!(Strength::parse("5 l").is_err());
    }

    #[test]
    fn what_cannot_be_reached_is_said() {
        let refused = exchange(&litres("8"), strength("30"), strength("50"), strength("40")).unwrap_err();
        assert!(refused.to_string().contains("between what is inside and what is poured"), "{refused}");
        assert!(exchange(&litres("8"), strength("30"), strength("20"), Strength::NEAT).is_err());
        assert!(exchange(&litres("8"), strength("30"), strength("40"), strength("30")).is_err());
        assert_eq!(exchange(&litres("0"), strength("30"), strength("50"), Strength::NEAT), Err(MixError::NoSystem));
        let over = strength_after(&litres("8"), strength("30"), &litres("9"), Strength::NEAT);
        assert_eq!(over, Err(MixError::OverDrained));
    }

    #[test]
    fn too_strong_and_too_weak_are_warned_of() {
        let strong = exchange(&litres("8"), strength("50"), strength("75"), Strength::NEAT).unwrap();
        assert!(strong.warns[0].says.contains("Above 70 %"));
        let weak = exchange(&litres("8"), strength("50"), strength("20"), Strength::WATER).unwrap();
        assert!(weak.warns[0].says.contains("Below 30 %"));
        assert!(weak.says.contains("distilled water"));
        assert!(strength("50").warns().is_empty());
    }

    #[test]
    fn a_strength_that_is_there_already_needs_no_drain() {
        let same = exchange(&litres("8"), strength("50"), strength("50"), Strength::NEAT).unwrap();
        assert!(same.volume.number().is_zero());
    }

    #[test]
    fn a_blend_fills_the_system() {
        let blend = blend(&litres("7.5"), strength("40")).unwrap();
        assert_eq!(blend.concentrate.number(), "3".parse().unwrap());
        assert_eq!(blend.water.number(), "4.5".parse().unwrap());
    }
}
