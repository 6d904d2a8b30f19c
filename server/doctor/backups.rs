//! Whether the garage is saved.

use super::Found;
use crate::backup::record::Record;
use crate::backup::settings::{self, OLD_AFTER_DAYS};
use crate::clock::Clock;
use crate::config::DataFolder;
use crate::web::words::{count, day_and_time};

const DAY_MS: i64 = 24 * 60 * 60 * 1000;

/// When the last good backup was made, and where. Read from files, so that it is told also where the database is ill.
pub fn backup(folder: &DataFolder) -> Found {
    let (chosen, record) = match (settings::load(folder), Record::load(folder)) {
        (Ok(chosen), Ok(record)) => (chosen, record),
        (Err(cause), _) | (_, Err(cause)) => return Found::Wrong(cause.to_string()),
    };
    let Some(good) = record.good else {
        let say = record.trouble.map_or_else(String::new, |failed| format!(" The last try failed: {}", failed.say));
        return Found::Note(format!("There is none yet. Choose a place for them at the desk, under Backups.{say}"));
    };
    let days = (Clock::system().now().0 - good.at.0).div_euclid(DAY_MS);
    let last = format!("the last good one is of {}, in {}", day_and_time(good.at), good.place);
    match (&record.trouble, chosen) {
        (Some(failed), Some(_)) => Found::Wrong(format!("{last}. The last try failed: {}", failed.say)),
        (None, Some(chosen)) if days >= chosen.old_after_days => {
            Found::Wrong(format!("{last}: {} ago. Is the garage running at its hour?", told(days)))
        }
        (_, None) if days >= OLD_AFTER_DAYS => {
            Found::Note(format!("{last}: {} ago, and none is made by itself.", told(days)))
        }
        (None, Some(_)) | (_, None) => Found::Well(last),
    }
}

fn told(days: i64) -> String {
    count(usize::try_from(days).unwrap_or(0), "day", "days")
}
