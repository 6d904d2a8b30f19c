//! The book itself: operations sorted into evenings and, within an evening, by job card.

use super::bolts::told_later;
use super::evening::evening_of;
use super::store::Things;
use super::words::{Context, Entry, card_of, entry, moment};
use crate::clock::Moment;
use crate::ids::{CardId, OpId};
use crate::sync::wire::Act;
use crate::work::store::Done;
use jiff::civil::Date;
use std::collections::HashSet;

/// What a card is called that was never known here.
pub const UNKNOWN_CARD: &str = "A card that is unknown here";

/// How many evenings stand on a page.
pub const EVENINGS_A_PAGE: usize = 30;

/// What is asked of the book.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Asked {
    /// What was looked for, as it was typed; empty: nothing was.
    pub find: String,
    /// The entries that were found; `None`: all of them are asked for.
    pub only: Option<HashSet<OpId>>,
    pub card: Option<CardId>,
    /// From 0.
    pub page: usize,
    /// All evenings at once, to print.
    pub all: bool,
}

/// An evening with what was done, in the order in which it was done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Evening {
    pub day: Date,
    pub from: Moment,
    pub to: Moment,
    /// Minutes of work noted; 0: none were.
    pub minutes: i64,
    pub groups: Vec<Group>,
}

/// What was done for one card, or on the car itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    pub card: Option<CardId>,
    pub entries: Vec<Entry>,
}

/// One page of the book, the latest evening first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Book {
    pub evenings: Vec<Evening>,
    /// How many evenings there are in all that answer what was asked.
    pub total: usize,
    /// How many entries stand in them.
    pub entries: usize,
}

/// Opens the book. `ops` is all that was done on the car, in order.
pub fn open(context: &Context<'_>, ops: &[Done], asked: &Asked) -> Book {
    let things = context.things;
    let of_card = |op: &&Done| asked.card.is_none() || card_of(op, things) == asked.card;
    let is_found = |op: &&Done| asked.only.as_ref().is_none_or(|only| only.contains(&op.op_id));
    let mut evenings: Vec<Vec<&Done>> = Vec::new();
    let (mut day, mut entries) = (None, 0);
    for op in shown_ops(ops).into_iter().filter(of_card).filter(is_found) {
        entries += 1;
        let of = evening_of(moment(op));
        if day != Some(of) {
            evenings.push(Vec::new());
            day = Some(of);
        }
        if let Some(evening) = evenings.last_mut() {
            evening.push(op);
        }
    }
    let total = evenings.len();
    let (skip, take) =
        if asked.all { (0, total) } else { (asked.page.saturating_mul(EVENINGS_A_PAGE), EVENINGS_A_PAGE) };
    let evenings = evenings.iter().rev().skip(skip).take(take).filter_map(|ops| evening(ops, context)).collect();
    Book { evenings, total, entries }
}

/// What is told in a line of its own, oldest first. `ops` is all that was done on the car, in order.
pub fn shown_ops(ops: &[Done]) -> Vec<&Done> {
    let told = told_later(ops);
    ops.iter().filter(|op| !told.contains(&op.op_id)).collect()
}

/// What a card is or was called.
pub fn title_of(card: CardId, things: &Things) -> String {
    things.get(&card.to_string()).map_or_else(|| UNKNOWN_CARD.to_owned(), |card| card.name.clone())
}

fn evening(ops: &[&Done], context: &Context<'_>) -> Option<Evening> {
    let (first, last) = (ops.first()?, ops.last()?);
    let mut groups: Vec<Group> = Vec::new();
    for op in ops {
        let entry = entry(op, context);
        match groups.iter_mut().find(|group| group.card == entry.card) {
            Some(group) => group.entries.push(entry),
            None => groups.push(Group { card: entry.card, entries: vec![entry] }),
        }
    }
    let from = moment(first);
    Some(Evening { day: evening_of(from), from, to: moment(last), minutes: minutes(ops), groups })
}

fn minutes(ops: &[&Done]) -> i64 {
    ops.iter()
        .filter(|op| op.applied)
        .map(|op| match &op.act {
            Act::Time(body) => body.minutes,
            _ => 0,
        })
        .sum()
}

/// What an evening came to, in a line: `9 steps done, 2 findings, 3 pictures`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InShort {
    pub day: Date,
    pub line: String,
}

/// The latest evenings in short, the last one first.
pub fn lately(ops: &[Done], most: usize) -> Vec<InShort> {
    let mut found: Vec<(Date, Vec<&Done>)> = Vec::new();
    let told = told_later(ops);
    for op in ops.iter().rev().filter(|op| !told.contains(&op.op_id)) {
        let day = evening_of(moment(op));
        if found.last().is_none_or(|(known, _)| *known != day) {
            if found.len() == most {
                break;
            }
            found.push((day, Vec::new()));
        }
        if let Some((_, evening)) = found.last_mut() {
            evening.push(op);
        }
    }
    found.into_iter().map(|(day, ops)| InShort { day, line: in_short(&ops) }).collect()
}

fn in_short(ops: &[&Done]) -> String {
    let count = |wanted: fn(&Act) -> bool| ops.iter().filter(|op| wanted(&op.act)).count();
    let done = count(|act| matches!(act, Act::Tick(body) if body.state == crate::sync::wire::Tick::Done));
    let notes = count(|act| matches!(act, Act::Note(_) | Act::Reading(_) | Act::Recheck(_)));
    let findings = count(|act| matches!(act, Act::Finding(_)));
    let pictures = count(|act| matches!(act, Act::Photo(_)));
    let counted = [
        (done, "step done", "steps done"),
        (findings, "finding", "findings"),
        (notes, "note or reading", "notes and readings"),
        (pictures, "picture", "pictures"),
    ];
    let mut said: Vec<String> = counted
        .into_iter()
        .filter(|(n, ..)| *n > 0)
        .map(|(n, one, many)| crate::web::words::count(n, one, many))
        .collect();
    let minutes = minutes(ops);
    if minutes > 0 {
        said.push(crate::web::words::minutes(minutes));
    }
    if said.is_empty() { crate::web::words::count(ops.len(), "entry", "entries") } else { said.join(", ") }
}

#[cfg(test)]
mod tests;
