//! Every way to spend the evenings, one act after another, with none of the planner's short cuts: access may be opened for
//! nothing and closed at any moment. Only for a handful of pieces.

use crate::trade::limits::Day;
use crate::trade::plan::Minutes;
use crate::trade::plan::problem::Problem;
use crate::trade::plan::solution::Objective;

#[derive(Clone)]
struct Car {
    slot: usize,
    used: u32,
    begun: bool,
    done: Vec<bool>,
    open: Vec<bool>,
    shut: Vec<bool>,
    /// Opened this evening, and not used yet: nothing is opened ahead of its evening.
    fresh: Vec<bool>,
    time: u32,
    nights: u32,
}

pub fn best(problem: &Problem) -> Option<Objective> {
    let doors = problem.doors.len();
    let mut best = None;
    let car = Car {
        slot: 0,
        used: 0,
        begun: false,
        done: vec![false; problem.pieces.len()],
        open: (0..doors).map(|access| problem.open >> access & 1 == 1).collect(),
        shut: vec![false; doors],
        fresh: vec![false; doors],
        time: 0,
        nights: 0,
    };
    let car = sleeps(problem, car, problem.nights_before(0));
    go(problem, car, &mut best);
    best
}

fn go(problem: &Problem, car: Car, best: &mut Option<Objective>) {
    let slot = problem.slots[car.slot];
    if car.used > slot.minutes || best.is_some_and(|best| car.time > best.time.0) {
        return;
    }
    if car.begun && car.done.iter().all(|done| *done) && car.open.iter().all(|open| !open) {
        let worth = Objective {
            left_over: Minutes(0),
            time: Minutes(car.time),
            finish: Day(slot.day),
            nights_apart: car.nights,
        };
        *best = Some(best.map_or(worth, |best| best.min(worth)));
        return;
    }
    for piece in 0..car.done.len() {
        if can_work(problem, &car, piece) {
            let mut next = begin(problem, car.clone());
            next.done[piece] = true;
            next.fresh
                .iter_mut()
                .enumerate()
                .for_each(|(at, fresh)| *fresh &= problem.pieces[piece].need >> at & 1 == 0);
            go(problem, spend(next, problem.pieces[piece].minutes), best);
        }
    }
    for (access, door) in problem.doors.iter().enumerate() {
        let mut next = begin(problem, car.clone());
        if car.open[access] && car.fresh[access] {
            continue;
        }
        if car.open[access] {
            next.open[access] = false;
            next.shut[access] = true;
            go(problem, spend(next, door.close), best);
        } else if !car.shut[access] && unopened_user(problem, &car, access) {
            next.open[access] = true;
            next.fresh[access] = true;
            go(problem, spend(next, door.open), best);
        }
    }
    let may_sleep = |(access, open): (usize, &bool)| !open || problem.doors[access].keep.is_some() || !car.begun;
    let fresh = car.fresh.iter().any(|fresh| *fresh);
    if !fresh && car.slot + 1 < problem.slots.len() && car.open.iter().enumerate().all(may_sleep) {
        let nights = problem.nights_before(car.slot + 1);
        let next = Car { slot: car.slot + 1, used: 0, begun: false, shut: vec![false; car.open.len()], ..car };
        go(problem, sleeps(problem, next, nights), best);
    }
}

/// Opening what nobody will need is left out: it only takes time.
fn unopened_user(problem: &Problem, car: &Car, access: usize) -> bool {
    (0..car.done.len()).any(|piece| !car.done[piece] && problem.pieces[piece].need >> access & 1 == 1)
}

fn spend(mut car: Car, minutes: u32) -> Car {
    car.used += minutes;
    car.time += minutes;
    car
}

/// The first act of an evening: what stayed open is looked over.
fn begin(problem: &Problem, mut car: Car) -> Car {
    if car.begun {
        return car;
    }
    car.begun = true;
    let open = car.open.iter().zip(&problem.doors).filter(|(open, _)| **open);
    let keep = open.map(|(_, door)| door.keep.unwrap_or(0)).sum();
    spend(car, keep)
}

fn sleeps(problem: &Problem, mut car: Car, nights: u32) -> Car {
    let half = problem.begun.iter().flatten().any(|&piece| !car.done[piece])
        || problem.pieces.iter().enumerate().any(|(piece, known)| {
            let goes_on = |&before: &usize| problem.pieces[before].job == known.job && car.done[before];
            !car.done[piece] && known.before.iter().any(goes_on)
        });
    if half || car.open.iter().any(|open| *open) {
        car.nights += nights;
    }
    car
}

fn can_work(problem: &Problem, car: &Car, piece: usize) -> bool {
    let known = &problem.pieces[piece];
    let state = |access: usize| car.open[access];
    let set = |set: u64, access: usize| set >> access & 1 == 1;
    !car.done[piece]
        && known.before.iter().all(|&before| car.done[before])
        && problem.allowed(piece, car.slot)
        && (0..car.open.len()).all(|access| !set(known.need, access) || state(access))
        && (0..car.open.len()).all(|access| !set(known.avoid, access) || !state(access))
}
