//! How often the plan ended on each day, drawn: a column a day, or a week where there are many days. The wanted day is a line
//! of its own, with its name.
//!
//! Places are per cent of the drawing, so that it is as wide as its page and its words keep their size.

use super::words;
use crate::trade::limits::Day;
use crate::trade::plan::Dates;

/// More columns than this are drawn by weeks.
const MOST: usize = 45;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Histogram {
    pub columns: Vec<Column>,
    /// A column for what the evenings do not suffice for; empty where they always do.
    pub beyond: Option<Column>,
    pub wanted: Option<Mark>,
    /// For whoever does not see the drawing.
    pub alt: String,
    /// Each column in words: until when, how many of a hundred, how many so far.
    pub rows: Vec<[String; 3]>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    pub left: String,
    pub wide: String,
    pub top: String,
    pub high: String,
    /// Under the column; empty where there is no room.
    pub label: String,
    /// Where the label stands: `start`, `middle` or `end`.
    pub anchor: &'static str,
    pub middle: String,
    /// Later than the wanted day.
    pub late: bool,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    pub at: String,
    pub anchor: &'static str,
    pub label: String,
}

/// What a label takes of the width, in per cent.
const LABEL: f64 = 16.0;

/// A span of days, with the runs that ended in it.
struct Bin {
    first: Day,
    last: Day,
    runs: u32,
}

/// `None` where no run was made.
pub fn drawn(dates: &Dates, wanted: Option<Day>, today: Day) -> Option<Histogram> {
    let bins = bins(dates);
    let most = bins.iter().map(|bin| bin.runs).chain([dates.beyond]).max().filter(|most| *most > 0)?;
    let frame = Frame::of(&bins, wanted, dates.beyond > 0, most)?;
    let columns = bins.iter().enumerate().map(|(at, bin)| frame.column(at, bin, wanted, bins.len(), today)).collect();
    let mark = wanted.map(|wanted| frame.mark(wanted, today));
    Some(Histogram {
        columns,
        beyond: (dates.beyond > 0).then(|| frame.beyond(dates.beyond)),
        wanted: mark,
        alt: alt(&bins, dates, today),
        rows: rows(&bins, dates, today),
    })
}

fn bins(dates: &Dates) -> Vec<Bin> {
    let days: Vec<Bin> = dates.bins.iter().map(|(day, runs)| Bin { first: *day, last: *day, runs: *runs }).collect();
    if days.len() <= MOST {
        return days;
    }
    // 1 January 1970 was a Thursday: weeks begin on Mondays (ISO 8601).
    let week = |day: Day| (day.0 + 3).div_euclid(7);
    let mut weeks: Vec<Bin> = Vec::new();
    for day in days {
        match weeks.last_mut().filter(|last| week(last.first) == week(day.first)) {
            Some(last) => {
                last.last = day.last;
                last.runs += day.runs;
            }
            None => weeks.push(day),
        }
    }
    weeks
}

/// From the first day that is drawn to the last.
struct Frame {
    first: i32,
    days: f64,
    /// Per cent of the width that days may take.
    width: f64,
    most: f64,
    column: f64,
}

impl Frame {
    fn of(bins: &[Bin], wanted: Option<Day>, beyond: bool, most: u32) -> Option<Frame> {
        let ends = bins.iter().flat_map(|bin| [bin.first.0, bin.last.0]).chain(wanted.map(|day| day.0));
        let (first, last) = (ends.clone().min()?, ends.max()?);
        let days = f64::from(last.saturating_sub(first)) + 1.0;
        let width = if beyond { 84.0 } else { 100.0 };
        // Never thinner than can be seen, never wider than is taken for a span.
        let column = (width / days * 0.8).clamp(0.8, 12.0);
        Some(Frame { first, days, width, most: f64::from(most), column })
    }

    /// The middle of a day, in per cent of the width.
    fn middle(&self, first: Day, last: Day) -> f64 {
        let from = f64::from(first.0.saturating_sub(self.first));
        let to = f64::from(last.0.saturating_sub(self.first)) + 1.0;
        let middle = (from + to) / 2.0 / self.days * self.width;
        middle.clamp(self.column / 2.0, self.width - self.column / 2.0)
    }

    fn tall(&self, runs: u32) -> f64 {
        (f64::from(runs) / self.most * 100.0).max(if runs > 0 { 1.0 } else { 0.0 })
    }

    fn column(&self, at: usize, bin: &Bin, wanted: Option<Day>, many: usize, today: Day) -> Column {
        let (middle, tall) = (self.middle(bin.first, bin.last), self.tall(bin.runs));
        let (left, right) = (middle - self.column / 2.0, middle + self.column / 2.0);
        // Towards the side on which the label of the other end does not stand.
        let (anchor, edge) = if at == 0 || right < 2.0 * LABEL { ("start", left) } else { ("end", right) };
        let has_room = at == 0 || (at + 1 == many && left >= LABEL);
        let label = if has_room { words::short(bin.last, today) } else { String::new() };
        Column {
            left: percent(middle - self.column / 2.0),
            wide: percent(self.column),
            top: percent(100.0 - tall),
            high: percent(tall),
            label,
            anchor,
            middle: percent(edge),
            late: wanted.is_some_and(|wanted| bin.last > wanted),
        }
    }

    fn beyond(&self, runs: u32) -> Column {
        let tall = self.tall(runs);
        Column {
            left: percent(92.0),
            wide: percent(8.0),
            top: percent(100.0 - tall),
            high: percent(tall),
            label: "Not by then".to_owned(),
            anchor: "end",
            middle: percent(100.0),
            late: true,
        }
    }

    fn mark(&self, wanted: Day, today: Day) -> Mark {
        // The line stands behind its day: finished on it is in time.
        let at = (f64::from(wanted.0.saturating_sub(self.first)) + 1.0) / self.days * self.width;
        let anchor = if at > 50.0 { "end" } else { "start" };
        Mark { at: percent(at.min(99.5)), anchor, label: format!("wanted {}", words::short(wanted, today)) }
    }
}

fn percent(share: f64) -> String {
    format!("{share:.2}%")
}

fn alt(bins: &[Bin], dates: &Dates, today: Day) -> String {
    let Some((first, last)) = bins.first().zip(bins.last()) else {
        return "No case was finished with the evenings there are.".to_owned();
    };
    let span = format!(
        "Columns from {} to {}, taller where more cases end",
        words::short(first.first, today),
        words::short(last.last, today)
    );
    match dates.beyond {
        0 => format!("{span}."),
        beyond => {
            let share = words::of_hundred(f64::from(beyond) / f64::from(dates.runs.max(1)));
            format!("{span}; {share} of a hundred do not end with the evenings there are.")
        }
    }
}

fn rows(bins: &[Bin], dates: &Dates, today: Day) -> Vec<[String; 3]> {
    let share = |runs: u32| words::of_hundred(f64::from(runs) / f64::from(dates.runs.max(1))).to_string();
    let mut rows: Vec<[String; 3]> = bins
        .iter()
        .map(|bin| {
            let so_far = words::of_hundred(dates.chance_by(bin.last)).to_string();
            [words::short(bin.last, today), share(bin.runs), so_far]
        })
        .collect();
    if dates.beyond > 0 {
        rows.push(["not with these evenings".to_owned(), share(dates.beyond), String::new()]);
    }
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::pages::sample::{self, TODAY};
    use crate::trade::plan::dates;

    fn number(text: &str) -> f64 {
        text.trim_end_matches('%').parse().unwrap()
    }

    #[test]
    fn columns_are_as_tall_as_their_share_and_stay_in_the_drawing() {
        let made = sample::made();
        let dates = dates(&made.known.garage, &made.plan, 1, 500).unwrap();
        let drawn = drawn(&dates, made.known.garage.wanted, TODAY).unwrap();
        let tallest = drawn.columns.iter().chain(&drawn.beyond).map(|column| number(&column.high)).fold(0.0, f64::max);
        assert_eq!(tallest, 100.0);
        for column in drawn.columns.iter().chain(&drawn.beyond) {
            assert!(number(&column.left) >= 0.0 && number(&column.left) + number(&column.wide) <= 100.01, "{column:?}");
            assert!((number(&column.top) + number(&column.high) - 100.0).abs() < 0.02);
        }
        assert_eq!(drawn.rows.len(), dates.bins.len() + usize::from(dates.beyond > 0));
        assert!(drawn.wanted.unwrap().label.starts_with("wanted Fri 4 Dec"));
    }

    #[test]
    fn many_days_are_drawn_by_weeks_and_lose_no_run() {
        let known = sample::known(
            vec![sample::job("paint", &[3000], &[])],
            (0..400).map(|at| sample::evening(at, 60)).collect(),
        );
        let made =
            crate::plan::pages::made::Made::now(crate::clock::Moment(0), known, crate::trade::plan::Effort::QUICK);
        assert!(made.is_ok(), "a job that is too long waits, and the plan says so");
        let spread = (0..100).map(|day| (Day(TODAY.0 + day), 5)).collect::<Vec<_>>();
        let mut dates = dates(&sample::made().known.garage, &sample::made().plan, 1, 1).unwrap();
        dates.bins = spread;
        (dates.runs, dates.beyond) = (500, 0);
        let bins = bins(&dates);
        assert!(bins.len() <= 16 && bins.iter().map(|bin| bin.runs).sum::<u32>() == 500);
    }
}
