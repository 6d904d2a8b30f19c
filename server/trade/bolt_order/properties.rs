//! What must hold of every pattern, for every count.

use super::{MOST, Pattern, Shape, ring};

fn every_pattern() -> impl Iterator<Item = Pattern> {
    Shape::ALL.iter().flat_map(|shape| (shape.least()..=MOST).map(|count| Pattern::by_rule(*shape, count).unwrap()))
}

#[test]
fn every_order_visits_every_bolt_once() {
    for pattern in every_pattern() {
        let mut sorted = pattern.order().to_vec();
        sorted.sort_unstable();
        assert_eq!(sorted, (1..=pattern.places().len()).collect::<Vec<_>>(), "{:?}", pattern.shape());
    }
}

#[test]
fn every_order_can_be_typed_again() {
    for pattern in every_pattern() {
        assert_eq!(Pattern::own(pattern.shape(), &pattern.written()), Ok(pattern));
    }
}

#[test]
fn turns_and_order_say_the_same() {
    for pattern in every_pattern() {
        for place in pattern.places() {
            assert_eq!(pattern.order()[place.turn - 1], place.bolt);
        }
    }
}

#[test]
fn bolts_lie_within_the_square_and_never_on_one_another() {
    for pattern in every_pattern() {
        let places = pattern.places();
        for (index, a) in places.iter().enumerate() {
            let inside = |x: f64| (-1e-9..=1.0 + 1e-9).contains(&x);
            assert!(inside(a.x) && inside(a.y), "{:?} {}", pattern.shape(), places.len());
            assert!(places[..index].iter().all(|b| (a.x - b.x).hypot(a.y - b.y) > 0.02));
        }
    }
}

/// The documented distance: a quarter of the ring.
#[test]
fn in_a_ring_each_bolt_lies_at_least_a_quarter_from_the_last() {
    for count in 4..=MOST {
        let order = ring::crosswise(count);
        for pair in order.windows(2) {
            let apart = ring::apart(pair[0], pair[1], count);
            assert!(apart * 4 >= count, "{count}: {} after {}", pair[1] + 1, pair[0] + 1);
        }
    }
}

/// After any number of bolts no gap is more than three times what it would be if they lay evenly, from four bolts on.
#[test]
fn in_a_ring_the_first_few_bolts_are_spread_all_round() {
    for count in 5..=MOST {
        let order = ring::crosswise(count);
        for taken in 4..=count {
            let mut bolts = order[..taken].to_vec();
            bolts.sort_unstable();
            let gaps = (0..taken).map(|index| (bolts[(index + 1) % taken] + count - bolts[index]) % count);
            let widest = gaps.max().unwrap();
            assert!(widest * taken <= 3 * count, "{count} after {taken}: a gap of {widest}");
        }
    }
}

#[test]
fn rows_begin_in_the_middle_and_never_come_nearer_again() {
    for shape in [Shape::Row, Shape::TwoRows] {
        for count in shape.least()..=MOST {
            let pattern = Pattern::by_rule(shape, count).unwrap();
            let distance = |turn: usize| (pattern.places()[pattern.order()[turn] - 1].x - 0.5).abs();
            let nearest = pattern.places().iter().map(|place| (place.x - 0.5).abs()).fold(1.0, f64::min);
            assert!((distance(0) - nearest).abs() < 1e-9, "{shape} {count}");
            assert!((1..count).all(|turn| distance(turn) >= distance(turn - 1) - 1e-9), "{shape} {count}");
        }
    }
}

#[test]
fn a_row_goes_to_alternate_sides() {
    for count in 3..=MOST {
        let pattern = Pattern::by_rule(Shape::Row, count).unwrap();
        let sides: Vec<bool> = pattern
            .order()
            .iter()
            .map(|bolt| pattern.places()[bolt - 1].x - 0.5)
            .filter(|x| x.abs() > 1e-9)
            .map(|x| x > 0.0)
            .collect();
        assert!(sides.chunks(2).all(|pair| pair.len() < 2 || pair[0] != pair[1]), "{count}");
    }
}

/// Two rows of equal length: each level of four goes from corner to opposite corner.
#[test]
fn two_rows_go_crosswise() {
    for count in (4..=MOST).step_by(2) {
        let pattern = Pattern::by_rule(Shape::TwoRows, count).unwrap();
        let place = |turn: usize| pattern.places()[pattern.order()[turn] - 1];
        for turn in 1..count {
            let (a, b) = (place(turn - 1), place(turn));
            let same_level = ((a.x - 0.5).abs() - (b.x - 0.5).abs()).abs() < 1e-9;
            let begins_level = turn == 1 || ((place(turn - 2).x - 0.5).abs() - (a.x - 0.5).abs()).abs() > 1e-9;
            if same_level && begins_level {
                assert!((a.y - b.y).abs() > 0.1, "{count}: {} and {}", a.bolt, b.bolt);
            }
        }
    }
}
