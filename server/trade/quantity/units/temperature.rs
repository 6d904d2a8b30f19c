//! Temperatures read off a scale, never differences: 88 °C is 190 °F, but 10 degrees C more is 18 degrees F more.
//!
//! Source: NIST Special Publication 811 (2008), B.8: T/K = t/°C + 273.15 and T/K = (t/°F + 459.67)/1.8.

use rust_decimal::Decimal;

use super::{Bounds, Everyday, Facts, Lowest, Steps, Tolerance, Unclear, UnitSet, exact};
use crate::trade::quantity::dimension::{Dimension, System};
use crate::trade::quantity::ratio::Ratio;
use crate::trade::quantity::unit::Unit;

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TemperatureUnit {
    Celsius,
    Fahrenheit,
    Kelvin,
}

const THERMOMETER: Steps = Steps { ladder: &[], last: exact(1, 0) };
const FIVE_NINTHS: Ratio = Ratio::new(5, 9);

impl UnitSet for TemperatureUnit {
    const DIMENSION: Dimension = Dimension::Temperature;
    const ALL: &'static [Self] = &[Self::Celsius, Self::Fahrenheit, Self::Kelvin];
    const BOUNDS: Bounds =
        Bounds { lowest: Lowest::AbsoluteZero, highest: exact(327_315, 2), highest_says: "3000 °C" };
    const TOLERANCE: Tolerance = Tolerance { percent: Decimal::ZERO, floor: exact(2, 0) };
    const UNCLEAR: &'static [Unclear] = &[Unclear {
        spellings: &["°", "deg", "degs", "degree", "degrees"],
        says: "Degrees Celsius and degrees Fahrenheit are far apart: is it °C or °F?",
    }];

    fn facts(self) -> Facts {
        let facts = |code, name, spellings, size, zero| Facts { code, name, spellings, size, zero, steps: THERMOMETER };
        match self {
            Self::Celsius => facts("degC", "°C", CELSIUS, Ratio::ONE, exact(27_315, 2)),
            Self::Fahrenheit => facts("degF", "°F", FAHRENHEIT, FIVE_NINTHS, exact(45_967, 2)),
            Self::Kelvin => facts("K", "K", &["kelvin"], Ratio::ONE, Decimal::ZERO),
        }
    }

    fn everyday(system: System) -> Everyday<Self> {
        match system {
            System::Metric => Everyday::only(Self::Celsius),
            System::Inch => Everyday::only(Self::Fahrenheit),
        }
    }

    fn wrap(self) -> Unit {
        Unit::Temperature(self)
    }
}

const CELSIUS: &[&str] =
    &["°.c", "c", "deg.c", "degs.c", "degree.c", "degrees.c", "celsius", "°.celsius", "degrees.celsius", "centigrade"];
const FAHRENHEIT: &[&str] =
    &["°.f", "f", "deg.f", "degs.f", "degree.f", "degrees.f", "fahrenheit", "°.fahrenheit", "degrees.fahrenheit"];
