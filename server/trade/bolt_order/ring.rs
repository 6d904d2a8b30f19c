//! Bolts in a ring or oval, tightened crosswise.
//!
//! Rule: after each bolt comes one at least a quarter of the ring away.
//! * An even ring has pairs of opposite bolts. The pairs are taken so that each lies as far as it can from all that
//!   were taken, and then from the last one; each pair begins with the end farther from the last bolt, which is never
//!   nearer than 90°.
//! * An odd ring has no opposite bolts. It is gone round by one step, of at least a quarter of the ring, that meets
//!   every bolt once; of such steps the one nearest to the golden section (137.5°), which spreads any first few bolts
//!   best.
//!
//! Common practice, no source for the general rule; for 4, 8 and 12 it gives the star of ASME PCC-1 (older editions,
//! from memory).

use std::f64::consts::TAU;

/// Clockwise from the top, in a square of side 1; `half_height` is 0.5 for a circle.
pub(super) fn positions(count: usize, half_height: f64) -> Vec<(f64, f64)> {
    let angle = |bolt: usize| share(bolt, count) * TAU;
    (0..count).map(|bolt| (0.5 + 0.5 * angle(bolt).sin(), 0.5 - half_height * angle(bolt).cos())).collect()
}

/// Numbers from 0 to `count` − 1, each once; `count` is at least 3.
pub(super) fn crosswise(count: usize) -> Vec<usize> {
    if count.is_multiple_of(2) { by_pairs(count) } else { by_step(count) }
}

/// Bolts between two, the shorter way round.
pub(super) fn apart(a: usize, b: usize, count: usize) -> usize {
    let one_way = a.abs_diff(b) % count;
    one_way.min(count - one_way)
}

fn by_pairs(count: usize) -> Vec<usize> {
    let half = count / 2;
    let mut taken: Vec<usize> = Vec::new();
    let mut order: Vec<usize> = Vec::new();
    while let Some(pair) = next_pair(&taken, half) {
        let (near_end, far_end) = (pair, pair + half);
        let farther = order.last().is_some_and(|last| apart(*last, far_end, count) > apart(*last, near_end, count));
        order.extend(if farther { [far_end, near_end] } else { [near_end, far_end] });
        taken.push(pair);
    }
    order
}

/// The pair farthest from all that were taken, then from the last, then the first in number.
fn next_pair(taken: &[usize], half: usize) -> Option<usize> {
    let clearance = |pair: usize| {
        let from_all = taken.iter().map(|one| apart(*one, pair, half)).min();
        let from_last = taken.last().map(|last| apart(*last, pair, half));
        (from_all, from_last)
    };
    let left = (0..half).filter(|pair| !taken.contains(pair));
    left.rev().max_by_key(|pair| clearance(*pair))
}

fn by_step(count: usize) -> Vec<usize> {
    const GOLDEN: f64 = 0.381_966;
    let off = |step: usize| (share(step, count) - GOLDEN).abs();
    let steps = (count.div_ceil(4)..=count / 2).filter(|step| common_divisor(*step, count) == 1);
    // One step below half of an odd count always meets every bolt, so there is one.
    let step = steps.min_by(|a, b| off(*a).total_cmp(&off(*b))).unwrap_or(1);
    (0..count).map(|turn| turn * step % count).collect()
}

const fn common_divisor(mut a: usize, mut b: usize) -> usize {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// Counts of bolts are far below where a double loses whole numbers.
#[expect(clippy::cast_precision_loss, reason = "at most 40 bolts")]
fn share(part: usize, whole: usize) -> f64 {
    part as f64 / whole as f64
}
