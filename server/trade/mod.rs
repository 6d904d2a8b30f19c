//! What a mechanic knows. Pure functions and plain types: no database, no clock, no network, no async.
//!
//! - `quantity`: torques, volumes, pressures … exactly as written, converted exactly, rounded to what a tool can be set to
//! - `spec`: what a spec is and where it came from; `trust`: how far to trust it
//! - `steps`: the verbs of a job card and what each does to the car's state
//! - `ledger`: the loose ends that the ticks so far have left
//! - `condition`: where a job card stands
//! - `cautions`: the usual cautions, each with its harm, the way to avoid it, and its source
//! - `citation`: who says so, and how far their words were followed back
//! - `fluid`: fluids by published class: what suits, what mixes, how much, which bottles
//! - `marking`: what is stamped on a bolt head, moulded on a cap or tyre, printed on a fuse
//! - `limits`: readings against published limits, and the day on which one would be reached

pub mod cautions;
pub mod citation;
pub(crate) mod closed_set;
pub mod condition;
pub mod fluid;
pub mod ledger;
pub mod limits;
pub mod marking;
pub mod quantity;
pub mod spec;
pub mod steps;
pub(crate) mod tokens;
pub mod trust;
