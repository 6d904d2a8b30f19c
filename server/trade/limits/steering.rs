//! Free play of the steering wheel and its linkage.

use rust_decimal::Decimal;
use thiserror::Error;

use super::Judged;
use super::bound::{Bound, Held};
use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{Length, LengthUnit};

closed_set! {
    /// How the steering is built, as far as its limit hangs on it.
    pub enum SteeringBox {
        Rack = "rack", "rack and pinion";
        Other = "other", "steering box";
    }
}

/// Why play was not judged.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum SteeringError {
    #[error("{0} is no diameter of a steering wheel: most measure 350 to 450 mm, or 14 to 18 in. Is the unit right?")]
    NoWheel(String),
}

const AT_WHEEL: &str = "Play at the steering wheel";
const LASH: Citation = Citation::read("49 CFR 570.7(a), table 1");
const LINKAGE: Citation = Citation::read("49 CFR 570.7(b)");
const MOT: Citation = Citation::quoted("MOT inspection manual of 2012, section 2.2");

/// Wheel diameter in inches and play at the rim in hundredths of an inch.
const TABLE: [(u32, u32); 4] = [(16, 200), (18, 225), (20, 250), (22, 275)];

fn length(number: Decimal, unit: LengthUnit) -> Length {
    // Called with the limits of this file only.
    Length::computed(number, unit).unwrap_or_else(|_| unreachable!())
}

fn wheel_in(diameter: &Length, unit: LengthUnit) -> Result<Decimal, SteeringError> {
    let inches = diameter.to(LengthUnit::Inch);
    let possible = Decimal::from(9)..=Decimal::from(30);
    possible.contains(&inches).then(|| diameter.to(unit)).ok_or_else(|| SteeringError::NoWheel(diameter.to_string()))
}

/// A fifth of the limit is watched. Common practice, no source.
fn watched(most: Length, source: Citation) -> Held<LengthUnit> {
    let margin = most.checked_mul(Decimal::new(2, 1)).unwrap_or_else(|_| most.clone());
    Held { bound: Bound::AtMost(most), margin, source }
}

/// The most play at the rim for a wheel of this diameter, by the United States table. Between two rows the smaller wheel's
/// counts.
pub fn play_limit_us(wheel: &Length) -> Result<Held<LengthUnit>, SteeringError> {
    let inches = wheel_in(wheel, LengthUnit::Inch)?;
    let row = TABLE.iter().rev().find(|(diameter, _)| inches >= Decimal::from(*diameter)).unwrap_or(&TABLE[0]);
    let most = length(Decimal::new(row.1.into(), 2), LengthUnit::Inch);
    Ok(watched(most, LASH))
}

/// Play at the rim before a front wheel moves, by the United States table.
pub fn judge_play_us(play: &Length, wheel: &Length) -> Result<Judged, SteeringError> {
    Ok(play_limit_us(wheel)?.judge(AT_WHEEL, play))
}

/// The most play at the rim by the United Kingdom manual of 2012: 13 mm with a rack and 75 mm otherwise at a wheel of 380 mm, in
/// proportion for other wheels.
pub fn play_limit_uk(wheel: &Length, steering: SteeringBox) -> Result<Held<LengthUnit>, SteeringError> {
    let millimetres = wheel_in(wheel, LengthUnit::Millimetre)?;
    let at_380 = match steering {
        SteeringBox::Rack => Decimal::from(13),
        SteeringBox::Other => Decimal::from(75),
    };
    let most = length(at_380 * millimetres / Decimal::from(380), LengthUnit::Millimetre);
    Ok(watched(most, MOT))
}

/// Play at the rim by the United Kingdom manual of 2012.
pub fn judge_play_uk(play: &Length, wheel: &Length, steering: SteeringBox) -> Result<Judged, SteeringError> {
    Ok(play_limit_uk(wheel, steering)?.judge(AT_WHEEL, play))
}

/// The most play at the tread of a front tyre by the United States rule: 1/4 in.
pub fn linkage_limit() -> Held<LengthUnit> {
    watched(length(Decimal::new(25, 2), LengthUnit::Inch), LINKAGE)
}

/// Play at the tread of a front tyre rocked by hand, by the United States rule: 1/4 in.
pub fn judge_linkage_play(play: &Length) -> Judged {
    linkage_limit().judge("Play at the tread", play)
}
