//! Pattern cards: ready-made job cards for the common work on an old car, as text that a mechanic can edit.
//!
//! - `text`: the format, read with everything that is wrong in it told by line, and filled in for a car
//! - `library`: the patterns there are: those of the program, and those in the data folder's `patterns`
//! - `suits`: which of the car's own specs and parts a pattern means
//! - `make`: a card out of a pattern, in one transaction
//! - `check`: `underlamp patterns check`

pub mod check;
pub mod library;
pub mod make;
pub mod routes;
pub mod suits;
pub mod text;
pub mod views;
