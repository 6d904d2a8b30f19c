//! Upkeep: what is done again and again, how far the car really runs, and when the next time is due.
//!
//! - `distance`: kilometres and miles, exactly as read off
//! - `interval`: every so far, every so many months, or whichever is first
//! - `odometer`: readings and what became of the clock, made into the distance that was really run
//! - `usage`: how far the car runs in a day, with its range
//! - `due`: the day on which something is due, with its range and why; `band`: that in a few words
//! - `stay`: how long a car stands, and which lists go with it
//! - `suggest`: intervals that are offered, never taken by themselves
//!
//! Nothing here says that a car is safe, or that something done in time cannot fail. The maker's manual comes first.

mod band;
mod distance;
mod due;
mod interval;
mod odometer;
mod stay;
mod suggest;
#[cfg(test)]
mod tests;
mod usage;
mod words;

pub use super::name_value::Trouble;
pub use band::{Band, COMING_DAYS, DUE_DAYS};
pub use distance::{Distance, DistanceError, DistanceUnit};
pub use due::{Cause, Done, Due, Matter, due};
pub use interval::{Interval, IntervalError};
pub use odometer::{Aside, Between, Digits, History, Reading, Used, Why, Word};
pub use stay::Stay;
pub use suggest::{Suggestion, read_suggestions};
pub use usage::{Known, Usage, WINDOW_DAYS};
pub use words::{grouped, said_day, time_span};
