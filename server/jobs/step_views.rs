//! What the template of a step's form shows.

use super::checked::{Checked, Compiled, ShownFinding};
use super::model::{Card, Step};
use super::step_form::{Deed, StepForm};
use super::trail::follow;
use super::views::{closes_words, opens_words};
use crate::ids::SpecId;
use crate::specs::book::is_found;
use crate::specs::model::Spec;
use crate::specs::shown::ShownSpec;
use crate::sync::wire::Tick;
use crate::trade::cautions::Caution;
use crate::trade::marks::Mark;
use crate::trade::nature::{Nature, nature_of};
use crate::trade::spec::System;
use crate::trade::steps::{AskKind, ObjectKind, Verb};
use crate::web::form::{Choice, Differs, Slips};
use crate::web::page::Page;
use crate::work::model::CarState;
use askama::Template;
use std::collections::BTreeMap;

/// Empty rows for parts at the end of the list.
const SPARE_ROWS: usize = 2;
/// A word of the object shorter than this suggests no spec: `the`, `end`.
const SHORTEST_HINT: usize = 4;
/// So many specs are suggested at most.
const MOST_HINTS: usize = 6;

/// A spec that can be attached.
pub struct SpecChoice {
    id: SpecId,
    shown: ShownSpec,
    chosen: bool,
}

/// The specs of one system that are neither chosen nor found.
pub struct SpecGroup {
    system: &'static str,
    specs: Vec<SpecChoice>,
}

/// One row of the parts list.
pub struct PartRow {
    number: usize,
    parts: Vec<Choice>,
    quantity: String,
}

/// A known caution that can be chosen.
pub struct CautionChoice {
    name: &'static str,
    label: &'static str,
    chosen: bool,
}

/// The step that the form is about; nothing where it is a new one.
struct Known {
    number: usize,
    rev: i64,
    opens: Vec<String>,
    closes: Vec<String>,
    findings: Vec<ShownFinding>,
    is_done: bool,
}

/// The form for a step.
#[derive(Template)]
#[template(path = "jobs/step.html")]
pub struct StepPage {
    page: Page,
    car_href: String,
    card_href: String,
    card_title: String,
    known: Option<Known>,
    action: String,
    form: StepForm,
    slips: Slips,
    differs: Option<Vec<Differs>>,
    verbs: Vec<Choice>,
    kinds: Vec<Choice>,
    asks: Vec<Choice>,
    /// What has a limit, by the name that its readings must have.
    measured: Vec<String>,
    marks: Vec<Choice>,
    natures: Vec<Choice>,
    /// What the thing's name is taken for; empty where no rule minds.
    taken_for: String,
    openings: Vec<String>,
    objects: Vec<String>,
    chosen_specs: Vec<SpecChoice>,
    found_specs: Vec<SpecChoice>,
    found_title: String,
    other_specs: Vec<SpecGroup>,
    part_rows: Vec<PartRow>,
    no_parts: bool,
    chosen_cautions: Vec<CautionChoice>,
    other_cautions: Vec<CautionChoice>,
    places: Vec<Choice>,
}

impl StepPage {
    /// `step` is `None` for a new one.
    pub fn new(
        page: Page,
        card: &Card,
        on_car: &CarState,
        step: Option<&Step>,
        form: StepForm,
        slips: Slips,
    ) -> StepPage {
        let card_href = format!("/cars/{}/cards/{}", card.car, card.id);
        let specs = SpecLists::new(on_car, &form);
        let (chosen_cautions, other_cautions) = caution_choices(&form);
        StepPage {
            page: page.script("card-editor"),
            car_href: format!("/cars/{}", card.car),
            card_title: card.facts.title.clone(),
            action: match step {
                Some(step) => format!("{card_href}/steps/{}", step.id),
                None => format!("{card_href}/steps"),
            },
            card_href,
            known: step.and_then(|step| known(on_car, card, step)),
            verbs: Verb::ALL.iter().map(|v| Choice::new(v.name(), v.label(), v.name() == form.verb)).collect(),
            kinds: ObjectKind::ALL
                .iter()
                .map(|kind| Choice::new(kind.name(), kind.label(), kind.name() == form.object_kind))
                .collect(),
            measured: on_car.limits.iter().map(|limit| limit.what.clone()).collect(),
            asks: AskKind::ALL
                .iter()
                .map(|kind| Choice::new(kind.name(), kind.label(), kind.name() == form.ask_kind))
                .collect(),
            marks: Mark::ALL
                .iter()
                .map(|mark| Choice::new(mark.name(), mark.label(), form.mark.iter().any(|name| name == mark.name())))
                .collect(),
            natures: Nature::ALL.iter().map(|is| Choice::new(is.name(), is.label(), is.name() == form.is)).collect(),
            taken_for: taken_for(&form),
            openings: openings(on_car, card),
            objects: objects(on_car),
            chosen_specs: specs.chosen,
            found_title: specs.found_title,
            found_specs: specs.found,
            other_specs: specs.others,
            part_rows: part_rows(on_car, &form),
            no_parts: on_car.parts.is_empty(),
            chosen_cautions,
            other_cautions,
            places: step.map(|step| places(on_car, card, step)).unwrap_or_default(),
            form,
            slips,
            differs: None,
        }
    }

    fn nature_hint(&self) -> String {
        match self.taken_for.as_str() {
            "" => "By its name it is nothing that a rule minds.".into(),
            taken_for => format!("By its name it is taken for: {taken_for}."),
        }
    }

    /// Tells what is there now, as the step was changed while the form was open.
    pub fn with_collision(mut self, differs: Vec<Differs>) -> StepPage {
        self.differs = Some(differs);
        self
    }
}

/// What the checker takes the thing for by its name.
fn taken_for(form: &StepForm) -> String {
    let kind = form.object_kind();
    kind.and_then(|kind| nature_of(kind, &form.object)).map(|is| is.label().to_owned()).unwrap_or_default()
}

/// The openings that this card speaks of: what a fluid may be filled through.
fn openings(on_car: &CarState, card: &Card) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for step in steps(on_car, card).iter().filter(|step| step.facts.object_kind == ObjectKind::Opening) {
        if !names.contains(&step.facts.object) {
            names.push(step.facts.object.clone());
        }
    }
    names
}

fn steps<'a>(on_car: &'a CarState, card: &Card) -> &'a [Step] {
    on_car.card(card.id).map_or(&[], |state| state.steps.as_slice())
}

fn known(on_car: &CarState, card: &Card, step: &Step) -> Option<Known> {
    let steps = steps(on_car, card);
    let at = steps.iter().position(|one| one.id == step.id)?;
    let effects = &follow(steps).effects[at];
    Some(Known {
        number: at + 1,
        rev: step.rev,
        opens: opens_words(effects),
        closes: closes_words(effects),
        findings: on_car
            .card(card.id)
            .map(|state| Checked::of(state, on_car, &Compiled::of(on_car, state)).of_step(step.id))
            .unwrap_or_default(),
        is_done: on_car.card(card.id).is_some_and(|state| state.tick(step.id) == Tick::Done),
    })
}

/// The places the step can be moved to, each named after the step that is there now.
fn places(on_car: &CarState, card: &Card, step: &Step) -> Vec<Choice> {
    let named = |(at, other): (usize, &Step)| {
        let label = format!("{}: {} {}", at + 1, other.facts.verb.label(), other.facts.object);
        Choice::new(format!("to:{}", at + 1), label, other.id == step.id)
    };
    steps(on_car, card).iter().enumerate().map(named).collect()
}

/// The names of things used on this car, each once whatever its case: the same name is the same thing.
fn objects(on_car: &CarState) -> Vec<String> {
    let mut names = BTreeMap::new();
    for step in on_car.cards.iter().flat_map(|card| &card.steps) {
        let name = step.facts.object.trim();
        if !name.is_empty() {
            names.entry(name.to_lowercase()).or_insert_with(|| name.to_owned());
        }
    }
    names.into_values().collect()
}

/// The car's specs, parted by how near they are to this step.
struct SpecLists {
    chosen: Vec<SpecChoice>,
    found: Vec<SpecChoice>,
    found_title: String,
    others: Vec<SpecGroup>,
}

impl SpecLists {
    fn new(on_car: &CarState, form: &StepForm) -> SpecLists {
        let is_chosen = |spec: &&Spec| form.spec.contains(&spec.id.to_string());
        let (chosen, rest): (Vec<&Spec>, Vec<&Spec>) = on_car.specs.iter().partition(is_chosen);
        let find = form.find.trim();
        let asked = form.deed() == Deed::Find && !find.is_empty();
        let hints = nearest(&rest, &form.object);
        let near = |spec: &&Spec| if asked { is_found(spec, find) } else { hints.contains(&spec.id) };
        let (mut found, others): (Vec<&Spec>, Vec<&Spec>) = rest.into_iter().partition(near);
        found.sort_by_key(|spec| hints.iter().position(|id| *id == spec.id));
        let found_title = match (asked, found.is_empty()) {
            (true, true) => format!("Nothing in the spec book is like ‘{find}’"),
            (true, false) => format!("Found for ‘{find}’"),
            (false, _) => "Perhaps".to_owned(),
        };
        let others = System::ALL
            .iter()
            .map(|system| SpecGroup {
                system: system.label(),
                specs: others
                    .iter()
                    .filter(|spec| spec.facts.system == *system)
                    .map(|spec| choice(spec, false))
                    .collect(),
            })
            .filter(|group| !group.specs.is_empty())
            .collect();
        SpecLists {
            chosen: chosen.into_iter().map(|spec| choice(spec, true)).collect(),
            found: found.into_iter().map(|spec| choice(spec, false)).collect(),
            found_title,
            others,
        }
    }
}

fn choice(spec: &Spec, chosen: bool) -> SpecChoice {
    SpecChoice { id: spec.id, shown: ShownSpec::from(spec), chosen }
}

/// The specs whose names share the most words with the name of the thing, nearest first.
fn nearest(specs: &[&Spec], object: &str) -> Vec<SpecId> {
    let best = specs.iter().map(|spec| shared_words(spec, object)).max().unwrap_or(0);
    let mut near: Vec<(usize, SpecId)> = specs
        .iter()
        .map(|spec| (shared_words(spec, object), spec.id))
        .filter(|(shared, _)| *shared > 0 && shared * 2 > best)
        .collect();
    near.sort_by_key(|(shared, _)| std::cmp::Reverse(*shared));
    near.into_iter().take(MOST_HINTS).map(|(_, id)| id).collect()
}

/// How many words of the thing's name stand in the spec's, a plural counting as its singular.
fn shared_words(spec: &Spec, object: &str) -> usize {
    let text = format!("{} {}", spec.facts.item, spec.facts.place).to_lowercase();
    object
        .to_lowercase()
        .split_whitespace()
        .filter(|word| word.chars().count() >= SHORTEST_HINT)
        .filter(|word| text.contains(word.trim_end_matches('s')))
        .count()
}

/// The rows typed so far, and a few empty ones; more of them when they were asked for.
fn part_rows(on_car: &CarState, form: &StepForm) -> Vec<PartRow> {
    let typed = form.part.iter().zip(&form.quantity).filter(|(part, _)| !part.is_empty());
    let mut rows: Vec<(String, String)> = typed.map(|(part, quantity)| (part.clone(), quantity.clone())).collect();
    let spare = if form.deed() == Deed::More { SPARE_ROWS * 3 } else { SPARE_ROWS };
    rows.extend(std::iter::repeat_n((String::new(), String::new()), spare));
    rows.into_iter()
        .enumerate()
        .map(|(at, (chosen, quantity))| PartRow {
            number: at + 1,
            parts: on_car
                .parts
                .iter()
                .map(|part| {
                    let id = part.id.to_string();
                    let label = format!("{} ({})", part.facts.name, part.facts.state.label());
                    let is_chosen = id == chosen;
                    Choice::new(id, label, is_chosen)
                })
                .collect(),
            quantity,
        })
        .collect()
}

fn caution_choices(form: &StepForm) -> (Vec<CautionChoice>, Vec<CautionChoice>) {
    let choice = |caution: &Caution| CautionChoice {
        name: caution.name(),
        label: caution.label(),
        chosen: form.caution.iter().any(|name| name == caution.name()),
    };
    Caution::ALL.iter().map(choice).partition(|caution| caution.chosen)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::CarId;
    use crate::specs::model::SpecFacts;
    use crate::trade::spec::Kind;

    fn spec(item: &str) -> Spec {
        let facts = SpecFacts {
            system: System::Driveline,
            item: item.into(),
            place: "rear axle".into(),
            kind: Kind::Torque,
            fastener: None,
            stages: Vec::new(),
            bolts: None,
            variant: String::new(),
            note: String::new(),
        };
        Spec { id: SpecId::new(), car: CarId::new(), facts, says: Vec::new(), holding: None, rev: 1 }
    }

    #[test]
    fn the_specs_that_share_the_most_words_with_the_thing_are_suggested_nearest_first() {
        let specs = [spec("Hub nut"), spec("Filler plug"), spec("Drain plug")];
        let all: Vec<&Spec> = specs.iter().collect();
        assert_eq!(nearest(&all, "rear axle DRAIN plugs"), [specs[2].id, specs[1].id]);
        assert_eq!(nearest(&all, "wiper arm"), []);
        assert_eq!(nearest(&all, ""), []);
    }
}
