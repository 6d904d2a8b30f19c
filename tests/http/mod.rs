//! The real router over a real database.

mod access;
mod cars;
mod logbook;
mod photo_pipeline;
mod process;
mod shelf;
mod sync;
mod tls;
mod under;
