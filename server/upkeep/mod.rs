//! Upkeep of a car: what is done again and again, when it is due, what the odometer really says, and how long the car stands.
//!
//! The rules stand in `trade::upkeep`. What was done is an operation (`serviced`), as is a reading of the odometer; what
//! stood on a paper before this book, and what became of a clock, is only ever added to.
//!
//! - `model`, `store`: what is kept; `book`: that with what was done, ready to be shown, held by `work::whole`
//! - `routes`, `form`, `views`: items; `clock_*`: the odometer; `stands`: a car that stands; `feed`: days for other calendars
//! - `offered`: intervals that are offered, out of `seed/upkeep`

pub mod book;
pub mod chart;
pub mod clock_form;
pub mod clock_routes;
pub mod clock_views;
pub mod feed;
pub mod form;
pub mod model;
pub mod offered;
pub mod routes;
pub mod stands;
pub mod store;
pub mod views;
