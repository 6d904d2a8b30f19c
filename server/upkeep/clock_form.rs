//! What is typed of the odometer: a reading, and what became of the clock.

use super::form::{past_day, unit};
use super::model::{WordFacts, WordKind};
use crate::trade::calendar::Date;
use crate::trade::upkeep::{Digits, Distance};
use crate::web::form::Slips;
use serde::Deserialize;

const LONGEST_FROM: usize = 120;
const LONGEST_NUMBER: usize = 40;
const LONGEST_NOTE: usize = 300;

/// A reading as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadForm {
    pub day: String,
    pub number: String,
    pub unit: String,
    /// Where an older one stands written.
    #[serde(default)]
    pub from_where: String,
}

/// A reading that can be taken.
pub struct ReadOff {
    pub day: Date,
    pub shown: Distance,
    pub from_where: String,
}

impl ReadForm {
    /// The reading, unless something cannot be taken; the slips say what. One of an earlier day has to say where it stands.
    pub fn read(&self, today: Date, slips: &mut Slips) -> Option<ReadOff> {
        let day = past_day("day", &self.day, today, slips);
        let unit = unit("number", &self.unit, slips);
        let from_where = slips.line("from_where", &self.from_where, LONGEST_FROM);
        let shown = Distance::read(&self.number, unit).map_err(|why| slips.say("number", why.to_string())).ok();
        if day.is_some_and(|day| day < today) && from_where.is_empty() {
            slips.say("from_where", "Say where it stands written, such as an invoice or an inspection slip.");
        }
        let (day, shown) = (day?, shown?);
        slips.is_empty().then_some(ReadOff { day, shown, from_where })
    }
}

/// What is said of a reading, as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WordForm {
    pub reading: String,
    /// A name of [`WordKind`]; empty: nothing any more.
    #[serde(default)]
    pub kind: String,
    #[serde(default)]
    pub digits: String,
    #[serde(default)]
    pub old_end: String,
    #[serde(default)]
    pub old_unit: String,
    #[serde(default)]
    pub new_start: String,
    #[serde(default)]
    pub new_unit: String,
    #[serde(default)]
    pub least: String,
    #[serde(default)]
    pub most: String,
    #[serde(default)]
    pub run_unit: String,
    #[serde(default)]
    pub note: String,
}

impl WordForm {
    pub fn of(reading: &str, word: Option<&WordFacts>) -> WordForm {
        let reading = reading.to_owned();
        let Some(word) = word else { return WordForm { reading, ..WordForm::default() } };
        let empty = WordForm {
            reading,
            kind: word.kind.map_or("", WordKind::name).to_owned(),
            digits: word.digits.clone(),
            note: word.note.clone(),
            ..WordForm::default()
        };
        let (first, second) = (word.first.clone(), word.second.clone());
        let (first_unit, second_unit) = (word.first_unit.clone(), word.second_unit.clone());
        match word.kind {
            Some(WordKind::Replaced) => {
                WordForm { old_end: first, old_unit: first_unit, new_start: second, new_unit: second_unit, ..empty }
            }
            Some(WordKind::Stood) => WordForm { least: first, most: second, run_unit: first_unit, ..empty },
            Some(WordKind::RolledOver | WordKind::OtherUnit | WordKind::Misread) | None => empty,
        }
    }

    /// What was said, unless something cannot be taken; the slips say what. Only what belongs to the choice is kept.
    pub fn read(&self, slips: &mut Slips) -> Option<WordFacts> {
        let kind = WordKind::from_name(&self.kind);
        if kind.is_none() && !self.kind.is_empty() {
            slips.say("kind", "Choose what happened.");
        }
        let note = slips.line("note", &self.note, LONGEST_NOTE);
        let empty = WordFacts {
            reading: self.reading.clone(),
            kind,
            note,
            first_unit: "km".into(),
            second_unit: "km".into(),
            ..WordFacts::default()
        };
        let mut line = |field, typed: &str| slips.line(field, typed, LONGEST_NUMBER);
        let facts = match kind {
            Some(WordKind::RolledOver) => {
                let digits = Digits::from_name(&self.digits).map_or("", Digits::name).to_owned();
                WordFacts { digits, ..empty }
            }
            Some(WordKind::Replaced) => WordFacts {
                first: line("old_end", &self.old_end),
                first_unit: self.old_unit.clone(),
                second: line("new_start", &self.new_start),
                second_unit: self.new_unit.clone(),
                ..empty
            },
            Some(WordKind::Stood) => WordFacts {
                first: line("least", &self.least),
                first_unit: self.run_unit.clone(),
                second: line("most", &self.most),
                second_unit: self.run_unit.clone(),
                ..empty
            },
            Some(WordKind::OtherUnit | WordKind::Misread) | None => empty,
        };
        if let Err(slip) = facts.word() {
            slips.say(field(kind, slip.field), slip.say);
        }
        slips.is_empty().then_some(facts)
    }
}

/// The field of the form behind a column.
fn field(kind: Option<WordKind>, column: &str) -> &'static str {
    match (kind, column) {
        (Some(WordKind::Replaced), "first") => "old_end",
        (Some(WordKind::Replaced), _) => "new_start",
        (Some(WordKind::Stood), "first") => "least",
        (Some(WordKind::Stood), _) => "most",
        (Some(WordKind::RolledOver | WordKind::OtherUnit | WordKind::Misread) | None, _) => "digits",
    }
}
