//! How far the car runs in a day: the straight line through the true distance by least squares, with its range at 90 %.

use rust_decimal::Decimal;

use super::odometer::{History, Used};
use super::words::MONTH;
use crate::trade::calendar::Date;
use crate::trade::line::{Line, student};

/// Only the last two years before the newest reading say how the car is used now. Common practice, no source.
pub const WINDOW_DAYS: i32 = 730;

/// How far the car runs.
#[derive(Debug, Clone, PartialEq)]
pub enum Usage {
    /// Fewer than two days on which the clock was read with nothing unknown between them.
    Unknown {
        says: &'static str,
    },
    Known(Known),
}

/// A rate, and what it was made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Known {
    /// Kilometres a day, 0 or more.
    pub per_day: f64,
    /// Standard error of that; nothing with two days, which any line fits.
    pub error: Option<f64>,
    /// The slowest and the quickest that 90 % allow, both 0 or more; nothing with two days.
    pub range: Option<(f64, f64)>,
    /// Days on which the clock was read.
    pub days: usize,
    pub from: Date,
    pub to: Date,
}

impl Usage {
    /// By the newest run of readings that has two days or more, with nothing unknown or guessed between them.
    pub fn of(history: &History) -> Usage {
        let runs = history.used().chunk_by(|_, next| next.step.is_exact());
        let newest = runs.map(by_day).rfind(|run| run.len() >= 2);
        let Some(mut run) = newest else {
            let says = match history.used() {
                [] => "The odometer was never read: nobody knows how far the car runs.",
                [_] => "One reading tells no rate: read the odometer again some weeks later.",
                _ => "No two days with nothing unknown between them: read the odometer again some weeks later.",
            };
            return Usage::Unknown { says };
        };
        // Two always stay, however old the one before the last is.
        let last = run.last().map_or(0, |used| used.day.number());
        let recent = run.partition_point(|used| used.day.number() < last - WINDOW_DAYS);
        run.drain(..recent.min(run.len() - 2));
        Usage::Known(Known::of(&run))
    }

    pub fn known(&self) -> Option<&Known> {
        match self {
            Usage::Known(known) => Some(known),
            Usage::Unknown { .. } => None,
        }
    }
}

/// The last reading of each day.
fn by_day(run: &[Used]) -> Vec<&Used> {
    run.chunk_by(|one, next| one.day == next.day).filter_map(<[Used]>::last).collect()
}

impl Known {
    /// At least two readings, of different days.
    fn of(run: &[&Used]) -> Known {
        let (first, last) = (run[0], run[run.len() - 1]);
        let run_to = |used: &Used| f64::try_from(used.run.low - first.run.low).unwrap_or_default();
        let day = |used: &Used| f64::from(used.day.number() - first.day.number());
        let known = Known { per_day: 0.0, error: None, range: None, days: run.len(), from: first.day, to: last.day };
        if run.len() == 2 {
            return Known { per_day: run_to(last) / day(last), ..known };
        }
        let points: Vec<(f64, f64)> = run.iter().map(|used| (day(used), run_to(used))).collect();
        let line = Line::through(&points);
        let room = student(points.len() - 2) * line.slope_error;
        let range = ((line.slope - room).max(0.0), line.slope + room);
        Known { per_day: line.slope.max(0.0), error: Some(line.slope_error), range: Some(range), ..known }
    }

    /// Kilometres in a month.
    pub fn per_month(&self) -> Decimal {
        in_a_month(self.per_day)
    }

    /// The range in a month.
    pub fn range_per_month(&self) -> Option<(Decimal, Decimal)> {
        self.range.map(|(slow, quick)| (in_a_month(slow), in_a_month(quick)))
    }

    /// It did not move between the first and the last reading.
    pub fn is_still(&self) -> bool {
        self.per_day <= 0.0
    }
}

fn in_a_month(per_day: f64) -> Decimal {
    // A rate is bounded by what a car runs in a day.
    Decimal::try_from(per_day * MONTH).unwrap_or_default()
}
