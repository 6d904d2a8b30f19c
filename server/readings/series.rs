//! Everything that was measured on a car, thing by thing, each reading with its verdict.

use super::model::{Limit, key_of, limit_of};
use crate::clock::Moment;
use crate::ids::OpId;
use crate::logbook::words::moment;
use crate::sync::wire::{Act, ReadingBody};
use crate::trade::limits::{Day, Entry, Outcome, Outlook, Plan};
use crate::web::words::capital;
use crate::work::store::Done;
use std::collections::{HashMap, HashSet};

/// Readings of cylinders or cells that were taken within this time belong together (common practice, no source). The phone
/// does the same.
pub const TOGETHER_MS: i64 = 24 * 60 * 60 * 1000;

/// How a reading stands, or the sentence why it cannot be judged.
pub type Verdict = Result<(Outcome, String), String>;

/// One reading.
#[derive(Debug, Clone)]
pub struct Taken<'a> {
    pub done: &'a Done,
    pub at: Moment,
    pub body: &'a ReadingBody,
    /// Its place among the parts of the limit; `None`: it belongs to it without being judged.
    pub part: Option<usize>,
    /// Read again on the same evening at the same place: the later one counts.
    pub corrected: bool,
    /// `None` where there is nothing to say: no limit, or corrected.
    pub verdict: Option<Verdict>,
}

impl Taken<'_> {
    pub fn entry(&self) -> Entry<'_> {
        Entry { number: &self.body.number, unit: &self.body.unit }
    }

    /// The day in the garage's time zone.
    pub fn day(&self) -> Day {
        let since = self.at.local().date().since(jiff::civil::date(1970, 1, 1));
        // Any two dates of the calendar have a difference in days.
        Day(since.map_or(0, |span| span.get_days()))
    }
}

/// One thing that is measured, with all its readings, oldest first.
#[derive(Debug, Clone)]
pub struct Thing<'a> {
    pub what: String,
    pub key: String,
    pub limit: Option<&'a Limit>,
    pub taken: Vec<Taken<'a>>,
}

impl<'a> Thing<'a> {
    /// The reading that counts now.
    pub fn latest(&self) -> Option<&Taken<'a>> {
        let counts = |one: &&Taken<'_>| !one.corrected;
        self.taken.iter().rev().filter(counts).find(|one| one.part.is_some()).or_else(|| self.taken.last())
    }

    /// How it stands now.
    pub fn verdict(&self) -> Option<Verdict> {
        match self.latest() {
            Some(latest) => latest.verdict.clone(),
            None => self.limit.map(|limit| limit.judge(&vec![None; limit.names().len()])),
        }
    }

    /// The readings that count, for a line over time; nothing where several make one verdict.
    pub fn points(&self) -> Vec<&Taken<'a>> {
        self.taken.iter().filter(|one| !one.corrected && one.part.is_some()).collect()
    }

    /// The readings by part which make the verdict now.
    pub fn current_parts(&self) -> Vec<Option<&Taken<'a>>> {
        let Some(limit) = self.limit else { return Vec::new() };
        let parts = limit.names().len();
        let Some(latest) = self.latest() else { return vec![None; parts] };
        (0..parts).map(|part| together(&self.taken, latest.at, part)).collect()
    }
}

/// The last reading of a part that was taken with what was read at `at`.
fn together<'t, 'a>(taken: &'t [Taken<'a>], at: Moment, part: usize) -> Option<&'t Taken<'a>> {
    let near = |one: &&Taken<'_>| one.part == Some(part) && one.at <= at && at.0 - one.at.0 < TOGETHER_MS;
    taken.iter().rev().filter(near).find(|one| !one.corrected)
}

/// All things measured on the car, and those with a limit that were never measured; by name.
pub fn things<'a>(done: &'a [Done], limits: &'a [Limit]) -> Vec<Thing<'a>> {
    let mut found: Vec<Thing<'a>> = limits
        .iter()
        .map(|limit| Thing { what: limit.what.clone(), key: limit.key.clone(), limit: Some(limit), taken: Vec::new() })
        .collect();
    let mut places: HashMap<String, usize> =
        found.iter().enumerate().map(|(at, thing)| (thing.key.clone(), at)).collect();
    for one in done {
        let Act::Reading(body) = &one.act else { continue };
        let own = key_of(&body.what);
        let limit = limit_of(limits, &own);
        let key = limit.map_or_else(|| own.clone(), |limit| limit.key.clone());
        let at = *places.entry(key.clone()).or_insert_with(|| {
            found.push(Thing { what: body.what.clone(), key, limit: None, taken: Vec::new() });
            found.len() - 1
        });
        let part = limit.map_or(Some(0), |limit| limit.part(&own).flatten());
        found[at].taken.push(Taken { done: one, at: moment(one), body, part, corrected: false, verdict: None });
    }
    for thing in &mut found {
        mark_corrected(&mut thing.taken);
        judge(thing);
    }
    found.sort_by(|a, b| a.key.cmp(&b.key));
    found
}

fn mark_corrected(taken: &mut [Taken<'_>]) {
    let mut later: HashSet<(String, String, Day)> = HashSet::new();
    for one in taken.iter_mut().rev() {
        one.corrected = !later.insert((one.done.subject_id.clone(), key_of(&one.body.what), one.day()));
    }
}

fn judge(thing: &mut Thing<'_>) {
    let Some(limit) = thing.limit else { return };
    let parts = limit.names().len();
    let verdicts: Vec<Option<Verdict>> = (thing.taken.iter())
        .map(|one| {
            let judged = !one.corrected && one.part.is_some();
            let entry = |part| together(&thing.taken, one.at, part).map(Taken::entry);
            judged.then(|| limit.judge(&(0..parts).map(entry).collect::<Vec<_>>()))
        })
        .collect();
    for (one, verdict) in thing.taken.iter_mut().zip(verdicts) {
        one.verdict = verdict;
    }
}

/// When the limit would be reached, in a sentence for each side; or why there is no line.
pub fn outlook(thing: &Thing<'_>) -> Vec<String> {
    let Some(Ok(plan)) = thing.limit.map(|limit| &limit.plan) else { return Vec::new() };
    let Plan::Sides(sides) = plan else {
        return vec!["No line over time: this rule compares readings of one evening with each other.".to_owned()];
    };
    let points: Vec<(Day, Entry<'_>)> = thing.points().into_iter().map(|one| (one.day(), one.entry())).collect();
    match sides.outlook(&points) {
        Err(why) => vec![why],
        Ok(found) => sides
            .sides
            .iter()
            .zip(found)
            .map(|(side, outlook)| match outlook {
                Outlook::NoTrend { says } | Outlook::Passed { says } | Outlook::FarOff { says } => {
                    format!("{}: {says}", capital(&side.words()))
                }
                Outlook::Reaches { day, says } => {
                    format!("{} would be reached about {}. {says}", capital(&side.words()), day_words(day))
                }
            })
            .collect(),
    }
}

/// `17 November 2026`
pub fn day_words(day: Day) -> String {
    let epoch = jiff::civil::date(1970, 1, 1);
    epoch
        .checked_add(jiff::Span::new().days(day.0))
        .map_or_else(|_| "a day far off".to_owned(), |date| date.strftime("%-d %B %Y").to_string())
}

/// How each reading stands, in words, by its operation: for the logbook.
pub fn words_of(done: &[Done], limits: &[Limit]) -> HashMap<OpId, &'static str> {
    if limits.is_empty() {
        return HashMap::new();
    }
    let word = |one: &Taken<'_>| match &one.verdict {
        Some(Ok((outcome, _))) => Some((one.done.op_id, outcome.label())),
        Some(Err(_)) | None => None,
    };
    things(done, limits).iter().flat_map(|thing| &thing.taken).filter_map(word).collect()
}
