//! Whether a plan can be made of what was told, and what has to wait.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use thiserror::Error;

use super::input::{Access, Arrival, Garage, Job, JobId, Part, PartId};
use super::problem::{Door, Piece, Problem, Slot};
use super::time::{Minutes, written};
use crate::trade::limits::Day;

/// Sets of access are 64 bits wide.
const MOST_ACCESS: usize = 64;
/// Far above any garage; a bound on what one request can make the planner do.
const MOST_JOBS: usize = 2_000;
const MOST_PIECES: usize = 5_000;
const MOST_EVENINGS: usize = 1_500;
/// About a human life, in days from 1970 and in days from today: so that no sum of days overflows.
const MOST_DAYS: i32 = 200_000;

/// Why no plan can be made at all.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum Fault {
    #[error("There is no evening to work in from {0} on: enter at least one, with its minutes.")]
    NoEvenings(String),
    #[error("These jobs wait for each other in a ring, so none can begin: {}. Take one ‘after’ away.", .0.join(", "))]
    Ring(Vec<String>),
    #[error("‘{0}’ is listed twice: give each its own name.")]
    Twice(String),
    #[error("‘{job}’ comes after ‘{after}’, which is on no list: add it, or take the ‘after’ away.")]
    UnknownJob { job: String, after: JobId },
    #[error("‘{0}’ is asked for as access and described nowhere: say how long it takes to open and to close.")]
    UnknownAccess(String),
    #[error(
        "‘{job}’ needs ‘{needs}’ and cannot be done with ‘{other}’, which go together nowhere: look at its access."
    )]
    Contradicts { job: String, needs: String, other: String },
    #[error("‘{0}’ and ‘{1}’ are both open now, and must not be: close one of them before anything else.")]
    OpenTogether(String, String),
    #[error("{what}: {found} are more than the {most} that a plan can hold.")]
    TooMany { what: &'static str, found: usize, most: usize },
    #[error("‘{job}’ has {done} pieces done and only {pieces} in all: correct one of the two.")]
    MoreDoneThanThere { job: String, done: usize, pieces: usize },
    #[error("Day {0} lies outside every calendar in use: correct it.")]
    NoSuchDay(i32),
}

/// Why a job is not in the plan.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Waits {
    NoTimes,
    Tool {
        tool: String,
    },
    PartUnknown {
        words: String,
    },
    PartTooLate {
        words: String,
        day: Day,
    },
    NoHelper,
    TooLong {
        piece: Minutes,
        longest: Minutes,
    },
    After {
        title: String,
    },
    /// The evenings are full.
    NoRoom,
}

/// Something to know of the plan.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Note {
    Waits { job: usize, title: String, why: Waits },
    WantedInThePast(Day),
    EveningsGone(usize),
    NothingLeft,
}

impl fmt::Display for Waits {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Waits::NoTimes => out.write_str("nobody has guessed how long it takes: give it three figures"),
            Waits::Tool { tool } => write!(out, "the tool ‘{tool}’ is not in the chest: borrow or buy one first"),
            Waits::PartUnknown { words } => {
                write!(out, "it is not known when {words} will be there: look it up or order, and enter the day")
            }
            Waits::PartTooLate { words, day } => {
                write!(out, "{words} are expected on {}, after the last evening: add evenings", written(*day))
            }
            Waits::NoHelper => out.write_str("it takes a helper, and no evening in time has one: ask somebody"),
            Waits::TooLong { piece, longest } => write!(
                out,
                "a piece of it takes {piece} with its access, and the longest evening in question has {longest}: say \
                 where in it the car may be left, or find a longer day"
            ),
            Waits::After { title } => write!(out, "it comes after ‘{title}’, which has to wait"),
            Waits::NoRoom => out.write_str("the evenings are full: add some"),
        }
    }
}

impl fmt::Display for Note {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Note::Waits { title, why, .. } => write!(out, "‘{title}’ is not in the plan: {why}."),
            Note::WantedInThePast(day) => {
                write!(out, "The wanted date {} is past, so its chance is nil: choose a later one.", written(*day))
            }
            Note::EveningsGone(1) => out.write_str("One evening lies in the past and was left out."),
            Note::EveningsGone(many) => write!(out, "{many} evenings lie in the past and were left out."),
            Note::NothingLeft => out.write_str("Nothing is left to plan."),
        }
    }
}

/// What the search is given, and what was noticed on the way.
#[derive(Debug, Clone)]
pub(super) struct Checked {
    pub problem: Problem,
    /// For each slot of the problem: which of the garage's evenings it is.
    pub evenings: Vec<usize>,
    pub notes: Vec<Note>,
}

/// The first day on which a part can be used, as guessed; `None` where nobody knows.
pub(super) fn expected(garage: &Garage, part: &PartId) -> Option<Day> {
    let arrival = garage.parts.iter().find(|known| known.id == *part).map_or(Arrival::Unknown, |known| known.arrival);
    match arrival {
        Arrival::OnTheShelf => Some(garage.today),
        Arrival::Ordered(days) | Arrival::ToOrder(days) => {
            Some(Day(garage.today.0.saturating_add_unsigned(days.likely())))
        }
        Arrival::Unknown => None,
    }
}

pub(super) fn check(garage: &Garage) -> Result<Checked, Vec<Fault>> {
    let mut faults = Vec::new();
    sizes(garage, &mut faults);
    if !faults.is_empty() {
        return Err(faults);
    }
    names(garage, &mut faults);
    access(garage, &mut faults);
    if faults.is_empty() {
        faults.extend(ring(garage).map(Fault::Ring));
    }
    let mut evenings: Vec<usize> =
        (0..garage.evenings.len()).filter(|&at| garage.evenings[at].day >= garage.today).collect();
    evenings.sort_by_key(|&at| garage.evenings[at].day);
    if evenings.is_empty() {
        faults.push(Fault::NoEvenings(written(garage.today)));
    }
    if !faults.is_empty() {
        return Err(faults);
    }
    Ok(numbers(garage, evenings))
}

fn sizes(garage: &Garage, faults: &mut Vec<Fault>) {
    let pieces = garage.jobs.iter().map(|job| job.pieces.len()).sum();
    for (what, found, most) in [
        ("Jobs", garage.jobs.len(), MOST_JOBS),
        ("Pieces of jobs", pieces, MOST_PIECES),
        ("Kinds of access", garage.access.len(), MOST_ACCESS),
        ("Evenings", garage.evenings.len(), MOST_EVENINGS),
    ] {
        if found > most {
            faults.push(Fault::TooMany { what, found, most });
        }
    }
    let days = garage.evenings.iter().map(|evening| evening.day).chain([garage.today]);
    faults.extend(days.filter(|day| !(-MOST_DAYS..=MOST_DAYS).contains(&day.0)).map(|day| Fault::NoSuchDay(day.0)));
}

fn names(garage: &Garage, faults: &mut Vec<Fault>) {
    let jobs = garage.jobs.iter().map(|job| &job.id.0);
    let access = garage.access.iter().map(|access| &access.id.0);
    let parts = garage.parts.iter().map(|part: &Part| &part.id.0);
    faults.extend([twice(jobs), twice(access), twice(parts)].into_iter().flatten());
    let known: BTreeSet<&JobId> = garage.jobs.iter().map(|job| &job.id).collect();
    for job in &garage.jobs {
        for after in job.after.iter().filter(|after| !known.contains(after)) {
            faults.push(Fault::UnknownJob { job: job.title.clone(), after: after.clone() });
        }
        if job.done > job.pieces.len() {
            faults.push(Fault::MoreDoneThanThere { job: job.title.clone(), done: job.done, pieces: job.pieces.len() });
        }
    }
}

fn twice<'a>(names: impl Iterator<Item = &'a String>) -> Option<Fault> {
    let mut seen = BTreeSet::new();
    names.into_iter().find(|name| !seen.insert(*name)).map(|name| Fault::Twice(name.clone()))
}

fn access(garage: &Garage, faults: &mut Vec<Fault>) {
    let known: BTreeMap<_, _> = garage.access.iter().map(|access| (&access.id, access)).collect();
    let asked = garage.jobs.iter().flat_map(|job| job.needs.iter().chain(&job.blocked_by));
    let asked = asked.chain(garage.conflicts.iter().flat_map(|(one, other)| [one, other]));
    let unknown: BTreeSet<_> = asked.filter(|asked| !known.contains_key(asked)).collect();
    faults.extend(unknown.into_iter().map(|id| Fault::UnknownAccess(id.0.clone())));
    let title = |id| known.get(id).map_or(String::new(), |access: &&Access| access.title.clone());
    for job in &garage.jobs {
        let conflicting =
            garage.conflicts.iter().filter(|(one, other)| job.needs.contains(one) && job.needs.contains(other));
        let blocked = job.blocked_by.iter().filter(|access| job.needs.contains(access)).map(|access| (access, access));
        for (needs, other) in conflicting.map(|(one, other)| (one, other)).chain(blocked) {
            faults.push(Fault::Contradicts { job: job.title.clone(), needs: title(needs), other: title(other) });
        }
    }
    let open = |id| known.get(id).is_some_and(|access: &&Access| access.open);
    for (one, other) in garage.conflicts.iter().filter(|(one, other)| open(one) && open(other)) {
        faults.push(Fault::OpenTogether(title(one), title(other)));
    }
}

/// All members of one ring of predecessors, in the order in which they wait.
fn ring(garage: &Garage) -> Option<Vec<String>> {
    let at: BTreeMap<&JobId, usize> = garage.jobs.iter().enumerate().map(|(at, job)| (&job.id, at)).collect();
    let waits: Vec<Vec<usize>> =
        garage.jobs.iter().map(|job| job.after.iter().filter_map(|id| at.get(id).copied()).collect()).collect();
    Some(super::ring::ring(&waits)?.into_iter().map(|job| garage.title(job).to_owned()).collect())
}

fn bits(garage: &Garage, ids: &[super::input::AccessId]) -> u64 {
    let at = |id: &super::input::AccessId| garage.access.iter().position(|access| access.id == *id);
    ids.iter().filter_map(at).fold(0, |set, bit| set | 1 << bit)
}

fn numbers(garage: &Garage, evenings: Vec<usize>) -> Checked {
    let slot = |&at: &usize| {
        let evening = &garage.evenings[at];
        Slot { day: evening.day.0, minutes: evening.minutes.0, helper: evening.helper }
    };
    let door = |access: &Access| Door {
        open: access.to_open.0.min(100_000),
        close: access.to_close.0.min(100_000),
        keep: access.to_keep.map(|keep| keep.0.min(100_000)),
    };
    let mut problem = Problem {
        pieces: Vec::new(),
        doors: garage.access.iter().map(door).collect(),
        slots: evenings.iter().map(slot).collect(),
        today: garage.today.0,
        open: garage
            .access
            .iter()
            .enumerate()
            .filter(|(_, access)| access.open)
            .fold(0, |set, (bit, _)| set | 1 << bit),
        begun: Vec::new(),
        contended: 0,
    };
    let mut notes = Vec::new();
    let gone = garage.evenings.len() - evenings.len();
    if gone > 0 {
        notes.push(Note::EveningsGone(gone));
    }
    if let Some(wanted) = garage.wanted.filter(|wanted| *wanted < garage.today) {
        notes.push(Note::WantedInThePast(wanted));
    }
    let waiting = waiting(garage, &problem);
    let listed = waiting.iter().enumerate().filter_map(|(job, why)| why.clone().map(|why| (job, why)));
    notes.extend(listed.map(|(job, why)| Note::Waits { job, title: garage.title(job).to_owned(), why }));
    pieces(garage, &mut problem, &waiting);
    if problem.pieces.is_empty() && problem.open == 0 {
        notes.push(Note::NothingLeft);
    }
    Checked { problem, evenings, notes }
}

/// For each job: why it cannot be planned, if so.
fn waiting(garage: &Garage, problem: &Problem) -> Vec<Option<Waits>> {
    let mut waiting: Vec<Option<Waits>> = garage.jobs.iter().map(|job| by_itself(garage, problem, job)).collect();
    let mut followers: BTreeMap<&JobId, Vec<usize>> = BTreeMap::new();
    for (at, job) in garage.jobs.iter().enumerate().filter(|(_, job)| job.done < job.pieces.len()) {
        for before in &job.after {
            followers.entry(before).or_default().push(at);
        }
    }
    let mut held: Vec<usize> = (0..waiting.len()).filter(|&job| waiting[job].is_some()).collect();
    while let Some(before) = held.pop() {
        let before = &garage.jobs[before];
        for &job in followers.get(&before.id).into_iter().flatten() {
            if waiting[job].is_none() {
                waiting[job] = Some(Waits::After { title: before.title.clone() });
                held.push(job);
            }
        }
    }
    waiting
}

fn by_itself(garage: &Garage, problem: &Problem, job: &Job) -> Option<Waits> {
    if job.pieces.is_empty() {
        return Some(Waits::NoTimes);
    }
    if job.done >= job.pieces.len() {
        return None;
    }
    if let Some(tool) = job.tools.iter().find(|tool| !garage.tools.contains(*tool)) {
        return Some(Waits::Tool { tool: tool.clone() });
    }
    if let Some(part) = job.parts.iter().find(|need| expected(garage, &need.part).is_none()) {
        return Some(Waits::PartUnknown { words: part.words.clone() });
    }
    let from = ready(garage, job);
    let in_time: Vec<&Slot> = problem.slots.iter().filter(|slot| slot.day >= from.0).collect();
    if in_time.is_empty() {
        let late = job.parts.iter().max_by_key(|need| expected(garage, &need.part))?;
        return Some(Waits::PartTooLate { words: late.words.clone(), day: from });
    }
    let Some(longest) = in_time.iter().filter(|slot| slot.helper || !job.helper).map(|slot| slot.minutes).max() else {
        return Some(Waits::NoHelper);
    };
    let doors = garage.access.iter().zip(&problem.doors).filter(|(access, _)| job.needs.contains(&access.id));
    // The least that its evening pays for access: what is open may stay so, and be closed on another evening.
    let least: u32 = doors
        .map(|(access, door)| {
            let enter = if access.open { door.keep.unwrap_or(0) } else { door.at_least() };
            enter + if door.keep.is_none() { door.close } else { 0 }
        })
        .sum();
    let piece = job.pieces[job.done..].iter().map(|piece| piece.likely()).max()?.saturating_add(least);
    (piece > longest).then_some(Waits::TooLong { piece: Minutes(piece), longest: Minutes(longest) })
}

/// The day on which the last of its parts is there.
fn ready(garage: &Garage, job: &Job) -> Day {
    job.parts.iter().filter_map(|need| expected(garage, &need.part)).max().unwrap_or(garage.today)
}

fn pieces(garage: &Garage, problem: &mut Problem, waiting: &[Option<Waits>]) {
    let conflicts: Vec<(u64, u64)> = garage
        .conflicts
        .iter()
        .map(|(one, other)| (bits(garage, std::slice::from_ref(one)), bits(garage, std::slice::from_ref(other))))
        .collect();
    let mut last: BTreeMap<&JobId, usize> = BTreeMap::new();
    for (at, job) in garage.jobs.iter().enumerate().filter(|(at, _)| waiting[*at].is_none()) {
        let need = bits(garage, &job.needs);
        let against = |(one, other): &(u64, u64)| {
            (if need & one != 0 { *other } else { 0 }) | if need & other != 0 { *one } else { 0 }
        };
        let avoid = conflicts.iter().map(against).fold(bits(garage, &job.blocked_by), |set, more| set | more);
        let day = ready(garage, job).0;
        let from = problem.slots.iter().position(|slot| slot.day >= day).unwrap_or(problem.slots.len());
        let first = problem.pieces.len();
        for (number, minutes) in job.pieces.iter().enumerate().skip(job.done) {
            let piece = problem.pieces.len();
            problem.pieces.push(Piece {
                job: at,
                number,
                minutes: minutes.likely(),
                need,
                avoid,
                from,
                helper: job.helper,
                only: None,
                before: if piece > first { vec![piece - 1] } else { Vec::new() },
                after: Vec::new(),
            });
        }
        problem.contended |= avoid;
        let pieces: Vec<usize> = (first..problem.pieces.len()).collect();
        if let Some(&end) = pieces.last() {
            last.insert(&job.id, end);
            if job.done > 0 {
                problem.begun.push(pieces);
            }
        }
    }
    for piece in 0..problem.pieces.len() {
        let at = &problem.pieces[piece];
        let job = &garage.jobs[at.job];
        if at.number == job.done {
            let before: BTreeSet<usize> = job.after.iter().filter_map(|id| last.get(id).copied()).collect();
            problem.pieces[piece].before.extend(before);
        }
        for before in problem.pieces[piece].before.clone() {
            problem.pieces[before].after.push(piece);
        }
    }
}
