//! What a plan is made of, as the garage knows it: jobs, access, parts, evenings.

use serde::{Deserialize, Serialize};
use std::collections::BTreeSet;
use std::fmt;

use super::time::{Minutes, Spread};
use crate::trade::limits::Day;

macro_rules! named {
    ($($(#[$doc:meta])* $id:ident;)+) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        pub struct $id(pub String);

        impl From<&str> for $id {
            fn from(text: &str) -> $id {
                $id(text.to_owned())
            }
        }

        impl fmt::Display for $id {
            fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
                out.write_str(&self.0)
            }
        }
    )+};
}

named! {
    /// A job card.
    JobId;
    /// A state in which the car must be before something can be reached.
    AccessId;
    /// A part, or a quantity of a fluid.
    PartId;
}

/// One job, in pieces between which the car may be left.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Job {
    pub id: JobId,
    /// As a sentence says it: 'the axle oil'.
    pub title: String,
    /// Minutes of each piece, without the access. The car may be left between two pieces and not inside one.
    pub pieces: Vec<Spread>,
    /// How many of the pieces are done already.
    pub done: usize,
    /// Jobs which must be finished first.
    pub after: Vec<JobId>,
    pub parts: Vec<PartNeed>,
    /// Tools by the names of the tool chest.
    pub tools: Vec<String>,
    /// Whether it takes a second person, for all of its pieces.
    pub helper: bool,
    /// What must be open while any of its pieces is worked.
    pub needs: Vec<AccessId>,
    /// What must not be open meanwhile.
    pub blocked_by: Vec<AccessId>,
}

/// Parts that one job uses.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PartNeed {
    pub part: PartId,
    /// As a sentence says it: 'two crush washers'.
    pub words: String,
}

/// Something opened before and closed after: an end raised, a wheel off, a tray off, a system drained.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Access {
    pub id: AccessId,
    /// As a sentence says it: 'the rear up'.
    pub title: String,
    pub to_open: Minutes,
    pub to_close: Minutes,
    /// What it costs to begin an evening with it open from an earlier one (to look over the stands, to make it clean
    /// again). `None`: it must not stay open for a night.
    pub to_keep: Option<Minutes>,
    /// Whether it is open now.
    pub open: bool,
}

/// When a part is there. Days of arrival: it may be used in an evening of that day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Arrival {
    OnTheShelf,
    /// On its way: in how many days from today.
    Ordered(Spread),
    /// Not ordered yet: how many days delivery takes. It is planned as if ordered today.
    ToOrder(Spread),
    /// Nobody has looked for it yet.
    Unknown,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Part {
    pub id: PartId,
    pub arrival: Arrival,
}

/// Time to work. Two of one day are allowed ('morning', 'afternoon'), in the order in which they come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Evening {
    pub day: Day,
    pub minutes: Minutes,
    pub helper: bool,
}

/// Everything that the planner is told.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Garage {
    pub today: Day,
    pub jobs: Vec<Job>,
    pub access: Vec<Access>,
    /// Access that must not be open at once, as the card checker found it.
    pub conflicts: Vec<(AccessId, AccessId)>,
    pub parts: Vec<Part>,
    /// Tools on hand.
    pub tools: BTreeSet<String>,
    pub evenings: Vec<Evening>,
    pub wanted: Option<Day>,
}

impl Garage {
    /// A garage with nothing in it yet.
    pub fn empty(today: Day) -> Garage {
        Garage {
            today,
            jobs: Vec::new(),
            access: Vec::new(),
            conflicts: Vec::new(),
            parts: Vec::new(),
            tools: BTreeSet::new(),
            evenings: Vec::new(),
            wanted: None,
        }
    }

    pub(super) fn title(&self, job: usize) -> &str {
        self.jobs.get(job).map_or("", |job| &job.title)
    }
}
