//! The best plan there is, for a few jobs: all partial plans, forwards from evening to evening, without those that another
//! one beats and those that can no longer beat the best plan known.
//!
//! A partial plan is a set of pieces done, what is open, and what was closed again this evening. Of two that agree in these,
//! the one that took no more minutes, has no fewer left of the evening, and left the car apart no more nights, is enough.
//! Within an evening an access is closed only when a piece must avoid it, and else at the end: closing earlier gains nothing.

use std::collections::BTreeMap;

use super::bound;
use super::problem::{Problem, members};
use super::solution::{Episode, Objective, Solution};
use super::time::Minutes;
use crate::trade::limits::Day;

/// Above this many pieces it is tried only where they belong to few jobs.
const FEW_PIECES: usize = 26;
const FEW_JOBS: usize = 10;
/// Sets of pieces are 64 bits wide.
const MOST_PIECES: usize = 64;
/// Above this many open at once not every way to close some of them is tried.
const MOST_OPEN: u32 = 10;

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Car {
    done: u64,
    open: u64,
    /// Closed this evening, not to be opened again in it.
    shut: u64,
}

#[derive(Debug, Clone, Copy)]
struct Label {
    /// Access minutes so far.
    access: u32,
    /// Minutes of this evening that are used.
    used: u32,
    nights: u32,
    /// From which it was made, and by what.
    parent: usize,
    step: Step,
}

#[derive(Debug, Clone, Copy)]
enum Step {
    Start,
    Piece(usize),
    /// The evening of this number begins.
    Evening(usize),
    /// The evening ends, and these are closed.
    Close(u64),
}

struct Search<'a> {
    problem: &'a Problem,
    /// Everything but the worth is done.
    labels: Vec<Label>,
    most: usize,
    best: Option<Objective>,
    found: Option<usize>,
    work: u32,
    longest: u32,
    complete: bool,
}

type Layer = BTreeMap<Car, Vec<usize>>;

/// The best plan that is strictly better than `known`, if there is one; and whether the search looked at everything.
pub fn better(problem: &Problem, known: Option<Objective>, most: usize) -> (Option<Solution>, bool) {
    let known = known.filter(|known| known.left_over == Minutes(0));
    let pieces = problem.pieces.len();
    let jobs = problem
        .pieces
        .iter()
        .filter(|piece| piece.before.iter().all(|&before| problem.pieces[before].job != piece.job));
    let few = pieces <= FEW_PIECES || (pieces <= MOST_PIECES && jobs.count() <= FEW_JOBS);
    if !few || problem.slots.is_empty() {
        return (None, false);
    }
    let longest = problem.slots.iter().map(|slot| slot.minutes).max().unwrap_or(0);
    let mut search = Search {
        problem,
        labels: Vec::new(),
        most,
        best: known,
        found: None,
        work: problem.work(),
        longest,
        complete: true,
    };
    search.run();
    (search.found.map(|label| search.solution(label)), search.complete)
}

impl Search<'_> {
    fn run(&mut self) {
        let start = Label { access: 0, used: 0, nights: 0, parent: 0, step: Step::Start };
        self.labels.push(start);
        let mut night: Layer = Layer::from([(Car { done: 0, open: self.problem.open, shut: 0 }, vec![0])]);
        for slot in 0..self.problem.slots.len() {
            let evening = self.begin(slot, &mut night);
            let ends = self.work_through(slot, evening);
            for (car, label) in ends {
                self.end(slot, car, label, &mut night);
            }
            if !self.complete {
                return;
            }
        }
    }

    /// Adds the night before `slot` to what sleeps, and begins the evening with each.
    fn begin(&mut self, slot: usize, night: &mut Layer) -> Layer {
        let nights = self.problem.nights_before(slot);
        let mut evening = Layer::new();
        for (car, labels) in night.iter() {
            let apart = car.open != 0 || self.half_done(car.done);
            for &label in labels {
                if apart {
                    self.labels[label].nights += nights;
                }
                let old = self.labels[label];
                let keep: u32 = members(car.open).map(|access| self.problem.doors[access].keep.unwrap_or(0)).sum();
                if keep <= self.problem.slots[slot].minutes {
                    let new = Label {
                        access: old.access + keep,
                        used: keep,
                        parent: label,
                        step: Step::Evening(slot),
                        ..old
                    };
                    self.offer(slot, *car, new, &mut evening);
                }
            }
        }
        evening
    }

    fn half_done(&self, done: u64) -> bool {
        let begun = self.problem.begun.iter().any(|pieces| pieces.iter().any(|&piece| done >> piece & 1 == 0));
        begun
            || (0..self.problem.pieces.len()).any(|piece| {
                let known = &self.problem.pieces[piece];
                let goes_on = |&before: &usize| self.problem.pieces[before].job == known.job && done >> before & 1 == 1;
                done >> piece & 1 == 0 && known.before.iter().any(goes_on)
            })
    }

    /// Everything that can be done in one evening, by the number of pieces done.
    fn work_through(&mut self, slot: usize, evening: Layer) -> Vec<(Car, usize)> {
        let pieces = self.problem.pieces.len();
        let mut layers: Vec<Layer> = (0..=pieces).map(|_| Layer::new()).collect();
        for (car, labels) in evening {
            layers[car.done.count_ones() as usize].insert(car, labels);
        }
        let mut ends = Vec::new();
        for count in 0..=pieces {
            let layer = std::mem::take(&mut layers[count]);
            for (car, labels) in layer {
                for label in labels {
                    ends.push((car, label));
                    for piece in 0..pieces {
                        if let Some((car, label)) = self.done(slot, car, label, piece) {
                            self.offer(slot, car, label, &mut layers[count + 1]);
                        }
                    }
                    if self.labels.len() > self.most {
                        self.complete = false;
                        return Vec::new();
                    }
                }
            }
        }
        ends
    }

    /// The car after one piece more.
    fn done(&self, slot: usize, car: Car, parent: usize, piece: usize) -> Option<(Car, Label)> {
        let known = &self.problem.pieces[piece];
        let ready = car.done >> piece & 1 == 0
            && self.problem.allowed(piece, slot)
            && known.before.iter().all(|&before| car.done >> before & 1 == 1);
        let opened = known.need & !car.open;
        if !ready || opened & car.shut != 0 {
            return None;
        }
        let closed = known.avoid & car.open;
        let doors = &self.problem.doors;
        let access = members(opened).map(|access| doors[access].open).sum::<u32>()
            + members(closed).map(|access| doors[access].close).sum::<u32>();
        let old = self.labels[parent];
        let used = old.used + access + known.minutes;
        if used > self.problem.slots[slot].minutes {
            return None;
        }
        let car = Car { done: car.done | 1 << piece, open: (car.open & !closed) | known.need, shut: car.shut | closed };
        Some((car, Label { access: old.access + access, used, parent, step: Step::Piece(piece), ..old }))
    }

    /// Every way to go to bed.
    fn end(&mut self, slot: usize, car: Car, label: usize, night: &mut Layer) {
        let doors = &self.problem.doors;
        let old = self.labels[label];
        let must =
            members(car.open).filter(|&access| doors[access].keep.is_none()).fold(0, |set, access| set | 1 << access);
        let all = car.done.count_ones() as usize == self.problem.pieces.len();
        let idle = car.open & !self.needed(car.done);
        let minutes = |set: u64| members(set).map(|access| doors[access].close).sum::<u32>();
        let room = self.problem.slots[slot].minutes.saturating_sub(old.used);
        let mut closed = car.open;
        if car.open.count_ones() > MOST_OPEN {
            self.complete = false;
        }
        loop {
            // What nobody needs any more is closed, wherever there is room for it: minutes left over tonight buy nothing.
            let sensible = idle & !closed == 0 || minutes(closed | idle) > room;
            if sensible && closed & must == must && minutes(closed) <= room {
                let new = Label {
                    access: old.access + minutes(closed),
                    used: 0,
                    parent: label,
                    step: Step::Close(closed),
                    ..old
                };
                let car = Car { done: car.done, open: car.open & !closed, shut: 0 };
                if all && car.open == 0 {
                    self.finish(slot, new);
                } else if slot + 1 < self.problem.slots.len() {
                    self.offer(slot + 1, car, new, night);
                }
            }
            if closed == 0 || car.open.count_ones() > MOST_OPEN {
                return;
            }
            closed = (closed - 1) & car.open;
        }
    }

    /// What the pieces that are left need.
    fn needed(&self, done: u64) -> u64 {
        let left = self.problem.pieces.iter().enumerate().filter(|(piece, _)| done >> piece & 1 == 0);
        left.fold(0, |set, (_, piece)| set | piece.need)
    }

    fn finish(&mut self, slot: usize, label: Label) {
        let worth = Objective {
            left_over: Minutes(0),
            time: Minutes(self.work + label.access),
            finish: Day(self.problem.slots[slot].day),
            nights_apart: label.nights,
        };
        if self.best.is_none_or(|best| worth < best) {
            self.best = Some(worth);
            self.found = Some(self.labels.len());
            self.labels.push(label);
        }
    }

    /// Keeps a label unless it cannot win or another one beats it.
    fn offer(&mut self, slot: usize, car: Car, label: Label, layer: &mut Layer) {
        if !self.may_win(slot, &car, &label) {
            return;
        }
        let kept = layer.entry(car).or_default();
        let beats = |one: &Label, other: &Label| {
            one.access <= other.access && one.used <= other.used && one.nights <= other.nights
        };
        if kept.iter().any(|&other| beats(&self.labels[other], &label)) {
            return;
        }
        kept.retain(|&other| !beats(&label, &self.labels[other]));
        kept.push(self.labels.len());
        self.labels.push(label);
    }

    fn may_win(&self, slot: usize, car: &Car, label: &Label) -> bool {
        let (mut behind, mut needed, mut work, mut from) = ([0; 64], 0, 0, slot);
        let left = self.problem.pieces.iter().enumerate().filter(|(piece, _)| car.done >> piece & 1 == 0);
        for (_, known) in left {
            let only = known.only.unwrap_or(0);
            if (known.only.is_some() && only < slot) || known.from >= self.problem.slots.len() {
                return false;
            }
            from = from.max(known.from).max(only);
            needed |= known.need;
            work += known.minutes;
            for access in members(known.need) {
                behind[access] += known.minutes;
            }
        }
        let left = self.problem.slots[slot].minutes.saturating_sub(label.used);
        // Asleep, it may wait for a longer evening, and will begin it with what is open now.
        let asleep = matches!(label.step, Step::Close(_) | Step::Start);
        let tonight = if asleep { self.longest } else { left };
        let enter = if asleep { car.open } else { 0 };
        let enter: u32 = members(enter).map(|access| self.problem.doors[access].keep.unwrap_or(0)).sum();
        let to_come = enter + bound::least_access(self.problem, car.open, &behind, needed, tonight, self.longest);
        let Some(finish) = bound::earliest(self.problem, slot, left, work + to_come) else { return false };
        let hope = Objective {
            left_over: Minutes(0),
            time: Minutes(self.work + label.access + to_come),
            finish: Day(self.problem.slots[finish.max(from)].day),
            nights_apart: label.nights,
        };
        self.best.is_none_or(|best| hope < best)
    }

    fn solution(&self, label: usize) -> Solution {
        let mut path = vec![self.labels[label]];
        while let Some(label) = path.last().filter(|label| !matches!(label.step, Step::Start)) {
            path.push(self.labels[label.parent]);
        }
        let mut slot = 0;
        let mut solution = Solution {
            at: vec![None; self.problem.pieces.len()],
            episodes: vec![Vec::new(); self.problem.doors.len()],
        };
        let mut since: BTreeMap<usize, Option<usize>> =
            members(self.problem.open).map(|access| (access, None)).collect();
        for label in path.iter().rev() {
            let closed = match label.step {
                Step::Start => 0,
                Step::Evening(begun) => {
                    slot = begun;
                    0
                }
                Step::Piece(piece) => {
                    solution.at[piece] = Some(slot);
                    let known = &self.problem.pieces[piece];
                    for access in members(known.need) {
                        since.entry(access).or_insert(Some(slot));
                    }
                    known.avoid
                }
                Step::Close(closed) => closed,
            };
            for access in members(closed) {
                if let Some(from) = since.remove(&access) {
                    solution.episodes[access].push(Episode { from, to: slot });
                }
            }
        }
        solution
    }
}
