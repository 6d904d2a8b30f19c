//! The spec book: every value with where it came from, and what disagrees.

pub mod book;
pub mod form;
pub mod model;
pub mod routes;
#[cfg(test)]
mod sample;
pub mod shown;
pub mod sources;
pub mod store;
pub mod views;
