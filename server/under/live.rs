//! What has been done, for pages: as rows to read, and as data from which scripts paint the same again.
//!
//! The data are operations, which never change: a page out of an old copy and the operations on the phone are put
//! together, each operation once, so neither can take back what the other knows.

use crate::clock::Moment;
use crate::ids::{CarId, CardId, DeviceId, OpId, StepId};
use crate::jobs::model::StepEffect;
use crate::sync::hlc::Hlc;
use crate::sync::wire::{self, Act, ReadingBody};
use crate::trade::checker::{Need, Rule, Weight};
use crate::trade::place::{WORDS, Zone};
use crate::trade::quantity::{Dimension, Unit};
use crate::trade::steps::Opened;
use crate::web::car_picture::zone_of_key;
use crate::web::words;
use crate::work::store::Done;
use serde::Serialize;
use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::LazyLock;

/// One thing noted, as a row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ItemView {
    pub op: String,
    pub words: String,
    pub more: String,
    /// Code and word of a finding's weight.
    pub weight: Option<(&'static str, &'static str)>,
    /// Name of a photo.
    pub sha: Option<String>,
}

/// When an operation was made.
pub fn moment(hlc: &str) -> Moment {
    hlc.parse::<Hlc>().unwrap_or(Hlc::ZERO).moment()
}

/// What was noted, newest first. Ticks and loose ends have places of their own.
pub fn items<'a>(done: impl DoubleEndedIterator<Item = &'a Done>) -> Vec<ItemView> {
    done.rev().filter_map(item).collect()
}

fn item(done: &Done) -> Option<ItemView> {
    let when = words::day_and_time(moment(&done.hlc));
    let plain =
        |words: String| ItemView { op: done.op_id.to_string(), words, more: when.clone(), weight: None, sha: None };
    match &done.act {
        Act::Note(body) | Act::Recheck(body) => Some(plain(body.text.clone())),
        Act::Reading(body) => Some(plain(reading_words(body))),
        Act::FluidLook(body) => Some(plain(body.words())),
        Act::Correction(body) => Some(plain(format!("Correction: {}", body.text))),
        Act::Symptom(body) => Some(plain(body.words())),
        Act::Odometer(body) => Some(plain(format!("Odometer: {} {}", words::figure(&body.number), body.unit))),
        Act::Finding(body) => Some(ItemView {
            weight: Some((body.weight.name(), weight_word(body.weight))),
            more: if body.place.is_empty() { when.clone() } else { format!("{} · {when}", body.place) },
            ..plain(body.text.clone())
        }),
        Act::Photo(body) => Some(ItemView {
            sha: Some(body.sha256.clone()),
            ..plain(if body.caption.is_empty() { "Photo".into() } else { body.caption.clone() })
        }),
        Act::Tick(_)
        | Act::PartUsed(_)
        | Act::Arrival(_)
        | Act::Time(_)
        | Act::Undid(_)
        | Act::Closed(_)
        | Act::WentOn(_)
        | Act::Road(_)
        | Act::Night(_)
        | Act::Bolt(_)
        | Act::Settled(_)
        | Act::Survey(_)
        | Act::Dealt(_)
        | Act::Serviced(_)
        | Act::Clip(_) => None,
    }
}

/// How a finding's weight is said on the phone.
pub fn weight_word(weight: wire::Weight) -> &'static str {
    match weight {
        wire::Weight::Act => "Act on it",
        wire::Weight::Watch => "Watch it",
        wire::Weight::Fine => "Fine",
        wire::Weight::Unknown => "Don’t know",
    }
}

fn reading_words(body: &ReadingBody) -> String {
    let unit = Unit::from_code(&body.unit).map_or("", Unit::name);
    format!("{}: {} {unit}", body.what, words::figure(&body.number)).trim_end().to_owned()
}

/// JSON that may stand inside a script element: no `<`, `>` or `&` in it.
pub fn for_script(value: &impl Serialize) -> Result<String, crate::error::AppError> {
    let text = serde_json::to_string(value).map_err(crate::error::AppError::internal)?;
    Ok(escaped(text))
}

fn escaped(text: String) -> String {
    if !text.contains(['<', '>', '&']) {
        return text;
    }
    text.replace('<', "\\u003c").replace('>', "\\u003e").replace('&', "\\u0026")
}

/// What the server knew when it drew the page: operations as `/sync/changes` gives them out.
pub fn ops<'a>(car: CarId, done: impl Iterator<Item = &'a Done>) -> Vec<OpJson<'a>> {
    let op = |one: &'a Done| OpJson {
        seq: one.seq,
        id: one.op_id,
        device: one.device,
        hlc: &one.hlc,
        car,
        card: one.card,
        on: HashMap::from([(one.subject_kind.as_str(), one.subject_id.as_str())]),
        act: &one.act,
    };
    done.map(op).collect()
}

/// An operation as `/sync/changes` gives it out.
#[derive(Serialize)]
pub struct OpJson<'a> {
    seq: i64,
    id: OpId,
    device: DeviceId,
    hlc: &'a str,
    car: CarId,
    card: Option<CardId>,
    on: HashMap<&'a str, &'a str>,
    #[serde(rename = "do")]
    act: &'a Act,
}

/// What a step opens and closes, for the fold that scripts do.
#[derive(Serialize)]
struct EffectJson<'a> {
    card: CardId,
    #[serde(skip_serializing_if = "str::is_empty")]
    card_title: &'a str,
    number: usize,
    #[serde(skip_serializing_if = "str::is_empty")]
    words: &'a str,
    opens: &'a [Opened],
    closes: &'a [String],
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    sets: &'a [String],
    #[serde(skip_serializing_if = "<[String]>::is_empty")]
    clears: &'a [String],
    #[serde(skip_serializing_if = "<[Need]>::is_empty")]
    needs: &'a [Need],
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    gone: bool,
}

/// The steps that have a say in a card's loose ends and guards: its own, all which open or close what those open, and all
/// which make true or end what its guards ask.
pub fn effects_near(all: &[StepEffect], card: CardId) -> Vec<&StepEffect> {
    let keys: HashSet<&str> = all
        .iter()
        .filter(|one| one.card == card)
        .flat_map(|one| &one.compiled.opens)
        .map(|end| end.key.as_str())
        .collect();
    let asked: HashSet<&str> = all
        .iter()
        .filter(|one| one.card == card)
        .flat_map(|one| &one.compiled.needs)
        .flat_map(|need| need.when.iter().chain(&need.unless))
        .map(String::as_str)
        .collect();
    let is_asked = |fact: &String| asked.iter().any(|asked| may_match(asked, fact));
    let touches = |one: &StepEffect| {
        one.compiled.opens.iter().any(|end| is_asked(&end.key))
            || one.compiled.sets.iter().chain(&one.compiled.clears).any(is_asked)
            || one.compiled.opens.iter().any(|end| keys.contains(end.key.as_str()))
            || one.compiled.closes.iter().any(|key| keys.contains(key.as_str()))
    };
    all.iter().filter(|one| one.card == card || touches(one)).collect()
}

/// Whether two facts, each of which may stand for all that begin so, can be about the same.
fn may_match(one: &str, other: &str) -> bool {
    match (one.strip_suffix('*'), other.strip_suffix('*')) {
        (Some(one), Some(other)) => one.starts_with(other) || other.starts_with(one),
        (Some(one), None) => other.starts_with(one),
        (None, Some(other)) => one.starts_with(other),
        (None, None) => one == other,
    }
}

/// `data-json="effects"`: every step's effect, and for each loose end the steps that close it.
///
/// The guards of `guarded` only, which is the card that is worked: they are many words.
pub fn effects<'a>(all: impl IntoIterator<Item = &'a StepEffect>, guarded: Option<CardId>) -> EffectsJson<'a> {
    let mut found = EffectsJson::default();
    for one in all {
        // A card that is worked asks of the others only what they make true: their words stay on the car's own pages.
        let is_bystander = guarded.is_some_and(|card| card != one.card);
        for end in one.compiled.opens.iter().filter(|_| !is_bystander) {
            found.zones.insert(&end.key, zone_of_key(&end.key));
        }
        if guarded == Some(one.card) && !one.gone {
            found
                .rules
                .extend(one.compiled.needs.iter().map(|need| (need.rule, (need.rule.weight(), need.rule.label()))));
        }
        let detail = match guarded {
            Some(card) if card != one.card => Detail::Facts,
            Some(_) if !one.gone => Detail::Guards,
            _ => Detail::Words,
        };
        found.steps.insert(one.step.to_string(), effect(one, detail));
        for key in one.compiled.closes.iter().filter(|_| !one.gone && guarded.is_none()) {
            found.closers.entry(key).or_default().push(CloserJson {
                card: one.card,
                card_title: &one.card_title,
                step: one.step,
                number: one.number,
                words: &one.words,
            });
        }
    }
    found
}

/// `data-json="places"`: how words typed by hand say where.
pub static PLACES: LazyLock<String> = LazyLock::new(|| {
    let labels: BTreeMap<_, _> = Zone::ALL.iter().map(|zone| (zone.name(), zone.label())).collect();
    escaped(serde_json::json!({ "labels": labels, "words": WORDS }).to_string())
});

/// What every step does, by step, and the steps that close a loose end, by its key.
#[derive(Default, Serialize)]
pub struct EffectsJson<'a> {
    steps: BTreeMap<String, EffectJson<'a>>,
    closers: BTreeMap<&'a str, Vec<CloserJson<'a>>>,
    /// Where the thing is that a loose end is about, by its key.
    zones: BTreeMap<&'a str, Zone>,
    /// Weight and headline of each rule that a guard here may break.
    rules: BTreeMap<Rule, (Weight, &'static str)>,
}

#[derive(Serialize)]
struct CloserJson<'a> {
    card: CardId,
    card_title: &'a str,
    step: StepId,
    number: usize,
    words: &'a str,
}

/// How much of a step a page has to carry.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Detail {
    /// What it makes true.
    Facts,
    /// And how it is told of.
    Words,
    /// And what must hold before it.
    Guards,
}

fn effect(one: &StepEffect, detail: Detail) -> EffectJson<'_> {
    let words = |text| if detail == Detail::Facts { "" } else { text };
    EffectJson {
        card: one.card,
        card_title: words(&one.card_title),
        number: one.number,
        words: words(&one.words),
        opens: &one.compiled.opens,
        closes: &one.compiled.closes,
        sets: &one.compiled.sets,
        clears: &one.compiled.clears,
        needs: if detail == Detail::Guards { &one.compiled.needs } else { &[] },
        gone: one.gone,
    }
}

/// `data-json="units"`: the name of each unit by its code.
pub static UNITS: LazyLock<String> = LazyLock::new(|| {
    let names: BTreeMap<_, _> =
        Dimension::ALL.into_iter().flat_map(Unit::all).map(|unit| (unit.code(), unit.name())).collect();
    escaped(serde_json::json!(names).to_string())
});

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::{Value, json};

    #[test]
    fn data_for_scripts_cannot_end_the_script_element() {
        let text = for_script(&json!({ "words": "a </script><b>&" })).unwrap();
        assert!(!text.contains(['<', '>', '&']), "{text}");
        assert_eq!(serde_json::from_str::<Value>(&text).unwrap()["words"], "a </script><b>&");
    }
}
