//! Clips of sound at the desk, what turns on the car, and which of it a clip's tones fit. The rules: `trade::sound`.
//!
//! `upload` takes a WAV file from a form, `wav` reads it, `listen` hears it, `picture` draws its levels.

pub mod form;
pub mod listen;
pub mod model;
pub mod parts;
pub mod picture;
pub mod routes;
pub mod store;
pub mod upload;
pub mod views;
pub mod wav;
