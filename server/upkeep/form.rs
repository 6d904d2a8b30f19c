//! What is typed of an item, and of having done it.

use super::model::{Item, ItemFacts};
use super::offered::NO_SOURCE;
use crate::ids::{CardId, UpkeepItemId};
use crate::sync::wire::{Served, ServicedBody};
use crate::trade::calendar::Date;
use crate::trade::spec::SourceKind;
use crate::trade::upkeep::{Distance, DistanceUnit, Interval, IntervalError, Suggestion};
use crate::web::form::{Differs, Slips, differing};
use serde::Deserialize;

const LONGEST_WHAT: usize = 120;
const LONGEST_NUMBER: usize = 40;
const LONGEST_CITATION: usize = 300;
const LONGEST_PAGE: usize = 60;
const LONGEST_BY: usize = 120;
const LONGEST_NOTE: usize = 1000;

/// A day from a form that is not after today.
pub(super) fn past_day(field: &'static str, typed: &str, today: Date, slips: &mut Slips) -> Option<Date> {
    match Date::parse(typed) {
        Ok(day) if day <= today => Some(day),
        Ok(day) => {
            slips.say(field, format!("{day} is still to come: write the day on which it was."));
            None
        }
        Err(why) => {
            slips.say(field, why.to_string());
            None
        }
    }
}

pub(super) fn unit(field: &'static str, typed: &str, slips: &mut Slips) -> DistanceUnit {
    DistanceUnit::from_name(typed).unwrap_or_else(|| {
        slips.say(field, "An odometer counts km or mi.");
        DistanceUnit::Kilometre
    })
}

/// An item as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ItemForm {
    pub what: String,
    pub distance: String,
    pub unit: String,
    pub months: String,
    #[serde(default)]
    pub source: String,
    pub citation: String,
    pub page: String,
    /// The id of a card; empty: none.
    #[serde(default)]
    pub card: String,
    /// What the item was when the form was opened; nothing for a new one.
    #[serde(default)]
    pub rev: i64,
}

impl ItemForm {
    pub fn of(item: &Item) -> ItemForm {
        let facts = item.facts.clone();
        ItemForm {
            what: facts.what,
            distance: facts.distance,
            unit: facts.unit.name().to_owned(),
            months: facts.months,
            source: facts.source.name().to_owned(),
            citation: facts.citation,
            page: facts.page,
            card: facts.card.map(|card| card.to_string()).unwrap_or_default(),
            rev: item.rev,
        }
    }

    /// A new item, by what is offered where something is.
    pub fn offered(suggestion: Option<&Suggestion>, unit: DistanceUnit) -> ItemForm {
        let empty = ItemForm { unit: unit.name().to_owned(), ..ItemForm::default() };
        let Some(suggestion) = suggestion else { return empty };
        let facts = offered_facts(suggestion, None);
        ItemForm {
            what: facts.what,
            distance: facts.distance,
            unit: facts.unit.name().to_owned(),
            months: facts.months,
            source: facts.source.name().to_owned(),
            citation: facts.citation,
            ..empty
        }
    }

    /// The facts, unless something cannot be taken; the slips say what. `cards` are those of the car.
    pub fn read(&self, cards: &[CardId], slips: &mut Slips) -> Option<ItemFacts> {
        let source = SourceKind::from_name(&self.source);
        let facts = ItemFacts {
            what: slips.needed("what", &self.what, LONGEST_WHAT, "Say what is kept up."),
            distance: slips.line("distance", &self.distance, LONGEST_NUMBER),
            unit: unit("distance", &self.unit, slips),
            months: slips.line("months", &self.months, LONGEST_NUMBER),
            source: source.unwrap_or(SourceKind::Guess),
            citation: slips.line("citation", &self.citation, LONGEST_CITATION),
            page: slips.line("page", &self.page, LONGEST_PAGE),
            card: cards.iter().copied().find(|card| card.to_string() == self.card),
        };
        if let Err(why) = facts.interval()
            && slips.of("distance").is_empty()
            && slips.of("months").is_empty()
        {
            slips.say(self.field_of(&why), why.to_string());
        }
        if source.is_none() {
            slips.say("source", "Say whose word it is; a guess is a source too.");
        }
        if facts.card.is_none() && !self.card.is_empty() {
            slips.say("card", "That card is not on this car.");
        }
        slips.is_empty().then_some(facts)
    }

    /// Where a refusal of the interval is told.
    fn field_of(&self, why: &IntervalError) -> &'static str {
        let distance_is_fine = Interval::read(&self.distance, DistanceUnit::Kilometre, "1").is_ok();
        match why {
            IntervalError::Months(_) | IntervalError::TooLong => "months",
            IntervalError::Zero | IntervalError::Negative if distance_is_fine => "months",
            IntervalError::Neither
            | IntervalError::Zero
            | IntervalError::Negative
            | IntervalError::TooFar
            | IntervalError::Distance(_)
            | IntervalError::Unreadable(_) => "distance",
        }
    }

    /// Where what is there now differs from what was typed.
    pub fn differing(&self, now: &Item) -> Vec<Differs> {
        differing(ItemForm::of(now).fields(), self.fields())
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        let source = SourceKind::from_name(&self.source).map_or("", SourceKind::label);
        vec![
            ("What", self.what.clone()),
            ("Distance", self.distance.clone()),
            ("Unit", self.unit.clone()),
            ("Months", self.months.clone()),
            ("Source", source.to_owned()),
            ("Where it stands", self.citation.clone()),
            ("Page", self.page.clone()),
        ]
    }
}

/// An item as it is offered. Whose word it is says that it is nobody's.
pub fn offered_facts(suggestion: &Suggestion, card: Option<CardId>) -> ItemFacts {
    let distance = suggestion.every.distance();
    ItemFacts {
        what: suggestion.item.clone(),
        distance: distance.map(|distance| distance.number().to_string()).unwrap_or_default(),
        unit: distance.map_or(DistanceUnit::Kilometre, Distance::unit),
        months: suggestion.every.months().map(|months| months.to_string()).unwrap_or_default(),
        source: SourceKind::Guess,
        citation: NO_SOURCE.to_owned(),
        page: String::new(),
        card,
    }
}

/// That it was done, as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DoneForm {
    pub day: String,
    pub number: String,
    pub unit: String,
    pub by: String,
    pub note: String,
}

impl DoneForm {
    /// What was done, unless something cannot be taken; the slips say what.
    pub fn read(&self, item: &Item, today: Date, slips: &mut Slips) -> Option<ServicedBody> {
        let day = past_day("day", &self.day, today, slips);
        let unit = unit("number", &self.unit, slips);
        let number = match self.number.trim() {
            "" => String::new(),
            typed => match Distance::read(typed, unit) {
                Ok(shown) => shown.number().to_string(),
                Err(why) => {
                    slips.say("number", why.to_string());
                    String::new()
                }
            },
        };
        let by = slips.line("by", &self.by, LONGEST_BY);
        let note = slips.text("note", &self.note, LONGEST_NOTE);
        let day = day.filter(|_| slips.is_empty())?;
        Some(served(item.id, &item.facts.what, day, (number, unit), by, note))
    }
}

/// Done on a day.
pub fn served(
    item: UpkeepItemId,
    what: &str,
    day: Date,
    (number, unit): (String, DistanceUnit),
    by: String,
    note: String,
) -> ServicedBody {
    ServicedBody {
        item: item.to_string(),
        say: what.to_owned(),
        day: day.to_string(),
        number,
        unit: unit.name().to_owned(),
        by,
        note,
        state: Served::Done,
    }
}
