//! What is stored for the plan, as it is read.

use crate::clock::Moment;
use crate::ids::{CardId, EveningId};
use crate::trade::limits::Day;
use jiff::civil::{Date, DateTime, Time};
use std::collections::{BTreeMap, BTreeSet};

/// Time to work on a car.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EveningFacts {
    pub day: Date,
    /// By the clock on the garage's wall.
    pub starts: Time,
    /// As they pass, from 1 to 1440.
    pub minutes: u32,
    pub helper: bool,
    pub note: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Evening {
    pub id: EveningId,
    pub facts: EveningFacts,
    pub rev: i64,
}

impl EveningFacts {
    pub fn begins(&self) -> DateTime {
        self.day.to_datetime(self.starts)
    }

    /// By the clock on the wall, as if no clock were changed meanwhile: good enough to tell whether two meet, or one is over.
    /// `None` where the calendar ends.
    pub fn ends(&self) -> Option<DateTime> {
        self.begins().checked_add(jiff::Span::new().minutes(self.minutes)).ok()
    }

    /// Whether a person would have to be at both at once. One may begin when the other ends.
    pub fn meets(&self, other: &EveningFacts) -> bool {
        let before = |ends: Option<DateTime>, begins: DateTime| ends.is_none_or(|ends| begins < ends);
        before(self.ends(), other.begins()) && before(other.ends(), self.begins())
    }

    /// Whether nothing of it is left.
    pub fn is_over(&self, now: DateTime) -> bool {
        self.ends().is_some_and(|ends| ends <= now)
    }
}

/// The plan that was kept last.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    pub made_at: Moment,
    /// JSON, as its writer wants it.
    pub plan: String,
    /// JSON of [`super::facts::Facts`].
    pub facts: String,
}

/// What is stored for the plan of one car.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Planning {
    pub put_off: BTreeSet<CardId>,
    /// For a card, those it comes after; of cards that are still there.
    pub after: BTreeMap<CardId, Vec<CardId>>,
    /// In the order in which they come, past ones too.
    pub evenings: Vec<Evening>,
    /// Cards kept to an evening that is still there.
    pub pins: BTreeMap<CardId, EveningId>,
    pub kept: Option<Kept>,
}

impl Planning {
    pub fn evening(&self, id: EveningId) -> Option<&Evening> {
        self.evenings.iter().find(|evening| evening.id == id)
    }

    /// What a card comes after.
    pub fn after(&self, card: CardId) -> &[CardId] {
        self.after.get(&card).map_or(&[], Vec::as_slice)
    }
}

/// A day as the planner counts it: from 1 January 1970.
pub fn day_number(day: Date) -> Day {
    let since = jiff::civil::date(1970, 1, 1).until(day).map(|span| span.get_days());
    Day(since.unwrap_or(0))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn evening(day: &str, starts: &str, minutes: u32) -> EveningFacts {
        let (day, starts) = (day.parse().unwrap(), starts.parse().unwrap());
        EveningFacts { day, starts, minutes, helper: false, note: String::new() }
    }

    #[test]
    fn two_meet_where_one_person_would_be_at_both() {
        let one = evening("2027-03-02", "19:00", 120);
        for (other, meets) in [
            (evening("2027-03-02", "19:00", 120), true),
            (evening("2027-03-02", "20:59", 30), true),
            (evening("2027-03-02", "21:00", 30), false),
            (evening("2027-03-02", "17:00", 120), false),
            (evening("2027-03-03", "19:00", 120), false),
            (evening("2027-03-01", "20:00", 1440), true),
        ] {
            assert_eq!(one.meets(&other), meets, "{other:?}");
            assert_eq!(other.meets(&one), meets, "{other:?}");
        }
    }

    #[test]
    fn days_are_counted_from_1970() {
        // Day numbers as any Unix clock gives them.
        assert_eq!(day_number("1970-01-01".parse().unwrap()), Day(0));
        assert_eq!(day_number("2026-11-25".parse().unwrap()), Day(20_782));
        assert_eq!(day_number("2028-03-01".parse().unwrap()), Day(21_244));
    }
}
