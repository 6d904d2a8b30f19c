//! The same as numbers: what the search works on. Sets of access are bits, so that a question of them is one instruction.

/// A piece of a job.
#[derive(Debug, Clone)]
pub struct Piece {
    /// Where its job stands in the garage's list, and which of the job's pieces it is.
    pub job: usize,
    pub number: usize,
    pub minutes: u32,
    pub need: u64,
    /// Access that must not be open meanwhile: what blocks the job, and what conflicts with its need.
    pub avoid: u64,
    /// The first evening by which its parts are there.
    pub from: usize,
    pub helper: bool,
    /// The only evening that is allowed, where somebody asks what that would cost.
    pub only: Option<usize>,
    /// Pieces that come first, and pieces that come after it.
    pub before: Vec<usize>,
    pub after: Vec<usize>,
}

#[derive(Debug, Clone, Copy)]
pub struct Door {
    pub open: u32,
    pub close: u32,
    pub keep: Option<u32>,
}

impl Door {
    /// The least that a second evening with it costs.
    pub fn again(&self) -> u32 {
        self.keep.map_or(self.open + self.close, |keep| keep.min(self.open + self.close))
    }

    /// The least that an evening pays before work that needs it, opened or kept.
    pub fn at_least(&self) -> u32 {
        self.keep.map_or(self.open, |keep| keep.min(self.open))
    }
}

#[derive(Debug, Clone, Copy)]
pub struct Slot {
    pub day: i32,
    pub minutes: u32,
    pub helper: bool,
}

#[derive(Debug, Clone)]
pub struct Problem {
    pub pieces: Vec<Piece>,
    pub doors: Vec<Door>,
    pub slots: Vec<Slot>,
    pub today: i32,
    /// What is open before the first evening, and whether a job is half done.
    pub open: u64,
    /// For each job that was begun before: its pieces that are left.
    pub begun: Vec<Vec<usize>>,
    /// Every access which some piece must avoid.
    pub contended: u64,
}

impl Problem {
    pub fn allowed(&self, piece: usize, slot: usize) -> bool {
        let (piece, evening) = (&self.pieces[piece], &self.slots[slot]);
        slot >= piece.from && (evening.helper || !piece.helper) && piece.only.is_none_or(|only| only == slot)
    }

    pub fn work(&self) -> u32 {
        self.pieces.iter().map(|piece| piece.minutes).sum()
    }

    /// Between this evening and the one before, or today.
    pub fn nights_before(&self, slot: usize) -> u32 {
        let before = slot.checked_sub(1).map_or(self.today, |before| self.slots[before].day);
        u32::try_from(self.slots[slot].day - before).unwrap_or(0)
    }

    /// The pieces in an order in which no predecessor comes late.
    pub fn in_order(&self) -> Vec<usize> {
        let mut missing: Vec<usize> = self.pieces.iter().map(|piece| piece.before.len()).collect();
        let mut order: Vec<usize> = (0..self.pieces.len()).filter(|&piece| missing[piece] == 0).collect();
        let mut at = 0;
        while let Some(&piece) = order.get(at) {
            at += 1;
            for &after in &self.pieces[piece].after {
                missing[after] -= 1;
                if missing[after] == 0 {
                    order.push(after);
                }
            }
        }
        order
    }
}

/// The members of a set of bits, lowest first.
pub fn members(set: u64) -> impl Iterator<Item = usize> {
    let mut left = set;
    std::iter::from_fn(move || {
        let lowest = (left != 0).then(|| left.trailing_zeros() as usize)?;
        left &= left - 1;
        Some(lowest)
    })
}
