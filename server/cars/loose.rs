//! A loose end for people: since when, and what closes it.

use crate::clock::Moment;
use crate::ids::StepId;
use crate::sync::hlc::Hlc;
use crate::sync::wire::Tick;
use crate::trade::ledger::LooseEnd;
use crate::work::model::{CarState, CardState};

/// The step that will close a loose end.
#[derive(Clone, Copy)]
pub struct Closer<'a> {
    pub card: &'a CardState,
    /// Its place in the card, from 1.
    pub number: usize,
    pub words: &'a str,
    /// The same card left it so.
    pub same_card: bool,
}

pub fn since(end: &LooseEnd) -> Moment {
    // Only readable clocks are ever stored.
    end.since.parse::<Hlc>().map_or(Moment(0), Hlc::moment)
}

/// The card whose step left it so; `None` when it was noted by hand.
pub fn left_by<'a>(state: &'a CarState, end: &LooseEnd) -> Option<&'a CardState> {
    let step: StepId = end.step.as_ref()?.parse().ok()?;
    state.cards.iter().find(|card| card.steps.iter().any(|known| known.id == step))
}

/// The next step that is not done yet and closes it: first in the card that left it so, then in any other.
pub fn closed_by<'a>(state: &'a CarState, end: &LooseEnd) -> Option<Closer<'a>> {
    let left_by = left_by(state, end);
    let own = left_by.and_then(|card| closer_in(card, end));
    if let Some(closer) = own {
        return Some(Closer { same_card: true, ..closer });
    }
    state.cards.iter().find_map(|card| closer_in(card, end))
}

fn closer_in<'a>(card: &'a CardState, end: &LooseEnd) -> Option<Closer<'a>> {
    card.steps.iter().enumerate().find_map(|(index, step)| {
        let closes = card.tick(step.id) != Tick::Done && step.compiled().closes.contains(&end.key);
        closes.then_some(Closer { card, number: index + 1, words: &step.facts.words, same_card: false })
    })
}
