//! Units of volume. A quart, pint or gallon is refused until it is said to be US or imperial.

use rust_decimal::Decimal;

use super::{Bounds, Everyday, Facts, Lowest, Steps, Tolerance, Unclear, UnitSet, exact};
use crate::trade::quantity::dimension::{Dimension, System};
use crate::trade::quantity::ratio::{IMPERIAL_GALLON, Ratio, US_GALLON};
use crate::trade::quantity::unit::Unit;

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum VolumeUnit {
    Litre,
    Millilitre,
    CubicCentimetre,
    Centilitre,
    Decilitre,
    UsGallon,
    UsQuart,
    UsPint,
    UsFluidOunce,
    ImperialGallon,
    ImperialQuart,
    ImperialPint,
    ImperialFluidOunce,
}

const JUG: Steps = Steps { ladder: &[(1, exact(1, 2)), (20, exact(5, 2))], last: exact(5, 1) };
const BEAKER: Steps = Steps { ladder: &[(10, exact(5, 1)), (50, exact(1, 0)), (100, exact(5, 0))], last: exact(10, 0) };
const TENTHS: Steps = Steps { ladder: &[(2, exact(5, 2))], last: exact(1, 1) };
const HALVES: Steps = Steps { ladder: &[(4, exact(1, 1))], last: exact(5, 1) };

const MILLI: Ratio = Ratio::new(1, 1000);
const US_QUART: Ratio = US_GALLON.over(Ratio::new(4, 1));
const US_PINT: Ratio = US_GALLON.over(Ratio::new(8, 1));
const US_OUNCE: Ratio = US_GALLON.over(Ratio::new(128, 1));
const IMPERIAL_QUART: Ratio = IMPERIAL_GALLON.over(Ratio::new(4, 1));
const IMPERIAL_PINT: Ratio = IMPERIAL_GALLON.over(Ratio::new(8, 1));
const IMPERIAL_OUNCE: Ratio = IMPERIAL_GALLON.over(Ratio::new(160, 1));

impl UnitSet for VolumeUnit {
    const DIMENSION: Dimension = Dimension::Volume;
    const ALL: &'static [Self] = &[
        Self::Litre,
        Self::Millilitre,
        Self::CubicCentimetre,
        Self::Centilitre,
        Self::Decilitre,
        Self::UsGallon,
        Self::UsQuart,
        Self::UsPint,
        Self::UsFluidOunce,
        Self::ImperialGallon,
        Self::ImperialQuart,
        Self::ImperialPint,
        Self::ImperialFluidOunce,
    ];
    const BOUNDS: Bounds = Bounds { lowest: Lowest::Zero, highest: exact(10_000, 0), highest_says: "10 000 l" };
    const TOLERANCE: Tolerance = Tolerance { percent: exact(5, 0), floor: Decimal::ZERO };
    const UNCLEAR: &'static [Unclear] = UNCLEAR;

    fn facts(self) -> Facts {
        let facts = Facts::plain;
        match self {
            Self::Litre => facts("l", "l", LITRE, Ratio::ONE, JUG),
            Self::Millilitre => facts("ml", "ml", MILLILITRE, MILLI, BEAKER),
            Self::CubicCentimetre => facts("cm3", "cm³", CUBIC_CENTI, MILLI, BEAKER),
            Self::Centilitre => facts("cl", "cl", &[], Ratio::new(1, 100), HALVES),
            Self::Decilitre => facts("dl", "dl", &[], Ratio::new(1, 10), TENTHS),
            Self::UsGallon => facts("US.gal", "US gal", US_GALLONS, US_GALLON, JUG),
            Self::UsQuart => facts("US.qt", "US qt", US_QUARTS, US_QUART, JUG),
            Self::UsPint => facts("US.pt", "US pt", US_PINTS, US_PINT, TENTHS),
            Self::UsFluidOunce => facts("US.fl.oz", "US fl oz", US_OUNCES, US_OUNCE, HALVES),
            Self::ImperialGallon => facts("imp.gal", "imp gal", IMP_GALLONS, IMPERIAL_GALLON, JUG),
            Self::ImperialQuart => facts("imp.qt", "imp qt", IMP_QUARTS, IMPERIAL_QUART, JUG),
            Self::ImperialPint => facts("imp.pt", "imp pt", IMP_PINTS, IMPERIAL_PINT, TENTHS),
            Self::ImperialFluidOunce => {
                let name = "imp fl oz";
                facts("imp.fl.oz", name, IMP_OUNCES, IMPERIAL_OUNCE, HALVES)
            }
        }
    }

    fn everyday(system: System) -> Everyday<Self> {
        match system {
            System::Metric => {
                Everyday { usual: Self::Litre, lesser: &[(Self::Millilitre, 1000)], greatest: Self::Litre }
            }
            System::Inch => Everyday {
                usual: Self::UsQuart,
                lesser: &[(Self::UsFluidOunce, 32), (Self::UsQuart, 32)],
                greatest: Self::UsGallon,
            },
        }
    }

    fn wrap(self) -> Unit {
        Unit::Volume(self)
    }
}

const LITRE: &[&str] = &["ℓ", "lt", "ltr", "ltrs", "litre", "litres", "liter", "liters"];
const MILLILITRE: &[&str] = &["millilitre", "millilitres", "milliliter", "milliliters"];
const CUBIC_CENTI: &[&str] = &["cc", "ccm", "ccs", "cu.cm"];
const US_GALLONS: &[&str] = &["u.s.gal", "u.s.gallon", "u.s.gallons", "gal.u.s", "gallon.u.s", "gallons.u.s"];
const US_QUARTS: &[&str] =
    &["u.s.qt", "u.s.qts", "u.s.quart", "u.s.quarts", "qt.u.s", "qts.u.s", "quart.u.s", "quarts.u.s"];
const US_PINTS: &[&str] = &["u.s.pt", "u.s.pts", "u.s.pint", "u.s.pints", "pt.u.s", "pts.u.s", "pint.u.s", "pints.u.s"];
const US_OUNCES: &[&str] = &["u.s.fl.oz", "u.s.fluid.ounce", "u.s.fluid.ounces", "fl.oz.u.s"];
const IMP_GALLONS: &[&str] = &[
    "u.k.gal",
    "u.k.gallon",
    "u.k.gallons",
    "imp.gallon",
    "imp.gallons",
    "imperial.gal",
    "imperial.gallon",
    "imperial.gallons",
    "gal.imp",
    "gallon.imp",
    "gallons.imp",
];
const IMP_QUARTS: &[&str] = &[
    "u.k.qt",
    "u.k.quart",
    "u.k.quarts",
    "imp.qts",
    "imp.quart",
    "imp.quarts",
    "imperial.qt",
    "imperial.quart",
    "imperial.quarts",
    "qt.imp",
    "quart.imp",
    "quarts.imp",
];
const IMP_PINTS: &[&str] = &[
    "u.k.pt",
    "u.k.pint",
    "u.k.pints",
    "imp.pts",
    "imp.pint",
    "imp.pints",
    "imperial.pt",
    "imperial.pint",
    "imperial.pints",
    "pt.imp",
    "pint.imp",
    "pints.imp",
];
const IMP_OUNCES: &[&str] = &[
    "u.k.fl.oz",
    "imperial.fl.oz",
    "imp.fluid.ounce",
    "imp.fluid.ounces",
    "imperial.fluid.ounce",
    "imperial.fluid.ounces",
    "fl.oz.imp",
];

const UNCLEAR: &[Unclear] = &[
    Unclear {
        spellings: &["qt", "qts", "quart", "quarts"],
        says: "A US quart and an imperial quart differ by 20 %: is it US qt or imp qt?",
    },
    Unclear {
        spellings: &["pt", "pts", "pint", "pints"],
        says: "A US pint and an imperial pint differ by 20 %: is it US pt or imp pt?",
    },
    Unclear {
        spellings: &["gal", "gals", "gallon", "gallons"],
        says: "A US gallon and an imperial gallon differ by 20 %: is it US gal or imp gal?",
    },
    Unclear {
        spellings: &["fl.oz", "fluid.ounce", "fluid.ounces", "oz", "ounce", "ounces"],
        says: "A US fluid ounce and an imperial one differ by 4 %: is it US fl oz or imp fl oz?",
    },
];
