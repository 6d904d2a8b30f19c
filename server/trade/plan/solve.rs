//! From a garage to a plan that people can read.

use super::bound;
use super::check::{self, Checked, Fault, Note, Waits};
use super::exact;
use super::explain;
use super::improve::{self, Effort};
use super::input::{AccessId, Garage, JobId};
use super::order;
use super::problem::{Problem, members};
use super::solution::{Objective, Solution};
use super::time::Minutes;
use crate::trade::limits::Day;

/// One thing done in an evening.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub enum Act {
    /// Something that stayed open is looked over, or made safe and clean again.
    LookOver {
        access: AccessId,
        minutes: Minutes,
    },
    Open {
        access: AccessId,
        minutes: Minutes,
    },
    Work {
        job: JobId,
        /// Which of the job's pieces, from 0.
        piece: usize,
        minutes: Minutes,
        /// Why here: a sentence without its full stop, to follow the job's title.
        why: String,
    },
    Close {
        access: AccessId,
        minutes: Minutes,
    },
}

impl Act {
    pub fn minutes(&self) -> Minutes {
        match self {
            Act::LookOver { minutes, .. }
            | Act::Open { minutes, .. }
            | Act::Work { minutes, .. }
            | Act::Close { minutes, .. } => *minutes,
        }
    }
}

/// An evening on which something is done.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct PlannedEvening {
    /// Where it stands in the garage's list.
    pub evening: usize,
    pub day: Day,
    pub acts: Vec<Act>,
    pub used: Minutes,
    /// How the car sleeps: what is open, and which jobs are half done.
    pub open: Vec<AccessId>,
    pub half_done: Vec<JobId>,
}

#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Plan {
    pub evenings: Vec<PlannedEvening>,
    pub objective: Objective,
    /// No plan that leaves nothing over takes less.
    pub least_time: Minutes,
    /// Whether no plan is better, in all that is minimised.
    pub proven: bool,
    pub notes: Vec<Note>,
}

impl Plan {
    pub fn evening_of(&self, job: &JobId) -> Option<&PlannedEvening> {
        let works = |act: &Act| matches!(act, Act::Work { job: worked, .. } if worked == job);
        self.evenings.iter().find(|evening| evening.acts.iter().any(works))
    }
}

/// Plans all that is left to do.
pub fn plan(garage: &Garage, effort: Effort) -> Result<Plan, Vec<Fault>> {
    let checked = check::check(garage)?;
    let solved = solve(&checked.problem, effort);
    Ok(told(garage, &checked, &solved))
}

pub(super) struct Solved {
    pub worth: Objective,
    pub solution: Solution,
    pub proven: bool,
}

pub(super) fn solve(problem: &Problem, effort: Effort) -> Solved {
    let good = improve::improved(problem, effort);
    let (better, complete) = exact::better(problem, good.as_ref().map(|(worth, _)| *worth), effort.partial_plans);
    let better = better.and_then(|solution| solution.worth(problem).map(|worth| (worth, solution)));
    let Some((worth, solution)) = better.into_iter().chain(good).min_by_key(|(worth, _)| *worth) else {
        return nothing(problem);
    };
    Solved { proven: complete && worth.left_over == Minutes(0), worth, solution }
}

/// Where nothing can be done at all: what is open is closed nowhere, since no evening has the minutes.
fn nothing(problem: &Problem) -> Solved {
    let solution = Solution { at: vec![None; problem.pieces.len()], episodes: vec![Vec::new(); problem.doors.len()] };
    let worth =
        Objective { left_over: Minutes(problem.work()), time: Minutes(0), finish: Day(problem.today), nights_apart: 0 };
    Solved { worth, solution, proven: false }
}

pub(super) fn told(garage: &Garage, checked: &Checked, solved: &Solved) -> Plan {
    let (problem, solution) = (&checked.problem, &solved.solution);
    let worked = solution.worked(problem);
    let mut notes = checked.notes.clone();
    notes.extend(left_over(garage, problem, solution));
    let mut plan = Plan {
        evenings: (0..worked.len())
            .filter(|&slot| worked[slot])
            .map(|slot| evening(garage, checked, solution, slot))
            .collect(),
        objective: solved.worth,
        least_time: Minutes(bound::least_time(problem)),
        proven: solved.proven,
        notes,
    };
    explain::explain(garage, &mut plan);
    plan
}

fn left_over(garage: &Garage, problem: &Problem, solution: &Solution) -> Vec<Note> {
    let pieces = solution.at.iter().zip(&problem.pieces).filter(|(at, _)| at.is_none());
    let mut jobs: Vec<usize> = pieces.map(|(_, piece)| piece.job).collect();
    jobs.dedup();
    jobs.into_iter().map(|job| Note::Waits { job, title: garage.title(job).to_owned(), why: Waits::NoRoom }).collect()
}

fn evening(garage: &Garage, checked: &Checked, solution: &Solution, slot: usize) -> PlannedEvening {
    let problem = &checked.problem;
    let acts = acts(garage, problem, solution, slot);
    let carried = solution.carried(slot);
    PlannedEvening {
        evening: checked.evenings[slot],
        day: Day(problem.slots[slot].day),
        used: acts.iter().map(Act::minutes).sum(),
        acts,
        open: members(carried.out).map(|access| garage.access[access].id.clone()).collect(),
        half_done: half_done(garage, problem, solution, slot),
    }
}

/// Jobs of which something is done at the end of this slot, and something is not.
fn half_done(garage: &Garage, problem: &Problem, solution: &Solution, slot: usize) -> Vec<JobId> {
    let done = |piece: usize| solution.at[piece].is_some_and(|at| at <= slot);
    let mut begun: Vec<usize> =
        problem.begun.iter().filter_map(|pieces| pieces.first()).map(|&piece| problem.pieces[piece].job).collect();
    begun.extend((0..problem.pieces.len()).filter(|&piece| done(piece)).map(|piece| problem.pieces[piece].job));
    begun.sort_unstable();
    begun.dedup();
    let left = |job: &usize| (0..problem.pieces.len()).any(|piece| problem.pieces[piece].job == *job && !done(piece));
    begun.into_iter().filter(left).map(|job| garage.jobs[job].id.clone()).collect()
}

fn acts(garage: &Garage, problem: &Problem, solution: &Solution, slot: usize) -> Vec<Act> {
    let carried = solution.carried(slot);
    let id = |access: usize| garage.access[access].id.clone();
    let close = |access| Act::Close { access: id(access), minutes: Minutes(problem.doors[access].close) };
    let keep = |access: usize| Minutes(problem.doors[access].keep.unwrap_or(0));
    let mut acts: Vec<Act> =
        members(carried.into).map(|access| Act::LookOver { access: id(access), minutes: keep(access) }).collect();
    let mut open = carried.into;
    // A plan was judged before it comes here, and so has an order.
    for piece in order::of(problem, &solution.pieces_of(slot), carried).unwrap_or_default() {
        let known = &problem.pieces[piece];
        acts.extend(members(open & known.avoid).map(close));
        open &= !known.avoid;
        let opened = members(known.need & !open);
        acts.extend(
            opened.map(|access| Act::Open { access: id(access), minutes: Minutes(problem.doors[access].open) }),
        );
        open |= known.need;
        acts.push(Act::Work {
            job: garage.jobs[known.job].id.clone(),
            piece: known.number,
            minutes: Minutes(known.minutes),
            why: String::new(),
        });
    }
    acts.extend(members(open & !carried.out).map(close));
    acts
}
