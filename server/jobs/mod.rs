//! Job cards: what is to be done, step by step, with the specs, parts, tools and cautions of each step.

pub mod model;
pub mod routes;
pub mod store;
pub mod views;
