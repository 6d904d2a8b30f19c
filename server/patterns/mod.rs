//! Pattern cards: ready-made job cards for the common work on an old car, as text that a mechanic can edit.

pub mod text;
