//! What the clock showed over the years, made into the distance that was really run.
//!
//! A reading counts on from the one before. Where it cannot (it runs backwards, or further than a car runs in that time) it
//! is named and left out until somebody says what happened: the clock rolled over, was changed, stood still, counts in the
//! other unit, or was misread. What nobody saw is a range, or unknown; it is never taken for nothing.

use rust_decimal::Decimal;

use super::distance::Distance;
use super::words::{grouped, said_day};
use crate::trade::calendar::Date;
use crate::trade::closed_set::closed_set;

closed_set! {
    /// How many whole digits a clock has.
    pub enum Digits {
        Five = "5", "five digits (back to nought after 99 999)";
        Six = "6", "six digits (back to nought after 999 999)";
    }
}

impl Digits {
    /// Where it is back at nought.
    pub fn turn(self) -> Decimal {
        match self {
            Digits::Five => Decimal::from(100_000),
            Digits::Six => Decimal::from(1_000_000),
        }
    }
}

/// What somebody says of a reading, to explain it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Word {
    /// Since the reading before, the clock went once through nought.
    RolledOver(Digits),
    /// Since the reading before, another clock was put in. What the old one showed last may be unknown.
    Replaced { old_end: Option<Distance>, new_start: Distance },
    /// Since the reading before, the clock stood still for a while. How far the car ran meanwhile: between the two, or unknown.
    Stood(Option<(Distance, Distance)>),
    /// The digits are right, but count the other unit.
    OtherUnit,
    /// It is wrong, and left out.
    Misread,
}

/// What the clock showed on a day.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    /// By which it is found again.
    pub key: String,
    pub day: Date,
    pub shown: Distance,
    pub word: Option<Word>,
}

/// So far, in kilometres; the upper end is missing where nobody knows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Between {
    pub low: Decimal,
    pub high: Option<Decimal>,
}

impl Between {
    pub const NOTHING: Between = Between::exactly(Decimal::ZERO);

    pub const fn exactly(kilometres: Decimal) -> Between {
        Between { low: kilometres, high: Some(kilometres) }
    }

    pub fn is_exact(self) -> bool {
        self.high == Some(self.low)
    }

    fn plus(self, other: Between) -> Between {
        let high = self.high.zip(other.high).map(|(one, other)| one + other);
        Between { low: self.low + other.low, high }
    }
}

/// A reading that counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Used {
    pub key: String,
    pub day: Date,
    /// In the unit in which it really counts.
    pub shown: Distance,
    /// What was run since the one before; nothing for the first.
    pub step: Between,
    /// What was run since the first.
    pub run: Between,
}

/// A reading that does not count, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Aside {
    pub key: String,
    pub day: Date,
    pub shown: Distance,
    pub why: Why,
}

/// Why a reading does not count.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Why {
    #[error("It runs backwards: {before} stood there on {}. {}", said_day(*.day), hint(*.perhaps))]
    Backwards { before: Distance, day: Date, perhaps: Option<Digits> },
    #[error("Since {} it would have run {} km a day, and no car does: a digit too many, the wrong unit, or another clock?", said_day(*.day), grouped(per_day.round()))]
    TooFar { day: Date, per_day: Decimal },
    #[error("You said that it was misread, so it is left out.")]
    Misread,
    #[error("What was said of it does not fit: {0}")]
    DoesNotFit(String),
}

fn hint(perhaps: Option<Digits>) -> String {
    match perhaps {
        Some(digits) => format!("Perhaps the clock rolled over: has it {}?", digits.label()),
        None => "Say what happened: another clock, the other unit, or one of the two misread?".to_owned(),
    }
}

/// Further on average than this between two readings is taken for a slip. Common practice, no source.
const MOST_A_DAY: Decimal = Decimal::from_parts(2000, 0, 0, false, 0);

/// All readings of a car, in the order of time.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct History {
    used: Vec<Used>,
    aside: Vec<Aside>,
}

impl History {
    /// Readings in any order. On one day those that need no word come first, by what they show; then the others as given.
    pub fn of(mut readings: Vec<Reading>) -> History {
        let by_size = |reading: &Reading| match reading.word {
            None => (false, reading.shown.kilometres()),
            Some(_) => (true, Decimal::ZERO),
        };
        readings.sort_by(|one, other| one.day.cmp(&other.day).then_with(|| by_size(one).cmp(&by_size(other))));
        let mut history = History::default();
        for reading in readings {
            history.take(reading);
        }
        history
    }

    fn take(&mut self, reading: Reading) {
        let Reading { key, day, shown, word } = reading;
        let shown = if word == Some(Word::OtherUnit) { shown.in_other_unit() } else { shown };
        match self.step(day, shown, word) {
            Ok(step) => {
                let run = self.used.last().map_or(Between::NOTHING, |before| before.run.plus(step));
                self.used.push(Used { key, day, shown, step, run });
            }
            Err(why) => self.aside.push(Aside { key, day, shown, why }),
        }
    }

    /// What was run since the last reading that counts.
    fn step(&self, day: Date, shown: Distance, word: Option<Word>) -> Result<Between, Why> {
        if word == Some(Word::Misread) {
            return Err(Why::Misread);
        }
        let Some(before) = self.used.last() else { return Ok(Between::NOTHING) };
        let step = match word {
            None | Some(Word::OtherUnit) => counted_on(before, shown),
            Some(Word::RolledOver(digits)) => rolled_over(before, shown, digits),
            Some(Word::Replaced { old_end, new_start }) => replaced(before, shown, old_end, new_start),
            Some(Word::Stood(between)) => stood(before, shown, between),
            Some(Word::Misread) => Err(Why::Misread),
        }?;
        let per_day = step.low / Decimal::from((day.number() - before.day.number()).max(1));
        if per_day > MOST_A_DAY {
            return Err(Why::TooFar { day: before.day, per_day });
        }
        Ok(step)
    }

    /// Those that count, the oldest first.
    pub fn used(&self) -> &[Used] {
        &self.used
    }

    /// Those that do not count, the oldest first.
    pub fn aside(&self) -> &[Aside] {
        &self.aside
    }

    pub fn last(&self) -> Option<&Used> {
        self.used.last()
    }

    /// What was run from a reading that counts to the last one. Nothing where it does not count.
    pub fn since_reading(&self, key: &str) -> Option<Between> {
        let at = self.used.iter().position(|used| used.key == key)?;
        Some(self.sum(at + 1))
    }

    /// What was run from a day to the last reading: a range where the clock was not read on that day. Before the first
    /// reading nobody knows; after the last one it is nothing that anybody saw.
    pub fn since_day(&self, day: Date) -> Between {
        let before = self.used.partition_point(|used| used.day < day);
        let through = self.used.partition_point(|used| used.day <= day);
        match (before, through) {
            (0, 0) => Between { low: self.sum(1).low, high: None },
            // Between two readings, or after the last.
            (before, through) if before == through => {
                Between { low: self.sum(before + 1).low, high: self.sum(before).high }
            }
            (first, after) => Between { low: self.sum(after).low, high: self.sum(first + 1).high },
        }
    }

    /// Where between the ends of [`History::since_day`] it most likely is: as if the car ran evenly between two readings.
    pub fn likely_since_day(&self, day: Date) -> Option<Decimal> {
        let Between { low, high } = self.since_day(day);
        let before = self.used.partition_point(|used| used.day <= day);
        let (Some(earlier), Some(later)) =
            (before.checked_sub(1).and_then(|at| self.used.get(at)), self.used.get(before))
        else {
            return high.map(|high| (low + high) / Decimal::TWO);
        };
        let all = Decimal::from(later.day.number() - earlier.day.number());
        let share = Decimal::from(later.day.number() - day.number()) / all;
        high.map(|high| low + (high - low) * share)
    }

    /// The steps from one on, together.
    fn sum(&self, from: usize) -> Between {
        self.used.iter().skip(from).fold(Between::NOTHING, |sum, used| sum.plus(used.step))
    }
}

fn counted_on(before: &Used, shown: Distance) -> Result<Between, Why> {
    let step = shown.kilometres() - before.shown.kilometres();
    if step.is_sign_negative() && !step.is_zero() {
        return Err(Why::Backwards { before: before.shown, day: before.day, perhaps: perhaps_rolled(before, shown) });
    }
    Ok(Between::exactly(step))
}

/// From the last tenth of a clock's turn to its first: it may have gone through nought.
fn perhaps_rolled(before: &Used, shown: Distance) -> Option<Digits> {
    let same = before.shown.unit() == shown.unit();
    Digits::ALL.iter().copied().find(|digits| {
        let tenth = digits.turn() / Decimal::TEN;
        let was = before.shown.number();
        same && was < digits.turn() && was >= digits.turn() - tenth && shown.number() < tenth
    })
}

fn rolled_over(before: &Used, shown: Distance, digits: Digits) -> Result<Between, Why> {
    let was = before.shown;
    if was.unit() != shown.unit() {
        let say = format!(
            "it counts {}, and {was} stood there on {}: a clock keeps its unit.",
            shown.unit(),
            said_day(before.day)
        );
        return Err(Why::DoesNotFit(say));
    }
    if let Some(too_large) = [was, shown].into_iter().find(|reading| reading.number() >= digits.turn()) {
        let say = format!("a clock of {} cannot have shown {too_large}.", digits.label());
        return Err(Why::DoesNotFit(say));
    }
    let through = digits.turn() - was.number() + shown.number();
    Ok(Between::exactly(shown.unit().kilometres(through)))
}

fn replaced(before: &Used, shown: Distance, old_end: Option<Distance>, start: Distance) -> Result<Between, Why> {
    let on_new = shown.kilometres() - start.kilometres();
    if on_new < Decimal::ZERO {
        return Err(Why::DoesNotFit(format!("the new clock began at {start}, and this is less.")));
    }
    let Some(old_end) = old_end else { return Ok(Between { low: on_new, high: None }) };
    let on_old = old_end.kilometres() - before.shown.kilometres();
    if on_old < Decimal::ZERO {
        let say = format!("the old clock ended at {old_end}, but showed {} on {}.", before.shown, said_day(before.day));
        return Err(Why::DoesNotFit(say));
    }
    Ok(Between::exactly(on_old + on_new))
}

fn stood(before: &Used, shown: Distance, between: Option<(Distance, Distance)>) -> Result<Between, Why> {
    let Between { low: counted, .. } = counted_on(before, shown)?;
    let Some((low, high)) = between else { return Ok(Between { low: counted, high: None }) };
    if high.kilometres() < low.kilometres() {
        return Err(Why::DoesNotFit(format!("{high} is less than {low}: the smaller one first.")));
    }
    Ok(Between { low: counted + low.kilometres(), high: Some(counted + high.kilometres()) })
}
