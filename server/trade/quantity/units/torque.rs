//! Units of torque. A manual of the kilogram-force age writes `kgm` or `mkg` for kgf·m.

use rust_decimal::Decimal;

use super::{Bounds, Everyday, Facts, Lowest, Steps, Tolerance, UnitSet, exact};
use crate::trade::quantity::dimension::{Dimension, System};
use crate::trade::quantity::ratio::{CENTI, FOOT, FREE_FALL, INCH, OUNCE, POUND, Ratio};
use crate::trade::quantity::unit::Unit;

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TorqueUnit {
    NewtonMetre,
    PoundForceFoot,
    PoundForceInch,
    KilogramForceMetre,
    KilogramForceCentimetre,
    DecanewtonMetre,
    NewtonCentimetre,
    OunceForceInch,
}

/// Click wrenches in N·m and lbf·ft; below 5, torque screwdrivers.
const WRENCH: Steps =
    Steps { ladder: &[(2, exact(5, 2)), (5, exact(1, 1)), (20, exact(5, 1)), (200, exact(1, 0))], last: exact(5, 0) };
const LONG_ARM: Steps = Steps { ladder: &[(2, exact(5, 2)), (20, exact(1, 1))], last: exact(5, 1) };
const SHORT_ARM: Steps = Steps { ladder: &[(10, exact(1, 1))], last: exact(1, 0) };

impl UnitSet for TorqueUnit {
    const DIMENSION: Dimension = Dimension::Torque;
    const ALL: &'static [Self] = &[
        Self::NewtonMetre,
        Self::PoundForceFoot,
        Self::PoundForceInch,
        Self::KilogramForceMetre,
        Self::KilogramForceCentimetre,
        Self::DecanewtonMetre,
        Self::NewtonCentimetre,
        Self::OunceForceInch,
    ];
    const BOUNDS: Bounds = Bounds { lowest: Lowest::AboveZero, highest: exact(10_000, 0), highest_says: "10 000 N·m" };
    const TOLERANCE: Tolerance = Tolerance { percent: exact(5, 0), floor: Decimal::ZERO };

    fn facts(self) -> Facts {
        let facts = Facts::plain;
        match self {
            Self::NewtonMetre => facts("N.m", "N·m", NEWTON_METRE, Ratio::ONE, WRENCH),
            Self::PoundForceFoot => {
                const SIZE: Ratio = POUND.times(FREE_FALL).times(FOOT);
                facts("lbf.ft", "lbf·ft", POUND_FOOT, SIZE, WRENCH)
            }
            Self::PoundForceInch => {
                const SIZE: Ratio = POUND.times(FREE_FALL).times(INCH);
                facts("lbf.in", "lbf·in", POUND_INCH, SIZE, SHORT_ARM)
            }
            Self::KilogramForceMetre => facts("kgf.m", "kgf·m", KILO_METRE, FREE_FALL, LONG_ARM),
            Self::KilogramForceCentimetre => {
                const SIZE: Ratio = FREE_FALL.times(CENTI);
                facts("kgf.cm", "kgf·cm", KILO_CENTI, SIZE, SHORT_ARM)
            }
            Self::DecanewtonMetre => {
                const SIZE: Ratio = Ratio::new(10, 1);
                facts("daN.m", "daN·m", &["m.dan"], SIZE, LONG_ARM)
            }
            Self::NewtonCentimetre => facts("N.cm", "N·cm", &["cm.n"], CENTI, SHORT_ARM),
            Self::OunceForceInch => {
                const SIZE: Ratio = OUNCE.times(FREE_FALL).times(INCH);
                facts("ozf.in", "ozf·in", OUNCE_INCH, SIZE, SHORT_ARM)
            }
        }
    }

    fn everyday(system: System) -> Everyday<Self> {
        match system {
            System::Metric => Everyday::only(Self::NewtonMetre),
            System::Inch => Everyday {
                usual: Self::PoundForceFoot,
                lesser: &[(Self::PoundForceInch, 180)],
                greatest: Self::PoundForceFoot,
            },
        }
    }

    fn wrap(self) -> Unit {
        Unit::Torque(self)
    }
}

const NEWTON_METRE: &[&str] = &["m.n", "newton.metre", "newton.metres", "newton.meter", "newton.meters"];
const POUND_FOOT: &[&str] = &[
    "lb.ft",
    "lbs.ft",
    "ft.lb",
    "ft.lbs",
    "ft.lbf",
    "lb/ft",
    "lbs/ft",
    "ft/lb",
    "ft/lbs",
    "foot.pound",
    "foot.pounds",
    "pound.foot",
    "pound.feet",
];
const POUND_INCH: &[&str] = &[
    "lb.in",
    "lbs.in",
    "in.lb",
    "in.lbs",
    "in.lbf",
    "in/lb",
    "in/lbs",
    "inch.lb",
    "inch.lbs",
    "inch.pound",
    "inch.pounds",
    "pound.inch",
    "pound.inches",
];
const KILO_METRE: &[&str] = &["kg.m", "m.kg", "m.kgf", "kp.m", "m.kp"];
const KILO_CENTI: &[&str] = &["kg.cm", "cm.kg", "cm.kgf", "kp.cm", "cm.kp"];
const OUNCE_INCH: &[&str] = &["oz.in", "in.oz", "in.ozf"];
