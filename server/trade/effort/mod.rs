//! How long a job card takes, what it opens to get there, and what it asks to have at hand: all derived from its steps.
//!
//! - `minutes`: least, likely, longest; shared out over the steps of a card
//! - `access`: what is raised, taken off, drained or parted on the way in and brought back on the way out
//! - `correction`: how one's own evenings compare with the estimates
//!
//! The shares of the verbs are common practice, no source; how often an own record is off corrects them.

mod access;
mod correction;
mod minutes;
#[cfg(test)]
mod tests;

pub use access::{Access, access};
pub use correction::{Correction, LEAST_RECORDS, Record, correction};
pub use minutes::{Minutes, MinutesError, shared_out};

use super::checker::CardOnPaper;
use super::marks::Mark;
use serde::Serialize;

/// A card as the plan sees it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Effort {
    pub whole: Minutes,
    /// In the order of the steps; together they are the whole.
    pub steps: Vec<Minutes>,
    /// In the order in which it is opened.
    pub access: Vec<Access>,
    /// The whole without opening and closing.
    pub work: Minutes,
    /// Each named once, in the order in which it is first wanted.
    pub tools: Vec<String>,
    pub parts: Vec<String>,
    /// A second person is needed: the card says so, or one of its steps does.
    pub helper: bool,
    /// Steps that take a second person.
    pub with_helper: Vec<usize>,
}

/// What a card of `whole` minutes takes, and where its minutes go.
pub fn effort(card: &CardOnPaper, whole: Minutes) -> Effort {
    let steps = shared_out(whole, &card.steps);
    let access = access(card, &steps);
    let inside = |at: &usize| access.iter().any(|one| one.opened_by.contains(at) || one.closed_by.contains(at));
    let work = (0..steps.len()).filter(|at| !inside(at)).map(|at| steps[at]).sum();
    let two: Vec<usize> = (0..card.steps.len()).filter(|at| card.steps[*at].has(Mark::TwoPeople)).collect();
    Effort {
        whole,
        work,
        tools: once(card.steps.iter().flat_map(|step| &step.tools).filter(|tool| tool.as_str() != HELPER)),
        parts: once(card.steps.iter().flat_map(|step| &step.parts)),
        helper: card.helper || !two.is_empty(),
        with_helper: two,
        steps,
        access,
    }
}

/// Listed among the tools of a step; a person is none.
const HELPER: &str = "helper";

fn once<'a>(names: impl Iterator<Item = &'a String>) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for name in names {
        if !all.iter().any(|known| known.eq_ignore_ascii_case(name)) {
            all.push(name.clone());
        }
    }
    all
}
