//! Readings over time, and the limits they are held against.
//!
//! A limit belongs to a name: every reading of that name is held against it, wherever on the car it was noted. The rules stand
//! in `trade::limits`; none of them says that a car is safe or legal.

pub mod chart;
pub mod form;
pub mod model;
pub mod phone;
pub mod routes;
pub mod series;
pub mod store;
pub mod views;
