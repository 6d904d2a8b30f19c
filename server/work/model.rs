//! The state of a car's cards: each card with its steps, their ticks and the condition that follows.

use super::ledger;
use super::store::{self, StandingOp};
use crate::error::AppError;
use crate::ids::{CarId, CardId, StepId};
use crate::jobs::model::{Card, Step, StepEffect};
use crate::jobs::store as jobs;
use crate::shelf::store as shelf;
use crate::specs::model::Spec;
use crate::specs::store as specs;
use crate::sync::wire::{Act, Tick};
use crate::trade::condition::{Condition, Facts, condition};
use crate::trade::ledger::LooseEnd;
use crate::trade::trust::Trust;
use sqlx::SqliteConnection;
use std::collections::{HashMap, HashSet};

/// Everything on a car that pages and the pack are made from, read in one go.
pub struct CarState {
    pub cards: Vec<CardState>,
    pub specs: Vec<Spec>,
    pub parts: Vec<shelf::Part>,
    pub loose_ends: Vec<LooseEnd>,
    pub standing: Vec<StandingOp>,
    /// What every step does to the ledger, those among them that were taken away after a tick.
    pub effects: Vec<StepEffect>,
}

pub struct CardState {
    pub card: Card,
    pub steps: Vec<Step>,
    pub ticks: HashMap<StepId, Tick>,
    pub condition: Condition,
    pub facts: Facts,
}

impl CardState {
    pub fn tick(&self, step: StepId) -> Tick {
        self.ticks.get(&step).copied().unwrap_or(Tick::Open)
    }
}

impl CarState {
    pub async fn read(conn: &mut SqliteConnection, car: CarId) -> Result<CarState, AppError> {
        let cards = jobs::cards_of_car(&mut *conn, car).await?;
        let steps = jobs::steps_of_car(&mut *conn, car).await?;
        let specs = specs::of_car(&mut *conn, car).await?;
        let parts = shelf::of_car(&mut *conn, car).await?;
        let standing = store::standing_of_car(&mut *conn, car).await?;
        let by_hand = store::by_hand_of_car(&mut *conn, car).await?;
        let effects = jobs::effects_of_car(&mut *conn, car).await?;
        let loose_ends = ledger::of(&effects, &standing, &by_hand);
        let cards = card_states(cards, steps, &standing, &specs, &parts, &loose_ends);
        Ok(CarState { cards, specs, parts, loose_ends, standing, effects })
    }

    pub fn card(&self, card: CardId) -> Option<&CardState> {
        self.cards.iter().find(|state| state.card.id == card)
    }
}

fn card_states(
    cards: Vec<Card>,
    steps: Vec<Step>,
    standing: &[StandingOp],
    specs: &[Spec],
    parts: &[shelf::Part],
    loose_ends: &[LooseEnd],
) -> Vec<CardState> {
    let mut by_card: HashMap<CardId, Vec<Step>> = HashMap::new();
    for step in steps {
        by_card.entry(step.card).or_default().push(step);
    }
    let known: HashMap<_, _> = specs.iter().map(|spec| (spec.id, spec.trust().0)).collect();
    let missing: HashSet<_> = parts.iter().filter(|part| part.facts.state.is_missing()).map(|part| part.id).collect();
    cards
        .into_iter()
        .map(|card| {
            let steps = by_card.remove(&card.id).unwrap_or_default();
            let ticks = ticks(&steps, standing);
            let mut facts = facts(&steps, &ticks, loose_ends);
            facts.rechecked = standing.iter().any(|op| op.card == Some(card.id) && matches!(op.act, Act::Recheck(_)));
            facts.missing_parts =
                count(&steps, |step| step.attached.parts.iter().any(|part| missing.contains(&part.part)));
            facts.missing_specs = count(&steps, |step| lacks_spec(step, &known));
            CardState { card, steps, ticks, condition: condition(facts), facts }
        })
        .collect()
}

fn count(steps: &[Step], wanted: impl Fn(&Step) -> bool) -> usize {
    steps.iter().filter(|step| wanted(step)).count()
}

/// A tightening step needs a torque, and every spec that is attached needs a value.
fn lacks_spec(step: &Step, known: &HashMap<crate::ids::SpecId, Trust>) -> bool {
    let empty = step.attached.specs.iter().any(|spec| known.get(spec).is_none_or(|trust| *trust == Trust::Missing));
    empty || step.facts.verb.tightens() && step.attached.specs.is_empty()
}

fn ticks(steps: &[Step], standing: &[StandingOp]) -> HashMap<StepId, Tick> {
    let ours: HashSet<String> = steps.iter().map(|step| step.id.to_string()).collect();
    standing
        .iter()
        .filter(|op| ours.contains(&op.subject_id))
        .filter_map(|op| match &op.act {
            Act::Tick(body) => Some((op.subject_id.parse().ok()?, body.state)),
            _ => None,
        })
        .collect()
}

fn facts(steps: &[Step], ticks: &HashMap<StepId, Tick>, loose_ends: &[LooseEnd]) -> Facts {
    let ours: HashSet<String> = steps.iter().map(|step| step.id.to_string()).collect();
    Facts {
        steps: steps.len(),
        settled_steps: count(steps, |step| matches!(ticks.get(&step.id), Some(Tick::Done | Tick::Skipped))),
        specs: steps.iter().map(|step| step.attached.specs.len()).sum(),
        loose_ends: loose_ends.iter().filter(|end| end.step.as_ref().is_some_and(|step| ours.contains(step))).count(),
        ..Facts::default()
    }
}
