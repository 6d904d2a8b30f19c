//! A plan under construction: pieces in slots, with what each slot then takes, kept up to date from one move to the next.
//!
//! Slots may be overfull here and the order in one may be impossible: both are counted, so that a search can pass through
//! such a plan on its way to a good one.

use super::order;
use super::problem::Problem;
use super::solution::{Episode, Solution, carried, nights_apart};

/// What one minute too many costs, in minutes.
const OVERFULL: i64 = 5;
/// What an evening costs in which no order of work is possible.
const DISORDER: i64 = 60;
/// How many evenings a closing may be put off, where its own is full.
const PUT_OFF: usize = 6;

pub struct State<'a> {
    pub problem: &'a Problem,
    pub at: Vec<Option<usize>>,
    pub pieces: Vec<Vec<usize>>,
    episodes: Vec<Vec<Episode>>,
    needs: Vec<Vec<u32>>,
    avoids: Vec<Vec<u32>>,
    closings: Vec<u32>,
    /// Minutes of work, opening and closing; and minutes of keeping, which count only where the slot is worked.
    base: Vec<i64>,
    keeping: Vec<i64>,
    disorder: Vec<bool>,
    /// No slot after it is worked.
    high: usize,
    pub time: i64,
    pub overfull: i64,
    pub disorders: i64,
}

/// What a move replaced, to take it back.
pub struct Undo {
    moved: Vec<(usize, Option<usize>)>,
    episodes: Vec<(usize, Vec<Episode>)>,
    disorder: Vec<(usize, bool)>,
}

impl<'a> State<'a> {
    pub fn new(problem: &'a Problem, at: &[Option<usize>]) -> State<'a> {
        let (slots, doors) = (problem.slots.len(), problem.doors.len());
        let mut state = State {
            problem,
            at: vec![None; at.len()],
            pieces: vec![Vec::new(); slots],
            episodes: vec![Vec::new(); doors],
            needs: vec![vec![0; slots]; doors],
            avoids: vec![vec![0; slots]; doors],
            closings: vec![0; slots],
            base: vec![0; slots],
            keeping: vec![0; slots],
            disorder: vec![false; slots],
            high: 0,
            time: 0,
            overfull: 0,
            disorders: 0,
        };
        for (piece, slot) in at.iter().enumerate() {
            state.put(piece, *slot);
        }
        for access in 0..doors {
            state.replace(access, state.chain(access));
        }
        for slot in 0..slots {
            state.look_at_order(slot);
        }
        state
    }

    pub fn solution(&self) -> Solution {
        Solution { at: self.at.clone(), episodes: self.episodes.clone() }
    }

    pub fn score(&self) -> i64 {
        self.time + OVERFULL * self.overfull + DISORDER * self.disorders
    }

    pub fn is_sound(&self) -> bool {
        self.overfull == 0 && self.disorders == 0
    }

    pub fn worked(&self, slot: usize) -> bool {
        !self.pieces[slot].is_empty() || self.closings[slot] > 0
    }

    /// The last slot in which something is done.
    pub fn last_worked(&mut self) -> usize {
        while self.high > 0 && !self.worked(self.high) {
            self.high -= 1;
        }
        self.high
    }

    pub fn nights_apart(&self) -> u32 {
        nights_apart(self.problem, &self.at, &self.episodes)
    }

    fn load(&self, slot: usize) -> i64 {
        self.base[slot] + if self.worked(slot) { self.keeping[slot] } else { 0 }
    }

    fn too_many(&self, slot: usize, more: i64) -> i64 {
        (self.load(slot) + more - i64::from(self.problem.slots[slot].minutes)).max(0)
    }

    /// Changes a slot, and the sums with it.
    fn touch(&mut self, slot: usize, change: impl FnOnce(&mut Self)) {
        self.high = self.high.max(slot);
        self.time -= self.load(slot);
        self.overfull -= self.too_many(slot, 0);
        change(self);
        self.time += self.load(slot);
        self.overfull += self.too_many(slot, 0);
    }

    fn put(&mut self, piece: usize, to: Option<usize>) {
        let (minutes, need, avoid) = {
            let piece = &self.problem.pieces[piece];
            (i64::from(piece.minutes), piece.need, piece.avoid)
        };
        for (slot, in_it) in [(self.at[piece], false), (to, true)] {
            let Some(slot) = slot else { continue };
            self.touch(slot, |state| {
                if in_it {
                    state.pieces[slot].push(piece);
                    state.base[slot] += minutes;
                } else {
                    state.pieces[slot].retain(|&other| other != piece);
                    state.base[slot] -= minutes;
                }
            });
            let step = |count: &mut u32| if in_it { *count += 1 } else { *count -= 1 };
            for access in super::problem::members(need) {
                step(&mut self.needs[access][slot]);
            }
            for access in super::problem::members(avoid) {
                step(&mut self.avoids[access][slot]);
            }
        }
        self.at[piece] = to;
    }

    fn count(&mut self, access: usize, episode: Episode, sign: i64) {
        let door = self.problem.doors[access];
        if let Some(from) = episode.from {
            self.touch(from, |state| state.base[from] += sign * i64::from(door.open));
        }
        let to = episode.to;
        self.touch(to, |state| {
            state.base[to] += sign * i64::from(door.close);
            state.closings[to] = state.closings[to].saturating_add_signed(sign as i32);
        });
        let keep = i64::from(door.keep.unwrap_or(0));
        for slot in episode.from.map_or(0, |from| from + 1)..=to {
            self.touch(slot, |state| state.keeping[slot] += sign * keep);
        }
    }

    fn replace(&mut self, access: usize, with: Vec<Episode>) -> Vec<Episode> {
        for episode in self.episodes[access].clone() {
            self.count(access, episode, -1);
        }
        for episode in &with {
            self.count(access, *episode, 1);
        }
        std::mem::replace(&mut self.episodes[access], with)
    }

    fn look_at_order(&mut self, slot: usize) -> bool {
        let now = !order::exists(self.problem, &self.pieces[slot], carried(&self.episodes, slot));
        self.disorders += i64::from(now) - i64::from(self.disorder[slot]);
        std::mem::replace(&mut self.disorder[slot], now)
    }

    /// Whether the pieces may go where they are asked to, all at once.
    pub fn may(&self, moves: &[(usize, usize)]) -> bool {
        let place = |piece: usize| {
            moves.iter().find(|(moved, _)| *moved == piece).map(|(_, to)| *to).or(self.at[piece]).unwrap_or(usize::MAX)
        };
        moves.iter().all(|&(piece, to)| {
            let known = &self.problem.pieces[piece];
            self.problem.allowed(piece, to)
                && known.before.iter().all(|&before| place(before) <= to)
                && known.after.iter().all(|&after| place(after) >= to)
        })
    }

    /// Moves pieces, and opens and closes anew what they touch.
    pub fn shift(&mut self, moves: &[(usize, usize)]) -> Undo {
        let mut undo = Undo { moved: Vec::new(), episodes: Vec::new(), disorder: Vec::new() };
        let mut slots: Vec<usize> = Vec::new();
        let mut touched = 0;
        for &(piece, to) in moves {
            undo.moved.push((piece, self.at[piece]));
            slots.extend(self.at[piece].into_iter().chain([to]));
            touched |= self.problem.pieces[piece].need | self.problem.pieces[piece].avoid;
            self.put(piece, Some(to));
        }
        for access in super::problem::members(touched) {
            // Taken out first, so that it is weighed against what the others leave free.
            let old = self.replace(access, Vec::new());
            let new = self.chain(access);
            if self.problem.contended >> access & 1 == 1 {
                let changed = differing(&old, &new).flat_map(|episode| episode.from.unwrap_or(0)..=episode.to);
                slots.extend(changed.filter(|&slot| self.avoids[access][slot] > 0));
            }
            self.replace(access, new);
            undo.episodes.push((access, old));
        }
        if self.problem.contended != 0 {
            slots.sort_unstable();
            slots.dedup();
            undo.disorder = slots.into_iter().map(|slot| (slot, self.look_at_order(slot))).collect();
        }
        undo
    }

    pub fn take_back(&mut self, undo: Undo) {
        for (piece, from) in undo.moved.into_iter().rev() {
            self.put(piece, from);
        }
        for (access, episodes) in undo.episodes {
            self.replace(access, episodes);
        }
        for (slot, was) in undo.disorder {
            self.disorders += i64::from(was) - i64::from(self.disorder[slot]);
            self.disorder[slot] = was;
        }
    }

    /// Where an access is opened and closed, given who needs it when: between two uses the cheaper of keeping it open and
    /// closing it, as far as the slots have room. The access itself is not counted yet.
    fn chain(&self, access: usize) -> Vec<Episode> {
        let slots = self.problem.slots.len();
        let mut uses = (0..slots).filter(|&slot| self.needs[access][slot] > 0);
        let mut episodes = Vec::new();
        let first = uses.next();
        let mut from = first;
        if self.problem.open >> access & 1 == 1 {
            match first.filter(|&first| {
                self.kept(access, None, first).is_some_and(|keep| keep <= self.split(access, None, first))
            }) {
                Some(_) => from = None,
                None => episodes.push(Episode { from: None, to: self.first_closing(access, first) }),
            }
        }
        let Some(mut last) = first else { return episodes };
        for next in uses {
            let keep = self.kept(access, Some(last), next);
            if keep.is_none_or(|keep| keep >= self.split(access, Some(last), next)) {
                episodes.push(Episode { from, to: last });
                from = Some(next);
            }
            last = next;
        }
        episodes.push(Episode { from, to: self.last_closing(access, last) });
        episodes
    }

    /// What staying open from one use to the next costs; `None` where it must not.
    fn kept(&self, access: usize, last: Option<usize>, next: usize) -> Option<i64> {
        let keep = self.problem.doors[access].keep;
        if keep.is_none() && last.is_none() {
            return (0..next).all(|slot| !self.worked(slot)).then_some(0);
        }
        let keep = i64::from(keep?);
        let avoids = &self.avoids[access];
        let first = last.unwrap_or(0);
        if avoids[first..=next].iter().any(|&avoids| avoids > 0) {
            return None;
        }
        let worked = (last.map_or(0, |last| last + 1)..=next).filter(|&slot| self.worked(slot));
        Some(worked.map(|slot| keep + OVERFULL * (self.too_many(slot, keep) - self.too_many(slot, 0))).sum())
    }

    fn split(&self, access: usize, last: Option<usize>, next: usize) -> i64 {
        let door = self.problem.doors[access];
        let (open, close) = (i64::from(door.open), i64::from(door.close));
        let closing = last.unwrap_or_else(|| self.first_closing(access, Some(next)));
        if last.is_none() && closing >= next {
            return i64::MAX;
        }
        let over = |slot, more| OVERFULL * (self.too_many(slot, more) - self.too_many(slot, 0));
        open + close + over(closing, close) + over(next, open)
    }

    /// Where that which is open before the first evening is closed, if nobody waits for it until then.
    fn first_closing(&self, access: usize, before: Option<usize>) -> usize {
        let door = self.problem.doors[access];
        let end = before.unwrap_or(self.problem.slots.len());
        let more = i64::from(door.close) + i64::from(door.keep.unwrap_or(0));
        let worked =
            (0..end).find(|&slot| self.worked(slot) && (door.keep.is_none() || self.too_many(slot, more) == 0));
        let free = || (0..end).find(|&slot| self.too_many(slot, more + self.keeping[slot]) == 0);
        worked.or_else(free).unwrap_or(0)
    }

    fn last_closing(&self, access: usize, last: usize) -> usize {
        let door = self.problem.doors[access];
        let close = i64::from(door.close);
        let over = |slot, more| self.too_many(slot, more) - self.too_many(slot, 0);
        let (Some(keep), true) = (door.keep.map(i64::from), over(last, close) > 0) else { return last };
        let later = (last + 1..(last + PUT_OFF).min(self.problem.slots.len())).filter(|&slot| {
            let entering = if self.worked(slot) { 0 } else { self.keeping[slot] };
            self.too_many(slot, keep + close + entering) == 0
        });
        later.into_iter().next().unwrap_or(last)
    }
}

/// Episodes that are in one list and not in the other, without those in which both begin and end alike.
fn differing<'a>(old: &'a [Episode], new: &'a [Episode]) -> impl Iterator<Item = &'a Episode> {
    let begin = old.iter().zip(new).take_while(|(old, new)| old == new).count();
    let (old, new) = (&old[begin..], &new[begin..]);
    let end = old.iter().rev().zip(new.iter().rev()).take_while(|(old, new)| old == new).count();
    old[..old.len() - end].iter().chain(&new[..new.len() - end])
}
