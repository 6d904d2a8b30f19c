//! What is kept and what was done, put together: the distance really run, and when everything is due.

use super::model::{Item, Kept, WordFacts};
use crate::error::AppError;
use crate::ids::{OpId, UpkeepItemId};
use crate::logbook::words::moment;
use crate::sync::wire::{Act, Served, ServicedBody};
use crate::trade::calendar::Date;
use crate::trade::upkeep::{
    Band, Distance, DistanceUnit, Done as LastDone, Due, History, Interval, Matter, Reading, Usage, due,
};
use crate::work::store::Done;
use std::collections::{BTreeMap, HashMap};

/// The upkeep of a car as of a day.
#[derive(Debug, Clone)]
pub struct Book {
    pub today: Date,
    /// The most pressing first.
    pub items: Vec<KeptUp>,
    /// Everything that was read off the odometer, the oldest first.
    pub readings: Vec<Told>,
    pub history: History,
    pub usage: Usage,
    pub stands_since: Option<Date>,
}

/// An item with what was done of it and when it is due.
#[derive(Debug, Clone)]
pub struct KeptUp {
    pub item: Item,
    pub interval: Interval,
    /// The latest day first.
    pub done: Vec<ServedOn>,
    pub due: Due,
}

/// One time that it was done.
#[derive(Debug, Clone)]
pub struct ServedOn {
    pub op: OpId,
    pub day: Date,
    pub body: ServicedBody,
}

/// A reading as it was noted.
#[derive(Debug, Clone)]
pub struct Told {
    pub key: String,
    pub day: Date,
    pub shown: Distance,
    pub from_where: String,
    /// Noted when something was done, beside that.
    pub with_work: bool,
    pub word: Option<WordFacts>,
}

impl Book {
    /// `ops` is all that was done on the car, in order.
    pub fn of(kept: Kept, ops: &[Done], today: Date) -> Result<Book, AppError> {
        let served = served(ops);
        let readings = told(&kept, ops, &served);
        let words: HashMap<&str, &WordFacts> = kept.words.iter().map(|word| (word.reading.as_str(), word)).collect();
        let history = History::of(readings.iter().map(|told| reading(told, &words)).collect());
        let usage = Usage::of(&history);
        let told = readings.into_iter().map(|told| {
            let word = words.get(told.key.as_str()).filter(|word| word.kind.is_some());
            Told { word: word.map(|word| (*word).clone()), ..told }
        });
        let mut book = Book {
            today,
            items: Vec::new(),
            readings: told.collect(),
            history,
            usage,
            stands_since: kept.stands_since,
        };
        let mut by_item: HashMap<String, Vec<ServedOn>> = HashMap::new();
        for one in served {
            by_item.entry(one.body.item.clone()).or_default().push(one);
        }
        for item in kept.items {
            let done = by_item.remove(&item.id.to_string()).unwrap_or_default();
            let standing = book.standing(item, done)?;
            book.items.push(standing);
        }
        book.items.sort_by_key(|kept| (kept.due.band, kept.due.day, kept.item.facts.what.to_lowercase()));
        Ok(book)
    }

    fn standing(&self, item: Item, mut done: Vec<ServedOn>) -> Result<KeptUp, AppError> {
        let interval = item.facts.interval().map_err(AppError::internal)?;
        done.sort_by_key(|one| std::cmp::Reverse(one.day));
        let last = done
            .first()
            .map(|one| LastDone { day: one.day, reading: (!one.body.number.is_empty()).then(|| one.op.to_string()) });
        let (history, usage) = (&self.history, &self.usage);
        let stands = self.stands_since.is_some();
        let due = due(Matter { interval, done: last.as_ref(), history, usage, stands, today: self.today });
        Ok(KeptUp { item, interval, done, due })
    }

    pub fn item(&self, item: UpkeepItemId) -> Result<&KeptUp, AppError> {
        self.items.iter().find(|kept| kept.item.id == item).ok_or(AppError::NotFound("such item"))
    }

    /// What the odometer counts in now.
    pub fn unit(&self) -> DistanceUnit {
        self.history.last().map_or(DistanceUnit::Kilometre, |last| last.shown.unit())
    }

    /// Those that somebody should know of under the car, the most pressing first.
    pub fn pressing(&self) -> impl Iterator<Item = &KeptUp> {
        self.items.iter().filter(|kept| match kept.due.band {
            Band::Overdue | Band::Due | Band::Coming => true,
            Band::Nobody | Band::InHand => false,
        })
    }
}

/// Each time that something was done and not taken back, by item and day.
fn served(ops: &[Done]) -> Vec<ServedOn> {
    let mut latest: BTreeMap<String, ServedOn> = BTreeMap::new();
    for op in ops {
        // Judged when it came: it has a day.
        if let (Act::Serviced(body), Some(field)) = (&op.act, op.act.field())
            && let Ok(day) = Date::parse(&body.day)
        {
            latest.insert(field, ServedOn { op: op.op_id, day, body: body.clone() });
        }
    }
    latest.into_values().filter(|one| one.body.state == Served::Done).collect()
}

fn told(kept: &Kept, ops: &[Done], served: &[ServedOn]) -> Vec<Told> {
    let read = ops.iter().filter_map(|op| match &op.act {
        Act::Odometer(body) => Some(Told {
            key: op.op_id.to_string(),
            day: Date::parse(&moment(op).local().date().to_string()).ok()?,
            shown: shown(&body.number, &body.unit)?,
            from_where: "read on the car".into(),
            with_work: false,
            word: None,
        }),
        _ => None,
    });
    let on_papers = kept.papers.iter().map(|paper| Told {
        key: paper.id.to_string(),
        day: paper.day,
        shown: paper.shown,
        from_where: paper.from_where.clone(),
        with_work: false,
        word: None,
    });
    let with_work = served.iter().filter_map(|one| {
        let shown = shown(&one.body.number, &one.body.unit)?;
        let from_where = format!("with upkeep: {}", one.body.say);
        Some(Told { key: one.op.to_string(), day: one.day, shown, from_where, with_work: true, word: None })
    });
    let mut all: Vec<Told> = on_papers.chain(read).chain(with_work).collect();
    all.sort_by_key(|told| told.day);
    all
}

/// An operation was judged by a looser rule, once: `134,820` was taken for a number with a decimal comma.
fn shown(number: &str, unit: &str) -> Option<Distance> {
    let number = number.trim().replace(',', ".").parse().ok()?;
    Distance::new(number, DistanceUnit::from_name(unit)?).ok()
}

fn reading(told: &Told, words: &HashMap<&str, &WordFacts>) -> Reading {
    // Each was checked when it was said.
    let word = words.get(told.key.as_str()).and_then(|word| word.word().ok().flatten());
    Reading { key: told.key.clone(), day: told.day, shown: told.shown, word }
}
