//! Where a thing that was wanted is, and where it can be next.

use crate::trade::closed_set::closed_set;

closed_set! {
    /// Where it is.
    pub enum Stage {
        Wanted = "wanted", "wanted";
        Ordered = "ordered", "ordered";
        Here = "here", "here";
        Fitted = "fitted", "fitted";
        SentBack = "sent-back", "sent back";
    }
}

/// Why it cannot go there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum StageError {
    #[error("It is {0} already.")]
    Already(Stage),
    #[error("From ‘{from}’ it cannot become ‘{to}’: {why}.")]
    Refused { from: Stage, to: Stage, why: &'static str },
}

impl Stage {
    /// True while a job that needs it would stop for want of it.
    pub fn is_missing(self) -> bool {
        match self {
            Stage::Wanted | Stage::Ordered | Stage::SentBack => true,
            Stage::Here | Stage::Fitted => false,
        }
    }

    /// Where it can go from here, the usual way first: onward, then back.
    pub fn next(self) -> Vec<Stage> {
        let allowed = |stages: &[Stage]| stages.iter().copied().filter(|to| self.to(*to).is_ok()).collect::<Vec<_>>();
        let here = Stage::ALL.iter().position(|stage| *stage == self).unwrap_or_default();
        [allowed(&Stage::ALL[here..]), allowed(&Stage::ALL[..here])].concat()
    }

    /// What it means to go there, for the button and for the logbook. Errors: it is there already, or something has to come
    /// between.
    pub fn to(self, next: Stage) -> Result<&'static str, StageError> {
        use Stage::{Fitted, Here, Ordered, SentBack, Wanted};
        let refused = |why| Err(StageError::Refused { from: self, to: next, why });
        match (self, next) {
            (Wanted, Ordered) => Ok("It is ordered."),
            (Wanted, Here) => Ok("It is here without an order: bought over the counter or found on the shelf."),
            (Ordered, Here) => Ok("It has arrived."),
            (Ordered, Wanted) => Ok("The order was called off; it is still wanted."),
            (Here, Fitted) => Ok("It is on the car."),
            (Here, SentBack) => Ok("It went back to the supplier."),
            (Fitted, Here) => Ok("It was taken off again and lies on the shelf."),
            (SentBack, Wanted) => Ok("It was sent back; another one is wanted."),
            (SentBack, Ordered) => Ok("It was sent back; the supplier sends another one."),
            (Wanted | Ordered, Fitted) => refused("it has to arrive first: note that it is here"),
            (Wanted, SentBack) => refused("it never came, so it is only taken off the list"),
            (Ordered, SentBack) => refused("it has not come: note that it is here, or call the order off"),
            (Here, Wanted | Ordered) => refused("it is here: send it back first, or want another one beside it"),
            (Fitted, SentBack) => refused("it is on the car: note first that it is off and here"),
            (Fitted, Wanted | Ordered) => refused("it is on the car: want another one beside it"),
            (SentBack, Here | Fitted) => refused("it went back: note first that another one is ordered"),
            (Wanted, Wanted) | (Ordered, Ordered) | (Here, Here) | (Fitted, Fitted) | (SentBack, SentBack) => {
                Err(StageError::Already(self))
            }
        }
    }
}
