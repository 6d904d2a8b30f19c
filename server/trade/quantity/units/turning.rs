//! Units of angle: a tightening angle, a share of a turn, a wheel alignment figure.

use super::{Bounds, Everyday, Facts, Lowest, Steps, Tolerance, UnitSet, exact};
use crate::trade::quantity::dimension::{Dimension, System};
use crate::trade::quantity::ratio::Ratio;
use crate::trade::quantity::unit::Unit;

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum AngleUnit {
    Degree,
    Turn,
    ArcMinute,
}

const PROTRACTOR: Steps = Steps { ladder: &[(10, exact(1, 1)), (30, exact(5, 1))], last: exact(1, 0) };
const TURNS: Steps = Steps { ladder: &[(1, exact(1, 2))], last: exact(5, 2) };
const MINUTES: Steps = Steps { ladder: &[], last: exact(1, 0) };

impl UnitSet for AngleUnit {
    const DIMENSION: Dimension = Dimension::Angle;
    const ALL: &'static [Self] = &[Self::Degree, Self::Turn, Self::ArcMinute];
    const BOUNDS: Bounds = Bounds { lowest: Lowest::Mirrored, highest: exact(36_000, 0), highest_says: "100 turns" };
    const TOLERANCE: Tolerance = Tolerance { percent: exact(2, 0), floor: exact(5, 2) };

    fn facts(self) -> Facts {
        let facts = Facts::plain;
        match self {
            Self::Degree => facts("deg", "°", DEGREES, Ratio::ONE, PROTRACTOR),
            Self::Turn => facts("turn", "turn", &["turns"], Ratio::new(360, 1), TURNS),
            Self::ArcMinute => facts("arcmin", "′", ARC_MINUTES, Ratio::new(1, 60), MINUTES),
        }
    }

    fn everyday(_: System) -> Everyday<Self> {
        Everyday::only(Self::Degree)
    }

    fn wrap(self) -> Unit {
        Unit::Angle(self)
    }
}

const DEGREES: &[&str] = &["degs", "degree", "degrees"];
const ARC_MINUTES: &[&str] = &["arc.minute", "arc.minutes", "minutes.of.arc"];
