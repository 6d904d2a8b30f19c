//! The spec book brought in from a file that was taken out of this or another garage: `out` in the other direction.
//!
//! - `read`: the file into specs with their sources, or every line that cannot be taken · `merge`: what of it is news
//! - `routes`, `views`: the page on which it is looked at before anything is saved

mod merge;
mod read;
pub mod routes;
mod views;
