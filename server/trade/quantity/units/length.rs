//! Units of length, from a bearing clearance to a wheelbase.

use super::{Bounds, Everyday, Facts, Lowest, Steps, Tolerance, UnitSet, exact};
use crate::trade::quantity::dimension::{Dimension, System};
use crate::trade::quantity::ratio::{FOOT, INCH, Ratio};
use crate::trade::quantity::unit::Unit;

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LengthUnit {
    Millimetre,
    Centimetre,
    Metre,
    Micrometre,
    Inch,
    Foot,
    /// A thousandth of an inch, in the words of British and American workshops.
    Thou,
}

/// Feeler gauge and caliper, then tape; what is smaller than five steps keeps two figures, as a micrometer reads it.
const FINE: Steps = Steps { ladder: &[(500, exact(1, 2))], last: exact(1, 0) };
const INCHES: Steps = Steps { ladder: &[(20, exact(1, 3))], last: exact(5, 2) };
const TAPE: Steps = Steps { ladder: &[(1, exact(1, 2)), (100, exact(1, 1))], last: exact(1, 0) };
const HUNDREDTHS: Steps = Steps { ladder: &[], last: exact(1, 2) };
const WHOLE: Steps = Steps { ladder: &[(10, exact(1, 1))], last: exact(1, 0) };

/// Millimetres in a metre.
const MILLI: Ratio = Ratio::new(1000, 1);
const INCH_IN_MM: Ratio = INCH.times(MILLI);
const FOOT_IN_MM: Ratio = FOOT.times(MILLI);
const THOU_IN_MM: Ratio = INCH;

impl UnitSet for LengthUnit {
    const DIMENSION: Dimension = Dimension::Length;
    const ALL: &'static [Self] =
        &[Self::Millimetre, Self::Centimetre, Self::Metre, Self::Micrometre, Self::Inch, Self::Foot, Self::Thou];
    const BOUNDS: Bounds = Bounds { lowest: Lowest::Zero, highest: exact(100_000, 0), highest_says: "100 m" };
    /// The floor is half a thou: a feeler gauge of 0.7 mm is sold as 0.028 in.
    const TOLERANCE: Tolerance = Tolerance { percent: exact(2, 0), floor: exact(127, 4) };

    fn facts(self) -> Facts {
        let facts = Facts::plain;
        match self {
            Self::Millimetre => facts("mm", "mm", MILLIMETRES, Ratio::ONE, FINE),
            Self::Centimetre => facts("cm", "cm", &[], Ratio::new(10, 1), TAPE),
            Self::Metre => facts("m", "m", METRES, MILLI, HUNDREDTHS),
            Self::Micrometre => facts("um", "µm", &["micron", "microns"], Ratio::new(1, 1000), WHOLE),
            Self::Inch => facts("in", "in", &["inch", "inches", "\"", "''"], INCH_IN_MM, INCHES),
            Self::Foot => facts("ft", "ft", &["foot", "feet", "'"], FOOT_IN_MM, HUNDREDTHS),
            Self::Thou => facts("thou", "thou", &["thous", "mil", "mils"], THOU_IN_MM, WHOLE),
        }
    }

    fn everyday(system: System) -> Everyday<Self> {
        match system {
            System::Metric => {
                Everyday { usual: Self::Millimetre, lesser: &[(Self::Millimetre, 10_000)], greatest: Self::Metre }
            }
            System::Inch => Everyday { usual: Self::Inch, lesser: &[(Self::Inch, 400)], greatest: Self::Foot },
        }
    }

    fn wrap(self) -> Unit {
        Unit::Length(self)
    }
}

const MILLIMETRES: &[&str] = &["millimetre", "millimetres", "millimeter", "millimeters"];
const METRES: &[&str] = &["metre", "metres", "meter", "meters"];
