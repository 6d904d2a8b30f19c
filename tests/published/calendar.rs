//! Evenings as a calendar, read back by another library.
//!
//! * `data/evenings.ics`: what our writer makes of the evenings below; a test keeps it so.
//! * `data/evenings_read.tsv`: what the Python library icalendar 7.3.2 reads there, by `calendar_read.py`, which checks the file
//!   again with `--check`. It gives each start in UTC twice: by the zone as the file describes it, and by the tz database.
//!
//! Moments in UTC were worked by hand from the European Union's summer time (last Sundays of March and October at 01:00 UTC,
//! from memory), so that both must agree with them.

use std::path::{Path, PathBuf};
use underlamp::trade::calendar::{Change, Date, Evening, LocalTime, Stamp, Zone, write};

/// Start on the wall, minutes, start in UTC, title, description.
type Row = (&'static str, u8, u8, u32, &'static str, &'static str, &'static str);

const EVENINGS: [Row; 8] = [
    ("2026-11-25", 19, 0, 150, "2026-11-25T18:00Z", "Rear axle oil", "One line."),
    ("2026-03-28", 19, 0, 60, "2026-03-28T18:00Z", "Eve of the spring change", ""),
    ("2026-03-29", 19, 0, 60, "2026-03-29T17:00Z", "Evening of the spring change", ""),
    ("2026-10-24", 19, 0, 60, "2026-10-24T17:00Z", "Eve of the autumn change", ""),
    ("2026-10-25", 2, 30, 45, "2026-10-25T00:30Z", "Shown twice: the first counts", ""),
    ("2026-10-25", 1, 0, 240, "2026-10-24T23:00Z", "Over the autumn change", ""),
    (
        "2026-07-01",
        18,
        30,
        95,
        "2026-07-01T16:30Z",
        "Brakes; hoses, \\ both – 40 N·m 🔧",
        "Chock the rear.\nRaise the front; stands.\n\nBring: 2 × copper washer, 1 l brake fluid",
    ),
    (
        "2026-12-31",
        23,
        59,
        1440,
        "2026-12-31T22:59Z",
        "A title that is far longer than the seventy-five octets of a line, so that it is folded – even in the middle of this: ééééééééééééééééééééé",
        "END:VEVENT",
    ),
];

fn here(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/data").join(path)
}

fn at(date: &str, hour: u8, minute: u8) -> LocalTime {
    LocalTime::new(Date::parse(date).unwrap(), hour, minute).unwrap()
}

fn berlin() -> Zone {
    let change = |date, hour, from, to, summer| Change { at: at(date, hour, 0), from, to, summer };
    let changes = vec![
        change("2025-10-26", 3, 120, 60, false),
        change("2026-03-29", 2, 60, 120, true),
        change("2026-10-25", 3, 120, 60, false),
    ];
    Zone::named("Europe/Berlin", changes).unwrap()
}

fn calendar() -> String {
    let evenings: Vec<Evening> = EVENINGS
        .iter()
        .enumerate()
        .map(|(at_row, (date, hour, minute, minutes, _, summary, description))| Evening {
            uid: format!("0193{at_row:04}-5e1a-7000-8000-000000000000"),
            starts: at(date, *hour, *minute),
            minutes: *minutes,
            summary: (*summary).to_owned(),
            description: (*description).to_owned(),
            sequence: 1,
        })
        .collect();
    write("Evenings, at the car", &berlin(), Stamp::utc(at("2026-11-25", 16, 5), 3), &evenings).unwrap()
}

/// Run with `UNDERLAMP_WRITE=1` to write it anew, then look at the difference and run `calendar_read.py`.
#[test]
fn the_committed_calendar_is_what_the_writer_makes() {
    if std::env::var_os("UNDERLAMP_WRITE").is_some() {
        std::fs::write(here("evenings.ics"), calendar()).unwrap();
    }
    assert_eq!(std::fs::read_to_string(here("evenings.ics")).unwrap(), calendar());
}

/// Cells of tab-separated rows, in which line ends and backslashes are written as `\n` and `\\`.
fn read_back() -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(here("evenings_read.tsv")).unwrap();
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.map(|line| line.split('\t').map(plain).collect()).collect()
}

fn plain(cell: &str) -> String {
    let mut out = String::new();
    let mut letters = cell.chars();
    while let Some(letter) = letters.next() {
        match letter {
            '\\' => out.push(if letters.next() == Some('n') { '\n' } else { '\\' }),
            other => out.push(other),
        }
    }
    out
}

/// Source: the library icalendar, by the zone that the file describes and by the tz database.
#[test]
fn another_library_reads_every_evening_as_it_was_meant() {
    let rows = read_back();
    assert_eq!(rows.len(), EVENINGS.len());
    for (at_row, (row, evening)) in rows.iter().zip(EVENINGS).enumerate() {
        let (date, hour, minute, minutes, utc, summary, description) = evening;
        let expected = [
            format!("0193{at_row:04}-5e1a-7000-8000-000000000000"),
            format!("{date}T{hour:02}:{minute:02}"),
            utc.to_owned(),
            utc.to_owned(),
            minutes.to_string(),
            "1".to_owned(),
            "2026-11-25T16:05:03Z".to_owned(),
            summary.to_owned(),
            description.to_owned(),
        ];
        assert_eq!(row.as_slice(), expected, "{summary}");
    }
}
