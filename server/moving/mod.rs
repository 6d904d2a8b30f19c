//! Moving house: cars taken out whole into one file, and brought into another garage with nothing lost.
//!
//! An export is a gzip-compressed tar, built and checked like a backup (`backup::archive`): `manifest.json` first, with the
//! size and SHA-256 of every other file; `underlamp-car-1.json` with all rows (`document`), its schema, and the files of
//! each photo under the photo's own SHA-256. `tables` says what goes out, `out` writes it, `bring` takes it in, `sheets`
//! are the tables for a spreadsheet. Unlike a backup it holds no keys: it opens nobody's door.

pub mod bring;
pub mod command;
pub mod document;
pub mod out;
pub mod routes;
pub mod sheets;
pub mod store;
pub mod tables;
mod views;

use crate::error::{AppError, StartError};

/// The code of every refusal of an export.
const CODE: &str = "export-refused";

/// What an archive says, for a browser.
fn of_archive(cause: StartError) -> AppError {
    match cause {
        StartError::DiskFull { .. } => AppError::DiskFull,
        StartError::Said(say) => AppError::Invalid(CODE, say),
        other => AppError::internal(other),
    }
}

/// Why an export is not taken in. `why` reads on after ‘because’, without a full stop.
fn refused(why: String) -> AppError {
    AppError::Invalid(CODE, format!("This file was not brought in: {why}. Nothing was changed."))
}
