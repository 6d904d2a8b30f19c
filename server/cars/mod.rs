//! The cars of this garage: each one's home at the desk, with its job cards, loose ends and findings.

pub mod form;
pub mod home;
pub mod loose;
pub mod routes;
pub mod store;
pub mod views;
