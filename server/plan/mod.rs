//! The plan of a car: what it is made from, and the evenings there are.
//!
//! - `model`, `store`: what is stored: what comes after what, evenings, pins, the plan kept last
//! - `garage`: everything that the planner is told, from the car's state
//! - `evenings`: the pages on which evenings are put in and changed
//! - `job`, `access`: a card as work, and what it opens that the planner is told of
//! - `arrivals`: when a part is there
//! - `facts`: what a plan was made from, and what changed since
//! - `pages`: the plan shown, moved, kept; `calendar`: its evenings for other calendars
//!
//! The planner itself is `trade::plan`.

pub mod access;
pub mod arrivals;
pub mod calendar;
pub mod evenings;
pub mod facts;
pub mod garage;
pub mod job;
pub mod model;
pub mod pages;
pub mod store;
