//! The spec book: every value with where it came from, and what disagrees.

pub mod model;
pub mod routes;
pub mod store;
pub mod views;
