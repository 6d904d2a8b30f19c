//! Jobs that somebody keeps to an evening: the rest is planned around them, as long as that can be.
//!
//! A pin gives way rather than push other work out of the evenings: a pin is a wish, and what it breaks is said.

use super::check::{Checked, Fault, check};
use super::improve::Effort;
use super::input::{Garage, JobId};
use super::solve::{Plan, Solved, solve, told};
use super::time::written;
use super::what_if::refusal;
use serde::{Deserialize, Serialize};

/// All that is left of a job in one of the garage's evenings.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pin {
    pub job: JobId,
    /// Where it stands in the garage's list.
    pub evening: usize,
}

/// A plan around its pins.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pinned {
    pub plan: Plan,
    /// Pins that could not be kept, each with the reason as a sentence.
    pub broken: Vec<(Pin, String)>,
}

/// Plans all that is left to do, with these jobs in these evenings. `proven` of the plan then means: the best around its pins.
pub fn plan_with(garage: &Garage, pins: &[Pin], effort: Effort) -> Result<Pinned, Vec<Fault>> {
    let free = check(garage)?;
    let mut broken = Vec::new();
    let mut kept = Vec::new();
    for pin in pins {
        match why_not(garage, &free, pin) {
            Some(why) => broken.push((pin.clone(), why)),
            None => kept.push(pin.clone()),
        }
    }
    let solved = around(&free, garage, &kept, effort);
    if kept.is_empty() || solved.1.worth.left_over.0 == 0 {
        return Ok(Pinned { plan: told(garage, &solved.0, &solved.1), broken });
    }
    Ok(those_that_fit(garage, &free, &kept, broken, effort))
}

/// One pin after the other, each kept if no work loses its evening by it.
fn those_that_fit(
    garage: &Garage,
    free: &Checked,
    pins: &[Pin],
    mut broken: Vec<(Pin, String)>,
    effort: Effort,
) -> Pinned {
    let mut best = around(free, garage, &[], effort);
    let mut kept: Vec<Pin> = Vec::new();
    for pin in pins {
        let more: Vec<Pin> = kept.iter().chain([pin]).cloned().collect();
        let tried = around(free, garage, &more, effort);
        if tried.1.worth.left_over > best.1.worth.left_over {
            let lost = tried.1.worth.left_over - best.1.worth.left_over;
            broken.push((pin.clone(), format!("It would leave {lost} of work without an evening.")));
        } else {
            (kept, best) = (more, tried);
        }
    }
    Pinned { plan: told(garage, &best.0, &best.1), broken }
}

fn around(free: &Checked, garage: &Garage, pins: &[Pin], effort: Effort) -> (Checked, Solved) {
    let mut checked = free.clone();
    hold(garage, &mut checked, pins);
    let solved = solve(&checked.problem, effort);
    (checked, solved)
}

/// Holds the pieces of each pinned job to its evening. Pins of unknown jobs or evenings hold nothing.
pub(super) fn hold(garage: &Garage, checked: &mut Checked, pins: &[Pin]) {
    for pin in pins {
        let slot = checked.evenings.iter().position(|&known| known == pin.evening);
        let job = garage.jobs.iter().position(|known| known.id == pin.job);
        let (Some(slot), Some(job)) = (slot, job) else { continue };
        checked.problem.pieces.iter_mut().filter(|piece| piece.job == job).for_each(|piece| piece.only = Some(slot));
    }
}

/// Why a pin holds nothing or cannot hold; `None` where it may, or where nothing is left of its job to hold.
fn why_not(garage: &Garage, checked: &Checked, pin: &Pin) -> Option<String> {
    let Some(job) = garage.jobs.iter().position(|known| known.id == pin.job) else {
        return Some("Its job is no longer in the plan.".to_owned());
    };
    let Some(slot) = checked.evenings.iter().position(|&known| known == pin.evening) else {
        return Some("That evening is past, or was taken away.".to_owned());
    };
    let too_early = checked.problem.pieces.iter().any(|piece| piece.job == job && slot < piece.from);
    let day = written(garage.evenings.get(pin.evening)?.day);
    refusal(garage, job, too_early, pin.evening).map(|why| format!("It cannot be done on {day}: {why}."))
}
