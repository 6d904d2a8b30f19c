//! Brake and clutch fluids: the classes and the figures that tell them apart.

use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;

closed_set! {
    /// A brake fluid by published class. The label is how the class is named on a cap.
    pub enum BrakeFluid {
        Dot3 = "dot-3", "DOT 3";
        Dot4 = "dot-4", "DOT 4";
        /// ISO 4925 class 6: DOT 4 boiling points, thinner in the cold.
        Dot4LowViscosity = "dot-4-low-viscosity", "DOT 4 low viscosity (ISO 4925 class 6)";
        Dot51 = "dot-5-1", "DOT 5.1";
        /// ISO 4925 class 7: DOT 5.1 boiling points, thinner in the cold.
        Dot51LowViscosity = "dot-5-1-low-viscosity", "DOT 5.1 low viscosity (ISO 4925 class 7)";
        Dot5 = "dot-5", "DOT 5 silicone";
        Mineral = "mineral", "mineral hydraulic oil";
    }
}

closed_set! {
    /// What a brake fluid is made of; two bases never share a system.
    pub enum BrakeBase {
        Glycol = "glycol", "glycol based";
        Silicone = "silicone", "silicone based";
        Mineral = "mineral", "mineral oil based";
    }
}

/// The least a class must reach. Boiling points in °C, viscosity in mm²/s.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct BrakeLimits {
    /// Fresh from a sealed bottle.
    pub dry_boiling: u32,
    /// After taking up about 3.7 % of water.
    pub wet_boiling: u32,
    /// At −40 °C, at most.
    pub thickest_cold: u32,
}

pub(super) const GRADES: Citation = Citation::quoted("49 CFR 571.116, S5.1");
pub(super) const ISO_CLASSES: Citation = Citation::memory("ISO 4925, classes 6 and 7");
pub(super) const COLOURS: Citation = Citation::read("49 CFR 571.116, S5.1.14, in letters of NHTSA's Chief Counsel");
pub(super) const MIXING: Citation =
    Citation::quoted("fluid makers' advice on DOT 3, 4, 5 and 5.1; 49 CFR 571.116 has no mixing table");

impl BrakeFluid {
    pub fn base(self) -> BrakeBase {
        match self {
            Self::Dot3 | Self::Dot4 | Self::Dot4LowViscosity | Self::Dot51 | Self::Dot51LowViscosity => {
                BrakeBase::Glycol
            }
            Self::Dot5 => BrakeBase::Silicone,
            Self::Mineral => BrakeBase::Mineral,
        }
    }

    /// None for mineral oil, which this standard does not grade.
    pub fn limits(self) -> Option<BrakeLimits> {
        let (dry_boiling, wet_boiling, thickest_cold) = match self {
            Self::Dot3 => (205, 140, 1500),
            Self::Dot4 => (230, 155, 1800),
            Self::Dot4LowViscosity => (250, 165, 750),
            Self::Dot51 | Self::Dot5 => (260, 180, 900),
            Self::Dot51LowViscosity => (260, 180, 750),
            Self::Mineral => return None,
        };
        Some(BrakeLimits { dry_boiling, wet_boiling, thickest_cold })
    }

    /// Who set the figures of [`Self::limits`].
    pub fn source(self) -> Citation {
        match self {
            Self::Dot3 | Self::Dot4 | Self::Dot51 | Self::Dot5 => GRADES,
            Self::Dot4LowViscosity | Self::Dot51LowViscosity => ISO_CLASSES,
            Self::Mineral => COLOURS,
        }
    }

    /// When new. A hint and no proof: colour changes in use, and nobody sets shades.
    pub fn colour_when_new(self) -> &'static str {
        match self.base() {
            BrakeBase::Glycol => "colourless to amber",
            BrakeBase::Silicone => "purple",
            BrakeBase::Mineral => "green",
        }
    }

    /// Whose rule [`Self::colour_when_new`] is.
    pub fn colour_source(self) -> Citation {
        match self {
            Self::Dot3 | Self::Dot4 | Self::Dot5 | Self::Mineral => COLOURS,
            Self::Dot4LowViscosity | Self::Dot51 | Self::Dot51LowViscosity => Citation::quoted("49 CFR 571.116"),
        }
    }
}
