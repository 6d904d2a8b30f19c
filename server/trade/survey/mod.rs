//! The survey: walked once round a car of unknown history, question by question, and what its answers ask to be done first.
//!
//! - `question`: what is asked, what counts as fine, and what follows from it
//! - `text`: a survey as a text file, with what is wrong in it told by line (the format: `seed/survey/README.md`)
//! - `rank`: all that was answered and found, in the order in which it is to be done, each place with its reason
//! - `dealt`: what becomes of an entry that somebody deals with, and when it comes back
//! - `suggest`: from an answer or a finding to a pattern, a part to order, a workshop, or a thing to watch
//!
//! It looks at what an owner can look at, and never says that a car is safe or legal. Intervals, and what counts as fine where
//! a question cites nothing, are common practice, no source.

mod dealt;
mod question;
mod rank;
mod suggest;
#[cfg(test)]
mod tests;
mod text;

pub use super::name_value::Trouble;
pub use dealt::{Back, Dealt, How, back};
pub use question::{
    Answer, Area, Cited, Interval, IntervalError, Limit, Looked, Question, Reading, Stake, Survey, Unknown,
};
pub use rank::{Found, Given, Origin, Placed, Ranking, Standing, rank};
pub use suggest::{Suggestion, heard, suggest};
pub use text::read_area;
