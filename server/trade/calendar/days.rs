//! Days counted, so that there is something between two of them.

use super::time::{Date, TimeError};

/// Days from 1 March of the year 0 to 1 January 1970.
const TO_1970: i32 = 719_468;

impl Date {
    /// Year, month from 1 to 12, and day of the month.
    pub fn parts(self) -> (u16, u8, u8) {
        (self.year, self.month, self.day)
    }

    /// Days since 1 January 1970; negative before it.
    ///
    /// Years are counted from March, so that the leap day comes last and 153 days make every five months.
    pub fn number(self) -> i32 {
        let (month, day) = (i32::from(self.month), i32::from(self.day));
        let year = i32::from(self.year) - i32::from(month < 3);
        let of_year = (153 * ((month + 9) % 12) + 2) / 5 + day - 1;
        year * 365 + year / 4 - year / 100 + year / 400 + of_year - TO_1970
    }

    /// The day so many days later, or earlier where negative. Errors: outside the years 1900 to 2199.
    pub fn plus_days(self, days: i32) -> Result<Date, TimeError> {
        Date::from_number(self.number().saturating_add(days))
    }

    /// The day of a number; see [`Date::number`]. Errors: outside the years 1900 to 2199.
    pub fn from_number(number: i32) -> Result<Date, TimeError> {
        let beyond = || TimeError::Unreadable(format!("day {number}"));
        let days = number.checked_add(TO_1970).filter(|days| *days >= 0).ok_or_else(beyond)?;
        let (era, of_era) = (days / 146_097, days % 146_097);
        let year_of_era = (of_era - of_era / 1460 + of_era / 36_524 - of_era / 146_096) / 365;
        let of_year = of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
        let turn = (5 * of_year + 2) / 153;
        let day = of_year - (153 * turn + 2) / 5 + 1;
        let month = if turn < 10 { turn + 3 } else { turn - 9 };
        let year = era * 400 + year_of_era + i32::from(month < 3);
        let small = |number: i32| u8::try_from(number).map_err(|_| beyond());
        Date::new(u16::try_from(year).map_err(|_| beyond())?, small(month)?, small(day)?)
    }

    /// As RFC 5545 writes a day: `20261125`.
    pub(super) fn written(self) -> String {
        format!("{:04}{:02}{:02}", self.year, self.month, self.day)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: the Unix epoch, and 10 957 days to the year 2000 (30 years with 7 leap days).
    #[test]
    fn known_days_have_their_numbers() {
        for (day, number) in [("1970-01-01", 0), ("1969-12-31", -1), ("2000-01-01", 10_957), ("2000-02-29", 11_016)] {
            assert_eq!(Date::parse(day).unwrap().number(), number, "{day}");
        }
    }

    #[test]
    fn every_day_of_the_calendar_follows_the_one_before() {
        let (first, last) = (Date::parse("1900-01-01").unwrap(), Date::parse("2199-12-31").unwrap());
        let mut before = first;
        for number in first.number() + 1..=last.number() {
            let day = Date::from_number(number).unwrap();
            assert!(day > before && day.number() == number, "{day}");
            assert_eq!(before.plus_days(1), Ok(day));
            before = day;
        }
        assert_eq!(before, last);
        assert!(last.plus_days(1).is_err() && first.plus_days(-1).is_err() && first.plus_days(i32::MIN).is_err());
    }
}
