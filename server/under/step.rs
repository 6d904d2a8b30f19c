//! A step as it is read under the car: what must be known before, while and after it is done.

use super::bolts::BoltsPanel;
use super::figures::{Amount, SpecView};
use super::guard::{GuardView, PassedView, guards_of, passed_at};
use super::live::{self, ItemView};
use super::looks;
use crate::chest::tools::asked::AskedTool;
use crate::ids::{PartId, SpecId, StepId};
use crate::jobs::model::{Step, StepPart};
use crate::jobs::views::ShownCaution;
use crate::readings::model::{Limit, key_of};
use crate::readings::series::{Thing, things};
use crate::readings::views::Told;
use crate::shelf::store::Part;
use crate::specs::shown::ShownHolding;
use crate::sync::wire::{Act, Tick};
use crate::trade::quantity::Unit;
use crate::trade::spec::Kind;
use crate::trade::steps::{Ask, AskKind, lacks_torque};
use crate::web::words::{self, capital};
use crate::work::bolts::StepBolts;
use crate::work::model::CardState;
use crate::work::store::StandingOp;
use crate::work::whole::WholeCar;
use std::collections::{HashMap, HashSet};

pub struct PartView {
    pub words: String,
    pub state: &'static str,
    pub missing: bool,
}

pub struct AskView {
    pub what: String,
    /// Code and name of each unit.
    pub units: Vec<(&'static str, &'static str)>,
    /// Name and words of each cylinder or cell, where the limit compares several; none: it is one reading.
    pub parts: Vec<(String, String)>,
    /// It has a limit.
    pub judged: bool,
    /// How the last reading stands.
    pub verdict: Option<Told>,
}

fn ask_view(ask: &Ask, things: &[Thing<'_>]) -> AskView {
    let key = key_of(&ask.what);
    let thing = things.iter().find(|thing| thing.key == key && thing.limit.is_some());
    let limit = thing.and_then(|thing| thing.limit);
    let names = limit.filter(|limit| limit.names().len() > 1).map(Limit::names).unwrap_or_default();
    let part = |name: String| {
        (name.clone(), capital(name[limit.map_or(0, |limit| limit.what.len())..].trim_start_matches(", ")))
    };
    AskView {
        what: ask.what.clone(),
        units: units_of(ask.kind),
        parts: names.into_iter().map(part).collect(),
        judged: limit.is_some(),
        verdict: thing.filter(|thing| !thing.taken.is_empty()).and_then(Thing::verdict).as_ref().map(Told::of),
    }
}

pub(super) fn units_of(kind: AskKind) -> Vec<(&'static str, &'static str)> {
    match kind.dimension() {
        Some(dimension) => Unit::all(dimension).into_iter().map(|unit| (unit.code(), unit.name())).collect(),
        None => vec![("count", "pieces")],
    }
}

pub struct StepView {
    pub id: String,
    pub n: usize,
    pub verb: &'static str,
    pub words: String,
    pub detail: String,
    /// `done`, `skip`, `now` or `todo`
    pub state: &'static str,
    /// `done`, `skipped` or `open`
    pub tick: &'static str,
    /// What was ticked and when; empty while it is open.
    pub ticked: String,
    pub specs: Vec<SpecView>,
    /// Something is to be tightened and nobody has said how far.
    pub lacks_torque: bool,
    pub cautions: Vec<ShownCaution>,
    pub tools: Vec<AskedTool>,
    pub parts: Vec<PartView>,
    pub opens: Vec<String>,
    pub closes: Vec<String>,
    pub ask: Option<AskView>,
    /// Where a fluid is seen: the fluid that may be looked at, as the page Note it takes it.
    pub look: String,
    pub items: Vec<ItemView>,
    /// Broken guards of the step that is next; the others are asked when they are ticked.
    pub guards: Vec<GuardView>,
    pub passed: Vec<PassedView>,
    /// Of a step that tightens by a picture.
    pub bolts: Option<BoltsPanel>,
}

impl StepView {
    /// The first spec in one line, for the list.
    pub fn figure(&self) -> Option<&Amount> {
        self.specs.first().and_then(|spec| spec.amount.as_ref())
    }

    pub fn has_more(&self) -> bool {
        self.specs.iter().any(SpecView::has_more)
    }

    /// The word for its first spec where that is not known to be for this car.
    pub fn not_ours(&self) -> Option<&ShownHolding> {
        self.specs.first().and_then(SpecView::doubt)
    }

    pub fn in_doubt(&self) -> bool {
        self.specs.iter().any(|spec| spec.open)
    }

    /// The mark of how it stands.
    pub fn tick_mark(&self) -> &'static str {
        match self.tick {
            "skipped" => "skip",
            "done" => "done",
            _ => "todo",
        }
    }

    /// How it stands, in words.
    pub fn tick_words(&self) -> &str {
        if self.ticked.is_empty() { "Not done yet" } else { &self.ticked }
    }

    /// Its figures as they are said: every source's where they disagree.
    pub fn said(&self) -> String {
        let line = |spec: &SpecView| format!("{}: {}.", spec.item, spec.said().join(", or "));
        self.specs.iter().map(line).collect::<Vec<_>>().join(" ")
    }

    /// A part it needs is not here: not to be ticked without a second thought. What else speaks against it, its guards say.
    pub fn lacks_part(&self) -> bool {
        self.parts.iter().any(|part| part.missing)
    }

    pub fn state_word(&self) -> &str {
        match self.state {
            "now" => "This is the step now",
            "todo" => "To do",
            _ => &self.ticked,
        }
    }
}

/// What looking things up takes while the steps of a card are drawn.
struct Shelf<'a> {
    specs: HashMap<SpecId, (Kind, SpecView)>,
    parts: HashMap<PartId, &'a Part>,
    ticked: HashMap<String, String>,
    closed_words: HashMap<&'a str, &'a str>,
    items: HashMap<String, Vec<ItemView>>,
    /// What is measured and has a limit.
    things: Vec<Thing<'a>>,
    under: &'a WholeCar,
}

impl<'a> Shelf<'a> {
    /// Only what `steps` need: most of a car is on other cards.
    fn of(under: &'a WholeCar, steps: &[Step]) -> Shelf<'a> {
        let state = &under.state;
        let ids: HashSet<String> = steps.iter().map(|step| step.id.to_string()).collect();
        let wanted: HashSet<SpecId> = steps.iter().flat_map(|step| &step.attached.specs).copied().collect();
        let specs = state.specs.iter().filter(|spec| wanted.contains(&spec.id));
        let standing = state.standing.iter().filter(|op| ids.contains(&op.subject_id));
        let opened = state.effects.iter().flat_map(|effect| &effect.compiled.opens);
        let items = ids.iter().map(|id| (id.clone(), live::items(under.done_on(id).into_iter()))).collect();
        Shelf {
            specs: specs
                .map(|spec| (spec.id, (spec.facts.kind, SpecView::of(spec).with_wrench(spec, &under.wrenches))))
                .collect(),
            parts: state.parts.iter().map(|part| (part.id, part)).collect(),
            ticked: standing.filter_map(ticked).collect(),
            closed_words: opened.map(|opened| (opened.key.as_str(), opened.words.as_str())).collect(),
            items,
            things: if state.limits.is_empty() { Vec::new() } else { things(&under.done, &state.limits) },
            under,
        }
    }

    /// What closing a key ends, in the words in which it is opened somewhere.
    fn closes(&self, key: &str) -> String {
        let object = key.split_once(':').map_or(key, |(_, object)| object);
        self.closed_words.get(key).map_or_else(|| object.to_owned(), |words| (*words).to_owned())
    }

    fn kinds(&self, attached: &[SpecId]) -> impl Iterator<Item = Kind> {
        attached.iter().filter_map(|spec| self.specs.get(spec)).map(|(kind, _)| *kind)
    }

    fn part(&self, wanted: &StepPart) -> Option<PartView> {
        let part = self.parts.get(&wanted.part)?;
        let times = if wanted.quantity == "1" { String::new() } else { format!("{} × ", wanted.quantity) };
        Some(PartView {
            words: format!("{times}{}", part.facts.name),
            state: part.facts.state.label(),
            missing: part.facts.state.is_missing(),
        })
    }
}

fn ticked(op: &StandingOp) -> Option<(String, String)> {
    let Act::Tick(body) = &op.act else { return None };
    let word = match body.state {
        Tick::Done => "Done",
        Tick::Skipped => "Left out",
        Tick::Open => return None,
    };
    Some((op.subject_id.clone(), format!("{word} {}", words::day_and_time(live::moment(&op.hlc)))))
}

/// A spec on its step, beside the counter where its bolts are counted.
fn beside(id: SpecId, (_, view): &(Kind, SpecView), bolts: Option<&BoltsPanel>) -> SpecView {
    let is_counted = bolts.is_some_and(|panel| panel.bolts.view.spec == id);
    if is_counted { view.clone().counted() } else { view.clone() }
}

fn step_view(shelf: &Shelf<'_>, state: &CardState, step: &Step, n: usize, now: Option<StepId>) -> StepView {
    let compiled = step.compiled();
    let tick = state.tick(step.id);
    let id = step.id.to_string();
    let attached = &step.attached;
    let bolts = StepBolts::of(&shelf.under.state, step).map(BoltsPanel::of);
    StepView {
        n,
        verb: step.facts.verb.label(),
        words: step.facts.words.clone(),
        detail: step.facts.detail.clone(),
        state: match tick {
            Tick::Done => "done",
            Tick::Skipped => "skip",
            Tick::Open if now == Some(step.id) => "now",
            Tick::Open => "todo",
        },
        tick: tick.name(),
        ticked: shelf.ticked.get(&id).cloned().unwrap_or_default(),
        specs: attached
            .specs
            .iter()
            .filter_map(|spec| Some(beside(*spec, shelf.specs.get(spec)?, bolts.as_ref())))
            .collect(),
        lacks_torque: lacks_torque(step.facts.verb, shelf.kinds(&attached.specs)),
        cautions: attached.cautions.iter().map(|text| ShownCaution::of(text)).collect(),
        tools: AskedTool::all(&attached.tools, &shelf.under.state.tools),
        parts: attached.parts.iter().filter_map(|part| shelf.part(part)).collect(),
        opens: compiled.opens.into_iter().map(|opened| opened.words).collect(),
        closes: compiled.closes.iter().map(|key| shelf.closes(key)).collect(),
        ask: step.facts.asks.as_ref().map(|ask| ask_view(ask, &shelf.things)),
        look: looks::at_step(&shelf.under.state, step),
        items: shelf.items.get(&id).cloned().unwrap_or_default(),
        guards: if now == Some(step.id) { guards_of(shelf.under, step.id) } else { Vec::new() },
        passed: passed_at(shelf.under, step.id),
        bolts,
        id,
    }
}

/// The steps of a card as they are shown, in order.
pub fn card_steps(under: &WholeCar, state: &CardState) -> Vec<StepView> {
    let shelf = Shelf::of(under, &state.steps);
    let now = first_open(state);
    (1..).zip(&state.steps).map(|(n, step)| step_view(&shelf, state, step, n, now)).collect()
}

/// The first step of a card that nobody has settled.
pub(super) fn first_open(state: &CardState) -> Option<StepId> {
    state.steps.iter().map(|step| step.id).find(|step| state.tick(*step) == Tick::Open)
}
