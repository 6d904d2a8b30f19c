//! The ledger of loose ends: what the ticks so far have left loose, drained, parted or propped.
//!
//! A pure fold. The phone runs the same fold in `static/js/work/ledger.js`; both run the vectors in
//! `tests/vectors/ledger.json`.

use super::checker::{State, StepProgram};

/// One thing that was done, reduced to what it means for the ledger. Events come in the one total order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Event {
    /// A step whose latest tick says done.
    Done { step: String, at: String, compiled: StepProgram },
    /// A loose end made by hand.
    Undid { key: String, words: String, place: String, at: String },
    /// A loose end closed by hand.
    Closed { key: String },
}

/// Something on the car that is not back at rest.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LooseEnd {
    pub key: String,
    pub words: String,
    /// Where on the car, as entered by hand; empty when a step left it so.
    pub place: String,
    /// The step that left it so; `None` when it was entered by hand.
    pub step: Option<String>,
    /// Clock of the operation that first opened it.
    pub since: String,
}

/// Folds events into the loose ends that remain, in the order in which they were first opened.
pub fn loose_ends(events: &[Event]) -> Vec<LooseEnd> {
    let mut open: Vec<LooseEnd> = Vec::new();
    for event in events {
        match event {
            Event::Done { step, at, compiled } => {
                open.retain(|end| !compiled.closes.contains(&end.key));
                for opened in &compiled.opens {
                    put(&mut open, &opened.key, &opened.words, Some(step), at);
                }
            }
            Event::Undid { key, words, place, at } => {
                put(&mut open, key, words, None, at);
                if let Some(end) = open.iter_mut().find(|end| end.key == *key) {
                    end.place.clone_from(place);
                }
            }
            Event::Closed { key } => open.retain(|end| end.key != *key),
        }
    }
    open
}

/// What is true of the car after these events, for the guards.
pub fn state(events: &[Event]) -> State {
    let mut state = State::default();
    for event in events {
        match event {
            Event::Done { compiled, .. } => state.apply(compiled),
            Event::Undid { key, words, .. } => state.open_by_hand(key, words),
            Event::Closed { key } => state.close_by_hand(key),
        }
    }
    state
}

/// A thing already away from rest stays one loose end: it keeps its first moment and takes the newer words.
fn put(open: &mut Vec<LooseEnd>, key: &str, words: &str, step: Option<&String>, at: &str) {
    if let Some(known) = open.iter_mut().find(|end| end.key == key) {
        known.words = words.to_owned();
        known.step = step.cloned();
        return;
    }
    open.push(LooseEnd {
        key: key.to_owned(),
        words: words.to_owned(),
        place: String::new(),
        step: step.cloned(),
        since: at.to_owned(),
    });
}
