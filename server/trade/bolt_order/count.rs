//! Which bolt is next: the counter of a joint that is being tightened.
//!
//! Joint after joint; in each, stage after stage; in each stage, bolt after bolt in the order of tightening. The next bolt is
//! the first of these that is not tight, so whoever goes on later, or with another phone, goes on where it was left.
//!
//! The phone counts by the same rule in `static/js/work/bolts.js`; both run `tests/vectors/bolts.json`.

/// What is counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Counted {
    /// Numbers of the bolts of one joint from 1, each once, in the order of tightening.
    pub order: Vec<usize>,
    pub stages: usize,
    /// Joints alike, one after the other.
    pub joints: usize,
}

/// One bolt in one stage. All from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct At {
    pub joint: usize,
    pub stage: usize,
    /// When it is its turn within the stage.
    pub turn: usize,
    /// Its number, counted on through the joints.
    pub bolt: usize,
}

/// How far it has come.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Count {
    /// None where all are tight.
    pub next: Option<At>,
    /// The one that ‘back one’ opens again: the one before the next.
    pub back: Option<At>,
    /// Bolts that are tight, a bolt counted once for each stage.
    pub tight: usize,
    pub all: usize,
    /// The same of each stage.
    pub by_stage: Vec<usize>,
}

impl Counted {
    /// Bolts of all the joints.
    pub const fn bolts(&self) -> usize {
        self.order.len() * self.joints
    }

    /// Whether it has such a bolt and stage.
    pub fn has(&self, stage: usize, bolt: usize) -> bool {
        (1..=self.stages).contains(&stage) && (1..=self.bolts()).contains(&bolt)
    }

    fn sequence(&self) -> impl Iterator<Item = At> + '_ {
        let each = self.order.len();
        let bolts = move |joint: usize, stage: usize| {
            (1..).zip(&self.order).map(move |(turn, bolt)| At { joint, stage, turn, bolt: (joint - 1) * each + bolt })
        };
        (1..=self.joints).flat_map(move |joint| (1..=self.stages).flat_map(move |stage| bolts(joint, stage)))
    }

    /// `is_tight` of a stage and a bolt.
    pub fn count(&self, is_tight: impl Fn(usize, usize) -> bool) -> Count {
        let mut count = Count { next: None, back: None, tight: 0, all: 0, by_stage: vec![0; self.stages] };
        for at in self.sequence() {
            let tight = is_tight(at.stage, at.bolt);
            count.all += 1;
            if tight {
                count.tight += 1;
                count.by_stage[at.stage - 1] += 1;
            } else if count.next.is_none() {
                count.next = Some(at);
            }
            if count.next.is_none() {
                count.back = Some(at);
            }
        }
        count
    }
}

impl Count {
    pub const fn left(&self) -> usize {
        self.all - self.tight
    }
}
