//! The distance really run, over time, as a small drawing: what is known as a line, what nobody saw as a broken one, and
//! ahead of the last reading the wedge into which the usual rate leads.

use super::book::Book;
use super::clock_views::run_words;
use super::views::day_words;
use crate::trade::calendar::Date;
use crate::trade::upkeep::Used;
use rust_decimal::Decimal;

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 260.0;
const LEFT: f64 = 110.0;
const RIGHT: f64 = 620.0;
const TOP: f64 = 24.0;
const BOTTOM: f64 = 216.0;
/// How far the wedge reaches: half a year, or as far as there are readings where those are fewer days.
const AHEAD_DAYS: i32 = 183;

/// A stretch between two readings.
pub struct Stretch {
    pub from: (String, String),
    pub to: (String, String),
    /// Part of it nobody saw.
    pub unseen: bool,
}

pub struct Chart {
    pub width: f64,
    pub height: f64,
    pub left: f64,
    pub right: f64,
    pub bottom: f64,
    pub points: Vec<(String, String)>,
    pub stretches: Vec<Stretch>,
    /// Corners of the wedge; empty where no range is known.
    pub wedge: String,
    pub most: String,
    pub from: String,
    pub to: String,
    /// For those who do not see it.
    pub alt: String,
}

impl Chart {
    /// Nothing where fewer than two days were read.
    pub fn of(book: &Book) -> Option<Chart> {
        let used = book.history.used();
        let (first, last) = (used.first()?, used.last()?);
        let days = last.day.number() - first.day.number();
        let run = number(last.run.low);
        if days < 1 || run <= 0.0 {
            return None;
        }
        let rate = book.usage.known().filter(|_| book.stands_since.is_none());
        let ahead = if rate.is_some() { AHEAD_DAYS.min(days) } else { 0 };
        let range = rate.map(|known| known.range.unwrap_or((known.per_day, known.per_day)));
        let most = run + range.map_or(0.0, |(_, quick)| quick * f64::from(ahead));
        let x = |day: i32| LEFT + f64::from(day) / f64::from(days + ahead) * (RIGHT - LEFT);
        let y = |run: f64| BOTTOM - run / most * (BOTTOM - TOP);
        let at = |used: &Used| (place(x(used.day.number() - first.day.number())), place(y(number(used.run.low))));
        let stretches = used.windows(2).map(|pair| Stretch {
            from: at(&pair[0]),
            to: at(&pair[1]),
            unseen: !pair[1].step.is_exact(),
        });
        let end = |per_day: f64| format!("{},{}", place(x(days + ahead)), place(y(run + per_day * f64::from(ahead))));
        let wedge =
            range.map(|(slow, quick)| format!("{},{} {} {}", place(x(days)), place(y(run)), end(quick), end(slow)));
        let unit = book.unit();
        Some(Chart {
            width: WIDTH,
            height: HEIGHT,
            left: LEFT,
            right: RIGHT,
            bottom: BOTTOM,
            points: used.iter().map(at).collect(),
            stretches: stretches.collect(),
            wedge: wedge.unwrap_or_default(),
            most: unit.say(Decimal::try_from(most).unwrap_or_default()),
            from: day_words(first.day, book.today),
            to: day_words(end_day(last.day, ahead), book.today),
            alt: format!(
                "Distance run by {} readings from {} to {}: {}.",
                used.len(),
                first.day,
                last.day,
                run_words(last.run, unit)
            ),
        })
    }
}

fn end_day(last: Date, ahead: i32) -> Date {
    last.plus_days(ahead).unwrap_or(last)
}

fn number(kilometres: Decimal) -> f64 {
    // Every decimal has a nearest float.
    f64::try_from(kilometres).unwrap_or_default()
}

fn place(at: f64) -> String {
    format!("{at:.1}")
}
