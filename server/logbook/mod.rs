//! The logbook: what was done, evening by evening, made as a by-product of working.
//!
//! Almost nothing here is stored: the operations are (see `sync`), and this folder puts them into words. An
//! operation is shown for good, also when what it was about has been deleted, corrected or said again since.

mod bolts;
pub mod book;
pub mod correct;
pub mod evening;
pub mod find;
pub mod found;
pub mod reached;
pub mod routes;
pub mod sources;
pub mod store;
pub mod views;
pub mod words;
