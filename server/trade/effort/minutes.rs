//! Least, likely, longest; shared out over the steps of a card.

use crate::trade::checker::StepOnPaper;
use crate::trade::marks::Mark;
use crate::trade::steps::Verb;
use serde::Serialize;

/// The longest that one card may take, in minutes.
const MOST: u32 = 6000;

/// A time in minutes: least, likely, longest, none smaller than the one before.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Minutes {
    low: u32,
    likely: u32,
    high: u32,
}

/// Why three numbers are no time.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum MinutesError {
    #[error("A time is least, likely and longest, none smaller than the one before: {0}, {1}, {2} are not.")]
    Order(i64, i64, i64),
    #[error("A time is from 1 to {MOST} minutes; longer work is cut into several cards.")]
    Range,
}

impl Minutes {
    /// Least, likely and longest time of a card, each from 1 to 6000.
    pub fn new([low, likely, high]: [i64; 3]) -> Result<Minutes, MinutesError> {
        if low > likely || likely > high {
            return Err(MinutesError::Order(low, likely, high));
        }
        let whole = |minutes: i64| u32::try_from(minutes).ok().filter(|minutes| (1..=MOST).contains(minutes));
        match (whole(low), whole(likely), whole(high)) {
            (Some(low), Some(likely), Some(high)) => Ok(Minutes { low, likely, high }),
            _ => Err(MinutesError::Range),
        }
    }

    pub fn low(self) -> u32 {
        self.low
    }

    pub fn likely(self) -> u32 {
        self.likely
    }

    pub fn high(self) -> u32 {
        self.high
    }

    /// Of each of the three the greater.
    pub(super) fn longer(self, other: Minutes) -> Minutes {
        Minutes { low: self.low.max(other.low), likely: self.likely.max(other.likely), high: self.high.max(other.high) }
    }

    /// Each of the three by a rule that keeps their order.
    pub(super) fn each(self, rule: impl Fn(u32) -> u32) -> Minutes {
        Minutes { low: rule(self.low), likely: rule(self.likely), high: rule(self.high) }
    }
}

impl std::ops::Add for Minutes {
    type Output = Minutes;

    fn add(self, other: Minutes) -> Minutes {
        Minutes {
            low: self.low.saturating_add(other.low),
            likely: self.likely.saturating_add(other.likely),
            high: self.high.saturating_add(other.high),
        }
    }
}

impl std::iter::Sum for Minutes {
    fn sum<I: Iterator<Item = Minutes>>(all: I) -> Minutes {
        all.fold(Minutes::default(), |sum, one| sum + one)
    }
}

/// Shares a card's time out over its steps, by what their verbs usually take. Whole minutes, which together are exactly the
/// card's; a step may get none.
///
/// The next minute always goes to the step with the greatest weight for (2 × minutes it has + 1), the earlier of equals: the
/// divisor method of Webster and Sainte-Laguë. A share never shrinks when the whole grows, so that each step keeps
/// least ≤ likely ≤ longest.
pub fn shared_out(whole: Minutes, steps: &[StepOnPaper]) -> Vec<Minutes> {
    let weights: Vec<u64> = steps.iter().map(weight).collect();
    let mut shares = vec![Minutes::default(); steps.len()];
    let mut has = vec![0_u32; steps.len()];
    for minute in 1..=whole.high {
        // Without steps there is nobody to take it.
        let Some(taker) = next(&weights, &has) else { break };
        has[taker] += 1;
        if minute == whole.low {
            shares.iter_mut().zip(&has).for_each(|(share, has)| share.low = *has);
        }
        if minute == whole.likely {
            shares.iter_mut().zip(&has).for_each(|(share, has)| share.likely = *has);
        }
    }
    shares.iter_mut().zip(&has).for_each(|(share, has)| share.high = *has);
    shares
}

fn next(weights: &[u64], has: &[u32]) -> Option<usize> {
    let divisor = |at: usize| 2 * u64::from(has[at]) + 1;
    (0..weights.len()).reduce(|best, at| {
        // weight/divisor compared crosswise, to stay exact.
        if weights[at] * divisor(best) > weights[best] * divisor(at) { at } else { best }
    })
}

/// What a step takes beside others. Common practice, no source.
fn weight(step: &StepOnPaper) -> u64 {
    let by_verb = match step.verb {
        Verb::Close | Verb::Note => 1,
        Verb::Chock | Verb::Open | Verb::Inspect | Verb::Free => 2,
        Verb::Raise | Verb::Lower | Verb::Prop => 3,
        Verb::Support | Verb::Loosen | Verb::Disconnect | Verb::Measure | Verb::Connect => 4,
        Verb::Tighten | Verb::FinalTighten => 4,
        Verb::Remove | Verb::Clean | Verb::Prepare => 5,
        Verb::Fit | Verb::Fill => 6,
        Verb::Drain | Verb::Run => 8,
        Verb::Bleed | Verb::Drive => 15,
    };
    // Lying down it takes half as long again.
    if step.has(Mark::UnderCar) { by_verb * 3 } else { by_verb * 2 }
}
