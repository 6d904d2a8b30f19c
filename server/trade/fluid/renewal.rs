//! How fresh a fluid gets when each change reaches only part of it, as in a gearbox whose converter cannot be drained.
//!
//! Source: the mass balance of a well mixed vessel. Each change leaves the share 1 − d/V of what was old; a flow through
//! of q volumes leaves e^−q. No standard was found that works one through.

use rust_decimal::Decimal;
use thiserror::Error;

use crate::trade::citation::Citation;
use crate::trade::quantity::{Percent, PercentUnit, Volume};

pub const MIXED_VESSEL: Citation = Citation::worked_out("mass balance of a well mixed vessel");

/// What one partial change does to a system.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Renewal {
    drained: Volume,
    /// Share of old fluid that one change leaves; from 0 to below 1.
    kept: Decimal,
}

/// Why a renewal cannot be worked out.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum RenewalError {
    #[error("A system of zero litres holds nothing: write how much it holds when dry.")]
    NoSystem,

    #[error("If nothing drains out, no number of changes makes it fresh: write how much came out.")]
    NothingDrained,

    #[error("{drained} cannot drain out of a system that holds {whole}: check both, and their units.")]
    MoreThanThereIs { drained: String, whole: String },

    #[error("Part of the old fluid stays after every change, so that 100 % is never reached: ask for 90 % or 95 %.")]
    NeverAll,

    #[error(
        "It would take more than {MOST_CHANGES} changes: take the system apart, or have the fluid pumped through instead."
    )]
    TooMany,
}

/// Beyond this nobody goes on draining.
const MOST_CHANGES: usize = 50;

/// A row of changes that reaches what is wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changes {
    /// Share of fresh fluid after each change.
    pub fresh: Vec<Percent>,
    /// New fluid for all of them together.
    pub needs: Volume,
    pub says: String,
}

impl Renewal {
    /// `whole` is what the system holds when dry. Errors if it is zero, or if nothing or too much drains.
    pub fn new(drained: Volume, whole: &Volume) -> Result<Self, RenewalError> {
        if whole.number().is_zero() {
            return Err(RenewalError::NoSystem);
        }
        if drained.number().is_zero() {
            return Err(RenewalError::NothingDrained);
        }
        if drained.compare(whole).is_gt() {
            return Err(RenewalError::MoreThanThereIs { drained: drained.to_string(), whole: whole.to_string() });
        }
        let kept = Decimal::ONE - drained.to(whole.unit()) / whole.number();
        Ok(Self { drained, kept })
    }

    /// Share of fresh fluid after so many changes, each driven warm before the next so that it mixes.
    pub fn fresh_after(&self, changes: u32) -> Percent {
        let old = (0..changes).fold(Decimal::ONE, |old, _| old * self.kept);
        percent(Decimal::ONE - old)
    }

    /// The fewest changes that make at least `wanted` of the fluid fresh.
    pub fn until(&self, wanted: &Percent) -> Result<Changes, RenewalError> {
        let all = wanted.number() >= Decimal::ONE_HUNDRED;
        if all && !self.kept.is_zero() {
            return Err(RenewalError::NeverAll);
        }
        let mut fresh = Vec::new();
        let mut old = Decimal::ONE;
        while (Decimal::ONE - old) * Decimal::ONE_HUNDRED < wanted.number().min(Decimal::ONE_HUNDRED) {
            if fresh.len() == MOST_CHANGES {
                return Err(RenewalError::TooMany);
            }
            old *= self.kept;
            fresh.push(percent(Decimal::ONE - old));
        }
        let count = Decimal::from(fresh.len());
        let needs = self.drained.checked_mul(count).map_err(|_| RenewalError::TooMany)?;
        let says = said(&fresh, &needs);
        Ok(Changes { fresh, needs, says })
    }
}

fn said(fresh: &[Percent], needs: &Volume) -> String {
    let Some(last) = fresh.last() else {
        return "No change is needed for that.".to_owned();
    };
    let (reached, needs) = (last.in_unit(PercentUnit::Percent), needs.in_unit(needs.unit()));
    if fresh.len() == 1 {
        return format!("One change makes {reached} of it fresh and takes {needs}.");
    }
    format!(
        "{} changes make {reached} of it fresh and take {needs}. Drive it warm between changes, so that old and new mix.",
        fresh.len()
    )
}

/// Share of fresh fluid once `pumped` has flowed through a system of `whole`, old fluid leaving as new comes in.
pub fn fresh_after_flow(pumped: &Volume, whole: &Volume) -> Result<Percent, RenewalError> {
    if whole.number().is_zero() {
        return Err(RenewalError::NoSystem);
    }
    let volumes = pumped.to(whole.unit()).checked_div(whole.number());
    // So many volumes that they cannot be counted leave nothing old.
    let old = volumes.and_then(|volumes| f64::try_from(volumes).ok()).map_or(0.0, |volumes| (-volumes).exp());
    Ok(percent(Decimal::ONE - Decimal::try_from(old).unwrap_or_default()))
}

/// A share from 0 to 1 as a percentage.
fn percent(share: Decimal) -> Percent {
    Percent::computed((share * Decimal::ONE_HUNDRED).clamp(Decimal::ZERO, Decimal::ONE_HUNDRED), PercentUnit::Percent)
        // Clamped to what a percentage may be.
        .unwrap_or_else(|_| unreachable!())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn volume(text: &str) -> Volume {
        Volume::parse(text).unwrap()
    }

    fn share(text: &str) -> Percent {
        Percent::parse(text).unwrap()
    }

    #[test]
    fn nonsense_is_refused_with_a_way_out() {
        assert_eq!(Renewal::new(volume("1 l"), &volume("0 l")), Err(RenewalError::NoSystem));
        assert_eq!(Renewal::new(volume("0 l"), &volume("7 l")), Err(RenewalError::NothingDrained));
        let swapped = Renewal::new(volume("7 l"), &volume("4 l")).unwrap_err();
        assert!(swapped.to_string().contains("7 l cannot drain"));
        let renewal = Renewal::new(volume("1 ml"), &volume("7 l")).unwrap();
        assert_eq!(renewal.until(&share("100 %")), Err(RenewalError::NeverAll));
        assert_eq!(renewal.until(&share("90 %")), Err(RenewalError::TooMany));
    }

    #[test]
    fn a_system_that_drains_wholly_is_fresh_after_one_change() {
        let renewal = Renewal::new(volume("4 l"), &volume("4000 ml")).unwrap();
        let changes = renewal.until(&share("100 %")).unwrap();
        assert_eq!(changes.fresh.len(), 1);
        assert_eq!(changes.says, "One change makes 100 % of it fresh and takes 4 l.");
    }

    #[test]
    fn a_flood_through_a_thimble_leaves_nothing_old() {
        let share = fresh_after_flow(&volume("9999 l"), &volume("0.0000000000000000000000001 l")).unwrap();
        assert_eq!(share.number(), Decimal::ONE_HUNDRED);
    }

    #[test]
    fn nothing_wanted_needs_nothing() {
        let renewal = Renewal::new(volume("4 l"), &volume("7 l")).unwrap();
        let changes = renewal.until(&share("0 %")).unwrap();
        assert!(changes.fresh.is_empty());
        assert!(changes.needs.number().is_zero());
    }
}
