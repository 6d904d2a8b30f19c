//! Units of mass: what a part, a charge of grease or an axle load weighs.

use rust_decimal::Decimal;

use super::{Bounds, Everyday, Facts, Lowest, Steps, Tolerance, UnitSet, exact};
use crate::trade::quantity::dimension::{Dimension, System};
use crate::trade::quantity::ratio::{OUNCE, POUND, Ratio};
use crate::trade::quantity::unit::Unit;

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MassUnit {
    Kilogram,
    Gram,
    Pound,
    Ounce,
}

const SCALES: Steps =
    Steps { ladder: &[(2, exact(1, 2)), (10, exact(5, 2)), (50, exact(1, 1)), (200, exact(5, 1))], last: exact(1, 0) };
const SMALL_SCALES: Steps = Steps { ladder: &[(10, exact(1, 1)), (100, exact(1, 0))], last: exact(5, 0) };
const OUNCES: Steps = Steps { ladder: &[(10, exact(1, 1))], last: exact(5, 1) };

impl UnitSet for MassUnit {
    const DIMENSION: Dimension = Dimension::Mass;
    const ALL: &'static [Self] = &[Self::Kilogram, Self::Gram, Self::Pound, Self::Ounce];
    const BOUNDS: Bounds = Bounds { lowest: Lowest::Zero, highest: exact(100_000, 0), highest_says: "100 000 kg" };
    const TOLERANCE: Tolerance = Tolerance { percent: exact(2, 0), floor: Decimal::ZERO };

    fn facts(self) -> Facts {
        let facts = Facts::plain;
        match self {
            Self::Kilogram => facts("kg", "kg", &["kgs", "kilo", "kilos"], Ratio::ONE, SCALES),
            Self::Gram => facts("g", "g", GRAMS, Ratio::new(1, 1000), SMALL_SCALES),
            Self::Pound => facts("lb", "lb", &["lbs", "pound", "pounds"], POUND, SCALES),
            Self::Ounce => facts("oz", "oz", &["ounce", "ounces"], OUNCE, OUNCES),
        }
    }

    fn everyday(system: System) -> Everyday<Self> {
        match system {
            System::Metric => {
                Everyday { usual: Self::Kilogram, lesser: &[(Self::Gram, 1000)], greatest: Self::Kilogram }
            }
            System::Inch => Everyday { usual: Self::Pound, lesser: &[(Self::Ounce, 16)], greatest: Self::Pound },
        }
    }

    fn wrap(self) -> Unit {
        Unit::Mass(self)
    }
}

const GRAMS: &[&str] = &["gr", "gram", "grams", "gramme", "grammes"];
