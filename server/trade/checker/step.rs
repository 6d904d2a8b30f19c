//! A step as a program over the state: what must hold before it, what it begins and what it ends.

use super::rule::Rule;
use super::state::State;
use crate::trade::steps::{Compiled, Opened};
use serde::{Deserialize, Serialize};

/// Something that must be so before a step is done. It is broken while every fact of `when` holds and none of `unless`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Need {
    pub rule: Rule,
    /// Why, in one plain sentence. `{what}` stands for the things which break it.
    pub say: String,
    /// How to mend it.
    pub mend: String,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub when: Vec<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unless: Vec<String>,
}

impl Need {
    pub fn new(rule: Rule, say: impl Into<String>, mend: impl Into<String>) -> Need {
        Need { rule, say: say.into(), mend: mend.into(), when: Vec::new(), unless: Vec::new() }
    }

    /// Broken only while this holds.
    pub fn when(mut self, fact: impl Into<String>) -> Need {
        self.when.push(fact.into());
        self
    }

    /// Not broken while this holds.
    pub fn unless(mut self, fact: impl Into<String>) -> Need {
        self.unless.push(fact.into());
        self
    }

    /// The reason, where it is broken in this state.
    pub fn broken(&self, state: &State) -> Option<String> {
        let is_broken =
            self.when.iter().all(|fact| state.holds(fact)) && !self.unless.iter().any(|fact| state.holds(fact));
        is_broken.then(|| self.say.replace("{what}", &self.what(state)))
    }

    fn what(&self, state: &State) -> String {
        let mut things: Vec<&str> = Vec::new();
        for name in self.when.iter().flat_map(|fact| state.things(fact)) {
            if !things.contains(&name) {
                things.push(name);
            }
        }
        things.join(", ")
    }
}

/// A step, compiled: the phone guards it and keeps the ledger by these sets alone.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct StepProgram {
    pub opens: Vec<Opened>,
    pub closes: Vec<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sets: Vec<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub clears: Vec<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub needs: Vec<Need>,
}

impl From<Compiled> for StepProgram {
    /// What a step does to the ledger, and nothing besides.
    fn from(Compiled { opens, closes }: Compiled) -> StepProgram {
        StepProgram { opens, closes, ..StepProgram::default() }
    }
}
