//! Which of all that cards open is told to the planner, and what it must know of each.
//!
//! Told is: what is open now; what several cards open; what a card that is cut into pieces has open between them. What only
//! one card opens within one piece stays in that card's work.

use super::job::Job;
use crate::trade::checker::{State, thing};
use crate::trade::effort::leaving::against_leaving;
use crate::trade::effort::{self, Access as Opened};
use crate::trade::plan::{Access, AccessId, Minutes};
use std::collections::BTreeSet;

/// The planner holds 64.
const MOST: usize = 64;

/// What it takes to close an end that is up and that no card brings down. Common practice, no source.
const LET_DOWN: u32 = 10;

/// An access as the planner is told it, with what is true while it is open.
pub struct Told {
    pub access: Access,
    pub facts: State,
}

impl Told {
    pub fn key(&self) -> &str {
        &self.access.id.0
    }
}

/// What is told of these jobs. Where the planner cannot hold it all, what saves most goes first, and a job whose access found
/// no room is not cut into pieces.
pub fn told(jobs: &mut [Job<'_>], now: &State) -> Vec<Told> {
    let keys = chosen(jobs, now);
    keys.into_iter().map(|key| describe(&key, jobs, now)).collect()
}

fn chosen(jobs: &mut [Job<'_>], now: &State) -> Vec<String> {
    let mut keys: Vec<String> = open_now(jobs, now).into_iter().take(MOST).collect();
    let alive: Vec<Vec<Opened>> = jobs.iter().map(|job| job.alive().cloned().collect()).collect();
    let slices: Vec<&[Opened]> = alive.iter().map(Vec::as_slice).collect();
    let mut common = effort::in_common(&slices);
    let saves = |one: &effort::Common| (one.opens + one.closes).likely() as usize * (one.cards.len() - 1);
    common.sort_by(|one, other| saves(other).cmp(&saves(one)).then_with(|| one.key.cmp(&other.key)));
    for one in common {
        if keys.len() < MOST && !keys.contains(&one.key) {
            keys.push(one.key);
        }
    }
    for job in jobs {
        let between: BTreeSet<String> = job.stops.iter().flat_map(|stop| job.open_at(*stop)).collect();
        let new: Vec<String> = between.into_iter().filter(|key| !keys.contains(key)).collect();
        if keys.len() + new.len() <= MOST {
            keys.extend(new);
        } else {
            job.stops.clear();
        }
    }
    keys
}

/// What is open now and some job still has to close, and ends of the car that are up.
fn open_now(jobs: &[Job<'_>], now: &State) -> BTreeSet<String> {
    let of_jobs = jobs.iter().flat_map(Job::alive).map(|access| access.key.clone()).filter(|key| now.holds(key));
    let ends = now.facts().filter(|fact| fact.starts_with("corner:")).map(str::to_owned);
    of_jobs.chain(ends).collect()
}

fn describe(key: &str, jobs: &[Job<'_>], now: &State) -> Told {
    let mut facts: BTreeSet<String> = BTreeSet::from([key.to_owned()]);
    let (mut opens, mut closes, mut may_stay, mut anybody) = (0, 0, true, false);
    for job in jobs {
        for access in job.alive().filter(|access| access.key == key) {
            let (own, stays) = settled(job, access);
            facts.extend(own);
            may_stay &= stays;
            opens = opens.max(access.opens.likely());
            closes = closes.max(access.closes.likely());
            anybody = true;
        }
    }
    if !anybody {
        (opens, closes) = (LET_DOWN, LET_DOWN);
        may_stay = !now.holds(&format!("jacked:{}", thing(key)));
    }
    let access = Access {
        id: AccessId(key.to_owned()),
        title: title(key),
        to_open: Minutes(opens),
        to_close: Minutes(closes),
        to_keep: may_stay.then(|| Minutes(to_keep(key).min(opens + closes))),
        open: now.holds(key),
    };
    Told { access, facts: facts.iter().map(String::as_str).collect() }
}

/// What is true while a job has it open and nothing else, and whether it may be so for a night.
fn settled(job: &Job<'_>, access: &Opened) -> (Vec<String>, bool) {
    let Some(state) = access.opened_by.last().and_then(|last| job.states.get(*last)) else {
        return (Vec::new(), true);
    };
    let programs = access.opened_by.iter().filter_map(|step| job.programs.get(*step));
    let made: BTreeSet<&str> = programs
        .flat_map(|program| program.opens.iter().map(|opened| &opened.key).chain(&program.sets))
        .map(|fact| thing(fact))
        .collect();
    let own: Vec<String> = state.facts().filter(|fact| made.contains(thing(fact))).map(str::to_owned).collect();
    // A wheel is off over the stands of its end.
    let stands = state.facts().filter(|fact| fact.starts_with("stands:"));
    let for_a_night: State = own.iter().map(String::as_str).chain(stands).collect();
    let stays = against_leaving(&for_a_night).is_none();
    (own, stays)
}

/// Minutes that an evening begins with where it was left open: to look over stands and chocks, to cover and wipe what is open.
/// Common practice, no source.
fn to_keep(key: &str) -> u32 {
    match key.split_once(':').map_or("", |(family, _)| family) {
        "corner" => 5,
        "fluid" => 2,
        _ => 1,
    }
}

/// `the rear end up`, `the front wheels off`: as it follows ‘both need’.
pub fn title(key: &str) -> String {
    let (family, thing) = key.split_once(':').unwrap_or(("", key));
    let how = match family {
        "corner" => "up",
        "part" => "off",
        "fluid" => "drained",
        "connection" => "parted",
        _ => "open",
    };
    format!("the {thing} {how}")
}
