//! Symptoms at the desk: what was noticed, and where to go from there. Under the car “Note it” takes them.

pub mod routes;
pub mod views;
