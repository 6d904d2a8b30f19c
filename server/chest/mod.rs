//! The tool chest: the garage's torque wrenches, and which of them to take for a torque; its sockets and keys.

pub mod adapter;
pub mod form;
pub mod model;
pub mod pick;
pub mod routes;
pub mod sketch;
pub mod store;
pub mod tools;
pub mod views;
