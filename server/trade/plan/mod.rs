//! the planner
mod bound;
mod build;
mod chance;
mod check;
mod exact;
mod explain;
mod improve;
mod input;
mod order;
mod problem;
mod solution;
mod solve;
mod state;
#[cfg(test)]
mod tests;
pub mod time;

pub use check::{Fault, Note, Waits};
pub use improve::Effort;
pub use input::{Access, AccessId, Arrival, Evening, Garage, Job, JobId, Part, PartId, PartNeed};
pub use solution::Objective;
pub use solve::{Act, Plan, PlannedEvening, plan};
pub use time::{Minutes, Spread, SpreadError, written};
