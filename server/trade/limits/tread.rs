//! Tread depth against the least that a country asks for.

use rust_decimal::Decimal;
use thiserror::Error;

use super::bound::{Bound, Held};
use super::{Judged, Outcome};
use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{Length, LengthUnit};

closed_set! {
    /// Whose limit it is.
    pub enum TreadRule {
        Uk = "uk", "United Kingdom: 1.6 mm over the central three quarters";
        Us = "us", "United States: 2/32 in";
    }
}

/// Why depths were not judged.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum TreadError {
    #[error("Measure in at least one groove, better in three across the tread.")]
    NoDepths,

    #[error("{0} is more than any road tyre has: is the unit right, and was the gauge in a groove?")]
    TooDeep(String),
}

impl TreadRule {
    fn least(self) -> (Length, Citation) {
        let (number, unit, source) = match self {
            Self::Uk => {
                (Decimal::new(16, 1), LengthUnit::Millimetre, Citation::quoted("MOT inspection manual, section 5"))
            }
            Self::Us => (Decimal::new(625, 4), LengthUnit::Inch, Citation::quoted("49 CFR 570.9(a); RCW 46.37.425(4)")),
        };
        // Both far below the longest length.
        (Length::computed(number, unit).unwrap_or_else(|_| unreachable!()), source)
    }
}

/// Where wet grip falls off fast. Common practice, no source.
const WATCH_BELOW: Decimal = Decimal::from_parts(3, 0, 0, false, 0);
/// Millimetres; deeper is no road tyre.
pub(super) const DEEPEST: Decimal = Decimal::from_parts(30, 0, 0, false, 0);

/// The least depth of a rule, watched below 3 mm.
pub fn tread_limit(rule: TreadRule) -> Held<LengthUnit> {
    let (least, source) = rule.least();
    let margin = (WATCH_BELOW - least.to(LengthUnit::Millimetre)).max(Decimal::ZERO);
    let margin = Length::computed(margin, LengthUnit::Millimetre).unwrap_or_else(|_| least.clone());
    Held { bound: Bound::AtLeast(least), margin, source }
}

/// The least of the depths of one tyre counts.
pub fn judge_tread(rule: TreadRule, depths: &[Length]) -> Result<Judged, TreadError> {
    if let Some(deep) = depths.iter().find(|depth| depth.to(LengthUnit::Millimetre) > DEEPEST) {
        return Err(TreadError::TooDeep(deep.to_string()));
    }
    let lowest = depths.iter().min_by(|a, b| a.compare(b)).ok_or(TreadError::NoDepths)?;
    let mut judged = tread_limit(rule).judge("The tread", lowest);
    if judged.outcome == Outcome::Watch {
        judged.says.push_str(" Below 3 mm wet grip falls off fast.");
    }
    Ok(judged)
}
