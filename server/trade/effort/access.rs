//! What a card opens to get at its work and closes again, read off what its steps do to the state of the car.
//!
//! Two cards that name the same thing alike share it: the front is raised once for both. That is the same name by which the
//! ledger knows the thing; nothing is asked.

use super::minutes::Minutes;
use crate::trade::checker::{CardOnPaper, StepOnPaper, thing};
use crate::trade::steps::{Effect, ObjectKind, Verb, effect};
use serde::Serialize;
use std::collections::BTreeMap;

/// Something that is so while the work is done, and takes time to make so and to bring back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Access {
    /// The ledger's key, such as `corner:front end` or `part:front wheels`.
    pub key: String,
    /// As in ‘front end is on stands’.
    pub words: String,
    /// Steps that make it so, and those that bring it back. Without the latter the card leaves it so.
    pub opened_by: Vec<usize>,
    pub closed_by: Vec<usize>,
    pub opens: Minutes,
    pub closes: Minutes,
}

impl Access {
    /// The thing's name.
    pub fn thing(&self) -> &str {
        thing(&self.key)
    }

    /// What sharing it with a card next to it saves.
    pub fn saves(&self) -> Minutes {
        self.opens + self.closes
    }
}

/// The access conditions of a card whose steps take these minutes, in the order in which they are opened.
///
/// Raised ends, parts taken off, fluids drained and connections parted are conditions. What is undone on the way belongs to
/// the first condition opened after it was last undone: nuts to the wheels, a drain tap to the coolant; a chock to the end
/// that is raised next.
pub fn access(card: &CardOnPaper, minutes: &[Minutes]) -> Vec<Access> {
    let owners: Vec<Option<String>> = (0..card.steps.len()).map(|at| owner(&card.steps, at)).collect();
    let mut all: Vec<Access> = Vec::new();
    for (at, step) in card.steps.iter().enumerate() {
        let Some(key) = &owners[at] else { continue };
        let place = all.iter().position(|one| one.key == *key).unwrap_or_else(|| {
            all.push(Access {
                key: key.clone(),
                words: words(&card.steps, key),
                opened_by: Vec::new(),
                closed_by: Vec::new(),
                opens: Minutes::default(),
                closes: Minutes::default(),
            });
            all.len() - 1
        });
        let (access, took) = (&mut all[place], minutes.get(at).copied().unwrap_or_default());
        if brings_back(step) {
            access.closed_by.push(at);
            access.closes = access.closes + took;
        } else {
            access.opened_by.push(at);
            access.opens = access.opens + took;
        }
    }
    // What is only fitted or filled, and never opened here, is work and no way in.
    all.retain(|one| !one.opened_by.is_empty());
    all
}

/// Something that several cards open: worth opening once.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Common {
    pub key: String,
    pub words: String,
    /// By the card that takes longest for it.
    pub opens: Minutes,
    pub closes: Minutes,
    /// Indices of the cards, in their order.
    pub cards: Vec<usize>,
}

/// What at least two of these cards open, by key.
pub fn in_common(cards: &[&[Access]]) -> Vec<Common> {
    let mut all: BTreeMap<&str, Common> = BTreeMap::new();
    for (at, access) in cards.iter().enumerate().flat_map(|(at, card)| card.iter().map(move |one| (at, one))) {
        let common = all.entry(&access.key).or_insert_with(|| Common {
            key: access.key.clone(),
            words: access.words.clone(),
            opens: Minutes::default(),
            closes: Minutes::default(),
            cards: Vec::new(),
        });
        common.opens = common.opens.longer(access.opens);
        common.closes = common.closes.longer(access.closes);
        common.cards.push(at);
    }
    all.into_values().filter(|common| common.cards.len() > 1).collect()
}

/// The condition that a step helps to make or to end.
fn owner(steps: &[StepOnPaper], at: usize) -> Option<String> {
    let step = &steps[at];
    match step.kind {
        ObjectKind::Corner if step.verb == Verb::Chock => {
            following(steps, at, |next| next.kind == ObjectKind::Corner && next.verb == Verb::Raise)
        }
        ObjectKind::Corner | ObjectKind::Part | ObjectKind::Connection => own_key(step),
        // Air let in is the work itself; only what is drained is a way in.
        ObjectKind::Fluid if matches!(step.verb, Verb::Drain | Verb::Fill) => own_key(step),
        ObjectKind::Fastener => last_undone(steps, at).and_then(|last| {
            following(steps, last, |next| matches!(next.kind, ObjectKind::Part | ObjectKind::Connection))
        }),
        ObjectKind::Opening => last_undone(steps, at)
            .and_then(|last| following(steps, last, |next| next.kind == ObjectKind::Fluid && next.verb == Verb::Drain)),
        ObjectKind::Fluid | ObjectKind::Prop | ObjectKind::LeftInside | ObjectKind::Nothing => None,
    }
}

/// Its own key, where it opens or closes something.
fn own_key(step: &StepOnPaper) -> Option<String> {
    let compiled = step.compiled();
    compiled.opens.into_iter().map(|opened| opened.key).chain(compiled.closes).next()
}

/// Where the thing of a step is undone for the last time; `None` where the card never undoes it, or the step does nothing to it.
fn last_undone(steps: &[StepOnPaper], at: usize) -> Option<usize> {
    let (step, name) = (&steps[at], steps[at].name());
    if !step.undoes() && !brings_back(step) {
        return None;
    }
    (0..steps.len()).rev().find(|other| {
        let other = &steps[*other];
        other.kind == step.kind && other.undoes() && other.name() == name
    })
}

/// The key of the first step after `at` that opens something of this sort.
fn following(steps: &[StepOnPaper], at: usize, sort: impl Fn(&StepOnPaper) -> bool) -> Option<String> {
    let opens = |step: &&StepOnPaper| sort(step) && matches!(effect(step.verb, step.kind), Effect::Opens(..));
    steps[at + 1..].iter().find(opens).and_then(own_key)
}

/// Whether it leads back to rest: nuts run on by hand do too, although they are still a loose end.
fn brings_back(step: &StepOnPaper) -> bool {
    let fitted = step.kind == ObjectKind::Fastener && step.verb == Verb::Fit;
    fitted || matches!(effect(step.verb, step.kind), Effect::Closes(_))
}

/// The last words that the ledger has for it: a raised end is on stands in the end.
fn words(steps: &[StepOnPaper], key: &str) -> String {
    let opened = steps.iter().rev().flat_map(|step| step.compiled().opens).find(|opened| opened.key == key);
    opened.map_or_else(|| thing(key).to_owned(), |opened| opened.words)
}
