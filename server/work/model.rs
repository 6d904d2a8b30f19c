//! The state of a car's cards: each card with its steps, their ticks and the condition that follows.

use super::ledger;
use super::store::{self, StandingOp};
use crate::chest::tools::asked::lacks_tool;
use crate::chest::tools::store as chest;
use crate::error::AppError;
use crate::ids::{CarId, CardId, PartId, SpecId, StepId};
use crate::jobs::model::{Card, Step, StepEffect};
use crate::jobs::paper::{self, Shelves};
use crate::jobs::store as jobs;
use crate::readings::model::Limit;
use crate::readings::store as readings;
use crate::shelf::store as shelf;
use crate::specs::model::Spec;
use crate::specs::store as specs;
use crate::survey::limits::add_brought;
use crate::sync::wire::{Act, Tick};
use crate::trade::checker::State;
use crate::trade::condition::{Condition, Facts, condition};
use crate::trade::ledger::{Ledger, LooseEnd};
use crate::trade::spec::Kind;
use crate::trade::steps::lacks_torque;
use crate::trade::tools::Tool;
use crate::trade::trust::Trust;
use sqlx::SqliteConnection;
use std::collections::{HashMap, HashSet};

/// Everything on a car that pages and the pack are made from, read in one go.
pub struct CarState {
    pub cards: Vec<CardState>,
    pub specs: Vec<Spec>,
    pub parts: Vec<shelf::Part>,
    /// The sockets and keys of the garage.
    pub tools: Vec<Tool>,
    pub loose_ends: Vec<LooseEnd>,
    /// What the guards go by.
    pub true_now: State,
    pub standing: Vec<StandingOp>,
    /// What every step does to the ledger, those among them that were taken away after a tick.
    pub effects: Vec<StepEffect>,
    /// What readings are held against.
    pub limits: Vec<Limit>,
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
        let mut limits = readings::of_car(&mut *conn, car, &specs).await?;
        let parts = shelf::of_car(&mut *conn, car).await?;
        let tools = chest::tools(&mut *conn).await?;
        let standing = store::standing_of_car(&mut *conn, car).await?;
        add_brought(&mut limits, &standing);
        let by_hand = store::by_hand_of_car(&mut *conn, car).await?;
        let mut effects = jobs::effects_of_car(&mut *conn, car).await?;
        complete(&mut effects, &cards, &steps, &Shelves::of(&specs, &parts));
        let Ledger { ends: loose_ends, state: true_now } = Ledger::of(&ledger::events(&effects, &standing, &by_hand));
        let known = Known {
            standing: &standing,
            loose_ends: &loose_ends,
            specs: specs.iter().map(|spec| (spec.id, (spec.facts.kind, spec.trust().0))).collect(),
            missing_parts: parts.iter().filter(|part| part.facts.state.is_missing()).map(|part| part.id).collect(),
            tools: &tools,
        };
        let cards = card_states(cards, steps, &known);
        Ok(CarState { cards, specs, parts, tools, loose_ends, true_now, standing, effects, limits })
    }

    pub fn card(&self, card: CardId) -> Option<&CardState> {
        self.cards.iter().find(|state| state.card.id == card)
    }

    /// The loose ends that the steps of a card have left.
    pub fn left_by(&self, card: CardId) -> impl Iterator<Item = &LooseEnd> {
        left_by(&self.loose_ends, self.card(card).map_or(&[], |state| state.steps.as_slice()))
    }
}

/// Compiles the steps on their cards with all that hangs on them.
fn complete(effects: &mut [StepEffect], cards: &[Card], steps: &[Step], shelves: &Shelves<'_>) {
    let on_card = |card: &Card| {
        let first = steps.iter().position(|step| step.card == card.id).unwrap_or(steps.len());
        let count = steps[first..].iter().take_while(|step| step.card == card.id).count();
        let own = &steps[first..first + count];
        (card.id, shelves.card(card, own), own)
    };
    paper::complete(effects, &cards.iter().map(on_card).collect::<Vec<_>>());
}

/// What the state of every card of the car follows from.
struct Known<'a> {
    standing: &'a [StandingOp],
    loose_ends: &'a [LooseEnd],
    specs: HashMap<SpecId, (Kind, Trust)>,
    missing_parts: HashSet<PartId>,
    tools: &'a [Tool],
}

fn card_states(cards: Vec<Card>, steps: Vec<Step>, known: &Known<'_>) -> Vec<CardState> {
    let mut by_card: HashMap<CardId, Vec<Step>> = HashMap::new();
    for step in steps {
        by_card.entry(step.card).or_default().push(step);
    }
    let state = |card: Card| {
        let steps = by_card.remove(&card.id).unwrap_or_default();
        let ticks = ticks(&steps, known.standing);
        let facts = known.facts(card.id, &steps, &ticks);
        CardState { card, steps, ticks, condition: condition(facts), facts }
    };
    cards.into_iter().map(state).collect()
}

impl Known<'_> {
    fn facts(&self, card: CardId, steps: &[Step], ticks: &HashMap<StepId, Tick>) -> Facts {
        let lacks_part = |step: &Step| step.attached.parts.iter().any(|used| self.missing_parts.contains(&used.part));
        Facts {
            steps: steps.len(),
            settled_steps: count(steps, |step| matches!(ticks.get(&step.id), Some(Tick::Done | Tick::Skipped))),
            specs: steps.iter().map(|step| step.attached.specs.len()).sum(),
            missing_specs: count(steps, |step| self.lacks_spec(step)),
            missing_parts: count(steps, lacks_part),
            missing_tools: count(steps, |step| lacks_tool(&step.attached.tools, self.tools)),
            loose_ends: left_by(self.loose_ends, steps).count(),
            rechecked: rechecked(card, steps, self.standing),
        }
    }

    /// A step that tightens needs a torque, and every spec that is attached needs a value.
    fn lacks_spec(&self, step: &Step) -> bool {
        let attached = || step.attached.specs.iter().filter_map(|spec| self.specs.get(spec));
        attached().any(|(_, trust)| *trust == Trust::Missing)
            || lacks_torque(step.facts.verb, attached().map(|(kind, _)| *kind))
    }
}

fn left_by<'a>(loose_ends: &'a [LooseEnd], steps: &[Step]) -> impl Iterator<Item = &'a LooseEnd> + use<'a> {
    let ours = ids(steps);
    loose_ends.iter().filter(move |end| end.step.as_ref().is_some_and(|step| ours.contains(step)))
}

fn count(steps: &[Step], wanted: impl Fn(&Step) -> bool) -> usize {
    steps.iter().filter(|step| wanted(step)).count()
}

/// A recheck proves what was done before it: a step that is ticked or opened again after it has to be looked at anew.
fn rechecked(card: CardId, steps: &[Step], standing: &[StandingOp]) -> bool {
    let (card, ours) = (card.to_string(), ids(steps));
    let is_tick = |op: &&StandingOp| matches!(op.act, Act::Tick(_)) && ours.contains(&op.subject_id);
    let last_tick = standing.iter().filter(is_tick).map(StandingOp::order).max();
    standing.iter().any(|op| matches!(op.act, Act::Recheck(_)) && op.subject_id == card && Some(op.order()) > last_tick)
}

fn ticks(steps: &[Step], standing: &[StandingOp]) -> HashMap<StepId, Tick> {
    let ours = ids(steps);
    standing
        .iter()
        .filter(|op| ours.contains(&op.subject_id))
        .filter_map(|op| match &op.act {
            Act::Tick(body) => Some((op.subject_id.parse().ok()?, body.state)),
            _ => None,
        })
        .collect()
}

fn ids(steps: &[Step]) -> HashSet<String> {
    steps.iter().map(|step| step.id.to_string()).collect()
}
