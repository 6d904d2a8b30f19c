//! Units of voltage and of shares: the two dimensions that read the same in both systems.

use super::{Bounds, Everyday, Facts, Lowest, Steps, Tolerance, UnitSet, exact};
use crate::trade::quantity::dimension::{Dimension, System};
use crate::trade::quantity::ratio::Ratio;
use crate::trade::quantity::unit::Unit;

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum VoltageUnit {
    Volt,
    Millivolt,
    Kilovolt,
}

const METER: Steps = Steps { ladder: &[(20, exact(1, 2)), (200, exact(1, 1))], last: exact(1, 0) };
const MILLIVOLTS: Steps = Steps { ladder: &[], last: exact(1, 0) };
const KILOVOLTS: Steps = Steps { ladder: &[], last: exact(1, 1) };

impl UnitSet for VoltageUnit {
    const DIMENSION: Dimension = Dimension::Voltage;
    const ALL: &'static [Self] = &[Self::Volt, Self::Millivolt, Self::Kilovolt];
    const BOUNDS: Bounds = Bounds { lowest: Lowest::Mirrored, highest: exact(100_000, 0), highest_says: "100 kV" };
    const TOLERANCE: Tolerance = Tolerance { percent: exact(1, 0), floor: exact(1, 2) };

    fn facts(self) -> Facts {
        let facts = Facts::plain;
        match self {
            Self::Volt => facts("V", "V", &["volt", "volts", "v.dc"], Ratio::ONE, METER),
            Self::Millivolt => facts("mV", "mV", &[], Ratio::new(1, 1000), MILLIVOLTS),
            Self::Kilovolt => facts("kV", "kV", &[], Ratio::new(1000, 1), KILOVOLTS),
        }
    }

    fn everyday(_: System) -> Everyday<Self> {
        Everyday::only(Self::Volt)
    }

    fn wrap(self) -> Unit {
        Unit::Voltage(self)
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PercentUnit {
    Percent,
}

const WHOLE: Steps = Steps { ladder: &[], last: exact(1, 0) };

impl UnitSet for PercentUnit {
    const DIMENSION: Dimension = Dimension::Percent;
    const ALL: &'static [Self] = &[Self::Percent];
    const BOUNDS: Bounds = Bounds { lowest: Lowest::Zero, highest: exact(1000, 0), highest_says: "1000 %" };
    const TOLERANCE: Tolerance = Tolerance { percent: exact(5, 0), floor: exact(1, 1) };

    fn facts(self) -> Facts {
        match self {
            Self::Percent => Facts::plain("%", "%", PERCENT, Ratio::ONE, WHOLE),
        }
    }

    fn everyday(_: System) -> Everyday<Self> {
        Everyday::only(Self::Percent)
    }

    fn wrap(self) -> Unit {
        Unit::Percent(self)
    }
}

const PERCENT: &[&str] = &["percent", "per.cent", "pct"];
