//! How far a car runs in a day, against numpy on the same readings.
//!
//! * `data/usage_readings.csv`: invented readings with what became of the clock, and the distance run worked by hand.
//! * `data/usage_numpy.csv`: slope and standard error by numpy 2.4.6 (`polyfit` of degree 1 with `cov`), by `numpy_usage.py`,
//!   which checks the file again with `--check`.
//!
//! The range at 90 % is worked again here from Student's t of a printed table (0.95 quantile; from memory).

use rust_decimal::Decimal;
use std::path::Path;
use underlamp::trade::calendar::Date;
use underlamp::trade::upkeep::{Digits, Distance, DistanceUnit, History, Known, Reading, Usage, Word};

fn table(file: &str) -> Vec<Vec<String>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/data").join(file);
    let text = std::fs::read_to_string(path).unwrap();
    let rows = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    rows.map(|line| line.split(',').map(str::to_owned).collect()).collect()
}

fn distance(number: &str, unit: &str) -> Distance {
    Distance::read(number, DistanceUnit::from_name(unit).unwrap()).unwrap()
}

fn word(text: &str) -> Option<Word> {
    match text.split(' ').collect::<Vec<_>>().as_slice() {
        ["rolled-over", digits] => Some(Word::RolledOver(Digits::from_name(digits).unwrap())),
        ["replaced", old, old_unit, new, new_unit] => {
            Some(Word::Replaced { old_end: Some(distance(old, old_unit)), new_start: distance(new, new_unit) })
        }
        [""] => None,
        other => panic!("{other:?}"),
    }
}

fn history(series: &str) -> (History, Vec<Decimal>) {
    let rows: Vec<_> = table("usage_readings.csv").into_iter().filter(|row| row[0] == series).collect();
    let reading = |row: &Vec<String>| Reading {
        key: row[1].clone(),
        day: Date::parse(&row[1]).unwrap(),
        shown: distance(&row[2], &row[3]),
        word: word(&row[4]),
    };
    (History::of(rows.iter().map(reading).collect()), rows.iter().map(|row| row[5].parse().unwrap()).collect())
}

fn known(series: &str) -> Known {
    match Usage::of(&history(series).0) {
        Usage::Known(known) => known,
        Usage::Unknown { says } => panic!("{series}: {says}"),
    }
}

/// Source: the table, by hand.
#[test]
fn the_distance_run_is_what_was_worked_by_hand_to_the_last_metre() {
    for row in table("usage_numpy.csv") {
        let (history, by_hand) = history(&row[0]);
        assert_eq!(history.aside(), [], "{}", row[0]);
        let run: Vec<Decimal> = history.used().iter().map(|used| used.run.low).collect();
        assert_eq!(run, by_hand, "{}", row[0]);
        assert!(history.used().iter().all(|used| used.run.is_exact()));
    }
}

/// Source: numpy 2.4.6.
#[test]
fn the_rate_and_its_error_are_those_of_numpy() {
    let rows = table("usage_numpy.csv");
    assert_eq!(rows.len(), 7);
    for row in rows {
        let known = known(&row[0]);
        let (rate, error): (f64, f64) = (row[1].parse().unwrap(), row[2].parse().unwrap());
        assert!((known.per_day - rate).abs() < 2e-9, "{}: {} {rate}", row[0], known.per_day);
        assert!((known.error.unwrap() - error).abs() < 2e-9, "{}: {:?} {error}", row[0], known.error);
    }
}

/// Source: numpy's figures, and t = 2.132 for four degrees of freedom (six readings).
#[test]
fn the_range_is_the_rate_give_or_take_students_t_times_its_error() {
    let known = known("scattered");
    let (slow, quick) = known.range.unwrap();
    let room = 2.132 * known.error.unwrap();
    assert!((known.per_day - slow - room).abs() < 1e-9 && (quick - known.per_day - room).abs() < 1e-9);
}

/// By hand, closed form: readings on days 0, 30, 60 and 90 that lie on a line have its slope and no error.
#[test]
fn readings_on_a_line_have_its_slope_and_no_error() {
    let known = known("even");
    assert!((known.per_day - 14.0).abs() < 1e-12 && known.error.unwrap() < 1e-12);
}
