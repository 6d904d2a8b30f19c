//! A first plan: evening by evening, always the piece that fits best. Nothing is left open for a night unless its closing
//! finds no room.

use super::problem::{Problem, members};

/// What fits best.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Taste {
    /// Least access to open, then the longest chain behind it.
    LittleAccess,
    /// The longest chain behind it, then least access.
    LongChain,
    /// Least access for each minute of the work that waits behind the same doors.
    GoodUse,
}

pub const TASTES: [Taste; 3] = [Taste::LittleAccess, Taste::LongChain, Taste::GoodUse];

struct Night<'a> {
    problem: &'a Problem,
    at: Vec<Option<usize>>,
    /// The longest chain of work from each piece on.
    chain: Vec<u32>,
    open: u64,
    taste: Taste,
}

/// For each piece its slot; `None` where the evenings did not suffice.
pub fn by_taste(problem: &Problem, taste: Taste) -> Vec<Option<usize>> {
    let mut chain = vec![0; problem.pieces.len()];
    for piece in problem.in_order().into_iter().rev() {
        let behind = problem.pieces[piece].after.iter().map(|&after| chain[after]).max().unwrap_or(0);
        chain[piece] = problem.pieces[piece].minutes + behind;
    }
    let mut night = Night { problem, at: vec![None; problem.pieces.len()], chain, open: problem.open, taste };
    for slot in 0..problem.slots.len() {
        night.fill(slot);
    }
    night.at
}

impl Night<'_> {
    fn minutes(&self, set: u64, of: impl Fn(usize) -> u32) -> u32 {
        members(set).map(of).sum()
    }

    fn fill(&mut self, slot: usize) {
        let doors = &self.problem.doors;
        let room = self.problem.slots[slot].minutes;
        let mut used = self.minutes(self.open, |access| doors[access].keep.unwrap_or(0));
        let (mut users, mut avoided, mut begun) = (0, 0, false);
        loop {
            let present = self.open | users;
            let closing = |set: u64| members(set).map(|access| doors[access].close).sum::<u32>();
            let cost = |piece: usize| {
                let piece = &self.problem.pieces[piece];
                let new = piece.need & !present;
                let open: u32 = members(new).map(|access| doors[access].open).sum();
                (open, closing(new))
            };
            let fits = |piece: &usize| {
                let (open, close) = cost(*piece);
                let known = &self.problem.pieces[*piece];
                let with = used + known.minutes + open;
                // Alone in an evening it may leave its closing to the next.
                let shut = with + close + closing(present) <= room;
                let kept =
                    !begun && with <= room && members(present | known.need).all(|access| doors[access].keep.is_some());
                known.avoid & users == 0 && known.need & avoided == 0 && (shut || kept)
            };
            let free = (0..self.at.len()).filter(|&piece| self.is_free(piece, slot)).filter(fits);
            let Some(best) = free.min_by_key(|&piece| (self.key(piece, cost(piece)), piece)) else { break };
            let known = &self.problem.pieces[best];
            used += known.minutes + cost(best).0;
            users |= known.need;
            avoided |= known.avoid;
            begun = true;
            self.at[best] = Some(slot);
        }
        self.close(slot, users, used, begun);
    }

    fn close(&mut self, slot: usize, users: u64, mut used: u32, begun: bool) {
        self.open |= users;
        for access in members(self.open) {
            let close = self.problem.doors[access].close;
            if used + close <= self.problem.slots[slot].minutes && (begun || used > 0) {
                used += close;
                self.open &= !(1 << access);
            }
        }
    }

    fn is_free(&self, piece: usize, slot: usize) -> bool {
        let before = &self.problem.pieces[piece].before;
        self.at[piece].is_none()
            && self.problem.allowed(piece, slot)
            && before.iter().all(|&before| self.at[before].is_some())
    }

    fn key(&self, piece: usize, (open, close): (u32, u32)) -> (u32, u32) {
        let chain = u32::MAX - self.chain[piece];
        match self.taste {
            Taste::LittleAccess => (open + close, chain),
            Taste::LongChain => (chain, open + close),
            Taste::GoodUse => {
                let need = self.problem.pieces[piece].need;
                let behind = (0..self.at.len())
                    .filter(|&other| self.at[other].is_none() && self.problem.pieces[other].need & !need == 0);
                let minutes: u32 = behind.map(|other| self.problem.pieces[other].minutes).sum();
                ((open + close) * 1_000 / (minutes + 1), chain)
            }
        }
    }
}
