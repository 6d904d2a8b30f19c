//! The evenings of a car: put in one by one or many at once, changed, taken away.

mod form;
pub mod routes;
mod views;

pub use form::WEEKDAYS;
