//! The day on which something is due again: by time, by distance, whichever is first.
//!
//! By time it is the same day so many months later. By distance, what is left at the last reading is run off at the usual
//! rate; its range comes from the rate's range at 90 % and from what nobody saw of the distance. The rest of the range
//! (a journey, a winter) is nobody's to know: it holds if the car is used as before.

use rust_decimal::Decimal;

use super::band::Band;
use super::distance::DistanceUnit;
use super::interval::Interval;
use super::odometer::{Between, History};
use super::usage::{Known, Usage};
use super::words::{said_day, time_span};
use crate::trade::calendar::Date;

/// Further ahead than ten years no rate says anything. Common practice, no source.
const HORIZON_DAYS: f64 = 3653.0;

/// When it was done last.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Done {
    pub day: Date,
    /// The reading taken then, by its key in the history.
    pub reading: Option<String>,
}

/// What is asked about.
#[derive(Debug, Clone, Copy)]
pub struct Matter<'a> {
    pub interval: Interval,
    /// Nothing where nobody knows.
    pub done: Option<&'a Done>,
    pub history: &'a History,
    pub usage: &'a Usage,
    /// The car stands, and runs no further until it is fetched out.
    pub stands: bool,
    pub today: Date,
}

/// What comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    Time,
    Distance,
    /// Nobody knows.
    Neither,
}

/// When it is due.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Due {
    pub band: Band,
    /// The likely day; nothing where nobody knows.
    pub day: Option<Date>,
    /// The ends of its range, where there is one.
    pub range: Option<(Date, Option<Date>)>,
    pub cause: Cause,
    /// Beside the band: `by 3 weeks`, `by 320 km`; empty where it is not overdue.
    pub over: String,
    /// Why, in a sentence or two.
    pub says: String,
}

/// The part of the answer that the distance gives.
enum ByDistance {
    /// The interval has no distance.
    NotAsked,
    Unknown(String),
    /// Known to be left, on no day that can be told: the car does not run, or the day is more than ten years off.
    Waits(String),
    /// Run already, by so many kilometres at least.
    Passed {
        over: Decimal,
        seen: Date,
    },
    Ahead(Ahead),
}

struct Ahead {
    likely: Date,
    earliest: Date,
    /// Nothing where it may never come at the slowest rate.
    latest: Option<Date>,
    /// Two readings give no range.
    has_range: bool,
    says: String,
}

/// When the matter is due.
pub fn due(matter: Matter<'_>) -> Due {
    let Some(done) = matter.done else {
        return nobody(
            "Not known when it was done last. Who does not know does it now, and counts from then.".to_owned(),
        );
    };
    let by_time = matter.interval.months().and_then(|months| done.day.plus_months(months).ok());
    match (by_distance(&matter, done), by_time) {
        (ByDistance::Passed { over, seen }, time) => passed(&matter, over, seen, time),
        (ByDistance::Ahead(ahead), Some(time)) if time < ahead.likely => {
            let says = format!("By time first: {} after {}. {}", months(&matter), said_day(done.day), ahead.says);
            on(&matter, time, (ahead.earliest.min(time), Some(time)), Cause::Time, says)
        }
        (ByDistance::Ahead(ahead), time) => {
            let latest = match (time, ahead.latest) {
                (Some(time), Some(latest)) => Some(time.min(latest)),
                (time, latest) => time.or(latest),
            };
            let mut due = on(&matter, ahead.likely, (ahead.earliest, latest), Cause::Distance, ahead.says);
            due.range = due.range.filter(|_| ahead.has_range);
            due
        }
        (ByDistance::NotAsked, Some(time)) => {
            let says = format!("By time: {} after {}.", months(&matter), said_day(done.day));
            on(&matter, time, (time, Some(time)), Cause::Time, says)
        }
        (ByDistance::Unknown(why) | ByDistance::Waits(why), Some(time)) => {
            let says = format!("By time: {} after {}. {why}", months(&matter), said_day(done.day));
            on(&matter, time, (time, Some(time)), Cause::Time, says)
        }
        (ByDistance::Waits(why), None) => Due { band: Band::InHand, cause: Cause::Distance, ..nobody(why) },
        (ByDistance::Unknown(why), None) => nobody(why),
        // Only when the months end beyond the calendar.
        (ByDistance::NotAsked, None) => nobody("Its day lies beyond this calendar.".to_owned()),
    }
}

fn months(matter: &Matter<'_>) -> String {
    match matter.interval.months() {
        Some(1) => "a month".to_owned(),
        Some(many) => format!("{many} months"),
        None => String::new(),
    }
}

fn nobody(says: String) -> Due {
    Due { band: Band::Nobody, day: None, range: None, cause: Cause::Neither, over: String::new(), says }
}

fn on(matter: &Matter<'_>, day: Date, (earliest, latest): (Date, Option<Date>), cause: Cause, says: String) -> Due {
    let band = Band::on(matter.today, earliest, day);
    let late = matter.today.number() - day.number();
    let over = if band == Band::Overdue { format!("by {}", time_span(late)) } else { String::new() };
    let range = (latest != Some(earliest)).then_some((earliest, latest));
    Due { band, day: Some(day), range, cause, over, says }
}

/// The distance is run: no day makes that better, but the day of time may be earlier still.
fn passed(matter: &Matter<'_>, over: Decimal, seen: Date, time: Option<Date>) -> Due {
    let unit = matter.interval.unit();
    let by_time = time.filter(|time| *time < seen && *time <= matter.today);
    let day = by_time.unwrap_or(seen);
    let (band, over) = match over.is_zero() && by_time.is_none() && day == matter.today {
        true => (Band::Due, String::new()),
        false => (Band::Overdue, format!("by {}", unit.say(over))),
    };
    let mut says =
        format!("By distance: {} were run when the odometer was read on {}.", run_words(matter, unit), said_day(seen));
    if let Some(time) = by_time {
        says.push_str(&format!(" By time it was due on {}.", said_day(time)));
    }
    Due { band, day: Some(day), range: None, cause: Cause::Distance, over, says }
}

fn run_words(matter: &Matter<'_>, unit: DistanceUnit) -> String {
    matter.interval.distance().map(|distance| unit.say(distance.kilometres())).unwrap_or_default()
}

fn by_distance(matter: &Matter<'_>, done: &Done) -> ByDistance {
    let Some(distance) = matter.interval.distance() else { return ByDistance::NotAsked };
    let (history, unit) = (matter.history, matter.interval.unit());
    let Some(last) = history.last() else {
        return ByDistance::Unknown("The odometer was never read, so the distance tells nothing.".to_owned());
    };
    let (run, likely) = run_since(history, done);
    let every = distance.kilometres();
    if run.low >= every {
        return ByDistance::Passed {
            over: run.low - every,
            seen: first_seen(history, done, every).unwrap_or(last.day),
        };
    }
    let (Some(high), Some(likely)) = (run.high, likely) else {
        let least = unit.say(run.low);
        let say = format!("At least {least} were run since, but part of the way nobody saw: by distance nobody knows.");
        return ByDistance::Unknown(say);
    };
    let base = last.day.max(done.day);
    let left = every - likely;
    if matter.stands {
        return ByDistance::Waits(format!("{} were left; while the car stands, the distance waits.", unit.say(left)));
    }
    let Some(rate) = matter.usage.known() else {
        return ByDistance::Unknown(format!(
            "{} were left on {}; how fast they go nobody knows yet.",
            unit.say(left),
            said_day(base)
        ));
    };
    if rate.is_still() {
        return ByDistance::Waits(format!("{} are left, and the car does not run.", unit.say(left)));
    }
    match ahead(rate, base, (every - high, left, every - run.low)) {
        Some(ahead) => ByDistance::Ahead(Ahead { says: ahead_words(matter, rate, left, base, &ahead), ..ahead }),
        None => ByDistance::Waits(format!("{} are left: at this rate more than ten years off.", unit.say(left))),
    }
}

/// What was run from then to the last reading, and how much of it most likely.
fn run_since(history: &History, done: &Done) -> (Between, Option<Decimal>) {
    match done.reading.as_deref().and_then(|key| history.since_reading(key)) {
        Some(run) => (run, run.high.map(|high| (run.low + high) / Decimal::TWO)),
        None => (history.since_day(done.day), history.likely_since_day(done.day)),
    }
}

/// The first day on which the clock showed that the distance was run.
fn first_seen(history: &History, done: &Done, every: Decimal) -> Option<Date> {
    let all = history.last()?.run.low;
    let start = all - run_since(history, done).0.low;
    history.used().iter().find(|used| used.run.low - start >= every).map(|used| used.day)
}

/// `left` in kilometres: the least, the likely and the most.
fn ahead(rate: &Known, base: Date, (least, likely, most): (Decimal, Decimal, Decimal)) -> Option<Ahead> {
    let (slow, quick) = rate.range.unwrap_or((rate.per_day, rate.per_day));
    let after = |left: Decimal, per_day: f64| {
        let days = f64::try_from(left.max(Decimal::ZERO)).unwrap_or_default() / per_day;
        (days <= HORIZON_DAYS).then(|| base.plus_days(days.floor() as i32).ok()).flatten()
    };
    Some(Ahead {
        likely: after(likely, rate.per_day)?,
        earliest: after(least, quick)?,
        latest: after(most, slow),
        has_range: rate.range.is_some() || least != most,
        says: String::new(),
    })
}

fn ahead_words(matter: &Matter<'_>, rate: &Known, left: Decimal, base: Date, ahead: &Ahead) -> String {
    let unit = matter.interval.unit();
    let span = ahead.likely.number() - matter.today.number();
    let when = if span < 0 { format!("{} ago", time_span(span)) } else { format!("about {}", time_span(span)) };
    let (left, month) = (unit.say(left), unit.say(rate.per_month()));
    let read_it = if span < 0 { " Read the odometer to know." } else { "" };
    let no_range = if rate.range.is_none() { " Two readings give no range." } else { "" };
    format!("By distance: {when} at {month} a month; {left} were left on {}.{read_it}{no_range}", said_day(base))
}
