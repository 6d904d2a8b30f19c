//! The ledger of loose ends: what the ticks so far have left loose, drained, parted or propped.
//!
//! A pure fold. The phone runs the same fold in `static/js/work/ledger.js`; both run the vectors in
//! `tests/vectors/ledger.json`.

use super::checker::{State, StepProgram};

/// One thing that was done, reduced to what it means for the ledger. Events come in the one total order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Event<'a> {
    /// A step whose latest tick says done.
    Done { step: &'a str, at: &'a str, program: &'a StepProgram },
    /// A loose end made by hand.
    Undid { key: String, words: &'a str, place: &'a str, at: &'a str },
    /// A loose end closed by hand.
    Closed { key: &'a str },
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

/// The car as far as ticks and hands tell.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Ledger {
    /// In the order in which they were first opened.
    pub ends: Vec<LooseEnd>,
    /// What is true, for the guards.
    pub state: State,
}

impl Ledger {
    /// The car after these events.
    pub fn of(events: &[Event<'_>]) -> Ledger {
        let mut ledger = Ledger::default();
        events.iter().for_each(|event| ledger.take(event));
        ledger
    }

    /// What one more event makes of it.
    pub fn take(&mut self, event: &Event<'_>) {
        match event {
            Event::Done { step, at, program } => {
                self.ends.retain(|end| !program.closes.contains(&end.key));
                for opened in &program.opens {
                    put(&mut self.ends, &opened.key, &opened.words, Some(step), at);
                }
                self.state.apply(program);
            }
            Event::Undid { key, words, place, at } => {
                put(&mut self.ends, key, words, None, at);
                if let Some(end) = self.ends.iter_mut().find(|end| end.key == *key) {
                    end.place = (*place).to_owned();
                }
                self.state.open_by_hand(key, words);
            }
            Event::Closed { key } => {
                self.ends.retain(|end| end.key != *key);
                self.state.close_by_hand(key);
            }
        }
    }
}

/// A thing already away from rest stays one loose end: it keeps its first moment and takes the newer words.
fn put(open: &mut Vec<LooseEnd>, key: &str, words: &str, step: Option<&str>, at: &str) {
    if let Some(known) = open.iter_mut().find(|end| end.key == key) {
        known.words = words.to_owned();
        known.step = step.map(str::to_owned);
        return;
    }
    open.push(LooseEnd {
        key: key.to_owned(),
        words: words.to_owned(),
        place: String::new(),
        step: step.map(str::to_owned),
        since: at.to_owned(),
    });
}
