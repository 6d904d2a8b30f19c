//! What a search hands back, and what it is worth. Judged here from nothing but itself, so that no search marks its own work.

use super::order::{self, Carried};
use super::problem::{Problem, members};
use super::time::Minutes;
use crate::trade::limits::Day;

/// What is minimised, first things first. Derived order: the fields in turn.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
pub struct Objective {
    /// Minutes of work for which the evenings did not suffice.
    pub left_over: Minutes,
    /// Work and access together.
    pub time: Minutes,
    /// The day of the last evening on which something is done.
    pub finish: Day,
    /// Nights in which something is open or a job half done.
    pub nights_apart: u32,
}

/// An access from its opening to its closing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Episode {
    /// The slot in which it is opened; `None`: it was open before the first.
    pub from: Option<usize>,
    /// The slot in which it is closed.
    pub to: usize,
}

impl Episode {
    pub fn comes_into(&self, slot: usize) -> bool {
        self.from.is_none_or(|from| from < slot) && slot <= self.to
    }

    pub fn leaves(&self, slot: usize) -> bool {
        self.from.is_none_or(|from| from <= slot) && slot < self.to
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Solution {
    /// For each piece its slot; `None`: left over.
    pub at: Vec<Option<usize>>,
    /// For each access its episodes, in the order of time.
    pub episodes: Vec<Vec<Episode>>,
}

impl Solution {
    pub fn pieces_of(&self, slot: usize) -> Vec<usize> {
        (0..self.at.len()).filter(|&piece| self.at[piece] == Some(slot)).collect()
    }

    /// Whether anything is done in each slot.
    pub fn worked(&self, problem: &Problem) -> Vec<bool> {
        let mut worked = vec![false; problem.slots.len()];
        let closed = self.episodes.iter().flatten().map(|episode| episode.to);
        for slot in self.at.iter().flatten().copied().chain(closed) {
            worked[slot] = true;
        }
        worked
    }

    pub fn carried(&self, slot: usize) -> Carried {
        carried(&self.episodes, slot)
    }

    /// Minutes that each slot takes.
    pub fn loads(&self, problem: &Problem) -> Vec<u32> {
        let worked = self.worked(problem);
        let mut loads = vec![0; problem.slots.len()];
        for (piece, slot) in self.at.iter().enumerate() {
            if let Some(slot) = slot {
                loads[*slot] += problem.pieces[piece].minutes;
            }
        }
        for (door, episodes) in problem.doors.iter().zip(&self.episodes) {
            for episode in episodes {
                if let Some(from) = episode.from {
                    loads[from] += door.open;
                }
                loads[episode.to] += door.close;
                let first = episode.from.map_or(0, |from| from + 1);
                for slot in (first..=episode.to).filter(|&slot| worked[slot]) {
                    loads[slot] += door.keep.unwrap_or(0);
                }
            }
        }
        loads
    }

    /// What it is worth, or `None` where it breaks a rule.
    pub fn worth(&self, problem: &Problem) -> Option<Objective> {
        let loads = self.loads(problem);
        let full = loads.iter().zip(&problem.slots).all(|(load, slot)| *load <= slot.minutes);
        (full && self.keeps_order(problem) && self.has_access(problem)).then(|| self.objective(problem, &loads))
    }

    fn objective(&self, problem: &Problem, loads: &[u32]) -> Objective {
        let left = self.at.iter().zip(&problem.pieces).filter(|(at, _)| at.is_none());
        let worked = self.worked(problem);
        let finish = worked.iter().rposition(|worked| *worked).map_or(problem.today, |slot| problem.slots[slot].day);
        Objective {
            left_over: Minutes(left.map(|(_, piece)| piece.minutes).sum()),
            time: Minutes(loads.iter().sum()),
            finish: Day(finish),
            nights_apart: nights_apart(problem, &self.at, &self.episodes),
        }
    }

    /// Predecessors, parts, helpers, and an order in each slot that avoids what must not be open.
    fn keeps_order(&self, problem: &Problem) -> bool {
        let in_time = |(piece, at): (usize, &Option<usize>)| {
            let before = problem.pieces[piece].before.iter().map(|&before| self.at[before]);
            at.is_none_or(|slot| {
                problem.allowed(piece, slot)
                    && before.into_iter().all(|before| before.is_some_and(|before| before <= slot))
            })
        };
        self.at.iter().enumerate().all(in_time) && self.has_orders(problem)
    }

    fn has_orders(&self, problem: &Problem) -> bool {
        let mut pieces = vec![Vec::new(); problem.slots.len()];
        for (piece, slot) in self.at.iter().enumerate() {
            if let Some(slot) = slot {
                pieces[*slot].push(piece);
            }
        }
        (0..pieces.len()).all(|slot| order::exists(problem, &pieces[slot], self.carried(slot)))
    }

    /// Every piece finds its access open, no two episodes of one access share a slot, and none stays open that must not.
    fn has_access(&self, problem: &Problem) -> bool {
        let covered = |piece: usize, slot: usize| {
            members(problem.pieces[piece].need).all(|access| {
                self.episodes[access]
                    .iter()
                    .any(|episode| episode.from.is_none_or(|from| from <= slot) && slot <= episode.to)
            })
        };
        let first_worked = self.worked(problem).iter().position(|worked| *worked);
        self.at.iter().enumerate().all(|(piece, at)| at.is_none_or(|slot| covered(piece, slot)))
            && self.episodes.iter().zip(&problem.doors).enumerate().all(|(access, (episodes, door))| {
                let apart = episodes.windows(2).all(|pair| pair[1].from.is_some_and(|from| from > pair[0].to));
                let kept = |episode: &Episode| match episode.from {
                    Some(from) => from == episode.to || (door.keep.is_some() && from < episode.to),
                    None => door.keep.is_some() || first_worked == Some(episode.to),
                };
                let begins_open = episodes.first().is_some_and(|episode| episode.from.is_none());
                apart && episodes.iter().all(kept) && begins_open == (problem.open >> access & 1 == 1)
            })
    }
}

/// Access that comes into a slot open, and that leaves it open.
pub fn carried(episodes: &[Vec<Episode>], slot: usize) -> Carried {
    let mut carried = Carried::default();
    for (access, episodes) in episodes.iter().enumerate() {
        // The only one that can lie in this slot: they are in the order of time, and none shares a slot with the next.
        let Some(episode) = episodes.get(episodes.partition_point(|episode| episode.to < slot)) else { continue };
        carried.into |= u64::from(episode.comes_into(slot)) << access;
        carried.out |= u64::from(episode.leaves(slot)) << access;
    }
    carried
}

/// Nights in which something is open, or a job half done.
pub fn nights_apart(problem: &Problem, at: &[Option<usize>], episodes: &[Vec<Episode>]) -> u32 {
    let mut apart = vec![false; problem.slots.len() + 1];
    let mut mark = |from: usize, to: usize| apart[from..=to].iter_mut().for_each(|night| *night = true);
    // Night `n` is the one before slot `n`.
    for episode in episodes.iter().flatten() {
        let first = episode.from.map_or(0, |from| from + 1);
        if first <= episode.to {
            mark(first, episode.to);
        }
    }
    for (piece, slot) in at.iter().enumerate() {
        let previous = problem.pieces[piece]
            .before
            .iter()
            .find(|&&before| problem.pieces[before].job == problem.pieces[piece].job);
        if let (Some(slot), Some(before)) = (slot, previous.and_then(|&before| at[before]))
            && before < *slot
        {
            mark(before + 1, *slot);
        }
    }
    for slot in problem.begun.iter().filter_map(|pieces| at[*pieces.first()?]) {
        mark(0, slot);
    }
    (0..problem.slots.len()).filter(|&slot| apart[slot]).map(|slot| problem.nights_before(slot)).sum()
}
