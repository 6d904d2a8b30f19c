//! Sockets, keys and what goes between them and a ratchet: what lies in the chest, what a step asks for, and whether the
//! one serves the other.
//!
//! | file | holds |
//! |---|---|
//! | `kind.rs` | the kinds of tool, and the driving squares |
//! | `size.rs` | a size as written: millimetres, an inch fraction, a lobe number |
//! | `words.rs` | a line of words taken apart: kind, sizes, square, reach |
//! | `tool.rs` | a tool as its owner describes it, and a whole set at once |
//! | `wanted.rs` | what a step's line asks for |
//! | `found.rs` | whether the chest has it |
//!
//! Every reach is overall length. Where no source is named a rule is common practice.

mod found;
mod kind;
mod size;
mod tool;
mod wanted;
mod words;

#[cfg(test)]
mod tests;

pub use found::{Found, Near, find, near_pairs};
pub use kind::{Drive, ToolKind};
pub use size::{Size, SizeError};
pub use tool::{Tool, ToolError, Typed, whole_set};
pub use wanted::{Reach, Wanted, read};
