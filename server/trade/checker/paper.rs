//! A job card on paper: what the checker reads of it.

use crate::trade::marks::{Mark, Marks};
use crate::trade::nature::Nature;
use crate::trade::spec::{Kind, System};
use crate::trade::steps::{Compiled, ObjectKind, Verb, compile, thing_name};
use crate::trade::trust::Trust;

/// A card with its steps in order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CardOnPaper {
    pub title: String,
    pub system: System,
    /// Somebody is asked to help with this card.
    pub helper: bool,
    pub steps: Vec<StepOnPaper>,
}

/// A step with all that hangs on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepOnPaper {
    pub verb: Verb,
    pub kind: ObjectKind,
    pub object: String,
    pub marks: Marks,
    pub specs: Vec<SpecOnPaper>,
    /// Names of the parts that are fitted or used up here.
    pub parts: Vec<String>,
    pub tools: Vec<String>,
    /// Names of known cautions, or own sentences.
    pub cautions: Vec<String>,
}

/// A spec as it hangs on a step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SpecOnPaper {
    pub kind: Kind,
    pub trust: Trust,
    /// What its most trusted source wrote; empty where nobody says anything.
    pub written: String,
    /// The fastener's head as its source wrote it; empty where nobody says.
    pub head: String,
    pub used_once: bool,
    pub by_angle: bool,
    /// Why it is not for this car but for another variant; `None` where it is, or where nobody can tell.
    pub not_ours: Option<String>,
}

impl StepOnPaper {
    pub fn new(verb: Verb, kind: ObjectKind, object: &str) -> StepOnPaper {
        StepOnPaper {
            verb,
            kind,
            object: object.to_owned(),
            marks: Marks::default(),
            specs: Vec::new(),
            parts: Vec::new(),
            tools: Vec::new(),
            cautions: Vec::new(),
        }
    }

    /// What it does to the ledger.
    pub fn compiled(&self) -> Compiled {
        compile(self.verb, self.kind, &self.object)
    }

    pub fn has(&self, mark: Mark) -> bool {
        self.marks.has(mark)
    }

    pub fn nature(&self) -> Option<Nature> {
        self.marks.nature(self.kind, &self.object)
    }

    pub fn is(&self, nature: Nature) -> bool {
        self.nature() == Some(nature)
    }

    /// The object's name as the state of the car knows it.
    pub fn name(&self) -> String {
        thing_name(&self.object)
    }

    pub fn specs_of(&self, kind: Kind) -> impl Iterator<Item = &SpecOnPaper> {
        self.specs.iter().filter(move |spec| spec.kind == kind)
    }

    /// Whether it undoes, opens or takes away something of a closed system.
    pub fn undoes(&self) -> bool {
        matches!(self.verb, Verb::Open | Verb::Drain | Verb::Disconnect | Verb::Loosen | Verb::Remove)
    }
}
