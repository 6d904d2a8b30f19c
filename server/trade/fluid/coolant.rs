//! Coolants, by what they are made of. Colour names no standard: the same dye is in coolants that must not meet.

use crate::trade::closed_set::closed_set;

closed_set! {
    /// What keeps the coolant from freezing.
    pub enum Glycol {
        Ethylene = "ethylene", "ethylene glycol";
        Propylene = "propylene", "propylene glycol";
    }
}

closed_set! {
    /// What keeps the metal from rusting, in the general terms of the trade.
    pub enum Inhibitor {
        /// Silicates, phosphates, borates: the coolant of most old cars, spent in about two years.
        Inorganic = "inorganic", "inorganic inhibitors";
        /// Organic acids alone.
        Organic = "organic", "organic acid inhibitors";
        /// Organic acids with some silicate or phosphate.
        Hybrid = "hybrid", "hybrid organic inhibitors";
    }
}

/// What is known of a coolant.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash)]
pub struct Coolant {
    pub glycol: Option<Glycol>,
    pub inhibitor: Option<Inhibitor>,
}

/// As in `coolant, ethylene glycol, organic acid inhibitors`.
impl std::fmt::Display for Coolant {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str("coolant")?;
        if let Some(glycol) = self.glycol {
            write!(out, ", {glycol}")?;
        }
        match self.inhibitor {
            Some(inhibitor) => write!(out, ", {inhibitor}"),
            None => Ok(()),
        }
    }
}
