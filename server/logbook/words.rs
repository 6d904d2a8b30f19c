//! One operation in words, as it stands in the logbook.

use super::bolts::tight_after;
use super::store::{Thing, Things};
use crate::clock::Moment;
use crate::ids::{CardId, OpId};
use crate::sync::hlc::Hlc;
use crate::sync::wire::{Act, ReadingBody, Seen, Served, Tick, Tight, Weight};
use crate::trade::quantity::Unit;
use crate::trade::survey::{Answer, How};
use crate::web::words;
use crate::work::store::Done;
use std::collections::{HashMap, HashSet};

/// A picture that was taken, whether or not its bytes have arrived yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    pub sha256: String,
    pub caption: String,
    /// For those who do not see it.
    pub alt: String,
    pub here: bool,
}

/// A line of the logbook.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    pub op: OpId,
    pub at: Moment,
    /// The name of the device it was noted with.
    pub who: String,
    /// The shape beside it; empty for none.
    pub mark: &'static str,
    pub what: String,
    /// Short remarks after the time and the device.
    pub more: Vec<String>,
    /// How much a finding matters.
    pub weight: Option<Weight>,
    pub picture: Option<Picture>,
    /// The card it belongs to; `None`: the car itself.
    pub card: Option<CardId>,
    /// Said plainly where it no longer stands as it was noted.
    pub since: Option<String>,
}

/// What the words are made from.
pub struct Context<'a> {
    pub things: &'a Things,
    /// Pictures whose bytes are here.
    pub pictures: &'a HashSet<String>,
    latest: HashMap<(&'a str, String), &'a Done>,
    left_by_hand: HashMap<String, &'a str>,
    /// Bolts that were tight after each press.
    tight: HashMap<OpId, usize>,
    /// How readings stand to their limits, by operation.
    verdicts: HashMap<OpId, &'static str>,
    /// What ticked steps reached.
    reached: Option<&'a HashMap<OpId, String>>,
    /// What parts cost, by their id.
    prices: Option<&'a HashMap<String, String>>,
    by_id: HashMap<OpId, &'a Done>,
    /// What was said later of an entry that was wrong, oldest first.
    corrections: HashMap<OpId, Vec<&'a str>>,
}

impl<'a> Context<'a> {
    /// `ops` is all that was done on the car, in order.
    pub fn new(ops: &'a [Done], things: &'a Things, pictures: &'a HashSet<String>) -> Context<'a> {
        let mut latest = HashMap::new();
        let mut left_by_hand = HashMap::new();
        let mut corrections: HashMap<OpId, Vec<&str>> = HashMap::new();
        for op in ops {
            if let Act::Correction(body) = &op.act {
                corrections.entry(body.of).or_default().push(body.text.trim());
            }
            if let Act::Undid(body) = &op.act {
                left_by_hand.insert(format!("hand:{}", op.op_id), body.what.as_str());
            }
            if let Some(field) = op.act.field().filter(|_| op.applied) {
                latest.insert((op.subject_id.as_str(), field), op);
            }
        }
        Context {
            things,
            pictures,
            latest,
            left_by_hand,
            tight: tight_after(ops),
            verdicts: HashMap::new(),
            reached: None,
            prices: None,
            by_id: ops.iter().map(|op| (op.op_id, op)).collect(),
            corrections,
        }
    }

    /// With what is said of readings that have a limit.
    pub fn judged(self, verdicts: HashMap<OpId, &'static str>) -> Context<'a> {
        Context { verdicts, ..self }
    }

    /// With what ticked steps reached, and what parts cost.
    pub fn with(self, reached: &'a HashMap<OpId, String>, prices: &'a HashMap<String, String>) -> Context<'a> {
        Context { reached: Some(reached), prices: Some(prices), ..self }
    }

    fn reached(&self, op: &Done) -> Option<String> {
        self.reached?.get(&op.op_id).cloned()
    }

    fn price(&self, op: &Done) -> Option<String> {
        self.prices?.get(&op.subject_id).cloned()
    }

    fn thing(&self, op: &Done) -> Option<&Thing> {
        self.things.get(&op.subject_id)
    }

    /// `of “Rear axle oil”`, or nothing where the operation is about the car itself.
    fn about(&self, op: &Done, word: &str) -> Option<String> {
        let thing = self.thing(op)?;
        (op.subject_kind != "card").then(|| format!("{word} “{}”", thing.name))
    }
}

/// The moment of an operation by its device's clock.
pub fn moment(op: &Done) -> Moment {
    // Only readable clocks are ever stored; anything else would stand at the very beginning.
    op.hlc.parse::<Hlc>().map_or(Moment(0), Hlc::moment)
}

/// The card an operation belongs to: the one it names, or the one of its step.
pub fn card_of(op: &Done, things: &Things) -> Option<CardId> {
    if op.card.is_some() {
        return op.card;
    }
    match op.subject_kind.as_str() {
        "card" => op.subject_id.parse().ok(),
        _ => things.get(&op.subject_id).and_then(|thing| thing.card),
    }
}

/// Puts an operation into words.
pub fn entry(op: &Done, context: &Context<'_>) -> Entry {
    let said = say(op, context);
    Entry {
        op: op.op_id,
        at: moment(op),
        who: op.device_name.clone().unwrap_or_else(|| "a device that is unknown here".into()),
        mark: said.mark,
        what: said.what,
        more: said.more.into_iter().flatten().collect(),
        weight: said.weight,
        picture: said.picture,
        card: card_of(op, context.things),
        since: since(op, context),
    }
}

#[derive(Default)]
struct Said {
    mark: &'static str,
    what: String,
    more: Vec<Option<String>>,
    weight: Option<Weight>,
    picture: Option<Picture>,
}

fn say(op: &Done, context: &Context<'_>) -> Said {
    let name = || context.thing(op).map_or_else(|| "something that was deleted".to_owned(), |thing| thing.name.clone());
    match &op.act {
        Act::Tick(body) => tick(body.state, name(), context.reached(op)),
        Act::Reading(body) => Said {
            mark: "note",
            what: reading(body),
            more: vec![
                context.verdicts.get(&op.op_id).map(|word| (*word).to_owned()),
                Some("read off".into()),
                context.about(op, "at"),
                body.note.clone(),
            ],
            ..Said::default()
        },
        Act::Note(body) => Said {
            mark: "note",
            what: body.text.clone(),
            more: vec![Some("note".into()), context.about(op, "on")],
            ..Said::default()
        },
        Act::Photo(body) => {
            let alt = if body.caption.trim().is_empty() { "Picture without words" } else { body.caption.trim() };
            let picture = Picture {
                sha256: body.sha256.clone(),
                caption: body.caption.clone(),
                alt: alt.to_owned(),
                here: context.pictures.contains(&body.sha256),
            };
            Said {
                mark: "camera",
                what: alt.to_owned(),
                more: vec![context.about(op, "at")],
                picture: Some(picture),
                ..Said::default()
            }
        }
        Act::Finding(body) => Said {
            mark: "find",
            what: body.text.clone(),
            more: vec![Some("found".into()), some_words(&body.place), context.about(op, "at")],
            weight: Some(body.weight),
            ..Said::default()
        },
        Act::PartUsed(body) => {
            let what = format!("Used: {}", with_quantity(&name(), &body.quantity));
            Said { mark: "closed", what, more: vec![context.price(op)], ..Said::default() }
        }
        Act::Arrival(body) => {
            let what = format!("Arrived: {}", with_quantity(&name(), &body.quantity));
            Said { mark: "down", what, more: vec![context.price(op)], ..Said::default() }
        }
        Act::Odometer(body) => Said {
            mark: "note",
            what: format!("Odometer: {} {}", words::figure(&body.number), body.unit),
            ..Said::default()
        },
        Act::Time(body) => {
            Said { mark: "waiting", what: format!("Worked {}", words::minutes(body.minutes)), ..Said::default() }
        }
        Act::Undid(body) => Said {
            mark: "loose",
            what: body.what.clone(),
            more: vec![Some("loose end, noted by hand".into()), some_words(&body.place)],
            ..Said::default()
        },
        Act::Closed(body) => Said {
            mark: "closed",
            what: format!("Closed by hand: {}", closed_what(&body.key, context)),
            ..Said::default()
        },
        Act::WentOn(body) => Said {
            mark: "act",
            what: format!("Went on past a guard: {}", body.say),
            more: vec![context.about(op, "at"), Some(format!("because: {}", body.why.trim()))],
            ..Said::default()
        },
        Act::Road(body) => Said {
            mark: match body.seen {
                Seen::Holds => "proven",
                Seen::Fails => "act",
                Seen::NotLooked => "todo",
            },
            what: body.say.clone(),
            more: vec![Some(format!("road check: {}", body.seen.label())), some_words(&body.note)],
            ..Said::default()
        },
        Act::Night(body) => Said {
            mark: "closed",
            what: body.text.clone(),
            more: vec![Some("left for the night".into())],
            ..Said::default()
        },
        Act::Bolt(body) => Said {
            mark: match body.state {
                Tight::Done => "done",
                Tight::Open => "todo",
            },
            what: format!(
                "{}: {} of {} tight",
                body.say,
                context.tight.get(&op.op_id).copied().unwrap_or_default(),
                body.of
            ),
            more: vec![context.about(op, "at")],
            ..Said::default()
        },
        Act::FluidLook(body) => Said {
            mark: "find",
            what: body.words(),
            more: vec![Some("looked at".into()), context.about(op, "as"), some_words(&body.note)],
            ..Said::default()
        },
        Act::Settled(body) => Said {
            mark: if body.on.is_empty() { "disagree" } else { "agree" },
            what: if body.on.is_empty() {
                format!("Question opened again: {}", name())
            } else {
                format!("Settled: {} is {}", name(), body.say)
            },
            more: vec![some_words(&body.why).map(|why| format!("because: {why}"))],
            ..Said::default()
        },
        Act::Survey(body) => Said {
            mark: body.answer.name(),
            what: if body.say.trim().is_empty() { body.question.clone() } else { body.say.clone() },
            more: vec![Some(format!("survey: {}", Answer::from(body.answer).label())), some_words(&body.note)],
            ..Said::default()
        },
        Act::Dealt(body) => Said {
            mark: match body.how {
                How::Card | How::Part => "next",
                How::Watch => "watch",
                How::Nothing => "closed",
                How::Open => "todo",
            },
            what: if body.say.trim().is_empty() { body.about.clone() } else { body.say.clone() },
            more: vec![
                Some(format!("dealt with: {}", body.how.label())),
                some_words(&body.until).map(|day| format!("to be looked at again on {day}")),
                some_words(&body.why).map(|why| format!("because: {why}")),
            ],
            ..Said::default()
        },
        Act::Serviced(body) => Said {
            mark: match body.state {
                Served::Done => "proven",
                Served::Not => "todo",
            },
            what: format!("Upkeep: {}, {}", body.say, body.state),
            more: vec![
                Some(format!("on {}", body.day)),
                some_words(&body.number).map(|number| format!("at {} {}", words::figure(&number), body.unit)),
                some_words(&body.by).map(|by| format!("by {by}")),
                some_words(&body.note),
            ],
            ..Said::default()
        },
        Act::Correction(body) => Said {
            mark: "note",
            what: body.text.clone(),
            more: vec![Some(correction_of(body.of, context))],
            ..Said::default()
        },
        Act::Symptom(body) => Said {
            mark: "find",
            what: body.words(),
            more: vec![Some("symptom".into()), some_words(&body.circumstances())],
            ..Said::default()
        },
        Act::Clip(body) => Said {
            mark: "note",
            what: body.caption.clone(),
            more: vec![Some("clip of sound".into())],
            ..Said::default()
        },
        Act::Recheck(body) => Said {
            mark: "proven",
            what: body.text.clone(),
            more: vec![Some("looked at again".into())],
            ..Said::default()
        },
    }
}

/// `correction of “Sump plug: 40 N·m” of Tue 17 Nov 2026`
fn correction_of(of: OpId, context: &Context<'_>) -> String {
    let Some(wrong) = context.by_id.get(&of) else {
        return "correction of an entry that is not here".to_owned();
    };
    // Of a correction its own words only: two that were made to correct each other would never come to an end.
    let said = if let Act::Correction(body) = &wrong.act { body.text.clone() } else { say(wrong, context).what };
    format!("correction of “{}” of {}", in_brief(&said), words::day(moment(wrong)))
}

/// The beginning of what was said, on one line.
fn in_brief(said: &str) -> String {
    const MOST: usize = 60;
    let line = said.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() <= MOST {
        line
    } else {
        format!("{}…", line.chars().take(MOST).collect::<String>().trim_end())
    }
}

fn tick(state: Tick, step: String, reached: Option<String>) -> Said {
    let (mark, word) = match state {
        Tick::Done => ("done", "done"),
        Tick::Skipped => ("skip", "skipped"),
        Tick::Open => ("todo", "correction: not done after all"),
    };
    Said { mark, what: step, more: vec![Some(word.to_owned()), reached], ..Said::default() }
}

/// `Drained axle oil: 1.1 l`
fn reading(body: &ReadingBody) -> String {
    let unit = Unit::from_code(&body.unit).map_or("", Unit::name);
    let gap = if matches!(unit, "" | "°" | "′") { "" } else { " " };
    format!("{}: {}{gap}{unit}", body.what, words::figure(&body.number))
}

/// `Gear oil 75W-90, 2 l`: the quantity once, also where the name of the can ends in it.
fn with_quantity(name: &str, quantity: &str) -> String {
    let said = name.rsplit(", ").next().is_some_and(|end| end.trim().eq_ignore_ascii_case(quantity.trim()));
    if said { name.to_owned() } else { format!("{name}, {quantity}") }
}

fn some_words(text: &str) -> Option<String> {
    let text = text.trim();
    (!text.is_empty()).then(|| text.to_owned())
}

/// What a loose end's key stands for: its words where it was made by hand, else the thing's name.
fn closed_what(key: &str, context: &Context<'_>) -> String {
    if let Some(what) = context.left_by_hand.get(key) {
        return (*what).to_owned();
    }
    key.split_once(':').map_or(key, |(_, thing)| thing).to_owned()
}

/// What became of it, where it no longer stands as it was noted.
fn since(op: &Done, context: &Context<'_>) -> Option<String> {
    let said = context.corrections.get(&op.op_id).into_iter().flatten();
    let said = said.map(|text| format!("corrected later: “{}”", in_brief(text)));
    let all: Vec<String> = stands_no_longer(op, context).into_iter().chain(said).collect();
    (!all.is_empty()).then(|| all.join("; "))
}

fn stands_no_longer(op: &Done, context: &Context<'_>) -> Option<String> {
    if !op.applied {
        return Some(format!("kept on record only: this {} was deleted before it arrived", op.subject_kind));
    }
    if let Some(said) = corrected(op, context) {
        return Some(said.into());
    }
    let gone = context.thing(op).is_some_and(|thing| thing.gone);
    gone.then(|| format!("this {} was deleted since", op.subject_kind))
}

fn corrected(op: &Done, context: &Context<'_>) -> Option<&'static str> {
    let latest = context.latest.get(&(op.subject_id.as_str(), op.act.field()?))?;
    if latest.op_id == op.op_id || latest.act == op.act {
        return None;
    }
    match (&op.act, &latest.act) {
        (Act::Tick(before), Act::Tick(after)) if before.state == Tick::Done && after.state == Tick::Open => {
            Some("taken back later")
        }
        (Act::Tick(_), _) => Some("corrected later"),
        (Act::Reading(_), _) => Some("read again later"),
        (Act::Settled(_) | Act::Dealt(_), _) => Some("decided anew later"),
        (Act::Survey(_), _) => Some("answered anew later"),
        (Act::Serviced(_), Act::Serviced(after)) if after.state == Served::Not => Some("taken back later"),
        (Act::Serviced(_), _) => Some("corrected later"),
        _ => None,
    }
}

#[cfg(test)]
mod tests;
