//! How long a job card takes, what it opens to get there, and what it asks to have at hand: all derived from its steps.
//!
//! - `minutes`: least, likely, longest; shared out over the steps of a card
//! - `access`: what is raised, taken off, drained or parted on the way in and brought back on the way out
//! - `leaving`: after which steps the car may be left for a night
//! - `between`: which cards must not be worked while something stays open
//! - `correction`: how one's own evenings compare with the estimates
//!
//! The shares of the verbs are common practice, no source; how often an own record is off corrects them.

mod access;
pub mod between;
mod correction;
pub mod leaving;
mod minutes;
#[cfg(test)]
mod tests;

pub use access::{Access, Common, access, in_common};
pub use correction::{Correction, LEAST_RECORDS, Record, correction};
pub use minutes::{Minutes, MinutesError, shared_out};

use super::checker::CardOnPaper;
use super::marks::Mark;
use serde::Serialize;
use std::collections::HashSet;

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
    let two: Vec<usize> = (0..card.steps.len()).filter(|at| card.steps[*at].has(Mark::TwoPeople)).collect();
    Effort {
        whole,
        work: besides(&steps, access.iter()),
        tools: once(card.steps.iter().flat_map(|step| &step.tools).filter(|tool| tool.as_str() != HELPER)),
        parts: once(card.steps.iter().flat_map(|step| &step.parts)),
        helper: card.helper || !two.is_empty(),
        with_helper: two,
        steps,
        access,
    }
}

impl Effort {
    /// The whole without opening and closing what is opened for several cards: by the keys of [`in_common`]. What only this
    /// card opens stays in it.
    pub fn work_besides(&self, common: &[Common]) -> Minutes {
        let is_common = |access: &&Access| common.iter().any(|one| one.key == access.key);
        besides(&self.steps, self.access.iter().filter(is_common))
    }
}

fn besides<'a>(steps: &[Minutes], access: impl Iterator<Item = &'a Access>) -> Minutes {
    let inside: HashSet<usize> = access.flat_map(|one| one.opened_by.iter().chain(&one.closed_by)).copied().collect();
    steps.iter().enumerate().filter(|(at, _)| !inside.contains(at)).map(|(_, minutes)| *minutes).sum()
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
