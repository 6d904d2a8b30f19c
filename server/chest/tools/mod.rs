//! Sockets, keys and adapters: what lies in the chest, and whether it has what a step asks for.

pub mod asked;
pub mod form;
pub mod model;
pub mod routes;
pub mod store;
pub mod views;
