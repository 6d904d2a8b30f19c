//! A day of the calendar, as a calibration sheet gives it. Pure arithmetic; the time itself comes from whoever asks.

use std::fmt;

use thiserror::Error;

/// A day that exists, from 1900 to 2199.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Day {
    year: u16,
    month: u8,
    day: u8,
}

/// Why a text was not taken as a day.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("‘{0}’ is not a day: write year, month and day, such as 2026-04-30.")]
pub struct DayError(String);

impl Day {
    /// Reads `2026-04-30`.
    pub fn parse(text: &str) -> Result<Self, DayError> {
        Self::read(text.trim()).ok_or_else(|| DayError(text.trim().chars().take(30).collect()))
    }

    fn read(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let mut digits = |length: usize| {
            parts.next().filter(|part| part.len() == length && part.bytes().all(|byte| byte.is_ascii_digit()))
        };
        let (year, month, day) = (digits(4)?, digits(2)?, digits(2)?);
        let (year, month, day) = (year.parse().ok()?, month.parse().ok()?, day.parse().ok()?);
        let exists = parts.next().is_none()
            && (1900..2200).contains(&year)
            && (1..=12).contains(&month)
            && (1..=days_in(year, month)).contains(&day);
        exists.then_some(Self { year, month, day })
    }

    /// The same day a year later; the last of February stays the last of February.
    pub(super) fn a_year_later(self) -> Self {
        let year = self.year.saturating_add(1);
        Self { year, day: self.day.min(days_in(year, self.month)), ..self }
    }
}

const fn days_in(year: u16, month: u8) -> u8 {
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400)) => 29,
        2 => 28,
        _ => 31,
    }
}

/// As it was read: `2026-04-30`.
impl fmt::Display for Day {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_that_exist_are_read_and_shown_the_same() {
        for text in ["2026-04-30", "2024-02-29", "1999-12-31", "2000-02-29"] {
            assert_eq!(Day::parse(text).unwrap().to_string(), text);
        }
    }

    #[test]
    fn days_that_do_not_exist_are_refused() {
        for text in [
            "",
            "2026-02-29",
            "2100-02-29",
            "2026-13-01",
            "2026-00-10",
            "2026-4-30",
            "30.4.2026",
            "2026-04-31",
            "2026-04-30-1",
            "+026-04-30",
            "1899-01-01",
        ] {
            assert!(Day::parse(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_year_after_a_leap_day_is_the_last_of_february() {
        assert_eq!(Day::parse("2024-02-29").unwrap().a_year_later().to_string(), "2025-02-28");
        assert_eq!(Day::parse("2025-03-01").unwrap().a_year_later().to_string(), "2026-03-01");
    }
}
