//! The published frequencies of a rolling bearing.
//!
//! With n rolling elements of diameter d on a pitch circle of diameter D, contact angle α and k = d ÷ D · cos α, for one turn
//! of one ring against the other:
//!
//! | what | how often |
//! |---|---|
//! | an element passes a place of the outer ring | n ÷ 2 · (1 − k) |
//! | an element passes a place of the inner ring | n ÷ 2 · (1 + k) |
//! | an element turns about itself | D ÷ 2d · (1 − k²) |
//! | the cage turns, inner ring turning | ½ · (1 − k) |
//! | the cage turns, outer ring turning | ½ · (1 + k) |
//!
//! They hold for pure rolling. Real elements slip by one or two parts in a hundred.

use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;
use crate::trade::mechanics::double;
use crate::trade::quantity::{Angle, AngleUnit, Length, LengthUnit};
use rust_decimal::Decimal;

/// The formulas, and the slip that real bearings show beside them.
pub const FORMULAS: Citation =
    Citation::quoted("Mechanical Systems and Signal Processing 25 (2011), 485–520, section on bearing frequencies");

/// Part of itself by which a bearing's frequencies lie off the formulas, both ways. Source: as `FORMULAS`, from memory.
pub(super) const SLIP: f64 = 0.02;
const ELEMENTS: std::ops::RangeInclusive<u16> = 4..=60;
/// Degrees. Steeper than this carries no load across.
const STEEPEST: u8 = 60;

closed_set! {
    /// The ring that turns.
    pub enum Ring {
        Inner = "inner", "inner ring turns";
        /// As in an idler on a fixed bolt, or a wheel on a fixed stub.
        Outer = "outer", "outer ring turns";
    }
}

closed_set! {
    /// What of a bearing repeats.
    pub enum BearingLine {
        OuterRing = "outer-ring", "outer ring";
        InnerRing = "inner-ring", "inner ring";
        Element = "element", "ball or roller";
        Cage = "cage", "cage";
    }
}

/// A rolling bearing by its measures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bearing {
    elements: u16,
    element: Length,
    pitch: Length,
    angle: Angle,
    turns: Ring,
}

/// Why measures are no bearing.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BearingError {
    #[error("A bearing with {0} balls or rollers: from 4 to 60 in a row.")]
    Elements(u16),
    #[error(
        "Balls of {0} do not fit on a pitch circle of {1}: the circle runs through their middles, half-way between bore and outside."
    )]
    TooLarge(String, String),
    #[error("{0} balls of {1} do not fit side by side on a circle of {2}. Count one row, and measure again.")]
    TooMany(u16, String, String),
    #[error("{0} is no contact angle: from 0° to 60°. A plain ball bearing has 0°.")]
    Angle(String),
}

impl Bearing {
    /// `element`: diameter of a ball or roller; `pitch`: of the circle through their middles; `angle`: 0° to 60°.
    pub fn new(
        elements: u16,
        element: Length,
        pitch: Length,
        angle: Angle,
        turns: Ring,
    ) -> Result<Bearing, BearingError> {
        if !ELEMENTS.contains(&elements) {
            return Err(BearingError::Elements(elements));
        }
        let degrees = angle.to(AngleUnit::Degree);
        if degrees < Decimal::ZERO || degrees > Decimal::from(STEEPEST) {
            return Err(BearingError::Angle(angle.to_string()));
        }
        let (small, large) = (millimetres(&element), millimetres(&pitch));
        if small <= 0.0 || small * 2.0 >= large {
            return Err(BearingError::TooLarge(element.to_string(), pitch.to_string()));
        }
        // Side by side each takes a chord of the circle.
        if small > large * (std::f64::consts::PI / f64::from(elements)).sin() {
            return Err(BearingError::TooMany(elements, element.to_string(), pitch.to_string()));
        }
        Ok(Bearing { elements, element, pitch, angle, turns })
    }

    /// How often it happens in a turn of the ring that turns.
    pub fn times(&self, line: BearingLine) -> f64 {
        let share = self.share();
        let half = f64::from(self.elements) / 2.0;
        match line {
            BearingLine::OuterRing => half * (1.0 - share),
            BearingLine::InnerRing => half * (1.0 + share),
            BearingLine::Element => {
                millimetres(&self.pitch) / (2.0 * millimetres(&self.element)) * (1.0 - share * share)
            }
            BearingLine::Cage => match self.turns {
                Ring::Inner => (1.0 - share) / 2.0,
                Ring::Outer => (1.0 + share) / 2.0,
            },
        }
    }

    /// d ÷ D · cos α.
    fn share(&self) -> f64 {
        let radians = double(self.angle.to(AngleUnit::Degree)).to_radians();
        millimetres(&self.element) / millimetres(&self.pitch) * radians.cos()
    }
}

/// `9 of 7.94 mm on 38.5 mm, 0°, inner ring turns`
impl std::fmt::Display for Bearing {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{} of {} on {}, {}, {}", self.elements, self.element, self.pitch, self.angle, self.turns)
    }
}

pub(super) fn millimetres(length: &Length) -> f64 {
    double(length.to(LengthUnit::Millimetre))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bearing(elements: u16, element: &str, pitch: &str, angle: &str) -> Result<Bearing, BearingError> {
        let length = |text| Length::parse(text).unwrap();
        Bearing::new(elements, length(element), length(pitch), Angle::parse(angle).unwrap(), Ring::Inner)
    }

    #[test]
    fn measures_that_are_no_bearing_are_refused() {
        assert_eq!(bearing(2, "8 mm", "40 mm", "0°"), Err(BearingError::Elements(2)));
        assert!(matches!(bearing(8, "21 mm", "40 mm", "0°"), Err(BearingError::TooLarge(..))));
        assert!(matches!(bearing(30, "8 mm", "40 mm", "0°"), Err(BearingError::TooMany(..))));
        assert!(matches!(bearing(8, "8 mm", "40 mm", "75°"), Err(BearingError::Angle(_))));
    }

    /// Source: kinematics: every element passes each ring once for each turn of the cage against that ring.
    #[test]
    fn the_two_rings_share_the_elements_among_them() {
        let bearing = bearing(9, "7.94 mm", "38.5 mm", "15°").unwrap();
        let (outer, inner) = (bearing.times(BearingLine::OuterRing), bearing.times(BearingLine::InnerRing));
        assert!((outer + inner - 9.0).abs() < 1e-12);
        assert!((outer - 9.0 * bearing.times(BearingLine::Cage)).abs() < 1e-12);
        let turned = Bearing { turns: Ring::Outer, ..bearing };
        assert!((inner - 9.0 * turned.times(BearingLine::Cage)).abs() < 1e-12);
    }
}
