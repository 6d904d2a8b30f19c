//! The spec book taken out as a table (CSV) and as JSON: every spec with every source, each value as it was written.

mod fields;
mod guard;
mod json;
pub mod routes;
mod table;
