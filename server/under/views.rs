//! What the phone's pages show.

use super::figures::SpecView;
use super::guard::REASONS;
use super::live::{self, ItemView};
use super::looks::{self, LooksForm};
use super::step::{StepView, card_steps, first_open, units_of};
use super::survey::Top;
use crate::cars::store::Car;
use crate::error::AppError;
use crate::ids::{CarId, CardId};
use crate::jobs::model::StepEffect;
use crate::jobs::views::condition_code;
use crate::readings::model::{Limit, key_of};
use crate::readings::phone::limits_json;
use crate::survey::list::SurveyList;
use crate::survey::routes::Walk;
use crate::sync::wire::{Act, Weight};
use crate::trade::condition::{Condition, Facts};
use crate::trade::fluid::{Colour, Particles, Smell};
use crate::trade::quantity::{Dimension, Unit};
use crate::trade::symptom::{Heat, Load, SymptomKind};
use crate::web::page::Page;
use crate::web::words::{self, capital};
use crate::work::model::CardState;
use crate::work::store::Done;
use crate::work::whole::WholeCar;
use askama::Template;
use serde_json::json;
use std::collections::HashSet;

/// How many things noted on a car the pages carry.
const LATELY: usize = 40;
/// How many entries of the ranked list stand on the car's page.
const FIRST_FOUND: usize = 3;

/// A form that could not be taken: what was wrong with it, and what had been typed.
#[derive(Debug, Clone, Default)]
pub struct Trouble {
    pub say: String,
    /// The kind of form: `note`, `finding`, `reading`, `odometer`, `undid`, `recheck`.
    pub form: &'static str,
    pub step: String,
    pub text: String,
    pub place: String,
    pub number: String,
    pub unit: String,
    /// Of a look at a fluid: what was chosen.
    pub chosen: [String; 4],
}

impl Trouble {
    /// What was typed into a field of this form, else nothing.
    fn typed<'a>(&'a self, form: &str, step: &str, field: &'a str) -> &'a str {
        if self.form == form && self.step == step { field } else { "" }
    }

    pub fn number_in(&self, form: &str, step: &str) -> &str {
        self.typed(form, step, &self.number)
    }

    pub fn text_in(&self, form: &str, step: &str) -> &str {
        self.typed(form, step, &self.text)
    }

    pub fn place_in(&self, form: &str, step: &str) -> &str {
        self.typed(form, step, &self.place)
    }

    /// Whether this was chosen of a fluid, where something was.
    pub fn chose_look(&self, name: &str) -> bool {
        self.form == "fluid-look" && self.chosen.iter().any(|chosen| chosen == name)
    }

    /// Whether this unit was chosen, where one was.
    pub fn chose(&self, form: &str, step: &str, unit: &str) -> bool {
        self.typed(form, step, &self.unit) == unit
    }
}

/// A card in the list of cards.
pub struct CardRow {
    pub id: String,
    pub title: String,
    pub why: String,
    pub code: &'static str,
    pub word: &'static str,
    pub progress: String,
    pub minutes: String,
    pub facts: Facts,
}

fn card_row(state: &CardState) -> CardRow {
    let facts = state.facts;
    CardRow {
        id: state.card.id.to_string(),
        title: state.card.facts.title.clone(),
        why: state.card.facts.why.clone(),
        code: condition_code(state.condition),
        word: state.condition.label(),
        progress: format!("{} of {} settled", facts.settled_steps, words::count(facts.steps, "step", "steps")),
        minutes: state.card.facts.minutes.map(|m| words::minutes(m.likely)).unwrap_or_default(),
        facts,
    }
}

#[derive(Template)]
#[template(path = "under/card.html")]
pub struct CardPage {
    page: Page,
    car: String,
    card: CardRow,
    steps: Vec<StepView>,
    /// What was seen when it was looked at again, newest first.
    rechecks: Vec<ItemView>,
    trouble: Trouble,
    /// Why one may go on past a guard.
    reasons: [&'static str; 4],
    card_json: String,
    effects_json: String,
    ops_json: String,
    units_json: &'static str,
    limits_json: String,
}

impl CardPage {
    pub fn of(page: Page, under: &WholeCar, card: CardId, trouble: Trouble) -> Result<CardPage, AppError> {
        let state = under.state.card(card).ok_or(AppError::NotFound("such job card"))?;
        let steps = card_steps(under, state);
        let near = live::effects_near(&under.state.effects, card);
        let near_steps: HashSet<String> = near.iter().map(|one| one.step.to_string()).collect();
        let limits = asked_limits(under, state);
        let bears = |done: &Done| bears_on(done, &near_steps) || is_held(done, &limits);
        let ours = under.done.iter().filter(|done| done.card == Some(card) || bears(done));
        let rechecks = under.done.iter().filter(|done| done.applied && is_recheck(done, card));
        let here = format!("/under/{}/cards/{card}", under.car.id);
        Ok(CardPage {
            page: page.script("card").under_car(under.car.id, &under.car.name, Some(here), "card"),
            car: under.car.id.to_string(),
            card: card_row(state),
            rechecks: live::items(rechecks),
            card_json: live::for_script(&card_json(under.car.id, state))?,
            effects_json: live::for_script(&live::effects(near, Some(card)))?,
            ops_json: live::for_script(&live::ops(under.car.id, ours))?,
            units_json: live::UNITS.as_str(),
            limits_json: live::for_script(&limits_json(limits.iter().copied()))?,
            steps,
            trouble,
            reasons: REASONS,
        })
    }

    fn counts_bolts(&self) -> bool {
        self.steps.iter().any(|step| step.bolts.is_some())
    }

    fn settled(&self) -> usize {
        self.steps.iter().filter(|step| matches!(step.state, "done" | "skip")).count()
    }

    fn states(&self) -> Vec<&'static str> {
        self.steps.iter().map(|step| step.state).collect()
    }
}

/// The limits of what the steps of a card ask to be read off.
fn asked_limits<'a>(under: &'a WholeCar, state: &CardState) -> Vec<&'a Limit> {
    let asked: HashSet<String> =
        state.steps.iter().filter_map(|step| step.facts.asks.as_ref()).map(|ask| key_of(&ask.what)).collect();
    under.state.limits.iter().filter(|limit| asked.contains(&limit.key)).collect()
}

/// Whether it is a reading that one of these limits is for: the phone says how the last one stands.
fn is_held(done: &Done, limits: &[&Limit]) -> bool {
    let Act::Reading(body) = &done.act else { return false };
    let key = key_of(&body.what);
    limits.iter().any(|limit| limit.part(&key).is_some())
}

/// Whether something done elsewhere has a say in what is loose by these steps.
fn bears_on(done: &Done, near_steps: &HashSet<String>) -> bool {
    matches!(done.act, Act::Closed(_) | Act::Undid(_))
        || matches!(done.act, Act::Tick(_)) && near_steps.contains(&done.subject_id)
}

fn is_recheck(done: &Done, card: CardId) -> bool {
    done.card == Some(card) && matches!(done.act, Act::Recheck(_))
}

/// `data-json="card"`: what its steps open, close and ask.
fn card_json(car: CarId, state: &CardState) -> serde_json::Value {
    let steps: Vec<_> = state
        .steps
        .iter()
        .map(|step| {
            let compiled = step.compiled();
            let asks: Vec<_> = step
                .facts
                .asks
                .iter()
                .map(|ask| {
                    let units: Vec<_> = units_of(ask.kind)
                        .into_iter()
                        .map(|(code, name)| json!({ "code": code, "name": name }))
                        .collect();
                    json!({ "what": ask.what, "kind": ask.kind, "units": units })
                })
                .collect();
            json!({ "id": step.id, "opens": compiled.opens, "closes": compiled.closes, "asks": asks })
        })
        .collect();
    json!({ "car": car, "card": state.card.id, "title": state.card.facts.title, "steps": steps })
}

#[derive(Template)]
#[template(path = "under/car.html")]
pub struct CarPage {
    page: Page,
    car: Car,
    cards: Vec<CardRow>,
    loose: usize,
    /// What is due soon, a line each.
    soon: Vec<String>,
    /// Where to go on: address and words.
    go_on: Option<(String, String)>,
    /// What comes first of all that was found.
    top: Top,
    survey: String,
    effects_json: String,
    ops_json: String,
}

impl CarPage {
    pub fn of(page: Page, under: &WholeCar, walk: &Walk) -> Result<CarPage, AppError> {
        let id = under.car.id;
        let list = SurveyList::of(&walk.known, under, walk.today);
        let state_ops = under.done.iter().filter(|done| shapes_state(done));
        Ok(CarPage {
            page: page.script("car").under_car(id, &under.car.name, None, "card"),
            car: under.car.clone(),
            cards: under.state.cards.iter().map(card_row).collect(),
            loose: under.state.loose_ends.len(),
            soon: crate::upkeep::views::soon(&under.upkeep),
            go_on: go_on(under),
            top: Top::of(&list, walk, FIRST_FOUND),
            survey: format!("{} of {} answered", list.whole.answered, list.whole.asked),
            effects_json: live::for_script(&live::effects(under.state.effects.iter(), None))?,
            ops_json: live::for_script(&live::ops(id, state_ops))?,
        })
    }
}

/// The operations from which ticks, conditions, the ledger and the road check follow.
pub(super) fn shapes_state(done: &Done) -> bool {
    matches!(done.act, Act::Tick(_) | Act::Undid(_) | Act::Closed(_) | Act::Recheck(_) | Act::Road(_) | Act::Night(_))
}

/// Where the work stands: the card that is apart, else one begun, else the first that can be begun.
fn go_on(under: &WholeCar) -> Option<(String, String)> {
    let open = |state: &&CardState| first_open(state).is_some();
    let cards = || under.state.cards.iter().filter(open);
    let chosen = cards()
        .find(|state| state.condition == Condition::Apart)
        .or_else(|| cards().find(|state| state.facts.settled_steps > 0))
        .or_else(|| cards().find(|state| state.condition == Condition::Ready))
        .or_else(|| cards().next())?;
    let step = first_open(chosen)?;
    let n = 1 + chosen.steps.iter().position(|known| known.id == step)?;
    let (car, card) = (under.car.id, chosen.card.id);
    let begun = if chosen.facts.settled_steps > 0 { "Go on" } else { "Begin" };
    Some((format!("/under/{car}/cards/{card}#step-{n}"), format!("{begun}: step {n} of {}", chosen.card.facts.title)))
}

/// The specs of one system.
pub struct SpecGroup {
    pub system: &'static str,
    pub specs: Vec<SpecView>,
}

#[derive(Template)]
#[template(path = "under/specs.html")]
pub struct SpecsPage {
    page: Page,
    car: Car,
    groups: Vec<SpecGroup>,
    wanted: String,
}

impl SpecsPage {
    /// `wanted` narrows the list, for who looks without scripts.
    pub fn of(page: Page, under: &WholeCar, wanted: &str) -> SpecsPage {
        let wanted = wanted.trim();
        let lower = wanted.to_lowercase();
        let mut groups: Vec<SpecGroup> = Vec::new();
        for spec in under.state.specs.iter().map(|spec| SpecView::of(spec).with_wrench(spec, &under.wrenches)) {
            if !lower.split_whitespace().all(|word| spec.search.contains(word)) {
                continue;
            }
            match groups.last_mut().filter(|group| group.system == spec.system) {
                Some(group) => group.specs.push(spec),
                None => groups.push(SpecGroup { system: spec.system, specs: vec![spec] }),
            }
        }
        SpecsPage {
            page: page.script("specs").under_car(under.car.id, &under.car.name, None, "specs"),
            car: under.car.clone(),
            groups,
            wanted: wanted.to_owned(),
        }
    }

    fn count(&self) -> usize {
        self.groups.iter().map(|group| group.specs.len()).sum()
    }
}

/// The units of one dimension, in a form.
pub struct UnitGroup {
    pub label: String,
    pub units: Vec<(&'static str, &'static str)>,
}

fn unit_groups() -> Vec<UnitGroup> {
    let label = |dimension: Dimension| {
        let code = dimension.code();
        code[..1].to_uppercase() + &code[1..]
    };
    let mut groups: Vec<UnitGroup> = Dimension::ALL
        .into_iter()
        .map(|dimension| UnitGroup {
            label: label(dimension),
            units: Unit::all(dimension).into_iter().map(|unit| (unit.code(), unit.name())).collect(),
        })
        .collect();
    groups.push(UnitGroup { label: "Count".into(), units: vec![("count", "pieces")] });
    groups
}

#[derive(Template)]
#[template(path = "under/note.html")]
pub struct NotePage {
    page: Page,
    car: String,
    /// Id and title.
    cards: Vec<(String, String)>,
    weights: Vec<(&'static str, &'static str)>,
    units: Vec<UnitGroup>,
    looks: LooksForm,
    symptom: SymptomChoices,
    items: Vec<ItemView>,
    trouble: Trouble,
    ops_json: String,
    units_json: &'static str,
    looks_json: &'static str,
    limits_json: String,
    /// Names that have a limit.
    measured: Vec<String>,
}

impl NotePage {
    pub fn of(page: Page, under: &WholeCar, trouble: Trouble) -> Result<NotePage, AppError> {
        let id = under.car.id;
        let noted: Vec<&Done> =
            under.done.iter().filter(|done| !shapes_state(done) && !matches!(done.act, Act::Bolt(_))).collect();
        let lately = &noted[noted.len().saturating_sub(LATELY)..];
        let limits: Vec<&Limit> = under.state.limits.iter().collect();
        let before = noted[..noted.len() - lately.len()].iter().copied();
        // The time of each card is summed up on the phone.
        let older = before.filter(|done| is_held(done, &limits) || matches!(done.act, Act::Time(_)));
        let weights = [Weight::Act, Weight::Watch, Weight::Fine, Weight::Unknown];
        Ok(NotePage {
            page: page.script("note").under_car(id, &under.car.name, None, "note"),
            car: id.to_string(),
            cards: under
                .state
                .cards
                .iter()
                .map(|state| (state.card.id.to_string(), state.card.facts.title.clone()))
                .collect(),
            weights: weights.into_iter().map(|weight| (weight.name(), live::weight_word(weight))).collect(),
            units: unit_groups(),
            looks: LooksForm::of(&under.state.specs),
            symptom: SymptomChoices::all(),
            items: live::items(lately.iter().copied()),
            trouble,
            ops_json: live::for_script(&live::ops(id, older.chain(lately.iter().copied())))?,
            limits_json: live::for_script(&limits_json(&under.state.limits))?,
            measured: under.state.limits.iter().flat_map(Limit::names).collect(),
            units_json: live::UNITS.as_str(),
            looks_json: looks::NAMES.as_str(),
        })
    }
}

/// What can be chosen of a symptom: name and label.
struct SymptomChoices {
    kinds: Vec<(&'static str, String)>,
    heats: Vec<(&'static str, String)>,
    loads: Vec<(&'static str, String)>,
}

impl SymptomChoices {
    fn all() -> SymptomChoices {
        SymptomChoices {
            kinds: SymptomKind::ALL.iter().map(|one| (one.name(), capital(one.label()))).collect(),
            heats: Heat::ALL.iter().map(|one| (one.name(), capital(one.label()))).collect(),
            loads: Load::ALL.iter().map(|one| (one.name(), capital(one.label()))).collect(),
        }
    }
}

#[derive(Template)]
#[template(path = "under/choose.html")]
pub struct ChoosePage {
    page: Page,
    cars: Vec<Car>,
}

impl ChoosePage {
    pub fn of(page: Page, cars: Vec<Car>) -> ChoosePage {
        ChoosePage { page: page.script("choose"), cars }
    }
}

#[derive(Template)]
#[template(path = "under/waiting.html")]
pub struct WaitingPage {
    page: Page,
    /// Words of every step, so that a tick can be named: id → card and words.
    names_json: String,
    units_json: &'static str,
    looks_json: &'static str,
}

impl WaitingPage {
    pub fn of(page: Page, effects: &[StepEffect]) -> Result<WaitingPage, AppError> {
        let names: std::collections::BTreeMap<String, _> = effects
            .iter()
            .map(|one| (one.step.to_string(), json!({ "card": one.card_title, "words": one.words, "n": one.number })))
            .collect();
        Ok(WaitingPage {
            page: page.script("waiting"),
            names_json: live::for_script(&names)?,
            units_json: live::UNITS.as_str(),
            looks_json: looks::NAMES.as_str(),
        })
    }
}
