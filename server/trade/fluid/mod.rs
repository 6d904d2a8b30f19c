//! Fluids by published class: what one is, whether it suits, whether it may meet another, how much, in which bottles.
//!
//! - `class`: what a text on a cap, a bottle or in a manual names; `brake`, `engine_oil`, `gear_oil`, `coolant`, `grease`:
//!   the classes of each kind with the figures their standards set
//! - `never`: what must never go in, in a line.   `suits`: may this be poured where that is asked for?   `mixes`: may it meet what was left inside?
//! - `fill`, `renewal`, `bleeding`, `mixture`, `freezing`: how much
//! - `bottles`: what to buy   `looks`: what a drained fluid may tell
//!
//! Nothing here knows a product. Each answer carries a sentence for the person with the bottle and who says so.

mod bleeding;
mod bottles;
mod brake;
mod class;
mod coolant;
mod engine_oil;
mod fill;
mod freezing;
mod gear_oil;
mod grease;
mod looks;
mod mixes;
mod mixture;
mod never;
mod renewal;
mod suits;

pub use bleeding::{Bleed, Pipe, PipeError, bleed};
pub use bottles::{Bottle, BottleError, Need, OnShelf, Purchase, plan};
pub use brake::{BrakeBase, BrakeFluid, BrakeLimits};
pub use class::{Fluid, FluidKind, Unread};
pub use coolant::{Coolant, Glycol, Inhibitor};
pub use engine_oil::{ApiService, EngineHot, EngineOil, EngineSort, EngineWinter, WinterLimits};
pub use fill::{CameOut, Difference, Emptied, Fill, FillError, Pour};
pub use freezing::{Basis, Frost, FrostError, Table, TableSays, by_volume, frost, strength_for};
pub use gear_oil::{GearHot, GearOil, GearService, GearWinter};
pub use grease::{ChassisGrease, Grease, Nlgi, WheelGrease};
pub use looks::{Colour, Look, Particles, Smell, Suspect, Trend, suspects, trend};
pub use mixes::mixes;
pub use mixture::{Blend, Exchange, MixError, Strength, Warning, blend, exchange, strength_after};
pub use never::never;
pub use renewal::{Changes, MIXED_VESSEL, Renewal, RenewalError, fresh_after_flow};
pub use suits::suits;

use super::citation::Citation;
use super::closed_set::closed_set;

closed_set! {
    /// The answer to 'may I?'.
    pub enum Verdict {
        Yes = "yes", "yes";
        No = "no", "no";
        NotKnown = "not-known", "not known";
    }
}

/// An answer with its reason, ready to be shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    pub verdict: Verdict,
    /// Why, and what to do about it.
    pub says: String,
    pub source: Citation,
}

impl Answer {
    fn yes(says: impl Into<String>, source: Citation) -> Self {
        Self { verdict: Verdict::Yes, says: says.into(), source }
    }

    fn no(says: impl Into<String>, source: Citation) -> Self {
        Self { verdict: Verdict::No, says: says.into(), source }
    }

    fn not_known(says: impl Into<String>, source: Citation) -> Self {
        Self { verdict: Verdict::NotKnown, says: says.into(), source }
    }
}

/// A number with one place after the point, for tables of standards.
const fn tenths(number: u32) -> rust_decimal::Decimal {
    rust_decimal::Decimal::from_parts(number, 0, 0, false, 1)
}
