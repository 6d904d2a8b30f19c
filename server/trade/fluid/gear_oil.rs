//! Gear oils: SAE J306 grades and API service designations.

use rust_decimal::Decimal;

use super::tenths;
use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;

closed_set! {
    /// The cold half of a gear oil grade.
    pub enum GearWinter {
        W70 = "70w", "70W";
        W75 = "75w", "75W";
        W80 = "80w", "80W";
        W85 = "85w", "85W";
    }
}

closed_set! {
    /// The hot half of a gear oil grade. Its numbers are another scale than those of engine oil.
    pub enum GearHot {
        H65 = "65", "65";
        H70 = "70", "70";
        H75 = "75", "75";
        H80 = "80", "80";
        H85 = "85", "85";
        H90 = "90", "90";
        H110 = "110", "110";
        H140 = "140", "140";
        H190 = "190", "190";
        H250 = "250", "250";
    }
}

closed_set! {
    /// An API gear service designation.
    pub enum GearService {
        Gl1 = "gl-1", "GL-1";
        Gl2 = "gl-2", "GL-2";
        Gl3 = "gl-3", "GL-3";
        Gl4 = "gl-4", "GL-4";
        Gl5 = "gl-5", "GL-5";
        Gl6 = "gl-6", "GL-6";
        Mt1 = "mt-1", "MT-1";
    }
}

/// What is known of a gear oil; any part may be missing.
#[derive(Debug, Clone, Default, PartialEq, Eq, Hash)]
pub struct GearOil {
    pub winter: Option<GearWinter>,
    pub hot: Option<GearHot>,
    pub service: Option<GearService>,
}

pub(super) const GRADES: Citation = Citation::quoted("SAE J306, February 2019");
pub(super) const SERVICES: Citation = Citation::quoted("API 1560, 8th edition, April 2013");

impl GearWinter {
    /// The highest temperature in °C at which it may still be as thick as 150 000 mPa·s.
    pub fn coldest(self) -> i32 {
        match self {
            Self::W70 => -55,
            Self::W75 => -40,
            Self::W80 => -26,
            Self::W85 => -12,
        }
    }

    /// Least kinematic viscosity at 100 °C in mm²/s.
    pub fn least_at_100(self) -> Decimal {
        tenths(match self {
            Self::W70 | Self::W75 => 38,
            Self::W80 => 85,
            Self::W85 => 110,
        })
    }
}

impl GearHot {
    /// Kinematic viscosity at 100 °C in mm²/s: from the first, below the second; 250 has no upper end.
    pub fn viscosity_at_100(self) -> (Decimal, Option<Decimal>) {
        let (from, below) = match self {
            Self::H65 => (38, 50),
            Self::H70 => (50, 65),
            Self::H75 => (65, 85),
            Self::H80 => (85, 110),
            Self::H85 => (110, 135),
            Self::H90 => (135, 185),
            Self::H110 => (185, 240),
            Self::H140 => (240, 325),
            Self::H190 => (325, 410),
            Self::H250 => return (tenths(410), None),
        };
        (tenths(from), Some(tenths(below)))
    }

    /// The grade into which a viscosity at 100 °C (mm²/s) falls.
    pub fn of_viscosity(at_100: Decimal) -> Option<Self> {
        Self::ALL.iter().copied().find(|grade| {
            let (from, below) = grade.viscosity_at_100();
            at_100 >= from && below.is_none_or(|below| at_100 < below)
        })
    }

    /// What else the number may mean in a manual of before 2005, when the steps were wider.
    pub fn in_an_old_manual(self) -> Option<Self> {
        match self {
            Self::H90 => Some(Self::H110),
            Self::H140 => Some(Self::H190),
            Self::H65 | Self::H70 | Self::H75 | Self::H80 | Self::H85 | Self::H110 | Self::H190 | Self::H250 => None,
        }
    }
}

impl GearService {
    /// Whether API still keeps the class up.
    pub fn in_use(self) -> bool {
        match self {
            Self::Gl1 | Self::Gl4 | Self::Gl5 | Self::Mt1 => true,
            Self::Gl2 | Self::Gl3 | Self::Gl6 => false,
        }
    }

    pub fn intended_for(self) -> &'static str {
        match self {
            Self::Gl1 => "lightly loaded manual gearboxes: straight mineral oil without extreme-pressure additive",
            Self::Gl2 => "worm-gear axles",
            Self::Gl3 => "manual gearboxes and spiral bevel axles under moderate load",
            Self::Gl4 => "spiral bevel axles, hypoid axles at moderate speed and load, and some manual gearboxes",
            Self::Gl5 => "gears under shock and high load, hypoid axles above all",
            Self::Gl6 => "hypoid axles with a very high pinion offset",
            Self::Mt1 => "heavy manual gearboxes without synchromesh",
        }
    }
}

/// As in `gear oil SAE 80W-90 API GL-4`.
impl std::fmt::Display for GearOil {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("gear oil")?;
        match (self.winter, self.hot) {
            (Some(winter), Some(hot)) => write!(out, " SAE {winter}-{hot}")?,
            (Some(winter), None) => write!(out, " SAE {winter}")?,
            (None, Some(hot)) => write!(out, " SAE {hot}")?,
            (None, None) => {}
        }
        match self.service {
            Some(service) => write!(out, " API {service}"),
            None => Ok(()),
        }
    }
}
