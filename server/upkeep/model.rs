//! What is kept about upkeep, as it was typed.

use crate::ids::{CardId, PaperId, UpkeepItemId};
use crate::trade::calendar::Date;
use crate::trade::spec::SourceKind;
use crate::trade::upkeep::{Digits, Distance, DistanceError, DistanceUnit, Interval, IntervalError, Word};

/// Something that is done again and again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ItemFacts {
    pub what: String,
    /// As typed; empty: by months only.
    pub distance: String,
    pub unit: DistanceUnit,
    /// As typed; empty: by distance only.
    pub months: String,
    pub source: SourceKind,
    pub citation: String,
    pub page: String,
    /// The card that does it.
    pub card: Option<CardId>,
}

impl ItemFacts {
    /// Errors: see [`Interval::read`].
    pub fn interval(&self) -> Result<Interval, IntervalError> {
        Interval::read(&self.distance, self.unit, &self.months)
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    pub id: UpkeepItemId,
    pub facts: ItemFacts,
    pub rev: i64,
}

/// An odometer reading out of a paper.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Paper {
    pub id: PaperId,
    pub day: Date,
    pub shown: Distance,
    pub from_where: String,
}

/// What may be said of a reading, by the name under which it is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WordKind {
    RolledOver,
    Replaced,
    Stood,
    OtherUnit,
    Misread,
}

impl WordKind {
    pub const ALL: [WordKind; 5] =
        [WordKind::RolledOver, WordKind::Replaced, WordKind::Stood, WordKind::OtherUnit, WordKind::Misread];

    pub fn name(self) -> &'static str {
        match self {
            WordKind::RolledOver => "rolled-over",
            WordKind::Replaced => "replaced",
            WordKind::Stood => "stood",
            WordKind::OtherUnit => "other-unit",
            WordKind::Misread => "misread",
        }
    }

    /// As a choice reads.
    pub fn label(self) -> &'static str {
        match self {
            WordKind::RolledOver => "Before it, the clock rolled over through nought",
            WordKind::Replaced => "Before it, another clock was put in",
            WordKind::Stood => "Before it, the clock stood still for a while",
            WordKind::OtherUnit => "The digits are right, but count the other unit",
            WordKind::Misread => "It was misread or mistyped: leave it out",
        }
    }

    pub fn from_name(name: &str) -> Option<WordKind> {
        WordKind::ALL.into_iter().find(|kind| kind.name() == name)
    }
}

/// What was said of a reading, as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct WordFacts {
    /// The id of an operation or a paper.
    pub reading: String,
    /// Nothing: what was said before holds no more.
    pub kind: Option<WordKind>,
    pub digits: String,
    pub first: String,
    pub first_unit: String,
    pub second: String,
    pub second_unit: String,
    pub note: String,
}

/// Why what was said is no word, and at which field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WordSlip {
    pub field: &'static str,
    pub say: String,
}

impl WordFacts {
    /// Nothing where nothing is said. Errors: a number that is none, or one of two left out.
    pub fn word(&self) -> Result<Option<Word>, WordSlip> {
        let Some(kind) = self.kind else { return Ok(None) };
        Ok(Some(match kind {
            WordKind::RolledOver => {
                let none = || WordSlip { field: "digits", say: "Say how many digits the clock has.".into() };
                Word::RolledOver(Digits::from_name(&self.digits).ok_or_else(none)?)
            }
            WordKind::Replaced => {
                let new_start = self.second()?.ok_or_else(|| WordSlip {
                    field: "second",
                    say: "Say what the other clock showed when it was put in; 0 for a new one.".into(),
                })?;
                Word::Replaced { old_end: self.first()?, new_start }
            }
            WordKind::Stood => match (self.first()?, self.second()?) {
                (Some(least), Some(most)) => Word::Stood(Some((least, most))),
                (None, None) => Word::Stood(None),
                (Some(_), None) | (None, Some(_)) => {
                    let say = "Give the least and the most that it ran meanwhile, or leave both empty.".into();
                    return Err(WordSlip { field: "first", say });
                }
            },
            WordKind::OtherUnit => Word::OtherUnit,
            WordKind::Misread => Word::Misread,
        }))
    }

    fn first(&self) -> Result<Option<Distance>, WordSlip> {
        distance("first", &self.first, &self.first_unit)
    }

    fn second(&self) -> Result<Option<Distance>, WordSlip> {
        distance("second", &self.second, &self.second_unit)
    }
}

fn distance(field: &'static str, number: &str, unit: &str) -> Result<Option<Distance>, WordSlip> {
    if number.trim().is_empty() {
        return Ok(None);
    }
    let slip = |say: String| WordSlip { field, say };
    let unit = DistanceUnit::from_name(unit).ok_or_else(|| slip("An odometer counts km or mi.".into()))?;
    Distance::read(number, unit).map(Some).map_err(|why: DistanceError| slip(why.to_string()))
}

/// All that is kept of one car.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Kept {
    pub items: Vec<Item>,
    pub papers: Vec<Paper>,
    /// The latest of each reading, as it holds.
    pub words: Vec<WordFacts>,
    /// Since when the car stands; nothing where it does not.
    pub stands_since: Option<Date>,
}
