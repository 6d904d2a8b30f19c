//! Bolts in one or two rows, tightened from the middle outwards.

/// Across the middle of a square of side 1, from the left.
pub(super) fn one(count: usize) -> Vec<(f64, f64)> {
    spread(count).map(|x| (x, 0.5)).collect()
}

/// Upper row from the left, then lower row from the left. An odd bolt is the upper row's, and the lower bolts then lie
/// between the upper ones.
pub(super) fn two(count: usize) -> Vec<(f64, f64)> {
    let upper = count.div_ceil(2);
    let lower = count / 2;
    let inset = if upper == lower { 0.0 } else { 0.5 / steps(upper) };
    let below = spread(lower).map(move |x| (inset + x * (1.0 - 2.0 * inset), 0.75));
    spread(upper).map(|x| (x, 0.25)).chain(below).collect()
}

/// Numbers of the places from 0: nearest the middle first. Those equally near the middle go to the other side each
/// time, and to the other row first; they begin on the left above.
pub(super) fn outwards(places: &[(f64, f64)]) -> Vec<usize> {
    let mut left: Vec<usize> = (0..places.len()).collect();
    let mut order: Vec<usize> = Vec::new();
    while !left.is_empty() {
        let innermost = left.iter().map(|place| from_middle(places[*place])).fold(f64::INFINITY, f64::min);
        let mut level: Vec<usize> =
            left.iter().copied().filter(|place| from_middle(places[*place]) <= innermost + EQUAL).collect();
        left.retain(|place| !level.contains(place));
        let mut next = level.remove(0);
        order.push(next);
        while !level.is_empty() {
            next = level.remove(farthest(places, places[next], &level));
            order.push(next);
        }
    }
    order
}

/// Distances closer than this are the same; the square has side 1.
const EQUAL: f64 = 1e-9;

/// Along the row, from its middle.
fn from_middle((x, _): (f64, f64)) -> f64 {
    (x - 0.5).abs()
}

/// Index in `among` of the place farthest from `from` along the row, then across it, the first of equals. `among` is
/// not empty.
fn farthest(places: &[(f64, f64)], from: (f64, f64), among: &[usize]) -> usize {
    let farther = |one: usize, than: usize| {
        let away = |index: usize| ((places[among[index]].0 - from.0).abs(), (places[among[index]].1 - from.1).abs());
        let ((along, across), (than_along, than_across)) = (away(one), away(than));
        along > than_along + EQUAL || (along > than_along - EQUAL && across > than_across + EQUAL)
    };
    (1..among.len()).fold(0, |best, index| if farther(index, best) { index } else { best })
}

/// From 0 to 1, evenly; a single one in the middle.
fn spread(count: usize) -> impl Iterator<Item = f64> {
    let whole = steps(count);
    (0..count).map(move |place| if count == 1 { 0.5 } else { as_number(place) / whole })
}

fn steps(count: usize) -> f64 {
    as_number(count.saturating_sub(1).max(1))
}

/// Counts of bolts are far below where a double loses whole numbers.
#[expect(clippy::cast_precision_loss, reason = "at most 40 bolts")]
fn as_number(count: usize) -> f64 {
    count as f64
}
