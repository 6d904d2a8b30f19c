//! The spec book taken out as a table (CSV) and as JSON: every spec with every source, each value as it was written.

mod fields;
pub(super) mod json;
pub mod routes;
pub(super) mod table;
