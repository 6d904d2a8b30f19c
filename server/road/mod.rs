//! The road check: what the work that was done asks to be looked at before the car rolls and after it has.
//!
//! What each step asks stands in `trade::road`. Here it is put together for a car: on a sheet of paper (`routes`, `views`),
//! and for the phone (`list`).

pub mod list;
pub mod routes;
pub mod views;
