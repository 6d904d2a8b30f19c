//! Which backups are kept: by age, thinning out as they get older.
//!
//! Kept are the newest of each of the last 7 days on which one was made, of each of the last 4 weeks (ISO 8601: from
//! Monday) and of each of the last 12 months. Days without a backup do not count, so a garage that is closed over the
//! winter finds in spring what it had in autumn. (Rotation by day, week and month: common practice, no source.)

use jiff::civil::{Date, DateTime};
use std::collections::BTreeSet;

pub const DAYS: usize = 7;
pub const WEEKS: usize = 4;
pub const MONTHS: usize = 12;

/// Those of `made` that may go, by their places in the list. The newest is never among them.
///
/// `made`: when each backup was made, in the garage's time zone, in any order.
pub fn surplus(made: &[DateTime]) -> Vec<usize> {
    let mut newest_first: Vec<usize> = (0..made.len()).collect();
    newest_first.sort_by_key(|at| std::cmp::Reverse((made[*at], *at)));
    let dates: Vec<Date> = newest_first.iter().map(|at| made[*at].date()).collect();
    let mut kept = BTreeSet::new();
    kept.extend(first_of_each(&dates, DAYS, |day| (i32::from(day.year()), i32::from(day.day_of_year()))));
    kept.extend(first_of_each(&dates, WEEKS, |day| {
        let week = day.iso_week_date();
        (i32::from(week.year()), i32::from(week.week()))
    }));
    kept.extend(first_of_each(&dates, MONTHS, |day| (i32::from(day.year()), i32::from(day.month()))));
    let goes = |(rank, at): (usize, usize)| (!kept.contains(&rank)).then_some(at);
    newest_first.into_iter().enumerate().filter_map(goes).collect()
}

/// The places of the first date in each of the first `most` spans; `dates` runs from new to old.
fn first_of_each(dates: &[Date], most: usize, span: impl Fn(&Date) -> (i32, i32)) -> Vec<usize> {
    let mut seen = BTreeSet::new();
    let mut firsts = Vec::new();
    for (rank, date) in dates.iter().enumerate() {
        if seen.insert(span(date)) {
            firsts.push(rank);
        }
        if firsts.len() == most {
            break;
        }
    }
    firsts
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::ToSpan;
    use jiff::civil::date;
    use proptest::prelude::*;

    /// What is left after thinning once.
    fn left(made: &[DateTime]) -> Vec<DateTime> {
        let goes = surplus(made);
        made.iter().enumerate().filter(|(at, _)| !goes.contains(at)).map(|(_, made)| *made).collect()
    }

    #[test]
    fn of_several_on_one_day_the_last_stays() {
        let day = date(2026, 11, 25);
        let made = [day.at(9, 0, 0, 0), day.at(21, 0, 0, 0), day.at(12, 0, 0, 0)];
        assert_eq!(left(&made), [day.at(21, 0, 0, 0)]);
        assert_eq!(surplus(&[]), Vec::<usize>::new());
    }

    #[test]
    fn two_of_the_same_moment_are_not_both_dropped() {
        let made = [date(2026, 11, 25).at(9, 0, 0, 0); 2];
        assert_eq!(surplus(&made).len(), 1);
    }

    /// Worked by hand: one each day from 1 Jan 2025 to 25 Nov 2026, a Wednesday, thinned each day.
    #[test]
    fn two_years_of_days_leave_seven_days_four_weeks_and_twelve_months() {
        let mut kept: Vec<DateTime> = Vec::new();
        let mut day = date(2025, 1, 1);
        while day <= date(2026, 11, 25) {
            kept.push(day.at(3, 0, 0, 0));
            kept = left(&kept);
            day = day.checked_add(1.day()).unwrap();
        }
        let days: Vec<Date> = kept.iter().map(|made| made.date()).collect();
        let ends_of_months = [
            (2025, 12, 31),
            (2026, 1, 31),
            (2026, 2, 28),
            (2026, 3, 31),
            (2026, 4, 30),
            (2026, 5, 31),
            (2026, 6, 30),
            (2026, 7, 31),
            (2026, 8, 31),
            (2026, 9, 30),
            (2026, 10, 31),
        ];
        let mut expected: Vec<Date> = ends_of_months.map(|(year, month, day)| date(year, month, day)).to_vec();
        // Sundays of the three weeks before this one, then the last seven days, of which 22 Nov is a Sunday too.
        expected.extend([date(2026, 11, 8), date(2026, 11, 15)]);
        expected.extend((19..=25).map(|day| date(2026, 11, day)));
        assert_eq!(days, expected);
    }

    #[test]
    fn a_winter_without_backups_costs_none() {
        let autumn: Vec<DateTime> = (1..=7).map(|day| date(2026, 10, day).at(3, 0, 0, 0)).collect();
        let spring = date(2027, 4, 1).at(3, 0, 0, 0);
        let made: Vec<DateTime> = autumn.iter().copied().chain([spring]).collect();
        let kept = left(&made);
        assert!(kept.contains(&spring) && kept.len() == DAYS, "{kept:?}");
    }

    proptest! {
        #[test]
        fn the_newest_always_stays_and_what_stays_is_bounded(hours in proptest::collection::vec(0_i64..20_000, 1..120)) {
            let from = date(2025, 1, 1).at(0, 0, 0, 0);
            let made: Vec<DateTime> = hours.iter().map(|hour| from.checked_add(hour.hours()).unwrap()).collect();
            let kept = left(&made);
            prop_assert!(kept.contains(made.iter().max().unwrap()));
            prop_assert!(kept.len() <= DAYS + WEEKS + MONTHS);
            prop_assert_eq!(surplus(&kept), Vec::<usize>::new(), "thinning twice drops no more");
        }

        /// Whatever was dropped, another of its month stays, unless twelve later months have one.
        #[test]
        fn every_month_of_the_last_twelve_stays_covered(hours in proptest::collection::vec(0_i64..30_000, 1..120)) {
            let from = date(2024, 1, 1).at(0, 0, 0, 0);
            let made: Vec<DateTime> = hours.iter().map(|hour| from.checked_add(hour.hours()).unwrap()).collect();
            let months = |of: &[DateTime]| of.iter().map(|made| (made.year(), made.month())).collect::<BTreeSet<_>>();
            let (before, after) = (months(&made), months(&left(&made)));
            let last_twelve: Vec<_> = before.iter().rev().take(MONTHS).collect();
            prop_assert!(last_twelve.iter().all(|month| after.contains(month)));
        }
    }
}
