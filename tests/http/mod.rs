//! The real router over a real database.

mod access;
mod photo_pipeline;
mod process;
mod sync;
mod tls;
