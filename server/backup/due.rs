//! When the next backup is due, and when the last good one is so old that it must be said.

use super::record::Record;
use crate::clock::Moment;
use jiff::civil::Time;
use jiff::tz::TimeZone;
use jiff::{Span, ZonedDateTime};

/// After a failure it is tried again after so many minutes, then after twice as many, and so on.
const FIRST_WAIT_MINUTES: i64 = 5;
const LONGEST_WAIT_MINUTES: i64 = 6 * 60;
const DAY_MS: i64 = 24 * 60 * 60 * 1000;

/// When the next one is due. The first is due at once; later ones each day at `hour`.
pub fn next(record: &Record, hour: i8, now: Moment, zone: &TimeZone) -> Moment {
    if let Some(failed) = &record.trouble {
        return failed.at.plus_minutes(wait_minutes(record.failures));
    }
    match record.by_itself_at {
        None => now,
        // A clock that was set back must not hold backups up for as long as it was ahead.
        Some(last) if last > now => now,
        Some(last) => next_at(hour, last, zone),
    }
}

fn wait_minutes(failures: u32) -> i64 {
    let doublings = failures.saturating_sub(1).min(16);
    (FIRST_WAIT_MINUTES << doublings).min(LONGEST_WAIT_MINUTES)
}

/// The first full `hour` after a moment. Where clocks are put forward over it, the hour that comes instead.
fn next_at(hour: i8, after: Moment, zone: &TimeZone) -> Moment {
    let after = after.timestamp().to_zoned_datetime(zone.clone());
    let at_hour = |day: &ZonedDateTime| {
        let time = Time::new(hour, 0, 0, 0).unwrap_or(Time::midnight());
        day.date().to_datetime(time).to_zoned_datetime(zone.clone()).ok()
    };
    let tomorrow = || after.checked_add(Span::new().days(1)).ok();
    let today = at_hour(&after).filter(|at| *at > after);
    let found = today.or_else(|| tomorrow().as_ref().and_then(at_hour));
    found.map_or(Moment(after.timestamp().as_millisecond() + DAY_MS), |at| Moment(at.timestamp().as_millisecond()))
}

/// How the last good backup stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Age {
    /// Nothing to say: it is new enough, or the garage itself is.
    Well,
    /// So many whole days.
    Old { days: i64 },
    /// There never was one, and the garage has been there for so many whole days.
    Never { days: i64 },
}

/// `began`: when this garage came to be here. It is given as long as a backup is before anything is said.
pub fn age(good: Option<Moment>, began: Moment, now: Moment, old_after_days: i64) -> Age {
    let days_since = |at: Moment| (now.0 - at.0).div_euclid(DAY_MS);
    match good.map(days_since) {
        Some(days) if days >= old_after_days => Age::Old { days },
        Some(_) => Age::Well,
        None if days_since(began) >= old_after_days => Age::Never { days: days_since(began) },
        None => Age::Well,
    }
}

#[cfg(test)]
mod tests {
    use super::super::record::Failed;
    use super::*;
    use jiff::civil::date;

    fn zone() -> TimeZone {
        TimeZone::get("Europe/Berlin").unwrap()
    }

    fn at(day: i8, hour: i8, minute: i8) -> Moment {
        let at = date(2026, 11, day).at(hour, minute, 0, 0).to_zoned_datetime(zone()).unwrap();
        Moment(at.timestamp().as_millisecond())
    }

    #[test]
    fn the_first_is_made_at_once_and_the_next_at_its_hour() {
        let made = |last| Record { by_itself_at: Some(last), ..Record::default() };
        let now = at(25, 19, 0);
        assert_eq!(next(&Record::default(), 3, now, &zone()), now);
        assert_eq!(next(&made(at(25, 19, 0)), 3, now, &zone()), at(26, 3, 0));
        assert_eq!(next(&made(at(25, 2, 59)), 3, now, &zone()), at(25, 3, 0));
        assert_eq!(next(&made(at(25, 3, 0)), 3, now, &zone()), at(26, 3, 0));
        assert_eq!(next(&made(at(28, 3, 0)), 3, now, &zone()), now, "the clock was set back");
    }

    /// Summer time began on 2026-03-29 at 2:00 in this zone (tz database).
    #[test]
    fn an_hour_that_is_left_out_when_clocks_go_forward_holds_nothing_up() {
        let night = date(2026, 3, 28).at(23, 0, 0, 0).to_zoned_datetime(zone()).unwrap();
        let made = Record { by_itself_at: Some(Moment(night.timestamp().as_millisecond())), ..Record::default() };
        let due = next(&made, 2, Moment(night.timestamp().as_millisecond()), &zone());
        let due = due.timestamp().to_zoned_datetime(zone());
        assert_eq!(due.datetime(), date(2026, 3, 29).at(3, 0, 0, 0));
    }

    #[test]
    fn a_failure_is_tried_again_soon_and_then_less_and_less_often() {
        let now = at(25, 19, 0);
        let failed = |failures| Record {
            by_itself_at: Some(at(24, 3, 0)),
            trouble: Some(Failed { at: now, say: String::new() }),
            failures,
            ..Record::default()
        };
        let minutes = |failures| (next(&failed(failures), 3, now, &zone()).0 - now.0) / 60_000;
        assert_eq!([1, 2, 3, 7, 8, 1000].map(minutes), [5, 10, 20, 320, 360, 360]);
    }

    #[test]
    fn an_old_backup_is_told_and_a_new_garage_is_left_in_peace() {
        let now = at(25, 19, 0);
        let cases = [
            (None, at(25, 9, 0), Age::Well),
            (None, at(18, 19, 1), Age::Well),
            (None, at(18, 19, 0), Age::Never { days: 7 }),
            (Some(at(24, 3, 0)), at(1, 0, 0), Age::Well),
            (Some(at(18, 19, 1)), at(1, 0, 0), Age::Well),
            (Some(at(10, 19, 0)), at(1, 0, 0), Age::Old { days: 15 }),
            (Some(at(28, 0, 0)), at(1, 0, 0), Age::Well),
        ];
        for (good, began, expected) in cases {
            assert_eq!(age(good, began, now, 7), expected, "{good:?} {began:?}");
        }
    }
}
