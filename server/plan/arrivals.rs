//! When a part is there, as far as the buy list says.

use super::model::day_number;
use crate::shelf::store::{Part, PartState};
use crate::trade::limits::Day;
use crate::trade::plan::{Arrival, Spread};

/// Days that a delivery takes where nobody said: a guess, and said to be one. Common practice, no source.
pub const DELIVERY_GUESS: [u32; 3] = [3, 7, 14];
/// Days until what is overdue comes: a guess, and said to be one. Common practice, no source.
pub const OVERDUE_GUESS: [u32; 3] = [1, 7, 21];

/// When a part is there. What was sent back is unknown: nobody has said what comes in its place.
pub fn arrival(part: &Part, today: Day) -> Arrival {
    match (part.facts.state, expected(part)) {
        (PartState::Here | PartState::Fitted, _) => Arrival::OnTheShelf,
        (PartState::Ordered, Some(day)) if day >= today => Arrival::Ordered(sure(day.0.abs_diff(today.0))),
        (PartState::Ordered, Some(_)) => Arrival::Ordered(guess(OVERDUE_GUESS)),
        (PartState::Ordered, None) => Arrival::Ordered(guess(DELIVERY_GUESS)),
        (PartState::Wanted, _) => Arrival::ToOrder(guess(DELIVERY_GUESS)),
        (PartState::SentBack, _) => Arrival::Unknown,
    }
}

/// What is only guessed of its arrival, in a sentence without its full stop; `None` where nothing is.
pub fn guessed(part: &Part, today: Day) -> Option<String> {
    let name = &part.facts.name;
    let range = |[low, _, high]: [u32; 3]| format!("{low} to {high} days");
    match (part.facts.state, expected(part)) {
        (PartState::Wanted, _) => {
            Some(format!("nobody said how long ‘{name}’ takes once ordered: {} are a guess", range(DELIVERY_GUESS)))
        }
        (PartState::Ordered, None) => {
            Some(format!("nobody said when ‘{name}’ comes: {} are a guess", range(DELIVERY_GUESS)))
        }
        (PartState::Ordered, Some(day)) if day < today => {
            Some(format!("‘{name}’ is overdue: another {} are a guess", range(OVERDUE_GUESS)))
        }
        (PartState::Here | PartState::Fitted | PartState::SentBack | PartState::Ordered, _) => None,
    }
}

fn expected(part: &Part) -> Option<Day> {
    part.facts.expected_on.as_ref()?.parse().ok().map(day_number)
}

fn sure(days: u32) -> Spread {
    Spread::sure(days).unwrap_or(Spread::NOTHING)
}

fn guess([low, likely, high]: [u32; 3]) -> Spread {
    Spread::new(low, likely, high).unwrap_or(Spread::NOTHING)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::PartId;
    use crate::shelf::store::PartFacts;

    fn part(state: PartState, expected_on: Option<&str>) -> Part {
        let facts = PartFacts {
            name: "Crush washer".into(),
            number: String::new(),
            supplier: String::new(),
            quantity: "2".into(),
            state,
            price_minor: None,
            currency: String::new(),
            expected_on: expected_on.map(str::to_owned),
            note: String::new(),
        };
        Part { id: PartId::new(), facts, rev: 1 }
    }

    #[test]
    fn what_is_not_known_is_a_guess_that_says_so_or_unknown() {
        // 2026-11-25
        let today = Day(20_782);
        let of = |state, on| {
            let part = part(state, on);
            (arrival(&part, today), guessed(&part, today).is_some())
        };
        assert_eq!(of(PartState::Here, None), (Arrival::OnTheShelf, false));
        assert_eq!(of(PartState::Fitted, Some("2020-01-01")), (Arrival::OnTheShelf, false));
        assert_eq!(of(PartState::Ordered, Some("2026-12-01")), (Arrival::Ordered(sure(6)), false));
        assert_eq!(of(PartState::Ordered, Some("2026-11-25")), (Arrival::Ordered(sure(0)), false));
        assert_eq!(of(PartState::Ordered, Some("2026-11-24")), (Arrival::Ordered(guess(OVERDUE_GUESS)), true));
        assert_eq!(of(PartState::Ordered, None), (Arrival::Ordered(guess(DELIVERY_GUESS)), true));
        assert_eq!(of(PartState::Wanted, None), (Arrival::ToOrder(guess(DELIVERY_GUESS)), true));
        assert_eq!(of(PartState::SentBack, None), (Arrival::Unknown, false));
    }
}
