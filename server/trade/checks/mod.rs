//! Check trees: from what somebody hears, smells or feels, by questions answered yes, no or cannot tell, to a finding or a workshop.
//!
//! - `tree`: questions, findings, and the way through them
//! - `text`: a tree as a text file, with what is wrong in it told by line (the format: `seed/checks/README.md`)
//!
//! A tree narrows down, it proves nothing. Its order is common practice, no source.

#[cfg(test)]
mod tests;
mod text;
mod tree;

pub use text::read_check;
pub use tree::{Check, End, Next, Question, Reply};
