//! A plan together with all that it was made from, so that it can be kept, shown again, and held against what is known now.

use super::tonight::Answer;
use crate::clock::Moment;
use crate::trade::limits::Day;
use crate::trade::plan::{Access, AccessId, Effort, Fault, Garage, Job, JobId, Pin, Plan, plan_with};
use serde::{Deserialize, Serialize};

/// What is known of an evening besides what the planner needs.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct EveningFacts {
    /// Its id in the database.
    pub id: String,
    /// Minutes after midnight, by the garage's clock.
    pub starts: u16,
    pub note: String,
    /// Counted up with every change of the evening.
    pub revision: u32,
}

impl EveningFacts {
    /// `19:00`, so many minutes after its start. Past midnight the clock begins anew.
    pub fn clock(&self, after: u32) -> String {
        let at = u32::from(self.starts) + after;
        format!("{:02}:{:02}", at / 60 % 24, at % 60)
    }
}

/// What the planner is told, and what only pages need.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Known {
    pub garage: Garage,
    /// In the order of the garage's evenings.
    pub evenings: Vec<EveningFacts>,
    pub pins: Vec<Pin>,
    /// Jobs kept to an evening that is over.
    pub over_pins: Vec<JobId>,
    /// Jobs that the planner is not told of although something of them is left, each with the reason.
    pub left_out: Vec<(JobId, String)>,
    /// What is only guessed of deliveries, in sentences.
    pub guesses: Vec<String>,
    /// What own records say of the estimates; empty: too few records.
    pub correction: String,
}

impl Known {
    pub fn job(&self, id: &JobId) -> Option<&Job> {
        self.garage.jobs.iter().find(|job| job.id == *id)
    }

    /// Without the marks that it has in a sentence.
    pub fn title(&self, id: &JobId) -> &str {
        self.quoted(id).trim_start_matches('‘').trim_end_matches('’')
    }

    /// As it stands in a sentence.
    pub fn quoted(&self, id: &JobId) -> &str {
        self.job(id).map_or("", |job| &job.title)
    }

    pub fn access(&self, id: &AccessId) -> Option<&Access> {
        self.garage.access.iter().find(|access| access.id == *id)
    }

    pub fn access_title(&self, id: &AccessId) -> &str {
        self.access(id).map_or("", |access| &access.title)
    }

    pub fn evening(&self, at: usize) -> EveningFacts {
        self.evenings.get(at).cloned().unwrap_or_default()
    }

    /// Where the evening of this id stands.
    pub fn evening_at(&self, id: &str) -> Option<usize> {
        self.evenings.iter().position(|evening| evening.id == id)
    }

    pub fn today(&self) -> Day {
        self.garage.today
    }
}

/// A plan that was made.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Made {
    pub at: Moment,
    pub known: Known,
    pub plan: Plan,
    /// Pins that could not be kept, each with the reason.
    pub broken: Vec<(Pin, String)>,
    /// What evenings of some lengths are good for, for phones without signal; empty until the plan is kept.
    #[serde(default)]
    pub tonight: Vec<Answer>,
}

impl Made {
    /// Plans what is known. Long work: off the threads that answer requests. Errors: what has to be mended first.
    pub fn now(at: Moment, known: Known, effort: Effort) -> Result<Made, Vec<Fault>> {
        let pinned = plan_with(&known.garage, &known.pins, effort)?;
        Ok(Made { at, known, plan: pinned.plan, broken: pinned.broken, tonight: Vec::new() })
    }
}
