//! The real router over a real database.

mod access;
mod jobs;
mod photo_pipeline;
mod specs;
mod sync;
mod tls;
