//! A job card out of a pattern: steps with all that hangs on them, the car's own specs and parts attached.

use super::suits::{part_for, specs_for};
use super::text::{Filled, Pattern, PatternSpec, PatternStep};
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{CarId, CardId, PartId, SpecId, StepId};
use crate::jobs::model::{Attached, CardFacts, Minutes, StepFacts, StepPart};
use crate::jobs::store as jobs;
use crate::shelf::store::{self as shelf, PartFacts};
use crate::specs::model::{Spec, SpecFacts};
use crate::specs::store as specs;
use std::collections::BTreeMap;

/// As long as the form of a card takes.
const LONGEST_WHY: usize = 2000;

/// Makes the card at the end of the car's order, with the specs that the book lacks (without a value) and the parts that
/// the buy list lacks (wanted).
pub async fn make(
    tx: &mut WriteTx,
    car: CarId,
    pattern: &Pattern,
    chosen: &BTreeMap<String, String>,
) -> Result<CardId, AppError> {
    let filled = pattern.fill(chosen);
    let found = find_specs(tx, car, &filled).await?;
    let parts = find_parts(tx, car, &filled).await?;
    let [low, likely, high] = filled.minutes;
    let facts = CardFacts {
        title: filled.title.clone(),
        system: filled.system,
        why: why(pattern, &filled, &found),
        minutes: Some(Minutes { low, likely, high }),
        helper: filled.helper,
    };
    let card = CardId::new();
    jobs::add_card(tx, car, card, &facts).await?;
    for step in &filled.steps {
        let id = StepId::new();
        jobs::add_step(tx, card, id, &step_facts(step)).await?;
        jobs::attach(tx, card, id, &attached(&filled, step, &found, &parts)).await?;
    }
    Ok(card)
}

/// A spec that a pattern asks for: the one taken, and what else would fit.
struct FoundSpec {
    id: SpecId,
    taken: String,
    others: Vec<String>,
    made: bool,
}

fn name_of(item: &str, place: &str) -> String {
    if place.is_empty() { item.to_owned() } else { format!("{item}, {place}") }
}

async fn find_specs(tx: &mut WriteTx, car: CarId, filled: &Filled) -> Result<Vec<FoundSpec>, AppError> {
    let mut book = specs::of_car(tx, car).await?;
    let mut found = Vec::new();
    for wanted in &filled.specs {
        let names: Vec<(SpecId, String)> = specs_for(wanted, &book)
            .iter()
            .map(|spec| (spec.id, name_of(&spec.facts.item, &spec.facts.place)))
            .collect();
        let mut names = names.into_iter();
        found.push(match names.next() {
            Some((id, taken)) => FoundSpec { id, taken, others: names.map(|(_, name)| name).collect(), made: false },
            None => {
                let (id, facts) = (SpecId::new(), spec_facts(filled, wanted));
                specs::add(tx, car, id, &facts).await?;
                let taken = name_of(&facts.item, &facts.place);
                book.push(Spec { id, car, facts, says: Vec::new(), holding: None, rev: 1 });
                FoundSpec { id, taken, others: Vec::new(), made: true }
            }
        });
    }
    Ok(found)
}

fn spec_facts(filled: &Filled, wanted: &PatternSpec) -> SpecFacts {
    SpecFacts {
        system: filled.system,
        item: wanted.item.clone(),
        place: wanted.place.clone(),
        kind: wanted.kind,
        fastener: None,
        stages: Vec::new(),
        bolts: None,
        variant: String::new(),
        note: String::new(),
    }
}

async fn find_parts(tx: &mut WriteTx, car: CarId, filled: &Filled) -> Result<Vec<PartId>, AppError> {
    let shelf = shelf::of_car(tx, car).await?;
    let mut found = Vec::new();
    for wanted in &filled.parts {
        if let Some(known) = part_for(wanted, &shelf) {
            found.push(known.id);
            continue;
        }
        let id = PartId::new();
        let facts = PartFacts { quantity: wanted.quantity.clone(), ..PartFacts::wanted(&wanted.name) };
        shelf::add(tx, car, id, &facts, None).await?;
        found.push(id);
    }
    Ok(found)
}

fn step_facts(step: &PatternStep) -> StepFacts {
    StepFacts {
        verb: step.verb,
        object_kind: step.kind,
        object: step.object.clone(),
        words: step.words.clone(),
        detail: step.detail.clone(),
        asks: step.ask.clone(),
        marks: step.marks.clone(),
    }
}

fn attached(filled: &Filled, step: &PatternStep, specs: &[FoundSpec], parts: &[PartId]) -> Attached {
    Attached {
        specs: step.specs.iter().map(|at| specs[*at].id).collect(),
        parts: step.parts.iter().map(|at| StepPart { part: parts[*at], quantity: share(filled, *at) }).collect(),
        tools: step.tools.clone(),
        cautions: step.cautions.clone(),
    }
}

/// How much of a part one of its steps takes: one each, where there are as many as steps; else as the pattern says.
fn share(filled: &Filled, part: usize) -> String {
    let steps = filled.steps.iter().filter(|step| step.parts.contains(&part)).count();
    let quantity = &filled.parts[part].quantity;
    if quantity.trim() == steps.to_string() { "1".into() } else { quantity.clone() }
}

/// What the pattern is for, where the card comes from, and what somebody has to look at.
fn why(pattern: &Pattern, filled: &Filled, found: &[FoundSpec]) -> String {
    let mut lines = vec![filled.about.clone(), format!("Made from the pattern ‘{}’.", pattern.key)];
    for spec in found.iter().filter(|spec| !spec.others.is_empty()) {
        let others = spec.others.iter().map(|name| format!("‘{name}’")).collect::<Vec<_>>().join(", ");
        lines.push(format!(
            "More than one spec fits: ‘{}’ is attached, and {others} would fit too. See which is meant.",
            spec.taken
        ));
    }
    let made: Vec<String> = found.iter().filter(|spec| spec.made).map(|spec| format!("‘{}’", spec.taken)).collect();
    if !made.is_empty() {
        lines.push(format!("Not in the spec book yet, entered without a value: {}.", made.join(", ")));
    }
    let mut why = String::new();
    for line in lines {
        if why.chars().count() + line.chars().count() < LONGEST_WHY {
            why = if why.is_empty() { line } else { format!("{why}\n{line}") };
        }
    }
    why
}
