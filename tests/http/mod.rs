//! The real router over a real database.

mod access;
mod cars;
mod checker;
mod chest;
mod fit;
mod jobs;
mod logbook;
mod markings;
mod patterns;
mod photo_pipeline;
mod process;
mod shelf;
mod spec_book_out;
mod specs;
mod sync;
mod tls;
mod under;
mod under_guards;
