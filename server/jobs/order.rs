//! Moving one thing in an order by a button. Pure.

use crate::error::AppError;
use std::str::FromStr;

/// Where something is moved: `up`, `down`, or `to:3`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Move {
    Up,
    Down,
    /// A place counted from 1; beyond the end is the end.
    To(usize),
}

impl FromStr for Move {
    type Err = AppError;

    fn from_str(text: &str) -> Result<Move, AppError> {
        let place = text.strip_prefix("to:").and_then(|place| place.parse().ok());
        match (text, place) {
            ("up", _) => Ok(Move::Up),
            ("down", _) => Ok(Move::Down),
            (_, Some(place)) if place > 0 => Ok(Move::To(place)),
            _ => Err(AppError::Invalid("malformed", "Things are moved up, down, or to a place such as to:3.".into())),
        }
    }
}

/// The order after the move. Something at an end stays there; something that is not in it changes nothing.
pub fn moved<T: Copy + PartialEq>(order: &[T], what: T, to: Move) -> Vec<T> {
    let mut order = order.to_vec();
    let Some(at) = order.iter().position(|one| *one == what) else {
        return order;
    };
    let last = order.len() - 1;
    let target = match to {
        Move::Up => at.saturating_sub(1),
        Move::Down => (at + 1).min(last),
        Move::To(place) => (place - 1).min(last),
    };
    order.remove(at);
    order.insert(target, what);
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn things_move_by_one_or_to_a_place_and_stop_at_the_ends() {
        let cases = [
            ("up", 2, [2, 1, 3]),
            ("up", 1, [1, 2, 3]),
            ("down", 2, [1, 3, 2]),
            ("down", 3, [1, 2, 3]),
            ("to:1", 3, [3, 1, 2]),
            ("to:9", 1, [2, 3, 1]),
        ];
        for (to, what, expected) in cases {
            assert_eq!(moved(&[1, 2, 3], what, to.parse().unwrap()), expected, "{what} {to}");
        }
        assert_eq!(moved(&[1, 2, 3], 4, Move::Up), [1, 2, 3]);
    }

    #[test]
    fn other_directions_are_refused() {
        for text in ["", "left", "to:0", "to:-1", "to:x", "to:"] {
            assert!(text.parse::<Move>().is_err(), "{text}");
        }
    }
}
