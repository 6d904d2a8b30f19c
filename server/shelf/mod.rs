//! Parts: what is wanted, ordered, here, fitted or sent back; the buy list and its money.

pub mod around;
pub mod arrival;
pub mod asked;
pub mod form;
pub mod list;
pub mod list_views;
pub mod money;
pub mod press;
pub mod price;
pub mod routes;

pub mod store;
pub mod views;
pub mod wants;
