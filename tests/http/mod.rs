//! The real router over a real database.

mod access;
mod bolts;
mod cars;
mod checker;
mod chest;
mod fit;
mod fluids;
mod helper;
mod jobs;
mod logbook;
mod markings;
mod paste;
mod patterns;
mod photo_pipeline;
mod process;
mod readings;
mod shelf;
mod source_photo;
mod spec_book_out;
mod specs;
mod sync;
mod tls;
mod tools;
mod under;
mod under_guards;
mod variants;
