//! The helper's link: made and taken back by the restorer, read by whoever holds it.
//!
//! - `links`: the restorer's page of a card's links · `store`: their SQL
//! - `job`: the one job that a helper's handlers can reach · `routes`, `views`: the helper's pages · `live`: what changed
//! - `presence`: who is watching and who rang; held in memory, so that no link can write

pub mod job;
pub mod links;
pub mod live;
pub mod presence;
pub mod routes;
pub mod store;
mod views;
