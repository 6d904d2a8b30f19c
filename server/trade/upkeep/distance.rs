//! Kilometres and miles as a clock on the dashboard counts them: exact, in the unit in which they were read.

use rust_decimal::Decimal;
use thiserror::Error;

use super::words::grouped;
use crate::trade::closed_set::closed_set;

closed_set! {
    /// What an odometer counts in.
    pub enum DistanceUnit {
        Kilometre = "km", "km";
        Mile = "mi", "mi";
    }
}

impl DistanceUnit {
    /// So many of this unit in kilometres, exactly.
    pub(super) fn kilometres(self, number: Decimal) -> Decimal {
        match self {
            DistanceUnit::Kilometre => number,
            DistanceUnit::Mile => number * MILE_IN_METRES / Decimal::ONE_THOUSAND,
        }
    }

    /// So many kilometres in this unit, for showing.
    pub(super) fn of_kilometres(self, kilometres: Decimal) -> Decimal {
        match self {
            DistanceUnit::Kilometre => kilometres,
            DistanceUnit::Mile => kilometres * Decimal::ONE_THOUSAND / MILE_IN_METRES,
        }
    }

    /// So many kilometres in whole ones of this unit, as in `4 350 mi`.
    pub fn say(self, kilometres: Decimal) -> String {
        format!("{} {self}", grouped(self.of_kilometres(kilometres).round()))
    }
}

/// Metres of an international mile. Source: exact by definition, 5280 ft of 0.3048 m (NIST SP 811, appendix B, from memory).
const MILE_IN_METRES: Decimal = Decimal::from_parts(1_609_344, 0, 0, false, 3);

/// No clock counts further.
const MOST: Decimal = Decimal::from_parts(9_999_999, 0, 0, false, 0);

/// A distance from 0 to 9 999 999 of its unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Distance {
    number: Decimal,
    unit: DistanceUnit,
}

/// Why a text is no distance.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DistanceError {
    #[error("Type the number that the clock shows.")]
    Empty,
    #[error("‘{0}’ is no distance: write digits only, such as 134820.")]
    Unreadable(String),
    #[error("‘{0}’ can be read in two ways, as thousands or as a decimal: write the thousands without a mark.")]
    TwoWays(String),
    #[error("A distance cannot be negative.")]
    Negative,
    #[error("No clock counts beyond 9 999 999: check the number.")]
    TooLarge,
}

impl Distance {
    /// Errors: below zero, or beyond what any clock counts.
    pub fn new(number: Decimal, unit: DistanceUnit) -> Result<Distance, DistanceError> {
        if number.is_sign_negative() && !number.is_zero() {
            return Err(DistanceError::Negative);
        }
        if number.trunc() > MOST {
            return Err(DistanceError::TooLarge);
        }
        Ok(Distance { number: number.normalize(), unit })
    }

    /// Reads the number as typed: `134820`, `134 820`, `84012.5`, `84012,5`. Errors: anything else, and `134,820`, which is
    /// a hundred and thirty-four thousand to one and a hundred and thirty-four to another.
    pub fn read(number: &str, unit: DistanceUnit) -> Result<Distance, DistanceError> {
        let quoted = || number.trim().chars().take(40).collect::<String>();
        let plain: String =
            number.trim().chars().filter(|letter| !matches!(letter, ' ' | '\u{a0}' | '\u{202f}')).collect();
        if plain.is_empty() {
            return Err(DistanceError::Empty);
        }
        let (sign, digits) = match plain.strip_prefix(['-', '−']) {
            Some(rest) => (true, rest),
            None => (false, plain.as_str()),
        };
        if digits.is_empty() || !digits.chars().all(|letter| letter.is_ascii_digit() || matches!(letter, '.' | ',')) {
            return Err(DistanceError::Unreadable(quoted()));
        }
        match digits.split(['.', ',']).collect::<Vec<_>>().as_slice() {
            [_] => {}
            [_, end] if end.len() == 3 => return Err(DistanceError::TwoWays(quoted())),
            [_, _] => {}
            _ => return Err(DistanceError::Unreadable(quoted())),
        }
        if digits.len() > 20 {
            return Err(DistanceError::TooLarge);
        }
        let number = digits.replace(',', ".").parse::<Decimal>().map_err(|_| DistanceError::Unreadable(quoted()))?;
        if sign && !number.is_zero() {
            return Err(DistanceError::Negative);
        }
        Distance::new(number, unit)
    }

    pub fn number(self) -> Decimal {
        self.number
    }

    pub fn unit(self) -> DistanceUnit {
        self.unit
    }

    /// The same digits, counted in the other unit.
    pub fn in_other_unit(self) -> Distance {
        let unit = match self.unit {
            DistanceUnit::Kilometre => DistanceUnit::Mile,
            DistanceUnit::Mile => DistanceUnit::Kilometre,
        };
        Distance { unit, ..self }
    }

    /// Exact.
    pub fn kilometres(self) -> Decimal {
        self.unit.kilometres(self.number)
    }
}

/// As in `134 820 km`.
impl std::fmt::Display for Distance {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{} {}", grouped(self.number), self.unit)
    }
}
