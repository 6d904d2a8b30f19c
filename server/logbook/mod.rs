//! The logbook.
