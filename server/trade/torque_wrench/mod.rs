//! Torque wrenches: what one can be set to, how true it is, which of several to take, and what an adapter changes.
//!
//! Torques stay exact decimals until a mark on the wrench is chosen; that mark, and how far it lies from what is
//! wanted, are both given.
//!
//! | file | holds |
//! |---|---|
//! | `wrench.rs` | a wrench as its owner describes it, and the deviation its standard permits |
//! | `calibration.rs`, `day.rs` | when it was last checked, and whether that still counts |
//! | `setting.rs` | whether it suits a torque, and the mark to set |
//! | `choice.rs` | which of several wrenches to take |
//! | `offset.rs`, `drawing.rs` | crowfoot and offset adapters, and their drawing to scale |

mod calibration;
mod choice;
mod day;
mod drawing;
mod offset;
mod setting;
mod wrench;

#[cfg(test)]
mod tests;

pub use calibration::{Calibration, CalibrationState};
pub use choice::{Choice, best};
pub use day::{Day, DayError};
pub use drawing::{Drawing, Point};
pub use offset::{Corrected, Offset, OffsetError, socket_extension};
pub use setting::{Fitness, Setting, Suitability, suitability, suitability_with};
pub use wrench::{Typed, Wrench, WrenchError, WrenchKind};
