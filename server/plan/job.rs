//! A card as work: its steps with their minutes, what it opens, and where it may be left.

use crate::jobs::model::Minutes as Typed;
use crate::jobs::paper::Shelves;
use crate::sync::wire::{Act, Tick};
use crate::trade::checker::{CardOnPaper, State, StepProgram, compile};
use crate::trade::effort::leaving::{self, Leaving};
use crate::trade::effort::{self, Access, Correction, Effort, Minutes, Record};
use crate::work::model::CardState;
use crate::work::store::Done;
use std::collections::HashMap;

/// A piece shorter than this is not worth an evening's getting ready, in likely minutes. Common practice, no source.
pub const LEAST_PIECE: u32 = 30;

/// A card with its time, read for the plan.
pub struct Job<'a> {
    pub card: &'a CardState,
    pub paper: CardOnPaper,
    pub programs: Vec<StepProgram>,
    pub effort: Effort,
    /// The car after each step, from rest.
    pub states: Vec<State>,
    /// Where it may be left.
    pub places: Vec<Leaving>,
    /// Which of these places cut it into pieces worth an evening.
    pub stops: Vec<usize>,
}

impl<'a> Job<'a> {
    /// `None` for a card without times.
    pub fn of(card: &'a CardState, shelves: &Shelves<'_>, correction: Option<&Correction>) -> Option<Job<'a>> {
        let whole = minutes(card.card.facts.minutes?)?;
        let whole = correction.map_or(whole, |correction| correction.applied(whole));
        let paper = shelves.card(&card.card, &card.steps);
        let programs = compile(&paper);
        let effort = effort::effort(&paper, whole);
        let places = leaving::leaving(&paper, &programs);
        let in_access: Vec<usize> =
            effort.access.iter().flat_map(|one| one.opened_by.iter().chain(&one.closed_by)).copied().collect();
        let work: Vec<Minutes> = effort
            .steps
            .iter()
            .enumerate()
            .map(|(at, step)| if in_access.contains(&at) { Minutes::default() } else { *step })
            .collect();
        let stops = leaving::worth_stopping(&places, &work, LEAST_PIECE);
        Some(Job { card, states: leaving::states(&paper, &programs), paper, programs, effort, places, stops })
    }

    /// Whether a step is still to do.
    pub fn is_open(&self, step: usize) -> bool {
        self.card.steps.get(step).is_some_and(|step| self.card.tick(step.id) == Tick::Open)
    }

    /// What it opens and has not closed again for good.
    pub fn alive(&self) -> impl Iterator<Item = &Access> {
        self.effort
            .access
            .iter()
            .filter(|access| access.opened_by.iter().chain(&access.closed_by).any(|step| self.is_open(*step)))
    }

    /// Keys of the access that is open at a stop.
    pub fn open_at(&self, stop: usize) -> Vec<String> {
        let state = &self.places[stop].state;
        self.alive().filter(|access| state.holds(&access.key)).map(|access| access.key.clone()).collect()
    }

    /// Its pieces as ranges of steps.
    pub fn pieces(&self) -> Vec<std::ops::Range<usize>> {
        let ends = self.stops.iter().map(|stop| self.places[*stop].after + 1).chain([self.paper.steps.len()]);
        let mut from = 0;
        ends.map(|end| std::mem::replace(&mut from, end)..end).collect()
    }
}

/// The three times of a card, where they make sense.
pub fn minutes(typed: Typed) -> Option<Minutes> {
    Minutes::new([typed.low, typed.likely, typed.high]).ok()
}

/// Whether nothing of a card is left to do.
pub fn is_finished(card: &CardState) -> bool {
    card.facts.steps > 0 && card.facts.settled_steps == card.facts.steps
}

/// What the cards that are finished took, against what was guessed.
pub fn records(cards: &[CardState], done: &[Done]) -> Vec<Record> {
    let mut taken: HashMap<_, i64> = HashMap::new();
    for one in done {
        if let (Some(card), Act::Time(body)) = (one.card, &one.act) {
            *taken.entry(card).or_default() += body.minutes;
        }
    }
    let finished = cards.iter().filter(|card| is_finished(card));
    finished
        .filter_map(|card| {
            let estimated = minutes(card.card.facts.minutes?)?.likely();
            let taken = u32::try_from(*taken.get(&card.card.id)?).ok()?;
            Some(Record { estimated, taken })
        })
        .collect()
}
