//! Specs pasted as a table: out of a spreadsheet, or as the text of a scanned page.
//!
//! - `table`: the text taken apart into rows and cells · `columns`: what each column holds, guessed and corrected
//! - `draft`: a row as it would be saved, with what is doubtful about it · `form`: what is typed
//! - `routes`, `views`: the page, on which nothing is saved before the last press
//!
//! No scripts: the text and every row travel in the form.

mod columns;
pub(super) mod draft;
mod form;
pub mod routes;
mod table;
mod views;
