//! How phones and the garage agree: operations go up once, changes come down, the pack says what to copy.
//!
//! The protocol is written out in DEVELOPERS.md. Read `wire` (the types), then `judge` (what is refused, and
//! why), then `apply` (where an operation becomes durable).

pub mod apply;
pub mod hlc;
pub mod judge;
pub mod routes;
pub mod store;
pub mod wire;
