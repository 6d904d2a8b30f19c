//! What is shown of the backups.

use super::due::Age;
use super::form::BackupForm;
use super::keeper::Standing;
use super::record::Good;
use super::settings::Place;
use crate::clock::Moment;
use crate::web::form::Slips;
use crate::web::page::Page;
use crate::web::words;
use askama::Template;

#[derive(Template)]
#[template(path = "backup/backups.html")]
pub struct BackupsPage {
    pub page: Page,
    /// How long ago the last good one was made: a figure and what it counts.
    pub ago: Option<(i64, &'static str)>,
    /// Where and when the last good one was made, and how large it is.
    pub last: String,
    /// `Kept there: 7 backups, the oldest of Tue 3 Mar 2026.`
    pub kept: String,
    /// Why older ones could not be thinned out.
    pub untidy: String,
    pub place: String,
    pub next: String,
    pub under_way: String,
    /// What went wrong, and when it is tried again.
    pub trouble: String,
    pub fault: String,
    pub warning: String,
    pub form: BackupForm,
    pub slips: Slips,
    /// A password is known for what is set.
    pub knows_password: bool,
}

impl BackupsPage {
    pub fn new(page: Page, standing: Standing, now: Moment) -> BackupsPage {
        let warning = warning(&standing);
        let Standing { settings, record, next, under_way_since, age: _, fault } = standing;
        let form = BackupForm::of(settings.as_ref());
        let next = next.map(|next| if next <= now { "now".to_owned() } else { words::day_and_time(next) });
        let next = next.unwrap_or_default();
        let good = record.good.as_ref();
        let place = settings.as_ref().map_or_else(String::new, |chosen| match &chosen.place {
            Place::Folder { path } => path.display().to_string(),
            Place::WebDav { address, .. } => address.clone(),
        });
        BackupsPage {
            page,
            ago: good.map(|good| ago(good.at, now)),
            last: good.map_or_else(String::new, |good| last(good, &place)),
            untidy: record.untidy.unwrap_or_default(),
            kept: match (record.kept, record.oldest) {
                (0, _) | (_, None) => String::new(),
                (n, Some(oldest)) => {
                    format!(
                        "Kept there: {}, the oldest of {}.",
                        words::count(n, "backup", "backups"),
                        words::day(oldest)
                    )
                }
            },
            place,
            under_way: under_way_since.map(words::time).unwrap_or_default(),
            trouble: record.trouble.map_or_else(String::new, |failed| {
                format!("{}: {} It is tried again: {next}.", words::day_and_time(failed.at), failed.say)
            }),
            next,
            fault: fault.unwrap_or_default(),
            warning,
            knows_password: !form.user.is_empty(),
            form,
            slips: Slips::default(),
        }
    }
}

/// When it was made, how large it is, and where it lies unless that is where they are kept now.
fn last(good: &Good, place: &str) -> String {
    let said = format!("{}, {}", words::day_and_time(good.at), size(good.bytes));
    if good.place == place { said } else { format!("{said}, {}", good.place) }
}

/// `2`, `days ago`
fn ago(at: Moment, now: Moment) -> (i64, &'static str) {
    let minutes = (now.0 - at.0).max(0) / 60_000;
    match (minutes / 60, minutes / (24 * 60)) {
        (0, _) => (minutes, if minutes == 1 { "minute ago" } else { "minutes ago" }),
        (hours, 0) => (hours, if hours == 1 { "hour ago" } else { "hours ago" }),
        (_, days) => (days, if days == 1 { "day ago" } else { "days ago" }),
    }
}

/// `7.9 kB`, `412.0 MB`
fn size(bytes: u64) -> String {
    let tenths = |unit: u64| format!("{}.{}", bytes / unit, bytes % unit / (unit / 10));
    if bytes < 1_000_000 { format!("{} kB", tenths(1000)) } else { format!("{} MB", tenths(1_000_000)) }
}

/// What the garage's home says of the backups; empty: nothing.
pub fn warning(standing: &Standing) -> String {
    let why = match (&standing.record.trouble, &standing.settings) {
        (Some(failed), Some(_)) => format!(" The last try failed: {}", failed.say),
        (None, Some(_)) => String::new(),
        (_, None) => " None is made by itself.".to_owned(),
    };
    match standing.age {
        Age::Well => String::new(),
        Age::Old { days } => format!("The last good backup is {} old.{why}", words::count(whole(days), "day", "days")),
        Age::Never { days } => {
            let days = words::count(whole(days), "day", "days");
            format!("There is no backup of this garage yet, and work has been kept in it for {days}.{why}")
        }
    }
}

fn whole(days: i64) -> usize {
    usize::try_from(days).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_size_is_said_in_the_unit_that_fits_it() {
        let cases = [(0, "0.0 kB"), (7918, "7.9 kB"), (999_999, "999.9 kB"), (1_834_223_111, "1834.2 MB")];
        for (bytes, said) in cases {
            assert_eq!(size(bytes), said);
        }
    }

    #[test]
    fn an_age_is_said_in_the_largest_whole_unit() {
        const MINUTE: i64 = 60_000;
        let cases = [
            (0, (0, "minutes ago")),
            (1, (1, "minute ago")),
            (59, (59, "minutes ago")),
            (60, (1, "hour ago")),
            (23 * 60 + 59, (23, "hours ago")),
            (24 * 60, (1, "day ago")),
            (50 * 60, (2, "days ago")),
            (-5, (0, "minutes ago")),
        ];
        for (minutes, said) in cases {
            assert_eq!(ago(Moment(0), Moment(minutes * MINUTE)), said);
        }
    }
}
