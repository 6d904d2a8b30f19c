//! A named time zone by its clock changes, or none at all.
//!
//! RFC 5545 (3.2.19) wants every zone that is named described in the same file, so that a reader needs no tables of its own.

use super::text::Sheet;
use super::time::LocalTime;

/// The clocks being changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// What the clocks show in the moment before they are changed.
    pub at: LocalTime,
    /// Minutes ahead of UTC before and after; from -900 to 900.
    pub from: i16,
    pub to: i16,
    /// Summer time begins.
    pub summer: bool,
}

/// Whose clock the times are read on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Zone {
    /// The clock of wherever the reader is: an evening at seven is at seven everywhere.
    Floating,
    /// A zone by its name in the tz database, with its clock changes in the order of time.
    Named { name: String, changes: Vec<Change> },
}

/// Why a time has no place in a zone.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ZoneError {
    #[error("‘{0}’ cannot name a time zone: letters, digits and the marks / _ - + only.")]
    Name(String),
    #[error("The clock changes of {0} are not in the order of time, do not follow on each other, or lie out of range.")]
    Changes(String),
    #[error("The clock changes of {zone} begin after {time}: one before it is needed.")]
    Before { zone: String, time: LocalTime },
    #[error("There is no {0}: the clocks go forward over it. Choose an earlier or a later time.")]
    Skipped(LocalTime),
}

impl Zone {
    /// A named zone. Errors: a name that is none, no changes at all, or changes that contradict each other.
    pub fn named(name: &str, changes: Vec<Change>) -> Result<Zone, ZoneError> {
        let plain = |letter: char| letter.is_ascii_alphanumeric() || "/_-+".contains(letter);
        if name.is_empty() || name.len() > 100 || !name.chars().all(plain) {
            return Err(ZoneError::Name(name.to_owned()));
        }
        let possible = |change: &Change| (-900..=900).contains(&change.from) && (-900..=900).contains(&change.to);
        let follow = |pair: &[Change]| pair[0].at < pair[1].at && pair[0].to == pair[1].from;
        if changes.is_empty() || !changes.iter().all(possible) || !changes.windows(2).all(follow) {
            return Err(ZoneError::Changes(name.to_owned()));
        }
        Ok(Zone::Named { name: name.to_owned(), changes })
    }

    /// Whether the clocks ever show this time. One that they show twice stands for the first (RFC 5545, 3.3.5).
    pub(super) fn has(&self, time: LocalTime) -> Result<(), ZoneError> {
        let Zone::Named { name, changes } = self else { return Ok(()) };
        let Some(last) = changes.iter().rev().find(|change| change.at <= time) else {
            return Err(ZoneError::Before { zone: name.clone(), time });
        };
        let skipped = i64::from(last.to) - i64::from(last.from);
        if time.minutes() - last.at.minutes() < skipped {
            return Err(ZoneError::Skipped(time));
        }
        Ok(())
    }

    /// What stands between `DTSTART` and its colon.
    pub(super) fn parameter(&self) -> String {
        match self {
            Zone::Floating => String::new(),
            Zone::Named { name, .. } => format!(";TZID={name}"),
        }
    }

    /// Describes the zone. `alone`: nothing else will stand in the calendar, which must not be empty (RFC 5545, 3.6).
    pub(super) fn write(&self, sheet: &mut Sheet, alone: bool) {
        match self {
            Zone::Floating if alone => {
                sheet.line("BEGIN:VTIMEZONE");
                sheet.line("TZID:Etc/UTC");
                observance(sheet, "STANDARD", "19700101T000000", 0, 0);
                sheet.line("END:VTIMEZONE");
            }
            Zone::Floating => {}
            Zone::Named { name, changes } => {
                sheet.line("BEGIN:VTIMEZONE");
                sheet.line(&format!("TZID:{name}"));
                for change in changes {
                    let season = if change.summer { "DAYLIGHT" } else { "STANDARD" };
                    observance(sheet, season, &change.at.written(), change.from, change.to);
                }
                sheet.line("END:VTIMEZONE");
            }
        }
    }
}

fn observance(sheet: &mut Sheet, season: &str, at: &str, from: i16, to: i16) {
    sheet.line(&format!("BEGIN:{season}"));
    sheet.line(&format!("DTSTART:{at}"));
    sheet.line(&format!("TZOFFSETFROM:{}", offset(from)));
    sheet.line(&format!("TZOFFSETTO:{}", offset(to)));
    sheet.line(&format!("END:{season}"));
}

/// `+0100`, `-0330`; zero is `+0000` (RFC 5545, 3.3.14).
fn offset(minutes: i16) -> String {
    let sign = if minutes < 0 { '-' } else { '+' };
    format!("{sign}{:02}{:02}", minutes.abs() / 60, minutes.abs() % 60)
}
