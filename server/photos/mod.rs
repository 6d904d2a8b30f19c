//! Photos: brought in piece by piece, made upright and free of location, and shown.
//!
//! `pipeline` turns bytes into safe pictures, `shelf` keeps files on disk, `store` records the finished ones.

pub mod pipeline;
pub mod routes;
pub mod shelf;
pub mod store;
