//! What has been done on a car so far, read off the operations: ticks, readings, the ledger, conditions.
//!
//! Writing goes through `sync::apply`, here and on the phone alike: there is one way for work to be recorded.

pub mod bolts;
pub mod form;
pub mod ledger;
pub mod model;
pub mod routes;
pub mod store;
pub mod whole;
