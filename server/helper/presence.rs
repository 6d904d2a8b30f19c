//! Who is watching, and who rang. Held in memory and gone with the process: it is about the minute in which it happens.

use crate::access::Helper;
use crate::clock::Moment;
use crate::error::AppError;
use crate::ids::{CardId, HelperLinkId};
use crate::trade::closed_set::closed_set;
use serde::Serialize;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// A helper who has not been heard for so long watches no more, in milliseconds. Pages ask every five seconds at the most.
const WATCHING_MS: i64 = 15_000;
/// A ring that old is no news, in milliseconds.
const RINGING_MS: i64 = 120_000;

closed_set! {
    /// The two things that a helper may call.
    pub enum Call {
        Done = "done", "done";
        Stop = "stop", "STOP!";
    }
}

/// A call and when it came.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Ring {
    pub what: Call,
    /// Who: the label of the link.
    pub by: String,
    pub at: Moment,
}

/// What the restorer is told of the helpers of a card.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Around {
    /// Labels of those who watch at the moment.
    pub watching: Vec<String>,
    /// The latest call, while it is news.
    pub ring: Option<Ring>,
}

struct Known {
    card: CardId,
    label: String,
    seen: Moment,
    ring: Option<Ring>,
}

/// Cheap to clone; all clones are one.
#[derive(Clone, Default)]
pub struct Presence(Arc<Mutex<HashMap<HelperLinkId, Known>>>);

impl Presence {
    /// A helper's page was heard.
    pub fn seen(&self, helper: &Helper, now: Moment) {
        self.held().entry(helper.link()).and_modify(|known| known.seen = now).or_insert_with(|| Known::of(helper, now));
    }

    /// A helper calls. Errors where the link's maker did not allow it.
    pub fn ring(&self, helper: &Helper, what: Call, now: Moment) -> Result<(), AppError> {
        if !helper.may_ring() {
            return Err(AppError::Invalid("not-allowed", "This link shows the job and cannot call.".into()));
        }
        let mut held = self.held();
        let known = held.entry(helper.link()).or_insert_with(|| Known::of(helper, now));
        known.seen = now;
        known.ring = Some(Ring { what, by: helper.label().to_owned(), at: now });
        Ok(())
    }

    /// A link that was taken back is forgotten at once.
    pub fn forget(&self, link: HelperLinkId) {
        self.held().remove(&link);
    }

    /// Who is around a card.
    pub fn around(&self, card: CardId, now: Moment) -> Around {
        let mut held = self.held();
        held.retain(|_, known| now.0 - known.seen.0 < RINGING_MS);
        let here: Vec<&Known> = held.values().filter(|known| known.card == card).collect();
        let mut watching: Vec<String> =
            here.iter().filter(|known| now.0 - known.seen.0 < WATCHING_MS).map(|known| known.label.clone()).collect();
        watching.sort();
        let ring = here
            .iter()
            .filter_map(|known| known.ring.clone())
            .filter(|ring| now.0 - ring.at.0 < RINGING_MS)
            .max_by_key(|ring| ring.at);
        Around { watching, ring }
    }

    /// Whoever panicked while holding it left a whole list.
    fn held(&self) -> MutexGuard<'_, HashMap<HelperLinkId, Known>> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Known {
    fn of(helper: &Helper, now: Moment) -> Known {
        Known { card: helper.card(), label: helper.label().to_owned(), seen: now, ring: None }
    }
}
