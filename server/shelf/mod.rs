//! Parts: what is wanted, ordered, here, fitted or sent back; the buy list.

pub mod form;
pub mod list;
pub mod price;
pub mod routes;
pub mod store;
pub mod views;
