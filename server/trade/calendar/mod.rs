//! Evenings as a calendar that other programs read: RFC 5545 (iCalendar), with the calendar's name from RFC 7986.
//!
//! - `whole_day`: what is due on a day, with no time of day
//! - `days`: days counted
//! - `time`: days and times of day as a clock on the wall shows them
//! - `zone`: a named time zone by its clock changes, or none at all (a time that floats)
//! - `text`: escaping and folding
//!
//! Nothing here knows what day it is or what any country does with its clocks: both are given in.

mod days;
#[cfg(test)]
mod tests;
mod text;
mod time;
mod whole_day;
mod zone;

pub use time::{Date, LocalTime, Stamp, TimeError};
pub use whole_day::{DayEvent, write_days};
pub use zone::{Change, Zone, ZoneError};

use std::collections::HashSet;
use text::Sheet;

/// The longest evening, in minutes.
const LONGEST: u32 = 24 * 60;

/// An evening at the car.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Evening {
    /// Always the same for the same evening, whatever becomes of it: 1 to 200 visible ASCII characters.
    pub uid: String,
    pub starts: LocalTime,
    /// From 1 to 1440, as they pass: an evening over a clock change ends that much later.
    pub minutes: u32,
    /// In one line.
    pub summary: String,
    /// May have several lines.
    pub description: String,
    /// Counted up by whoever changes the evening, so that a reader knows the newer one.
    pub sequence: u32,
}

/// Why there is no calendar.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CalendarError {
    #[error("‘{0}’ cannot name an entry of a calendar: it needs 1 to 200 visible characters of plain ASCII.")]
    Uid(String),
    #[error("‘{0}’ names two entries: a calendar program would show only one of them.")]
    UidTwice(String),
    #[error("An evening is from 1 to {LONGEST} minutes long, and {0} are not.")]
    Length(u32),
    #[error("An entry of a calendar needs a title.")]
    NoTitle,
    #[error(transparent)]
    Zone(#[from] ZoneError),
}

/// Writes the calendar. `stamp` is the time of writing, in UTC; evenings keep the order in which they are given.
///
/// Errors: an evening that a calendar cannot hold, or a start which the clocks skip.
pub fn write(name: &str, zone: &Zone, stamp: Stamp, evenings: &[Evening]) -> Result<String, CalendarError> {
    let mut seen = HashSet::new();
    for evening in evenings {
        check(evening, zone)?;
        if !seen.insert(evening.uid.as_str()) {
            return Err(CalendarError::UidTwice(evening.uid.clone()));
        }
    }
    let mut sheet = Sheet::default();
    sheet.line("BEGIN:VCALENDAR");
    sheet.line("VERSION:2.0");
    sheet.line("PRODID:-//Underlamp//Evenings//EN");
    sheet.line("METHOD:PUBLISH");
    sheet.text("NAME", name);
    zone.write(&mut sheet, evenings.is_empty());
    for evening in evenings {
        event(&mut sheet, zone, stamp, evening);
    }
    sheet.line("END:VCALENDAR");
    Ok(sheet.done())
}

fn check(evening: &Evening, zone: &Zone) -> Result<(), CalendarError> {
    check_uid(&evening.uid)?;
    if !(1..=LONGEST).contains(&evening.minutes) {
        return Err(CalendarError::Length(evening.minutes));
    }
    if evening.summary.trim().is_empty() {
        return Err(CalendarError::NoTitle);
    }
    Ok(zone.has(evening.starts)?)
}

fn check_uid(uid: &str) -> Result<(), CalendarError> {
    let visible = uid.bytes().all(|byte| byte.is_ascii_graphic());
    if uid.is_empty() || uid.len() > 200 || !visible {
        return Err(CalendarError::Uid(uid.to_owned()));
    }
    Ok(())
}

fn event(sheet: &mut Sheet, zone: &Zone, stamp: Stamp, evening: &Evening) {
    sheet.line("BEGIN:VEVENT");
    sheet.text("UID", &evening.uid);
    sheet.line(&format!("DTSTAMP:{}", stamp.written()));
    sheet.line(&format!("DTSTART{}:{}", zone.parameter(), evening.starts.written()));
    // Elapsed time, not a time of day: so it holds over a clock change (RFC 5545, 3.3.6).
    sheet.line(&format!("DURATION:{}", duration(evening.minutes)));
    sheet.line(&format!("SEQUENCE:{}", evening.sequence));
    sheet.text("SUMMARY", evening.summary.trim());
    if !evening.description.trim().is_empty() {
        sheet.text("DESCRIPTION", evening.description.trim());
    }
    sheet.line("END:VEVENT");
}

/// `PT2H30M`, `PT45M`, `PT3H`
fn duration(minutes: u32) -> String {
    match (minutes / 60, minutes % 60) {
        (0, minutes) => format!("PT{minutes}M"),
        (hours, 0) => format!("PT{hours}H"),
        (hours, minutes) => format!("PT{hours}H{minutes}M"),
    }
}
