//! What a mechanic knows. Pure functions and plain types: no database, no clock, no network, no async.
//!
//! - `quantity`: torques, volumes, pressures … exactly as written, converted exactly, rounded to what a tool can be set to
//! - `spec`: what a spec is and where it came from; `trust`: how far to trust it
//! - `steps`: the verbs of a job card and what each does to the car's state
//! - `grammar`: whether the name of a thing is one or many
//! - `nature`, `marks`: what kind of thing a step is about, and what else is true of it
//! - `checker`: a job card read as a program over the state of the car
//! - `place`: where on the car a thing is; `road`: what to look at before and after the car moves again
//! - `ledger`: the loose ends that the ticks so far have left
//! - `condition`: where a job card stands
//! - `cautions`: the usual cautions, each with its harm, the way to avoid it, and its source

pub mod cautions;
pub mod checker;
pub(crate) mod closed_set;
pub mod condition;
pub(crate) mod grammar;
pub mod ledger;
pub mod marks;
pub mod nature;
pub mod place;
pub mod quantity;
pub mod road;
pub mod spec;
pub mod steps;
pub mod trust;
