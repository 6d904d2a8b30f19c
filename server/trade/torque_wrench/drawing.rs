//! A wrench with its adapter as points to scale, seen along the drive axis.

use serde::Serialize;

use crate::trade::mechanics::{double, millimetres};
use crate::trade::quantity::{Angle, AngleUnit, Length};

/// In millimetres: x along the wrench away from the hand, y across it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Point {
    pub x: f64,
    pub y: f64,
}

/// The points that a drawing needs; the drive square is the origin.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Drawing {
    /// Where the hand pulls.
    pub grip: Point,
    pub drive: Point,
    pub bolt: Point,
    /// The end of the lever that counts: the bolt's foot on the line of the wrench.
    pub foot: Point,
    /// Corners of the smallest upright box around all of it.
    pub low: Point,
    pub high: Point,
}

impl Drawing {
    pub(super) fn of(lever: &Length, reach: &Length, angle: &Angle) -> Self {
        let (lever, reach) = (millimetres(lever), millimetres(reach));
        let turned = double(angle.to(AngleUnit::Degree)).to_radians();
        let grip = Point { x: -lever, y: 0.0 };
        let drive = Point { x: 0.0, y: 0.0 };
        let bolt = Point { x: reach * turned.cos(), y: reach * turned.sin() };
        let foot = Point { x: bolt.x, y: 0.0 };
        Self {
            grip,
            drive,
            bolt,
            foot,
            low: Point { x: grip.x.min(bolt.x), y: bolt.y.min(0.0) },
            high: Point { x: bolt.x.max(0.0), y: bolt.y.max(0.0) },
        }
    }
}
