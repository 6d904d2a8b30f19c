//! The garage's time zone as a calendar describes it: its name and its clock changes.

use crate::error::AppError;
use crate::trade::calendar::{Change, Date, LocalTime, Zone};
use jiff::civil::DateTime;
use jiff::tz::TimeZone;

/// More changes than a lifetime has would be a zone gone wrong.
const MOST_CHANGES: usize = 200;

/// A day and time of the wall's clock. Errors: years that a calendar does not hold.
pub fn local(at: DateTime) -> Result<LocalTime, AppError> {
    let small = |figure: i8| u8::try_from(figure).map_err(AppError::internal);
    let year = u16::try_from(at.year()).map_err(AppError::internal)?;
    let date = Date::new(year, small(at.month())?, small(at.day())?).map_err(AppError::internal)?;
    LocalTime::new(date, small(at.hour())?, small(at.minute())?).map_err(AppError::internal)
}

/// The zone with the changes that evenings from `first` to `last` need: the last one before them, and those between.
/// A zone without a name is none: the times then float.
pub fn of(zone: &TimeZone, first: DateTime, last: DateTime) -> Result<Zone, AppError> {
    let Some(name) = zone.iana_name() else { return Ok(Zone::Floating) };
    let begin = first.to_zoned_datetime(zone.clone()).map_err(AppError::internal)?.timestamp();
    let end = last.to_zoned_datetime(zone.clone()).map_err(AppError::internal)?.timestamp();
    let before: Vec<_> = zone.preceding(begin).take(1).collect();
    let between = zone.following(begin).take_while(|change| change.timestamp() <= end).take(MOST_CHANGES);
    let mut changes = Vec::new();
    for change in before.into_iter().chain(between) {
        let just_before = change.timestamp() - jiff::SignedDuration::from_secs(1);
        let from = zone.to_offset(just_before);
        changes.push(Change {
            at: local(from.to_datetime(change.timestamp()))?,
            from: minutes(from.seconds())?,
            to: minutes(change.offset().seconds())?,
            summer: change.dst().is_dst(),
        });
    }
    if changes.first().is_none_or(|change| local(first).is_ok_and(|first| change.at > first)) {
        changes.insert(0, always(zone, begin)?);
    }
    Zone::named(name, changes).map_err(AppError::internal)
}

/// Where the clocks were never changed before: the same before and after the calendar's first day.
fn always(zone: &TimeZone, begin: jiff::Timestamp) -> Result<Change, AppError> {
    let offset = minutes(zone.to_offset(begin).seconds())?;
    let at = local(jiff::civil::date(1970, 1, 1).at(0, 0, 0, 0))?;
    Ok(Change { at, from: offset, to: offset, summer: false })
}

fn minutes(seconds: i32) -> Result<i16, AppError> {
    i16::try_from(seconds.div_euclid(60)).map_err(AppError::internal)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    /// Summer time of the European Union, from memory: last Sundays of March and October, 01:00 UTC.
    #[test]
    fn a_zone_is_described_by_its_clock_changes() {
        let zone = TimeZone::get("Europe/Berlin").unwrap();
        let (first, last) = (date(2026, 11, 25).at(19, 0, 0, 0), date(2027, 5, 1).at(19, 0, 0, 0));
        let change = |day, hour, from, to, summer| Change {
            at: local(day).inspect(|at| assert!(at.to_string().ends_with(&format!("{hour:02}:00")))).unwrap(),
            from,
            to,
            summer,
        };
        let expected = Zone::named(
            "Europe/Berlin",
            vec![
                change(date(2026, 10, 25).at(3, 0, 0, 0), 3, 120, 60, false),
                change(date(2027, 3, 28).at(2, 0, 0, 0), 2, 60, 120, true),
            ],
        )
        .unwrap();
        assert_eq!(of(&zone, first, last).unwrap(), expected);
    }

    #[test]
    fn a_zone_that_never_changes_its_clocks_is_described_too() {
        let evening = date(2026, 11, 25).at(19, 0, 0, 0);
        let always = of(&TimeZone::get("Etc/UTC").unwrap(), evening, evening).unwrap();
        assert!(matches!(always, Zone::Named { ref changes, .. } if changes.len() == 1), "{always:?}");
        assert_eq!(of(&TimeZone::fixed(jiff::tz::offset(2)), evening, evening).unwrap(), Zone::Floating);
    }
}
