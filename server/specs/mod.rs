//! The spec book: every value with where it came from, and what disagrees.

pub mod bolts;
pub mod book;
pub mod bring;
pub mod fit;
pub mod form;
pub mod from_car;
pub mod model;
pub mod out;
pub mod paste;
pub mod photo;
pub mod pull;
pub mod routes;
#[cfg(test)]
pub(crate) mod sample;
pub mod shown;
pub mod sources;
pub mod store;
pub mod views;
pub mod whole;
