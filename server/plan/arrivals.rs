//! When a part is there, as far as the buy list says.

use crate::shelf;
use crate::shelf::store::Part;
use crate::trade::buying::Stage;
use crate::trade::plan::{Arrival, Spread};
use jiff::civil::Date;

/// Days that a delivery takes where nobody said: a guess, and said to be one. Common practice, no source.
pub const DELIVERY_GUESS: [u32; 3] = [3, 7, 14];
/// Days until what is overdue comes: a guess, and said to be one. Common practice, no source.
pub const OVERDUE_GUESS: [u32; 3] = [1, 7, 21];

/// When a part is there: as the buy list knows it, else as a guess, so that the job has a place in the plan. What was sent
/// back stays unknown: nobody has said what comes in its place.
pub fn arrival(part: &Part, today: Date) -> Arrival {
    match (shelf::arrival::arrival(&part.facts, today), part.facts.state) {
        (Arrival::Unknown, Stage::Ordered) => Arrival::Ordered(guess(ordered_guess(part))),
        (Arrival::Unknown, Stage::Wanted) => Arrival::ToOrder(guess(DELIVERY_GUESS)),
        (known, _) => known,
    }
}

/// What is only guessed of its arrival, in a sentence without its full stop; `None` where nothing is.
pub fn guessed(part: &Part, today: Date) -> Option<String> {
    if shelf::arrival::arrival(&part.facts, today) != Arrival::Unknown {
        return None;
    }
    let name = &part.facts.name;
    let range = |[low, _, high]: [u32; 3]| format!("{low} to {high} days");
    match part.facts.state {
        Stage::Wanted => {
            Some(format!("nobody said how long ‘{name}’ takes once ordered: {} are a guess", range(DELIVERY_GUESS)))
        }
        Stage::Ordered if has_day(part) => {
            Some(format!("‘{name}’ is overdue: another {} are a guess", range(OVERDUE_GUESS)))
        }
        Stage::Ordered => Some(format!("nobody said when ‘{name}’ comes: {} are a guess", range(DELIVERY_GUESS))),
        Stage::Here | Stage::Fitted | Stage::SentBack => None,
    }
}

fn ordered_guess(part: &Part) -> [u32; 3] {
    if has_day(part) { OVERDUE_GUESS } else { DELIVERY_GUESS }
}

fn has_day(part: &Part) -> bool {
    part.facts.expected_on.is_some() || part.facts.expected_latest.is_some()
}

fn guess([low, likely, high]: [u32; 3]) -> Spread {
    Spread::new(low, likely, high).unwrap_or(Spread::NOTHING)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::PartId;
    use crate::shelf::store::PartFacts;

    fn part(state: Stage, expected_on: Option<&str>) -> Part {
        let facts =
            PartFacts { state, expected_on: expected_on.map(str::to_owned), ..PartFacts::wanted("Crush washer") };
        Part::new(PartId::new(), facts)
    }

    #[test]
    fn what_is_not_known_is_a_guess_that_says_so_or_unknown() {
        let today = jiff::civil::date(2026, 11, 25);
        let of = |state, on| {
            let part = part(state, on);
            (arrival(&part, today), guessed(&part, today).is_some())
        };
        let sure = |days| Spread::sure(days).unwrap();
        assert_eq!(of(Stage::Here, None), (Arrival::OnTheShelf, false));
        assert_eq!(of(Stage::Fitted, Some("2020-01-01")), (Arrival::OnTheShelf, false));
        assert_eq!(of(Stage::Ordered, Some("2026-12-01")), (Arrival::Ordered(sure(6)), false));
        assert_eq!(of(Stage::Ordered, Some("2026-11-25")), (Arrival::Ordered(sure(0)), false));
        assert_eq!(of(Stage::Ordered, Some("2026-11-24")), (Arrival::Ordered(guess(OVERDUE_GUESS)), true));
        assert_eq!(of(Stage::Ordered, None), (Arrival::Ordered(guess(DELIVERY_GUESS)), true));
        assert_eq!(of(Stage::Wanted, None), (Arrival::ToOrder(guess(DELIVERY_GUESS)), true));
        assert_eq!(of(Stage::SentBack, None), (Arrival::Unknown, false));
    }
}
