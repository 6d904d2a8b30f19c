//! The items of a car's road check, and which of them are due.

use crate::clock::Moment;
use crate::jobs::paper::Shelves;
use crate::sync::hlc::Hlc;
use crate::sync::wire::{Act, RoadBody, Seen, Tick};
use crate::trade::road::{Item, Phase, asked_by, due};
use crate::web::words;
use crate::work::store::StandingOp;
use crate::work::whole::WholeCar;
use serde::Serialize;
use std::collections::{BTreeMap, HashMap};

/// What is always said beside the list.
pub const CAUTION: (&str, &str) = (
    "This list is no statement that the car is safe or legal to drive.",
    "It is made from what was ticked only. Follow the maker’s manual and local rules, and have brakes, steering and what you are not sure of seen by a licensed workshop.",
);

/// An item with how it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RoadItem {
    pub key: String,
    pub say: String,
    pub due: bool,
    /// What was seen since it was asked last: `holds`, `fails` or `not-looked`.
    pub seen: Option<Seen>,
    /// The same in words, with the day.
    pub answered: String,
}

impl RoadItem {
    pub fn fails(&self) -> bool {
        self.seen == Some(Seen::Fails)
    }

    /// How a finding about it begins.
    pub fn finding(&self) -> String {
        format!("Road check, does not hold: {}", self.say)
    }
}

pub struct PhaseView {
    pub label: &'static str,
    pub code: &'static str,
    pub items: Vec<RoadItem>,
}

impl PhaseView {
    pub fn due(&self) -> usize {
        self.items.iter().filter(|item| item.due).count()
    }
}

pub struct RoadList {
    /// Phases with items only.
    pub phases: Vec<PhaseView>,
    /// The loose ends, while there are some: nothing can be answered then.
    pub blocked_by: Vec<String>,
}

impl RoadList {
    pub fn of(under: &WholeCar) -> RoadList {
        let asked = asked(under);
        let done: Vec<&StandingOp> = under.state.standing.iter().filter(|op| says_done(op)).collect();
        let mut latest: HashMap<&str, (&str, &str, &str)> = HashMap::new();
        let mut pairs = Vec::new();
        for op in done {
            let Some(keys) = asked.by_step.get(&op.subject_id) else { continue };
            for key in keys {
                pairs.push((op.order(), key.as_str()));
                let known = latest.entry(key).or_insert(op.order());
                *known = (*known).max(op.order());
            }
        }
        let answers: HashMap<&str, (&StandingOp, &RoadBody)> = under.state.standing.iter().filter_map(answer).collect();
        let holds = |key: &str| answers.get(key).filter(|(_, body)| body.seen == Seen::Holds).map(|(op, _)| op.order());
        let due = due(pairs, holds);
        let items = due.iter().filter_map(|(key, is_due)| {
            let item = asked.items.get(*key)?;
            let since = answers.get(key).filter(|(op, _)| latest.get(key).is_some_and(|asked| op.order() > *asked));
            Some((item, road_item(item, *is_due, since)))
        });
        RoadList {
            phases: by_phase(items),
            blocked_by: under.state.loose_ends.iter().map(|end| end.words.clone()).collect(),
        }
    }

    /// The item of this key, where it is asked.
    pub fn item(&self, key: &str) -> Option<&RoadItem> {
        self.phases.iter().flat_map(|phase| &phase.items).find(|item| item.key == key)
    }

    pub fn due(&self) -> usize {
        self.phases.iter().map(PhaseView::due).sum()
    }
}

fn says_done(op: &StandingOp) -> bool {
    matches!(&op.act, Act::Tick(body) if body.state == Tick::Done)
}

fn answer(op: &StandingOp) -> Option<(&str, (&StandingOp, &RoadBody))> {
    match &op.act {
        Act::Road(body) => Some((body.item.as_str(), (op, body))),
        _ => None,
    }
}

fn road_item(item: &Item, due: bool, since: Option<&(&StandingOp, &RoadBody)>) -> RoadItem {
    let at = |op: &StandingOp| op.hlc.parse::<Hlc>().map_or(Moment(0), Hlc::moment);
    RoadItem {
        key: item.key.clone(),
        say: item.say.clone(),
        due,
        seen: since.map(|(_, body)| body.seen),
        answered: since
            .map(|(op, body)| format!("{}, {}", words::capital(body.seen.label()), words::day_and_time(at(op))))
            .unwrap_or_default(),
    }
}

fn by_phase<'a>(items: impl Iterator<Item = (&'a Item, RoadItem)>) -> Vec<PhaseView> {
    let mut by_phase: BTreeMap<Phase, Vec<RoadItem>> = BTreeMap::new();
    for (item, view) in items {
        by_phase.entry(item.phase).or_default().push(view);
    }
    by_phase.into_iter().map(|(phase, items)| PhaseView { label: phase.label(), code: phase.name(), items }).collect()
}

/// What every step that stands on a card would ask, were it done. Steps that were taken away ask nothing.
struct Asked {
    items: BTreeMap<String, Item>,
    by_step: HashMap<String, Vec<String>>,
}

fn asked(under: &WholeCar) -> Asked {
    let state = &under.state;
    let shelves = Shelves::of(&state.specs, &state.parts);
    let mut found = Asked { items: BTreeMap::new(), by_step: HashMap::new() };
    for card in &state.cards {
        let paper = shelves.card(&card.card, &card.steps);
        for (step, on_paper) in card.steps.iter().zip(&paper.steps) {
            let items = asked_by(on_paper, paper.system);
            if items.is_empty() {
                continue;
            }
            found.by_step.insert(step.id.to_string(), items.iter().map(|item| item.key.clone()).collect());
            found.items.extend(items.into_iter().map(|item| (item.key.clone(), item)));
        }
    }
    found
}

/// `data-json="road"`: the items, and by step the places of those which it asks.
#[derive(Serialize)]
pub struct RoadJson {
    phases: Vec<(&'static str, &'static str)>,
    items: Vec<Item>,
    steps: BTreeMap<String, Vec<usize>>,
}

pub fn for_scripts(under: &WholeCar) -> RoadJson {
    let asked = asked(under);
    let places: HashMap<&str, usize> = asked.items.keys().enumerate().map(|(at, key)| (key.as_str(), at)).collect();
    let steps = asked
        .by_step
        .iter()
        .map(|(step, keys)| (step.clone(), keys.iter().filter_map(|key| places.get(key.as_str()).copied()).collect()));
    RoadJson {
        phases: Phase::ALL.iter().map(|phase| (phase.name(), phase.label())).collect(),
        steps: steps.collect(),
        items: asked.items.values().cloned().collect(),
    }
}
