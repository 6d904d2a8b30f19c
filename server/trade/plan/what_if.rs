//! What it costs to do a job in another evening: everything else is planned anew around it.

use super::check::{Fault, Waits, check};
use super::improve::Effort;
use super::input::{Garage, JobId};
use super::pins::{self, Pin};
use super::solve::{Plan, solve, told};
use super::time::{Minutes, written};

/// The difference that a move makes; negative is better.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    pub time: i64,
    /// Days.
    pub finish: i32,
    pub nights_apart: i64,
    /// The plan with the job where it was asked to be.
    pub plan: Plan,
    pub say: String,
}

/// What came out of the question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WhatIf {
    Moved(Moved),
    /// It cannot be done there, and why.
    Cannot(String),
}

/// What it costs to do all that is left of a job in one of the garage's evenings, against `plan`.
pub fn what_if(
    garage: &Garage,
    plan: &Plan,
    job: &JobId,
    evening: usize,
    effort: Effort,
) -> Result<WhatIf, Vec<Fault>> {
    what_if_with(garage, &[], plan, job, evening, effort)
}

/// The same where other jobs are kept to their evenings.
pub fn what_if_with(
    garage: &Garage,
    others: &[Pin],
    plan: &Plan,
    job: &JobId,
    evening: usize,
    effort: Effort,
) -> Result<WhatIf, Vec<Fault>> {
    let mut checked = check(garage)?;
    pins::hold(garage, &mut checked, others);
    let Some((at, title)) = garage.jobs.iter().position(|known| known.id == *job).map(|at| (at, garage.title(at)))
    else {
        return Ok(WhatIf::Cannot(format!("No job is called ‘{job}’: look at the list.")));
    };
    let Some(slot) = checked.evenings.iter().position(|&known| known == evening) else {
        return Ok(WhatIf::Cannot("That evening is past, or was never entered: choose another one.".to_owned()));
    };
    let problem = &mut checked.problem;
    let pieces: Vec<usize> = (0..problem.pieces.len()).filter(|&piece| problem.pieces[piece].job == at).collect();
    if pieces.is_empty() {
        return Ok(WhatIf::Cannot(format!("Nothing of {title} can be planned: it is done, or waits for something.")));
    }
    let day = written(garage.evenings[evening].day);
    if let Some(why) = refusal(garage, at, pieces.iter().any(|&piece| slot < problem.pieces[piece].from), evening) {
        return Ok(WhatIf::Cannot(format!("{title} cannot be done on {day}: {why}.")));
    }
    for piece in pieces {
        problem.pieces[piece].only = Some(slot);
    }
    let solved = solve(problem, effort);
    if solved.worth.left_over > plan.objective.left_over {
        let left = solved.worth.left_over - plan.objective.left_over;
        let why = format!(
            "{title} on {day} leaves {left} of work without an evening, here or in what comes before or after it."
        );
        return Ok(WhatIf::Cannot(why));
    }
    Ok(WhatIf::Moved(moved(plan, told(garage, &checked, &solved), title, &day)))
}

/// Why a job cannot be done in an evening at all, as the end of a sentence.
pub(super) fn refusal(garage: &Garage, job: usize, too_early: bool, evening: usize) -> Option<String> {
    let (job, evening) = (&garage.jobs[job], &garage.evenings[evening]);
    if job.helper && !evening.helper {
        return Some("it takes a helper, and none is there".to_owned());
    }
    if too_early {
        let words: Vec<&str> = job.parts.iter().map(|need| need.words.as_str()).collect();
        return Some(format!("{} will not be there yet", super::explain::listed(&words)));
    }
    let work = Minutes(job.pieces[job.done..].iter().map(|piece| piece.likely()).sum());
    (work > evening.minutes).then(|| Waits::TooLong { piece: work, longest: evening.minutes }.to_string())
}

fn moved(old: &Plan, new: Plan, title: &str, day: &str) -> Moved {
    let (was, is) = (old.objective, new.objective);
    let time = i64::from(is.time.0) - i64::from(was.time.0);
    let finish = is.finish.0 - was.finish.0;
    let nights_apart = i64::from(is.nights_apart) - i64::from(was.nights_apart);
    let minutes = Minutes(u32::try_from(time.unsigned_abs()).unwrap_or(u32::MAX));
    let parts = [
        change(time, &minutes.to_string(), "more work", "less work"),
        change(finish.into(), &days(finish.unsigned_abs()), "later finished", "earlier finished"),
        change(nights_apart, &nights(nights_apart.unsigned_abs()), "more apart", "fewer apart"),
    ];
    let parts: Vec<&str> = parts.iter().flatten().map(String::as_str).collect();
    let cost =
        if parts.is_empty() { "costs nothing".to_owned() } else { format!("means {}", super::explain::listed(&parts)) };
    Moved { time, finish, nights_apart, plan: new, say: format!("Doing {title} on {day} {cost}.") }
}

fn change(by: i64, figure: &str, more: &str, less: &str) -> Option<String> {
    (by != 0).then(|| format!("{figure} {}", if by > 0 { more } else { less }))
}

fn days(days: u32) -> String {
    if days == 1 { "a day".to_owned() } else { format!("{days} days") }
}

fn nights(nights: u64) -> String {
    if nights == 1 { "one night".to_owned() } else { format!("{nights} nights") }
}
