//! The money of a car: planned, ordered and spent, by job and by area, over time, against its budget and its worth.

pub mod chart;
pub mod form;
pub mod routes;
pub mod store;
pub mod sums;
pub mod views;
