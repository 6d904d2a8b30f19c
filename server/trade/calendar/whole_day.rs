//! What falls on a day and has no time of day (RFC 5545, 3.6.1: `DTSTART` as a date, for one day where nothing says when it ends).

use std::collections::HashSet;

use super::text::Sheet;
use super::time::{Date, Stamp};
use super::zone::Zone;
use super::{CalendarError, check_uid};

/// Something that falls on a whole day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayEvent {
    /// Always the same for the same thing, whatever its day: 1 to 200 visible ASCII characters.
    pub uid: String,
    pub day: Date,
    /// In one line.
    pub summary: String,
    /// May have several lines.
    pub description: String,
}

/// Writes the calendar. `stamp` is the time of writing, in UTC; events keep the order in which they are given. They take no
/// time of anybody's day: `TRANSP` says so, lest a reader shows the day as busy.
///
/// Errors: a name that is none or is there twice, an event without a title.
pub fn write_days(name: &str, stamp: Stamp, events: &[DayEvent]) -> Result<String, CalendarError> {
    let mut seen = HashSet::new();
    for event in events {
        check_uid(&event.uid)?;
        if event.summary.trim().is_empty() {
            return Err(CalendarError::NoTitle);
        }
        if !seen.insert(event.uid.as_str()) {
            return Err(CalendarError::UidTwice(event.uid.clone()));
        }
    }
    let mut sheet = Sheet::default();
    sheet.line("BEGIN:VCALENDAR");
    sheet.line("VERSION:2.0");
    sheet.line("PRODID:-//Underlamp//Days//EN");
    sheet.line("METHOD:PUBLISH");
    sheet.text("NAME", name);
    Zone::Floating.write(&mut sheet, events.is_empty());
    for event in events {
        written(&mut sheet, stamp, event);
    }
    sheet.line("END:VCALENDAR");
    Ok(sheet.done())
}

fn written(sheet: &mut Sheet, stamp: Stamp, event: &DayEvent) {
    sheet.line("BEGIN:VEVENT");
    sheet.text("UID", &event.uid);
    sheet.line(&format!("DTSTAMP:{}", stamp.written()));
    sheet.line(&format!("DTSTART;VALUE=DATE:{}", event.day.written()));
    sheet.line("TRANSP:TRANSPARENT");
    sheet.text("SUMMARY", event.summary.trim());
    if !event.description.trim().is_empty() {
        sheet.text("DESCRIPTION", event.description.trim());
    }
    sheet.line("END:VEVENT");
}

#[cfg(test)]
mod tests {
    use super::super::time::LocalTime;
    use super::*;

    fn day(text: &str) -> Date {
        Date::parse(text).unwrap()
    }

    fn event(uid: &str, summary: &str) -> DayEvent {
        DayEvent { uid: uid.into(), day: day("2027-02-28"), summary: summary.into(), description: String::new() }
    }

    fn written(events: &[DayEvent]) -> Result<String, CalendarError> {
        write_days("Upkeep", Stamp::utc(LocalTime::new(day("2026-11-25"), 16, 5).unwrap(), 3), events)
    }

    #[test]
    fn an_event_stands_on_its_day_and_keeps_nobody_busy() {
        let text = written(&[event("a", "Engine oil; filter")]).unwrap();
        assert!(text.contains("DTSTART;VALUE=DATE:20270228\r\nTRANSP:TRANSPARENT\r\nSUMMARY:Engine oil\\; filter\r\n"));
    }

    #[test]
    fn a_calendar_of_nothing_still_holds_something() {
        assert!(written(&[]).unwrap().contains("BEGIN:VTIMEZONE"));
    }

    #[test]
    fn what_a_calendar_cannot_hold_is_refused() {
        assert_eq!(written(&[event("a", " ")]), Err(CalendarError::NoTitle));
        assert_eq!(written(&[event("", "x")]), Err(CalendarError::Uid(String::new())));
        assert_eq!(written(&[event("a", "x"), event("a", "y")]), Err(CalendarError::UidTwice("a".into())));
    }
}
