//! Whole days as a calendar, read back by another library.
//!
//! * `data/days.ics`: what our writer makes of the days below; a test keeps it so.
//! * `data/days_read.tsv`: what the Python library icalendar 7.3.2 reads there, by `calendar_days_read.py`, which checks the file
//!   again with `--check`. It gives the first day and the day after the last (RFC 5545, 3.6.1: without an end, one day).

use std::path::{Path, PathBuf};
use underlamp::trade::calendar::{Date, DayEvent, LocalTime, Stamp, write_days};

/// Day, the day after, title, description.
const DAYS: [(&str, &str, &str, &str); 4] = [
    (
        "2027-02-28",
        "2027-03-01",
        "Engine oil; filter, both",
        "By time first: 12 months after 2026-02-28.\nThe manual comes first.",
    ),
    ("2028-02-29", "2028-03-01", "Brake fluid", ""),
    ("2026-12-31", "2027-01-01", "Last day of the year \\ 🔧", "END:VEVENT"),
    (
        "2199-12-30",
        "2199-12-31",
        "A title that is far longer than the seventy-five octets of a line, so that it is folded – even here: éééééééééééééééé",
        "",
    ),
];

fn here(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/data").join(path)
}

fn calendar() -> String {
    let event = |(at, (day, _, summary, description)): (usize, &(&str, &str, &str, &str))| DayEvent {
        uid: format!("upkeep-{at}"),
        day: Date::parse(day).unwrap(),
        summary: (*summary).to_owned(),
        description: (*description).to_owned(),
    };
    let stamp = Stamp::utc(LocalTime::new(Date::parse("2026-11-25").unwrap(), 16, 5).unwrap(), 3);
    write_days("Upkeep, of the car", stamp, &DAYS.iter().enumerate().map(event).collect::<Vec<_>>()).unwrap()
}

/// Run with `UNDERLAMP_WRITE=1` to write it anew, then look at the difference and run `calendar_days_read.py`.
#[test]
fn the_committed_days_are_what_the_writer_makes() {
    if std::env::var_os("UNDERLAMP_WRITE").is_some() {
        std::fs::write(here("days.ics"), calendar()).unwrap();
    }
    assert_eq!(std::fs::read_to_string(here("days.ics")).unwrap(), calendar());
}

/// Source: the library icalendar.
#[test]
fn another_library_reads_every_day_as_it_was_meant() {
    let text = std::fs::read_to_string(here("days_read.tsv")).unwrap();
    let rows: Vec<&str> = text.lines().filter(|line| !line.starts_with('#')).skip(1).collect();
    assert_eq!(rows.len(), DAYS.len());
    for (at, (row, (day, after, summary, description))) in rows.iter().zip(DAYS).enumerate() {
        let written = |text: &str| text.replace('\\', "\\\\").replace('\n', "\\n");
        let cells = [&format!("upkeep-{at}"), day, after, "TRANSPARENT", &written(summary), &written(description)];
        assert_eq!(row.split('\t').collect::<Vec<_>>(), cells, "{summary}");
    }
}
