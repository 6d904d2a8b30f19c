//! A job card and its steps as they were written.

use crate::ids::{CarId, CardId, PartId, SpecId, StepId};
use crate::trade::checker::StepProgram;
use crate::trade::marks::Marks;
use crate::trade::spec::System;
use crate::trade::steps::{Ask, Compiled, ObjectKind, Verb, compile};

/// How long a job takes, in minutes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Minutes {
    pub low: i64,
    pub likely: i64,
    pub high: i64,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardFacts {
    pub title: String,
    pub system: System,
    pub why: String,
    pub minutes: Option<Minutes>,
    /// Somebody is asked to help with this card.
    pub helper: bool,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Card {
    pub id: CardId,
    pub car: CarId,
    pub facts: CardFacts,
    pub rev: i64,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepFacts {
    pub verb: Verb,
    pub object_kind: ObjectKind,
    pub object: String,
    pub words: String,
    pub detail: String,
    pub asks: Option<Ask>,
    /// What else is true of it, for the card checker.
    pub marks: Marks,
}

/// A part that a step needs, and how many.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepPart {
    pub part: PartId,
    pub quantity: String,
}

/// What is attached to a step.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Attached {
    pub specs: Vec<SpecId>,
    pub parts: Vec<StepPart>,
    pub tools: Vec<String>,
    /// Names of known cautions or the restorer's own sentences.
    pub cautions: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    pub id: StepId,
    pub card: CardId,
    pub facts: StepFacts,
    pub attached: Attached,
    pub rev: i64,
}

/// What a step does to the ledger, with the words to tell of it. Known also of a step that was taken off its
/// card after it had been ticked: what it left loose is still loose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepEffect {
    pub step: StepId,
    pub card: CardId,
    pub card_title: String,
    /// Its place on its card, from 1.
    pub number: usize,
    pub verb: Verb,
    pub words: String,
    pub compiled: StepProgram,
    /// The step or its card was taken away.
    pub gone: bool,
}

impl StepFacts {
    /// What ticking it means for the ledger.
    pub fn compiled(&self) -> Compiled {
        compile(self.verb, self.object_kind, &self.object)
    }
}

impl Step {
    /// What ticking it means for the ledger.
    pub fn compiled(&self) -> Compiled {
        self.facts.compiled()
    }
}
