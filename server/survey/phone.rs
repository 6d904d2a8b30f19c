//! The questions as data for the pages under the car: each text once, however many questions share it.

use super::library::Known;
use super::limits::limit_for;
use crate::readings::model::{Limit, key_of};
use crate::trade::quantity::Unit;
use crate::trade::steps::AskKind;
use crate::trade::survey::{Area, Question};
use serde_json::{Map, Value, json};
use std::collections::HashSet;

/// `data-json="survey"`. `ranked_at` is the clock of the last operation that the ranked list on the page knows.
pub fn for_scripts(known: &Known, ranked_at: &str) -> Value {
    let questions = || known.survey.questions();
    let mut cautions = Map::new();
    for caution in questions().flat_map(|question| &question.cautions) {
        cautions.insert(caution.name().to_owned(), json!([caution.harm(), caution.avoid()]));
    }
    let mut kinds = Map::new();
    for reading in questions().filter_map(|question| question.reading.as_ref()) {
        kinds.insert(reading.ask.kind.name().to_owned(), units(reading.ask.kind));
    }
    let areas: Vec<Value> = known.survey.areas().iter().map(area).collect();
    json!({ "areas": areas, "cautions": cautions, "kinds": kinds, "ranked_at": ranked_at })
}

fn units(kind: AskKind) -> Value {
    match kind.dimension() {
        Some(dimension) => {
            json!(Unit::all(dimension).iter().map(|unit| [unit.code(), unit.name()]).collect::<Vec<_>>())
        }
        None => json!([["count", "pieces"]]),
    }
}

fn area(area: &Area) -> Value {
    let questions: Vec<Value> = area.questions.iter().map(question).collect();
    json!({ "key": area.key, "title": area.title, "intro": area.intro, "questions": questions })
}

fn question(question: &Question) -> Value {
    let Question { key, ask, look, fine, watch, act, .. } = question;
    let mut told = json!({ "key": key, "ask": ask, "look": look, "fine": fine, "watch": watch, "act": act });
    if question.helper {
        told["helper"] = json!(true);
    }
    if !question.photo.is_empty() {
        told["photo"] = json!(question.photo);
    }
    if !question.cautions.is_empty() {
        told["cautions"] = json!(question.cautions);
    }
    if let Some(reading) = &question.reading {
        told["read"] = json!([reading.ask.what, reading.ask.kind.name()]);
    }
    told
}

/// The limits of the readings that the survey asks for.
pub fn limits(known: &Known, chosen: &[Limit]) -> Vec<Limit> {
    let mut found: Vec<Limit> = Vec::new();
    for limit in known.survey.questions().filter_map(|question| limit_for(question, chosen)) {
        if found.iter().all(|other| other.key != limit.key) {
            found.push(limit);
        }
    }
    found
}

/// The names of the readings that the survey asks for.
pub fn readings(known: &Known) -> HashSet<String> {
    known
        .survey
        .questions()
        .filter_map(|question| question.reading.as_ref())
        .map(|read| key_of(&read.ask.what))
        .collect()
}
