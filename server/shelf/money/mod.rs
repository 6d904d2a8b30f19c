//! The money of a car: planned, ordered and spent, against its budget and its worth.

pub mod store;
