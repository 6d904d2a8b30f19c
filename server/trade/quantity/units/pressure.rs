//! Units of gauge pressure. Vacuum is written as a negative pressure, such as −18 inHg.

use rust_decimal::Decimal;

use super::{Bounds, Everyday, Facts, Lowest, Steps, Tolerance, UnitSet, exact};
use crate::trade::quantity::dimension::{Dimension, System};
use crate::trade::quantity::ratio::{FREE_FALL, INCH, MERCURY, POUND, Ratio};
use crate::trade::quantity::unit::Unit;

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PressureUnit {
    Bar,
    Kilopascal,
    PoundForcePerSquareInch,
    KilogramForcePerSquareCentimetre,
    Millibar,
    Megapascal,
    Atmosphere,
    InchOfMercury,
    MillimetreOfMercury,
}

const BAR_GAUGE: Steps =
    Steps { ladder: &[(1, exact(1, 2)), (20, exact(5, 2)), (100, exact(5, 1))], last: exact(5, 0) };
const PSI_GAUGE: Steps =
    Steps { ladder: &[(5, exact(1, 1)), (10, exact(5, 1)), (500, exact(1, 0))], last: exact(5, 0) };
const KPA_GAUGE: Steps = Steps { ladder: &[(100, exact(1, 0)), (2000, exact(5, 0))], last: exact(50, 0) };
const MPA_GAUGE: Steps = Steps { ladder: &[(2, exact(1, 2)), (10, exact(5, 2))], last: exact(5, 1) };
const VACUUM_GAUGE: Steps = Steps { ladder: &[(100, exact(5, 1))], last: exact(1, 0) };

const SQUARE_INCH: Ratio = INCH.times(INCH);
const KILO: Ratio = Ratio::new(1000, 1);
const PSI: Ratio = POUND.times(FREE_FALL).over(SQUARE_INCH).over(KILO);
const KGF_CM2: Ratio = FREE_FALL.times(Ratio::new(10, 1));
const MM_OF_MERCURY: Ratio = MERCURY.times(FREE_FALL).over(KILO);
const INCH_OF_MERCURY: Ratio = MERCURY.times(FREE_FALL).times(INCH);
/// The standard atmosphere: 101.325 kPa (10th CGPM, 1954).
const ATMOSPHERE: Ratio = Ratio::new(101_325, 1000);

impl UnitSet for PressureUnit {
    const DIMENSION: Dimension = Dimension::Pressure;
    const ALL: &'static [Self] = &[
        Self::Bar,
        Self::Kilopascal,
        Self::PoundForcePerSquareInch,
        Self::KilogramForcePerSquareCentimetre,
        Self::Millibar,
        Self::Megapascal,
        Self::Atmosphere,
        Self::InchOfMercury,
        Self::MillimetreOfMercury,
    ];
    const BOUNDS: Bounds =
        Bounds { lowest: Lowest::Vacuum(exact(-101_325, 3)), highest: exact(500_000, 0), highest_says: "5000 bar" };
    const TOLERANCE: Tolerance = Tolerance { percent: exact(5, 0), floor: Decimal::ZERO };

    fn facts(self) -> Facts {
        let facts = Facts::plain;
        match self {
            Self::Bar => facts("bar", "bar", &["bars", "barg"], Ratio::new(100, 1), BAR_GAUGE),
            Self::Kilopascal => facts("kPa", "kPa", &[], Ratio::ONE, KPA_GAUGE),
            Self::PoundForcePerSquareInch => facts("psi", "psi", PSI_WORDS, PSI, PSI_GAUGE),
            Self::KilogramForcePerSquareCentimetre => facts("kgf/cm2", "kgf/cm²", KGF_WORDS, KGF_CM2, BAR_GAUGE),
            Self::Millibar => facts("mbar", "mbar", &["hpa"], Ratio::new(1, 10), KPA_GAUGE),
            Self::Megapascal => facts("MPa", "MPa", &[], KILO, MPA_GAUGE),
            Self::Atmosphere => facts("atm", "atm", &[], ATMOSPHERE, BAR_GAUGE),
            Self::InchOfMercury => facts("inHg", "inHg", INCH_WORDS, INCH_OF_MERCURY, VACUUM_GAUGE),
            Self::MillimetreOfMercury => facts("mmHg", "mmHg", &["mm.hg"], MM_OF_MERCURY, KPA_GAUGE),
        }
    }

    fn everyday(system: System) -> Everyday<Self> {
        match system {
            System::Metric => Everyday::only(Self::Bar),
            System::Inch => Everyday::only(Self::PoundForcePerSquareInch),
        }
    }

    fn wrap(self) -> Unit {
        Unit::Pressure(self)
    }
}

const PSI_WORDS: &[&str] = &["p.s.i", "psig", "lb/in2", "lbs/in2", "lbf/in2", "lb/sq.in", "lbs/sq.in", "lbf/sq.in"];
const KGF_WORDS: &[&str] = &["kg/cm2", "kp/cm2", "kg/sq.cm", "kgf/sq.cm"];
const INCH_WORDS: &[&str] = &["in.hg", "inch.hg", "inches.hg", "\".hg"];
