//! In which order the pieces of one evening are worked, so that nothing is open which a piece must avoid.
//!
//! An access is open from its first user (or from the beginning, if it was carried in) to its last (or to the end, if it
//! stays open for the night). A piece that must avoid it comes before or after. Which access is open follows from the set of
//! pieces that are done, so a search over such sets forgets nothing.

use std::collections::HashSet;

use super::problem::{Problem, members};

/// Access that comes into an evening open, and access that leaves it open.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Carried {
    pub into: u64,
    pub out: u64,
}

/// Sets looked at before it gives up; an evening holds a dozen pieces.
const MOST_SETS: usize = 5_000;

/// Whether there is an order. Where nothing must be avoided the predecessors alone make one, so that is asked first.
pub fn exists(problem: &Problem, pieces: &[usize], carried: Carried) -> bool {
    let (need, avoid) = pieces.iter().fold((carried.into | carried.out, 0), |(need, avoid), &piece| {
        let piece = &problem.pieces[piece];
        (need | piece.need, avoid | piece.avoid)
    });
    need & avoid == 0 || of(problem, pieces, carried).is_some()
}

struct Search<'a> {
    problem: &'a Problem,
    pieces: &'a [usize],
    carried: Carried,
    /// For each piece of the evening, which others of it come first.
    before: Vec<Vec<usize>>,
    done: Vec<bool>,
    order: Vec<usize>,
    dead: HashSet<Vec<bool>>,
}

/// An order of these pieces, the ones that share access next to each other where nothing forbids it; `None` where there is
/// none (or none was found among so many).
pub fn of(problem: &Problem, pieces: &[usize], carried: Carried) -> Option<Vec<usize>> {
    let before = pieces
        .iter()
        .map(|&piece| {
            let first = &problem.pieces[piece].before;
            (0..pieces.len()).filter(|&at| first.contains(&pieces[at])).collect()
        })
        .collect();
    let mut search = Search {
        problem,
        pieces,
        carried,
        before,
        done: vec![false; pieces.len()],
        order: Vec::new(),
        dead: HashSet::new(),
    };
    search.go().then(|| search.order.iter().map(|&at| pieces[at]).collect())
}

impl Search<'_> {
    /// Depth first, with its own stack: an evening of very many tiny pieces must not exhaust the thread's.
    fn go(&mut self) -> bool {
        let mut tries = vec![self.choices().into_iter()];
        while self.order.len() < self.pieces.len() {
            let Some(next) = tries.last_mut().map(Iterator::next) else { return false };
            let Some(next) = next else {
                tries.pop();
                self.dead.insert(self.done.clone());
                if let Some(last) = self.order.pop() {
                    self.done[last] = false;
                }
                if self.dead.len() > MOST_SETS {
                    return false;
                }
                continue;
            };
            self.done[next] = true;
            self.order.push(next);
            let choices = if self.dead.contains(&self.done) { Vec::new() } else { self.choices() };
            tries.push(choices.into_iter());
        }
        true
    }

    /// Access in the middle of its episode.
    fn open(&self) -> u64 {
        let (mut begun, mut wanted) = (self.carried.into, self.carried.out);
        for (at, &piece) in self.pieces.iter().enumerate() {
            let need = self.problem.pieces[piece].need;
            if self.done[at] {
                begun |= need;
            } else {
                wanted |= need;
            }
        }
        begun & wanted
    }

    /// What can be worked next, the fittest first: a job goes on, then most access shared, then least to open.
    fn choices(&self) -> Vec<usize> {
        let open = self.open();
        let last = self.order.last().map(|&at| self.problem.pieces[self.pieces[at]].job);
        let free = |at: &usize| {
            let piece = &self.problem.pieces[self.pieces[*at]];
            !self.done[*at] && piece.avoid & open == 0 && self.before[*at].iter().all(|&first| self.done[first])
        };
        let mut choices: Vec<usize> = (0..self.pieces.len()).filter(free).collect();
        choices.sort_by_key(|&at| {
            let piece = &self.problem.pieces[self.pieces[at]];
            let to_open: u32 = members(piece.need & !open).map(|access| self.problem.doors[access].open).sum();
            (Some(piece.job) != last, std::cmp::Reverse((piece.need & open).count_ones()), to_open, at)
        });
        choices
    }
}
