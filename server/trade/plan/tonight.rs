//! What this evening is good for: the best thing to start, the next best, and what is in the way of the one that is wanted.
//!
//! For each job that can be started now, the evening is filled from it: again and again the job is added which opens least,
//! then the one that most work waits for, as long as the evening holds them with their access. The best start is the one
//! whose evening does most work after its access is paid; then the one that most work waits for; then the first of the list.

use std::collections::BTreeSet;

use super::check::{Fault, check};
use super::explain::listed;
use super::input::{AccessId, Arrival, Garage, Job, JobId, PartId};
use super::problem::{Problem, Slot, members};
use super::time::Minutes;

/// The evening that lies before somebody.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tonight {
    pub minutes: Minutes,
    pub helper: bool,
    pub on_the_shelf: BTreeSet<PartId>,
    pub open: BTreeSet<AccessId>,
    /// The job that somebody would like to do.
    pub wanted: Option<JobId>,
}

/// A job to begin with, and what the evening holds then.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Start {
    pub job: JobId,
    /// In their order, the first one included. A job may have several pieces in it.
    pub jobs: Vec<JobId>,
    pub work: Minutes,
    pub access: Minutes,
    pub say: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Advice {
    pub best: Option<Start>,
    pub next: Option<Start>,
    /// What is in the way of the wanted job, each as a few words: 'two crush washers'. Empty: nothing is.
    pub in_the_way: Vec<String>,
    pub say: String,
}

pub fn tonight(garage: &Garage, evening: &Tonight) -> Result<Advice, Vec<Fault>> {
    let garage = as_it_stands(garage, evening);
    let checked = check(&garage)?;
    let problem = &checked.problem;
    let fill = Fill {
        garage: &garage,
        problem,
        slot: Slot { day: garage.today.0, minutes: evening.minutes.0, helper: evening.helper },
        behind: (0..problem.pieces.len()).map(|piece| behind(problem, piece)).collect(),
    };
    let mut starts: Vec<(i64, u32, usize, Vec<usize>)> = Vec::new();
    for first in (0..problem.pieces.len()).filter(|&piece| fill.ready(piece, &[])) {
        let Some(pieces) = fill.from(first) else { continue };
        let worth = i64::from(fill.work(&pieces)) - i64::from(fill.access(&pieces));
        starts.push((-worth, u32::MAX - fill.behind[first], first, pieces));
    }
    starts.sort();
    let mut starts = starts.into_iter().map(|(.., pieces)| fill.told(&pieces));
    let best = starts.next();
    let next = starts.next();
    let in_the_way = evening.wanted.as_ref().map_or(Vec::new(), |wanted| in_the_way(&garage, &fill, evening, wanted));
    let say = say(&garage, evening, best.as_ref(), &in_the_way);
    Ok(Advice { best, next, in_the_way, say })
}

/// The garage of this evening: what is on the shelf is there, everything else is not.
fn as_it_stands(garage: &Garage, evening: &Tonight) -> Garage {
    let mut garage = garage.clone();
    for part in &mut garage.parts {
        part.arrival = if evening.on_the_shelf.contains(&part.id) { Arrival::OnTheShelf } else { Arrival::Unknown };
    }
    let listed: BTreeSet<PartId> = garage.parts.iter().map(|part| part.id.clone()).collect();
    let unlisted = evening.on_the_shelf.iter().filter(|part| !listed.contains(*part));
    garage.parts.extend(unlisted.map(|id| super::input::Part { id: id.clone(), arrival: Arrival::OnTheShelf }));
    for access in &mut garage.access {
        access.open = evening.open.contains(&access.id);
    }
    garage.evenings =
        vec![super::input::Evening { day: garage.today, minutes: evening.minutes, helper: evening.helper }];
    garage
}

struct Fill<'a> {
    garage: &'a Garage,
    problem: &'a Problem,
    slot: Slot,
    /// For each piece the minutes of all work that waits for it, directly or not, and its own.
    behind: Vec<u32>,
}

fn behind(problem: &Problem, piece: usize) -> u32 {
    let mut seen = vec![false; problem.pieces.len()];
    seen[piece] = true;
    let (mut waiting, mut minutes) = (vec![piece], 0);
    while let Some(piece) = waiting.pop() {
        minutes += problem.pieces[piece].minutes;
        for &after in &problem.pieces[piece].after {
            if !std::mem::replace(&mut seen[after], true) {
                waiting.push(after);
            }
        }
    }
    minutes
}

impl Fill<'_> {
    /// Whether it can be worked after these.
    fn ready(&self, piece: usize, done: &[usize]) -> bool {
        let known = &self.problem.pieces[piece];
        !done.contains(&piece)
            && (self.slot.helper || !known.helper)
            && known.before.iter().all(|before| done.contains(before))
    }

    /// The evening that begins with this one; `None` where it does not hold even that.
    fn from(&self, first: usize) -> Option<Vec<usize>> {
        let mut pieces = vec![first];
        if !self.holds(&pieces) {
            return None;
        }
        loop {
            let access = self.access(&pieces);
            let with = |next: usize| pieces.iter().copied().chain([next]).collect::<Vec<_>>();
            let free =
                (0..self.problem.pieces.len()).filter(|&next| self.ready(next, &pieces) && self.holds(&with(next)));
            let key =
                |&next: &usize| (self.access(&with(next)).saturating_sub(access), u32::MAX - self.behind[next], next);
            match free.min_by_key(key) {
                Some(next) => pieces.push(next),
                None => return Some(pieces),
            }
        }
    }

    /// Whether the evening has the minutes, and nothing is opened that a later one must avoid or has closed.
    fn holds(&self, pieces: &[usize]) -> bool {
        let (mut users, mut avoided) = (0, 0);
        for &piece in pieces {
            let known = &self.problem.pieces[piece];
            if known.avoid & users != 0 || known.need & avoided != 0 {
                return false;
            }
            users |= known.need;
            avoided |= known.avoid;
        }
        self.work(pieces) + self.access(pieces) <= self.slot.minutes
    }

    fn work(&self, pieces: &[usize]) -> u32 {
        pieces.iter().map(|&piece| self.problem.pieces[piece].minutes).sum()
    }

    /// What is open already is looked over, what is needed besides is opened, and all of it is closed again, except that what
    /// was open and nobody uses or must avoid stays so.
    fn access(&self, pieces: &[usize]) -> u32 {
        let set = |of: &dyn Fn(usize) -> u64| pieces.iter().fold(0, |set, &piece| set | of(piece));
        let need = set(&|piece| self.problem.pieces[piece].need);
        let avoid = set(&|piece| self.problem.pieces[piece].avoid);
        let open = self.problem.open;
        let doors = &self.problem.doors;
        let opened: u32 = members(need & !open).map(|access| doors[access].open).sum();
        let kept: u32 = members(open).map(|access| doors[access].keep.unwrap_or(0)).sum();
        let keepless =
            members(open).filter(|&access| doors[access].keep.is_none()).fold(0, |set, access| set | 1 << access);
        let closed: u32 = members(need | (open & (avoid | keepless))).map(|access| doors[access].close).sum();
        opened + kept + closed
    }

    fn job(&self, piece: usize) -> &Job {
        &self.garage.jobs[self.problem.pieces[piece].job]
    }

    fn told(&self, pieces: &[usize]) -> Start {
        let mut jobs: Vec<JobId> = Vec::new();
        let mut others: Vec<&str> = Vec::new();
        for &piece in pieces {
            let job = self.job(piece);
            if !jobs.contains(&job.id) {
                jobs.push(job.id.clone());
                others.push(&job.title);
            }
        }
        let (work, access) = (Minutes(self.work(pieces)), Minutes(self.access(pieces)));
        let first = others.remove(0);
        let then = if others.is_empty() { String::new() } else { format!(", then {}", listed(&others)) };
        let left = Minutes(self.slot.minutes) - work - access;
        let say = format!("Start with {first}{then}: {work} of work and {access} of access, {left} to spare.");
        Start { job: self.job(pieces[0]).id.clone(), jobs, work, access, say }
    }
}

/// Everything that keeps a job from being begun this evening.
fn in_the_way(garage: &Garage, fill: &Fill<'_>, evening: &Tonight, wanted: &JobId) -> Vec<String> {
    let Some(job) = garage.jobs.iter().find(|job| job.id == *wanted) else {
        return vec![format!("no job is called ‘{wanted}’")];
    };
    if !job.pieces.is_empty() && job.done >= job.pieces.len() {
        return vec!["it is done already".to_owned()];
    }
    let mut way: Vec<String> = Vec::new();
    let parts = job.parts.iter().filter(|need| !evening.on_the_shelf.contains(&need.part));
    way.extend(parts.map(|need| need.words.clone()));
    way.extend(job.tools.iter().filter(|tool| !garage.tools.contains(*tool)).map(|tool| format!("the tool ‘{tool}’")));
    if job.helper && !evening.helper {
        way.push("a helper".to_owned());
    }
    let unfinished =
        |id: &&JobId| garage.jobs.iter().any(|before| before.id == **id && before.done < before.pieces.len());
    let title =
        |id: &JobId| garage.jobs.iter().find(|job| job.id == *id).map_or(String::new(), |job| job.title.clone());
    way.extend(job.after.iter().filter(unfinished).map(|id| format!("{}, which comes first", title(id))));
    if job.pieces.is_empty() {
        way.push("a guess of how long it takes".to_owned());
    }
    way.extend(too_long(garage, fill, job));
    way
}

/// The first piece of a job against the minutes of the evening, whatever else is in its way.
fn too_long(garage: &Garage, fill: &Fill<'_>, job: &Job) -> Option<String> {
    let set = |ids: &[AccessId]| {
        let at = |id: &AccessId| garage.access.iter().position(|access| access.id == *id);
        ids.iter().filter_map(at).fold(0_u64, |set, bit| set | 1 << bit)
    };
    let (need, blocked) = (set(&job.needs), set(&job.blocked_by));
    let (doors, open) = (&fill.problem.doors, fill.problem.open);
    let opened: u32 = members(need & !open).map(|access| doors[access].open).sum();
    let kept: u32 = members(open).map(|access| doors[access].keep.unwrap_or(0)).sum();
    let closed: u32 = members(need | (open & blocked)).map(|access| doors[access].close).sum();
    let piece = job.pieces.get(job.done)?.likely().saturating_add(opened + kept + closed);
    let takes = Minutes(piece);
    (piece > fill.slot.minutes)
        .then(|| format!("time: it takes {takes} with its access, and tonight has {}", Minutes(fill.slot.minutes)))
}

fn say(garage: &Garage, evening: &Tonight, best: Option<&Start>, way: &[String]) -> String {
    let start = best.map_or("Nothing that is left fits this evening.".to_owned(), |start| start.say.clone());
    let title = |id: &JobId| garage.jobs.iter().find(|job| job.id == *id).map_or(id.0.clone(), |job| job.title.clone());
    let words: Vec<&str> = way.iter().map(String::as_str).collect();
    match &evening.wanted {
        Some(wanted) if !way.is_empty() => format!("{start} In the way of {}: {}.", title(wanted), listed(&words)),
        Some(wanted) => format!("{start} Nothing is in the way of {}.", title(wanted)),
        None => start,
    }
}
