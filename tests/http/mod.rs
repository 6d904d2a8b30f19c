//! The real router over a real database.

mod access;
mod jobs;
mod photo_pipeline;
mod process;
mod specs;
mod sync;
mod tls;
