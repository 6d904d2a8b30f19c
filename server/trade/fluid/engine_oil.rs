//! Engine oils: SAE J300 grades and API service categories.

use rust_decimal::Decimal;

use super::tenths;
use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;

closed_set! {
    /// The cold half of an engine oil grade: the lower, the colder it still flows.
    pub enum EngineWinter {
        W0 = "0w", "0W";
        W5 = "5w", "5W";
        W10 = "10w", "10W";
        W15 = "15w", "15W";
        W20 = "20w", "20W";
        W25 = "25w", "25W";
    }
}

closed_set! {
    /// The hot half of an engine oil grade: the higher, the thicker at running heat.
    pub enum EngineHot {
        H8 = "8", "8";
        H12 = "12", "12";
        H16 = "16", "16";
        H20 = "20", "20";
        H30 = "30", "30";
        H40 = "40", "40";
        H50 = "50", "50";
        H60 = "60", "60";
    }
}

closed_set! {
    /// An API service category: `S…` for petrol engines, `C…` and `FA-4` for diesel engines, each list in order of age.
    pub enum ApiService {
        Sa = "sa", "SA";
        Sb = "sb", "SB";
        Sc = "sc", "SC";
        Sd = "sd", "SD";
        Se = "se", "SE";
        Sf = "sf", "SF";
        Sg = "sg", "SG";
        Sh = "sh", "SH";
        Sj = "sj", "SJ";
        Sl = "sl", "SL";
        Sm = "sm", "SM";
        Sn = "sn", "SN";
        Sp = "sp", "SP";
        Ca = "ca", "CA";
        Cb = "cb", "CB";
        Cc = "cc", "CC";
        Cd = "cd", "CD";
        Ce = "ce", "CE";
        Cf = "cf", "CF";
        Cf2 = "cf-2", "CF-2";
        Cf4 = "cf-4", "CF-4";
        Cg4 = "cg-4", "CG-4";
        Ch4 = "ch-4", "CH-4";
        Ci4 = "ci-4", "CI-4";
        Cj4 = "cj-4", "CJ-4";
        Ck4 = "ck-4", "CK-4";
        Fa4 = "fa-4", "FA-4";
    }
}

/// What is known of an engine oil; any part may be missing on an old cap.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash)]
pub struct EngineOil {
    pub winter: Option<EngineWinter>,
    pub hot: Option<EngineHot>,
    /// In the order of [`ApiService::ALL`], each once.
    pub services: Vec<ApiService>,
}

pub(super) const GRADES: Citation = Citation::quoted("SAE J300, January 2015");
pub(super) const SERVICES: Citation = Citation::memory("API 1509, service categories");

/// What a winter grade must reach. Viscosities in mPa·s, temperatures in °C, both at most; in mm²/s at 100 °C, at least.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct WinterLimits {
    pub cranking: (u32, i32),
    pub pumping: (u32, i32),
    pub least_at_100: Decimal,
}

impl EngineWinter {
    pub fn limits(self) -> WinterLimits {
        let (cranking, pumping, least) = match self {
            Self::W0 => ((6200, -35), (60_000, -40), 38),
            Self::W5 => ((6600, -30), (60_000, -35), 38),
            Self::W10 => ((7000, -25), (60_000, -30), 41),
            Self::W15 => ((7000, -20), (60_000, -25), 56),
            Self::W20 => ((9500, -15), (60_000, -20), 56),
            Self::W25 => ((13_000, -10), (60_000, -15), 93),
        };
        WinterLimits { cranking, pumping, least_at_100: tenths(least) }
    }
}

impl EngineHot {
    /// Kinematic viscosity at 100 °C in mm²/s: from the first, below the second. The lowest grades overlap.
    pub fn viscosity_at_100(self) -> (Decimal, Decimal) {
        let (from, below) = match self {
            Self::H8 => (40, 61),
            Self::H12 => (50, 71),
            Self::H16 => (61, 82),
            Self::H20 => (69, 93),
            Self::H30 => (93, 125),
            Self::H40 => (125, 163),
            Self::H50 => (163, 219),
            Self::H60 => (219, 261),
        };
        (tenths(from), tenths(below))
    }

    /// The thickest grade, read from the top, into which a viscosity at 100 °C (mm²/s) falls; none for what is thinner
    /// or thicker than all.
    pub fn of_viscosity(at_100: Decimal) -> Option<Self> {
        Self::ALL.iter().rev().copied().find(|grade| {
            let (from, below) = grade.viscosity_at_100();
            (from..below).contains(&at_100)
        })
    }

    /// Least viscosity under high shear at 150 °C in mPa·s. The 40 grade depends on its winter half, and sources
    /// disagree about the light one, so that `None` is given for 0W to 10W.
    pub fn least_high_shear(self, winter: Option<EngineWinter>) -> Option<Decimal> {
        Some(tenths(match (self, winter) {
            (Self::H8, _) => 17,
            (Self::H12, _) => 20,
            (Self::H16, _) => 23,
            (Self::H20, _) => 26,
            (Self::H30, _) => 29,
            (Self::H40, Some(EngineWinter::W0 | EngineWinter::W5 | EngineWinter::W10)) => return None,
            (Self::H40, Some(EngineWinter::W15 | EngineWinter::W20 | EngineWinter::W25) | None) => 37,
            (Self::H50 | Self::H60, _) => 37,
        }))
    }
}

/// What an API category was made for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EngineSort {
    Petrol,
    Diesel,
}

impl ApiService {
    pub fn engine(self) -> EngineSort {
        if self <= Self::Sp { EngineSort::Petrol } else { EngineSort::Diesel }
    }

    /// Whether an oil of this category may stand in for `asked`; `None` where the list is no simple ladder.
    pub(super) fn covers(self, asked: Self) -> Option<bool> {
        if self == asked {
            return Some(true);
        }
        match (self.engine(), asked.engine()) {
            (EngineSort::Petrol, EngineSort::Petrol) => Some(self > asked),
            (EngineSort::Diesel, EngineSort::Diesel) => {
                let on_ladder = |category| (Self::Ch4..=Self::Ck4).contains(&category);
                (on_ladder(self) && on_ladder(asked)).then_some(self > asked)
            }
            (EngineSort::Petrol, EngineSort::Diesel) | (EngineSort::Diesel, EngineSort::Petrol) => None,
        }
    }
}

/// As in `engine oil SAE 20W-50, API SF CC`.
impl std::fmt::Display for EngineOil {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("engine oil")?;
        match (self.winter, self.hot) {
            (Some(winter), Some(hot)) => write!(out, " SAE {winter}-{hot}")?,
            (Some(winter), None) => write!(out, " SAE {winter}")?,
            (None, Some(hot)) => write!(out, " SAE {hot}")?,
            (None, None) => {}
        }
        if !self.services.is_empty() {
            let letters: Vec<_> = self.services.iter().map(|service| service.label()).collect();
            write!(out, " API {}", letters.join(" "))?;
        }
        Ok(())
    }
}
