//! The real router over a real database.

mod access;
mod photo_pipeline;
mod sync;
mod tls;
