//! Evenings: work that runs past midnight belongs to the day on which it was begun.

use crate::clock::Moment;
use jiff::civil::{Date, DateTime};

/// The local hour before which work still counts to the evening before (common practice, no source).
const ENDS_AT_HOUR: i8 = 4;

/// The day by which a moment's evening is called, in the garage's time zone.
pub fn evening_of(at: Moment) -> Date {
    evening_of_local(at.local().datetime())
}

fn evening_of_local(local: DateTime) -> Date {
    let day = local.date();
    if local.hour() >= ENDS_AT_HOUR {
        return day;
    }
    // The calendar's first day has no yesterday.
    day.yesterday().unwrap_or(day)
}

/// `17 Nov`, with its year where that is not the present one.
pub fn short_day(day: Date, today: Date) -> String {
    let pattern = if day.year() == today.year() { "%-d %b" } else { "%-d %b %Y" };
    day.strftime(pattern).to_string()
}

pub fn weekday(day: Date) -> String {
    day.strftime("%A").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::{date, datetime};

    #[test]
    fn an_evening_runs_to_four_in_the_morning() {
        let cases = [
            (datetime(2026, 11, 17, 19, 10, 0, 0), date(2026, 11, 17)),
            (datetime(2026, 11, 18, 0, 5, 0, 0), date(2026, 11, 17)),
            (datetime(2026, 11, 18, 3, 59, 59, 0), date(2026, 11, 17)),
            (datetime(2026, 11, 18, 4, 0, 0, 0), date(2026, 11, 18)),
            (datetime(2027, 1, 1, 1, 0, 0, 0), date(2026, 12, 31)),
        ];
        for (local, evening) in cases {
            assert_eq!(evening_of_local(local), evening, "{local}");
        }
    }

    #[test]
    fn the_year_is_named_when_it_is_another_one() {
        assert_eq!(short_day(date(2026, 11, 7), date(2026, 12, 1)), "7 Nov");
        assert_eq!(short_day(date(2025, 11, 7), date(2026, 12, 1)), "7 Nov 2025");
        assert_eq!(weekday(date(2026, 11, 17)), "Tuesday");
    }
}
