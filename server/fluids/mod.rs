//! One fluid of a car on one page: what may be poured in, how much, what came out and how it looked; and the bottles to buy.
//!
//! Reached from a fluid’s spec page and from the buy list. The rules stand in `trade/fluid`; nothing is stored here but
//! what bottles cost and what stands on the shelf.

pub mod ask;
pub mod bottle_routes;
pub mod bottle_views;
pub mod bottles;
pub mod family;
pub mod kind;
pub mod record;
pub mod routes;
pub mod store;
pub mod views;
