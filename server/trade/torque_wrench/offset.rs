//! Crowfoot and offset adapters, which move the bolt off the drive axis of the wrench.
//!
//! Rule: `setting = wanted × L / (L + E·cos φ)`. L runs from the middle of the drive square to where the hand pulls, E
//! from the middle of the drive square to the middle of the bolt; φ is 0° straight out, 90° across, 180° folded back.
//! Sources: US Army TM 9-254, para 4-1 and fig 4-6 (angled adapter); NAVEDTRA 14008 (backwards: subtract, at a right
//! angle: no change).

use rust_decimal::Decimal;
use thiserror::Error;

use super::drawing::Drawing;
use crate::trade::mechanics::double;
use crate::trade::quantity::{Angle, AngleUnit, Length, LengthUnit, SizeError, Span, TorqueUnit};

/// A correction beyond a half or a double is past what is sensible: a small slip in a length then makes a large one in
/// the torque. Common practice, no source.
const LEAST_SENSIBLE: Decimal = Decimal::from_parts(5, 0, 0, false, 1);
const MOST_SENSIBLE: Decimal = Decimal::TWO;

/// A wrench with an adapter whose effective length is above zero.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offset {
    /// L, above zero.
    lever: Length,
    /// E, above zero.
    reach: Length,
    angle: Angle,
    /// L / (L + E·cos φ), above zero.
    factor: Decimal,
}

/// Why an adapter cannot be reckoned with.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum OffsetError {
    #[error("The wrench has no length: measure from the middle of its drive square to the middle of its grip.")]
    NoLever,
    #[error("The adapter has no reach: one that keeps the bolt on the drive axis changes nothing, so leave it out.")]
    NoReach,
    #[error(
        "Folded back like this the adapter leaves no lever at all: turn it to 90°, where it changes nothing, or take a \
         shorter one."
    )]
    FoldedPastZero,
    #[error("With this adapter the wrench would have to be set to something that no wrench has. {0}")]
    Beyond(#[from] SizeError),
}

/// What to set instead of what is wanted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Corrected {
    /// Worked out exactly; still to be brought to a mark, by [`super::suitability`].
    pub torque: Span<TorqueUnit>,
    /// What is wanted times this is what to set.
    pub factor: Decimal,
    /// For a person: what changes and which way.
    pub sentence: String,
    pub warnings: Vec<String>,
}

impl Offset {
    /// Errors when a length is zero, or the adapter is folded back so far that no lever is left.
    pub fn new(lever: Length, reach: Length, angle: Angle) -> Result<Self, OffsetError> {
        let (long, short) = (lever.to(LengthUnit::Millimetre), reach.to(LengthUnit::Millimetre));
        if long <= Decimal::ZERO {
            return Err(OffsetError::NoLever);
        }
        if short <= Decimal::ZERO {
            return Err(OffsetError::NoReach);
        }
        let effective = long + short * cosine(&angle);
        let factor = long.checked_div(effective).filter(|_| effective > Decimal::ZERO);
        let factor = factor.filter(|factor| !factor.is_zero()).ok_or(OffsetError::FoldedPastZero)?;
        Ok(Self { lever, reach, angle, factor })
    }

    /// What to set so that the bolt gets `wanted`; errors when no wrench could be set so high.
    pub fn correct(&self, wanted: &Span<TorqueUnit>) -> Result<Corrected, OffsetError> {
        let scaled = |end: Decimal| end.checked_mul(self.factor).unwrap_or(Decimal::MAX);
        let torque = Span::computed(scaled(wanted.low().number()), scaled(wanted.high().number()), wanted.unit())?;
        let shown = torque.in_unit(wanted.unit());
        let sentence = match self.factor.cmp(&Decimal::ONE) {
            std::cmp::Ordering::Less => format!(
                "The adapter makes the lever longer, so the wrench must be set lower: to about {shown} for {wanted} at \
                 the bolt."
            ),
            std::cmp::Ordering::Equal => {
                format!("At a right angle the adapter changes nothing: set the {wanted} that are wanted.")
            }
            std::cmp::Ordering::Greater => format!(
                "Folded back the adapter makes the lever shorter, so the wrench must be set higher: to about {shown} \
                 for {wanted} at the bolt."
            ),
        };
        Ok(Corrected { torque, factor: self.factor, sentence, warnings: self.warnings() })
    }

    pub const fn lever(&self) -> &Length {
        &self.lever
    }

    pub const fn reach(&self) -> &Length {
        &self.reach
    }

    pub const fn angle(&self) -> &Angle {
        &self.angle
    }

    /// Wrench and adapter to scale, in millimetres.
    pub fn drawing(&self) -> Drawing {
        Drawing::of(&self.lever, &self.reach, &self.angle)
    }

    fn warnings(&self) -> Vec<String> {
        let mut warnings = Vec::new();
        if self.reach.compare(&self.lever).is_gt() {
            warnings.push(
                "The adapter reaches further than the wrench is long: look whether the two lengths were exchanged."
                    .to_owned(),
            );
        }
        if !(LEAST_SENSIBLE..=MOST_SENSIBLE).contains(&self.factor) {
            warnings.push(
                "So large a correction is past what is sensible: a few millimetres in a length already spoil the \
                 torque. Take a longer wrench or a shorter adapter, or turn it to 90°."
                    .to_owned(),
            );
        }
        warnings.push(
            "Pull at the middle of the grip, square to the wrench, and never with a tube over the handle: the length \
             that was reckoned with is the one to the hand."
                .to_owned(),
        );
        warnings
    }
}

/// What a plain socket extension on the drive axis changes: nothing, with the caution that belongs to it.
pub fn socket_extension(wanted: &Span<TorqueUnit>) -> Corrected {
    Corrected {
        torque: wanted.clone(),
        factor: Decimal::ONE,
        sentence: format!("A socket extension on the drive axis changes nothing: set the {wanted} that are wanted."),
        warnings: vec![
            "A long thin extension twists and springs, and one held at a slant loses torque: hold its head in line, \
             pull slowly, and take the shortest that reaches."
                .to_owned(),
        ],
    }
}

/// Exact at every right angle; else right to fifteen places, far below what an angle can be measured to.
fn cosine(angle: &Angle) -> Decimal {
    let cosine = double(angle.to(AngleUnit::Degree)).to_radians().cos();
    Decimal::try_from(cosine).unwrap_or_default().round_dp(15)
}
