//! Days and times of day as a clock on the wall shows them.

use serde::Serialize;

/// A day of the Gregorian calendar, from 1900 to 2199.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Date {
    pub(super) year: u16,
    pub(super) month: u8,
    pub(super) day: u8,
}

/// Why there is no such day or time.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TimeError {
    #[error("‘{0}’ is no day: write it as year, month and day, as in 2026-11-25.")]
    Unreadable(String),
    #[error("There is no day {0:04}-{1:02}-{2:02} between the years 1900 and 2199.")]
    Day(u16, u8, u8),
    #[error("There is no time {0:02}:{1:02}.")]
    Time(u8, u8),
}

impl Date {
    pub fn new(year: u16, month: u8, day: u8) -> Result<Date, TimeError> {
        let possible = (1900..=2199).contains(&year) && (1..=12).contains(&month);
        if !possible || day < 1 || day > days_in(year, month) {
            return Err(TimeError::Day(year, month, day));
        }
        Ok(Date { year, month, day })
    }

    /// Reads `2026-11-25` (ISO 8601). Errors: anything else, and days that no calendar has.
    pub fn parse(text: &str) -> Result<Date, TimeError> {
        let unreadable = || TimeError::Unreadable(text.chars().take(40).collect());
        let pieces: Vec<&str> = text.trim().split('-').collect();
        let [year, month, day] = pieces.as_slice() else { return Err(unreadable()) };
        let digits = |piece: &str, many| piece.len() == many && piece.bytes().all(|byte| byte.is_ascii_digit());
        if !digits(year, 4) || !digits(month, 2) || !digits(day, 2) {
            return Err(unreadable());
        }
        let year = year.parse().map_err(|_| unreadable())?;
        Date::new(year, month.parse().map_err(|_| unreadable())?, day.parse().map_err(|_| unreadable())?)
    }
}

impl Date {
    /// The same day so many months later; the last day of a month that is too short for it. Errors: beyond the year 2199.
    pub fn plus_months(self, months: u32) -> Result<Date, TimeError> {
        let whole = u64::from(self.year) * 12 + u64::from(self.month - 1) + u64::from(months);
        let year = u16::try_from(whole / 12).unwrap_or(u16::MAX);
        // A remainder of twelve fits.
        let month = u8::try_from(whole % 12).unwrap_or_default() + 1;
        Date::new(year, month, self.day.min(days_in(year, month)))
    }
}

/// Every fourth year has a 29 February, but of full hundreds only every fourth: the Gregorian rule.
fn days_in(year: u16, month: u8) -> u8 {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        2 if leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    }
}

impl std::fmt::Display for Date {
    /// `2026-11-25`
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl Serialize for Date {
    fn serialize<S: serde::Serializer>(&self, out: S) -> Result<S::Ok, S::Error> {
        out.collect_str(self)
    }
}

/// A day and a time to the minute, as a clock on the wall shows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct LocalTime {
    date: Date,
    hour: u8,
    minute: u8,
}

impl LocalTime {
    pub fn new(date: Date, hour: u8, minute: u8) -> Result<LocalTime, TimeError> {
        if hour > 23 || minute > 59 {
            return Err(TimeError::Time(hour, minute));
        }
        Ok(LocalTime { date, hour, minute })
    }

    /// As RFC 5545 writes it: `20261125T190000`.
    pub(super) fn written(self) -> String {
        let Date { year, month, day } = self.date;
        format!("{year:04}{month:02}{day:02}T{:02}{:02}00", self.hour, self.minute)
    }

    /// Minutes since the beginning of its year 1900: only differences mean something.
    pub(super) fn minutes(self) -> i64 {
        let years =
            (1900..self.date.year).map(|year| (1..=12).map(|month| i64::from(days_in(year, month))).sum::<i64>());
        let months = (1..self.date.month).map(|month| i64::from(days_in(self.date.year, month)));
        let days: i64 = years.sum::<i64>() + months.sum::<i64>() + i64::from(self.date.day) - 1;
        days * 24 * 60 + i64::from(self.hour) * 60 + i64::from(self.minute)
    }
}

impl std::fmt::Display for LocalTime {
    /// `2026-11-25 at 19:00`
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{} at {:02}:{:02}", self.date, self.hour, self.minute)
    }
}

/// A moment in UTC, to the second.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stamp {
    at: LocalTime,
    second: u8,
}

impl Stamp {
    /// `at` in UTC. A leap second counts as the second before it.
    pub fn utc(at: LocalTime, second: u8) -> Stamp {
        Stamp { at, second: second.min(59) }
    }

    /// `20261125T160503Z`
    pub(super) fn written(self) -> String {
        let whole = self.at.written();
        format!("{}{:02}Z", &whole[..whole.len() - 2], self.second)
    }
}
