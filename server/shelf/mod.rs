//! Parts: what is wanted, ordered, here, fitted or sent back; the buy list.

pub mod routes;
pub mod store;
pub mod views;
