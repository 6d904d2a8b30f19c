//! From a first plan to a good one: pieces are moved and exchanged between evenings, worse plans being accepted less and less
//! (simulated annealing; Kirkpatrick, Gelatt and Vecchi, 1983). The chance in it is a fixed sequence, and its length is
//! counted in moves and never in seconds, so that the same garage always gets the same plan.

use super::build::{self, TASTES, Taste};
use super::chance::Chance;
use super::problem::Problem;
use super::solution::{Objective, Solution};
use super::state::State;

/// Above this many pieces the slowest taste is left out.
const MOST_FOR_GOOD_USE: usize = 200;
/// Moves for each piece that are worth trying: a handful of jobs is soon through.
const MOVES_A_PIECE: usize = 8_000;
/// Up to so many pieces two searches of half the length are worth more than a whole one.
const FEW_PIECES: usize = 50;
/// Up to so many evenings a move takes about as long as any; beyond, fewer are tried.
const FEW_EVENINGS: usize = 60;
/// The last warmth, in minutes: nothing that costs a minute is accepted any more.
const COLD: f64 = 0.15;
/// What a day later costs while searching, in minutes: little at first, when only time counts, and more in the last quarter,
/// when the evenings of a good plan are drawn together. The judgement itself is strict.
const DAY: f64 = 0.02;
const DAY_AT_LAST: f64 = 1.0;

/// How much search is spent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Moves tried in all, at most; fewer where there are few pieces or very many evenings.
    pub moves: usize,
    /// Partial plans that the exact search may hold.
    pub partial_plans: usize,
}

impl Effort {
    /// For a page that somebody waits for: well under a second on one core of a small computer.
    pub const USUAL: Effort = Effort { moves: 500_000, partial_plans: 350_000 };
    /// Only a look: for many questions in a row.
    pub const QUICK: Effort = Effort { moves: 20_000, partial_plans: 40_000 };
}

/// The best plan found, and its worth; `None` where not even an empty one keeps the rules.
pub fn improved(problem: &Problem, effort: Effort) -> Option<(Objective, Solution)> {
    let tastes = TASTES.iter().filter(|taste| **taste != Taste::GoodUse || problem.pieces.len() <= MOST_FOR_GOOD_USE);
    let mut starts: Vec<(Objective, Solution)> = tastes
        .map(|taste| build::by_taste(problem, *taste))
        .filter_map(|at| judged(&State::new(problem, &at)))
        .chain(judged(&State::new(problem, &vec![None; problem.pieces.len()])))
        .collect();
    starts.sort_by_key(|(worth, _)| *worth);
    starts.truncate(if problem.pieces.len() > FEW_PIECES { 1 } else { 2 });
    let rounds = starts.len().max(1);
    let moves = effort.moves * FEW_EVENINGS / problem.slots.len().max(FEW_EVENINGS);
    let moves = moves.min(MOVES_A_PIECE * problem.pieces.len());
    let doors = &problem.doors;
    let dearest = doors.iter().map(|door| door.open + door.close).max().unwrap_or(0);
    let warm = (f64::from(dearest) / 6.0).max(2.0 * COLD);
    let found = starts
        .into_iter()
        .enumerate()
        .map(|(round, start)| Annealing::new(problem, start, round as u64, DAY).run(moves * 3 / 4 / rounds, warm));
    let best = found.min_by_key(|(worth, _)| *worth)?;
    Some(Annealing::new(problem, best, rounds as u64, DAY_AT_LAST).run(moves / 4, DAY_AT_LAST.max(COLD)))
}

fn judged(state: &State<'_>) -> Option<(Objective, Solution)> {
    let solution = state.solution();
    solution.worth(state.problem).map(|worth| (worth, solution))
}

struct Annealing<'a> {
    state: State<'a>,
    chance: Chance,
    best: (Objective, Solution),
    /// Pieces by the access that they share.
    alike: Vec<Vec<usize>>,
    last: usize,
    /// What a day later costs.
    day: f64,
}

impl<'a> Annealing<'a> {
    fn new(problem: &'a Problem, best: (Objective, Solution), round: u64, day: f64) -> Annealing<'a> {
        let mut state = State::new(problem, &best.1.at);
        let users = |access: usize| {
            (0..problem.pieces.len()).filter(|&piece| problem.pieces[piece].need >> access & 1 == 1).collect()
        };
        let last = state.last_worked();
        Annealing {
            state,
            chance: Chance::new(round),
            best,
            alike: (0..problem.doors.len()).map(users).collect(),
            last,
            day,
        }
    }

    fn run(mut self, moves: usize, warm: f64) -> (Objective, Solution) {
        if self.state.problem.pieces.is_empty() || moves == 0 {
            return self.best;
        }
        let cooling = (COLD / warm).powf(1.0 / moves as f64);
        let mut warmth = warm;
        let mut now = self.measure();
        for _ in 0..moves {
            warmth *= cooling;
            let shift = self.propose();
            if shift.is_empty() || !self.state.may(&shift) {
                continue;
            }
            let undo = self.state.shift(&shift);
            let new = self.measure();
            if new > now && self.chance.fraction() >= ((now - new) / warmth).exp() {
                self.state.take_back(undo);
                continue;
            }
            now = new;
            self.keep_the_best();
        }
        self.best
    }

    fn measure(&mut self) -> f64 {
        self.last = self.state.last_worked();
        let state = &self.state;
        let left: u32 = if self.best.0.left_over.0 == 0 { 0 } else { self.left_over() };
        state.score() as f64
            + self.day * f64::from(state.problem.slots[self.last].day - state.problem.today)
            + 20.0 * f64::from(left)
    }

    fn left_over(&self) -> u32 {
        let left = self.state.at.iter().zip(&self.state.problem.pieces).filter(|(at, _)| at.is_none());
        left.map(|(_, piece)| piece.minutes).sum()
    }

    fn keep_the_best(&mut self) {
        if !self.state.is_sound() {
            return;
        }
        let best = &self.best.0;
        // Cheap questions first: most plans fail one of them.
        let (time, day) = (self.state.time, self.state.problem.slots[self.last].day);
        let known = (i64::from(best.time.0), best.finish.0);
        let worse = (time, day) > known || ((time, day) == known && self.state.nights_apart() >= best.nights_apart);
        if best.left_over.0 == 0 && worse {
            return;
        }
        if let Some(found) = judged(&self.state).filter(|(worth, _)| worth < best) {
            self.best = found;
        }
    }

    /// Some pieces, and where each might go.
    fn propose(&mut self) -> Vec<(usize, usize)> {
        let pieces = self.state.at.len();
        let dice = self.chance.below(100);
        let last = &self.state.pieces[self.last];
        let piece =
            if dice < 10 && !last.is_empty() { last[self.chance.below(last.len())] } else { self.chance.below(pieces) };
        let Some(to) = self.aim(piece) else { return Vec::new() };
        let Some(from) = self.state.at[piece] else { return vec![(piece, to)] };
        if to == from {
            return Vec::new();
        }
        match self.chance.below(100) {
            0..50 => vec![(piece, to)],
            50..80 => {
                let there = &self.state.pieces[to];
                if there.is_empty() {
                    return vec![(piece, to)];
                }
                vec![(piece, to), (there[self.chance.below(there.len())], from)]
            }
            80..95 => self.with_its_like(piece, from, to),
            _ => self.exchange(from, to),
        }
    }

    /// An evening in which a piece with the same access is, or any.
    fn aim(&mut self, piece: usize) -> Option<usize> {
        let problem = self.state.problem;
        let known = &problem.pieces[piece];
        let low = known.before.iter().filter_map(|&before| self.state.at[before]).max().unwrap_or(0).max(known.from);
        let high =
            known.after.iter().filter_map(|&after| self.state.at[after]).min().unwrap_or(problem.slots.len() - 1);
        if low > high {
            return None;
        }
        if known.need != 0 && self.chance.below(100) < 60 {
            let which = self.chance.below(known.need.count_ones() as usize);
            let access = super::problem::members(known.need).nth(which)?;
            let users = &self.alike[access];
            return self.state.at[users[self.chance.below(users.len())]];
        }
        // Rarely beyond the last evening worked: that only helps to get past what is full.
        let high = if self.chance.below(100) < 90 { high.min(self.last.max(low)) } else { high };
        Some(low + self.chance.below(high - low + 1))
    }

    /// All pieces of an evening that need what this one needs.
    fn with_its_like(&self, piece: usize, from: usize, to: usize) -> Vec<(usize, usize)> {
        let need = self.state.problem.pieces[piece].need;
        let alike = self.state.pieces[from]
            .iter()
            .filter(|&&other| self.state.problem.pieces[other].need & need != 0 || other == piece);
        alike.map(|&other| (other, to)).collect()
    }

    /// Two evenings change places.
    fn exchange(&self, from: usize, to: usize) -> Vec<(usize, usize)> {
        let there = |slot: usize, other: usize| self.state.pieces[slot].iter().map(move |&piece| (piece, other));
        there(from, to).chain(there(to, from)).collect()
    }
}
