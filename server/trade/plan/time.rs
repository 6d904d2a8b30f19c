//! Minutes of work, three guesses of them, and days as people read them.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Sub};

use thiserror::Error;

use crate::trade::limits::Day;

/// Whole minutes of a person's time.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
pub struct Minutes(pub u32);

impl Add for Minutes {
    type Output = Minutes;
    fn add(self, other: Minutes) -> Minutes {
        Minutes(self.0.saturating_add(other.0))
    }
}

impl AddAssign for Minutes {
    fn add_assign(&mut self, other: Minutes) {
        *self = *self + other;
    }
}

/// Never below nothing.
impl Sub for Minutes {
    type Output = Minutes;
    fn sub(self, other: Minutes) -> Minutes {
        Minutes(self.0.saturating_sub(other.0))
    }
}

impl Sum for Minutes {
    fn sum<I: Iterator<Item = Minutes>>(all: I) -> Minutes {
        all.fold(Minutes(0), Add::add)
    }
}

impl fmt::Display for Minutes {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.0 / 60, self.0 % 60) {
            (0, 1) => out.write_str("1 minute"),
            (0, minutes) => write!(out, "{minutes} minutes"),
            (hours, 0) => write!(out, "{hours} h"),
            (hours, minutes) => write!(out, "{hours} h {minutes} min"),
        }
    }
}

/// Low, likely and high, in that order: a guess that says how sure it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize, serde::Deserialize)]
#[serde(try_from = "[u32; 3]", into = "[u32; 3]")]
pub struct Spread {
    low: u32,
    likely: u32,
    high: u32,
}

/// Why three figures are no guess.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum SpreadError {
    #[error("The guesses {0}, {1} and {2} are out of order: the low one comes first, the high one last.")]
    OutOfOrder(u32, u32, u32),
    #[error("{0} is more than {LARGEST}: split the job, or look for a slip of the keyboard.")]
    TooLarge(u32),
}

/// Seventy days and nights in minutes, or as days more than a lifetime: nothing that fits an evening lies near it.
const LARGEST: u32 = 100_000;

impl TryFrom<[u32; 3]> for Spread {
    type Error = SpreadError;
    fn try_from([low, likely, high]: [u32; 3]) -> Result<Spread, SpreadError> {
        Spread::new(low, likely, high)
    }
}

impl From<Spread> for [u32; 3] {
    fn from(spread: Spread) -> [u32; 3] {
        [spread.low, spread.likely, spread.high]
    }
}

impl Spread {
    /// No time at all.
    pub const NOTHING: Spread = Spread { low: 0, likely: 0, high: 0 };

    pub fn new(low: u32, likely: u32, high: u32) -> Result<Spread, SpreadError> {
        if low > likely || likely > high {
            return Err(SpreadError::OutOfOrder(low, likely, high));
        }
        if high > LARGEST {
            return Err(SpreadError::TooLarge(high));
        }
        Ok(Spread { low, likely, high })
    }

    /// The same three times, for what is known.
    pub fn sure(figure: u32) -> Result<Spread, SpreadError> {
        Spread::new(figure, figure, figure)
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
}

/// `2026-04-30`, of days counted from 1 January 1970. The proleptic Gregorian calendar, by eras of 400 years of 146 097
/// days that begin in March, so that a leap day is the last of its year. Published arithmetic of the calendar (ISO 8601).
pub fn written(day: Day) -> String {
    let since_march_0000 = i64::from(day.0) + 719_468;
    let era = since_march_0000.div_euclid(146_097);
    let of_era = since_march_0000.rem_euclid(146_097);
    let year_of_era = (of_era - of_era / 1_460 + of_era / 36_524 - of_era / 146_096) / 365;
    let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    let from_march = (5 * of_year + 2) / 153;
    let date = of_year - (153 * from_march + 2) / 5 + 1;
    let month = if from_march < 10 { from_march + 3 } else { from_march - 9 };
    let year = year_of_era + era * 400 + i64::from(month <= 2);
    format!("{year:04}-{month:02}-{date:02}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_written_as_the_calendar_has_them() {
        // Day numbers as any Unix clock gives them.
        for (day, text) in [
            (0, "1970-01-01"),
            (-1, "1969-12-31"),
            (59, "1970-03-01"),
            (11_016, "2000-02-29"),
            (11_017, "2000-03-01"),
            (20_782, "2026-11-25"),
            (47_540, "2100-02-28"),
            (47_541, "2100-03-01"),
        ] {
            assert_eq!(written(Day(day)), text);
        }
    }

    #[test]
    fn guesses_out_of_order_are_refused() {
        assert!(Spread::new(10, 20, 30).is_ok() && Spread::new(0, 0, 0).is_ok());
        assert!(Spread::new(20, 10, 30).is_err() && Spread::new(10, 40, 30).is_err());
        assert!(Spread::new(1, 2, 100_001).is_err());
    }

    #[test]
    fn minutes_are_said_as_people_say_them() {
        for (minutes, text) in [(1, "1 minute"), (59, "59 minutes"), (60, "1 h"), (95, "1 h 35 min"), (0, "0 minutes")]
        {
            assert_eq!(Minutes(minutes).to_string(), text);
        }
    }
}
