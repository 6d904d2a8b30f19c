//! What is asked, what counts as fine, and what follows from it.

use crate::trade::calendar::Date;
use crate::trade::cautions::Caution;
use crate::trade::citation::Standing;
use crate::trade::closed_set::closed_set;
use crate::trade::limits::Outcome;
use crate::trade::name_value::Trouble;
use crate::trade::spec::System;
use crate::trade::steps::{Ask, AskKind};
use serde::Serialize;
use std::collections::HashSet;

closed_set! {
    /// How a thing was found.
    pub enum Answer {
        Fine = "fine", "fine";
        Watch = "watch", "keep an eye on it";
        Act = "act", "to be done";
        Unknown = "unknown", "not known";
    }
}

/// A reading held against a limit answers its question.
impl From<Outcome> for Answer {
    fn from(outcome: Outcome) -> Answer {
        match outcome {
            Outcome::Pass => Answer::Fine,
            Outcome::Watch => Answer::Watch,
            Outcome::Fail => Answer::Act,
        }
    }
}

closed_set! {
    /// What is at stake while a thing is left as it is, the gravest first.
    pub enum Stake {
        Safety = "safety", "can hurt somebody";
        RuinsDearer = "ruins-dearer", "ruins something dearer";
        Reliability = "reliability", "can leave it standing";
        Comfort = "comfort", "comfort";
    }
}

closed_set! {
    /// What it means that nobody knows.
    pub enum Unknown {
        /// A service of unknown age: it is done.
        Due = "due", "counts as due";
        /// Something that can be seen: it is looked at.
        Look = "look", "is to be looked at";
    }
}

closed_set! {
    /// A rule of `trade::limits` that a reading of the survey is held against.
    pub enum Limit {
        Tread = "tread", "tread depth";
        Lining = "lining", "linings and pads";
        Disc = "disc", "brake disc";
        PedalTravel = "pedal-travel", "brake pedal travel";
        SteeringPlay = "steering-play", "play at the steering wheel";
        LinkagePlay = "linkage-play", "play at the tread";
        Toe = "toe", "toe";
        WheelRunOut = "wheel-run-out", "wheel run-out";
        BatteryRest = "battery-rest", "battery at rest";
        Compression = "compression", "compression";
    }
}

impl Limit {
    /// What a reading for it must be.
    pub fn kind(self) -> AskKind {
        match self {
            Limit::Tread
            | Limit::Lining
            | Limit::Disc
            | Limit::PedalTravel
            | Limit::SteeringPlay
            | Limit::LinkagePlay
            | Limit::Toe
            | Limit::WheelRunOut => AskKind::Length,
            Limit::BatteryRest => AskKind::Voltage,
            Limit::Compression => AskKind::Pressure,
        }
    }
}

/// Something to read off, and the rule that the reading is held against, where there is one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Reading {
    pub ask: Ask,
    pub limit: Option<Limit>,
}

/// An item of a published inspection, and how far its words were followed back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Cited {
    pub standing: Standing,
    /// Document and clause, such as `49 CFR 570.7(b)`.
    pub item: String,
}

/// When to look again: after a distance, a time, or whichever comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Interval {
    /// Kilometres, from 1 to 100 000.
    pub kilometres: Option<u32>,
    /// Months, from 1 to 120.
    pub months: Option<u32>,
}

/// Why an interval cannot be read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum IntervalError {
    #[error("‘{0}’ is no interval: write it as ‘1000 km, 3 months’, or one of the two.")]
    Unreadable(String),
    #[error("‘{0}’ is out of range: from 1 to 100000 km, or from 1 to 120 months.")]
    Range(String),
    #[error("‘{0}’ says the same thing twice.")]
    Twice(String),
}

impl Interval {
    /// Reads `1000 km, 3 months`. Errors: anything else.
    pub fn parse(text: &str) -> Result<Interval, IntervalError> {
        let mut read = Interval { kilometres: None, months: None };
        for piece in text.split(',') {
            let unreadable = || IntervalError::Unreadable(text.to_owned());
            let (number, unit) = piece.trim().split_once(' ').ok_or_else(unreadable)?;
            let number: u32 = number.parse().map_err(|_| unreadable())?;
            let (place, most) = match unit.trim() {
                "km" => (&mut read.kilometres, 100_000),
                "month" | "months" => (&mut read.months, 120),
                _ => return Err(unreadable()),
            };
            if !(1..=most).contains(&number) {
                return Err(IntervalError::Range(piece.trim().to_owned()));
            }
            if place.replace(number).is_some() {
                return Err(IntervalError::Twice(text.to_owned()));
            }
        }
        Ok(read)
    }
}

/// When something was looked at, and how far the car had run; `None` where nobody read it off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Looked {
    pub on: Date,
    pub kilometres: Option<u32>,
}

impl Interval {
    /// Whether it is to be looked at again by `now`, having been looked at `then`: whichever comes first. An odometer that
    /// nobody read says nothing, and one that went backwards is looked at.
    pub fn is_due(self, then: Looked, now: Looked) -> bool {
        let by_time = self.months.is_some_and(|months| then.on.plus_months(months).is_ok_and(|due| due <= now.on));
        let run = then.kilometres.zip(now.kilometres);
        let by_distance = self
            .kilometres
            .zip(run)
            .is_some_and(|(every, (then, now))| now.checked_sub(then).is_none_or(|run| run >= every));
        by_time || by_distance
    }
}

impl std::fmt::Display for Interval {
    /// `after 1000 km or 3 months, whichever is first`
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let months = |months: u32| if months == 1 { "a month".to_owned() } else { format!("{months} months") };
        match (self.kilometres, self.months) {
            (Some(km), Some(time)) => write!(out, "after {km} km or {}, whichever is first", months(time)),
            (Some(km), None) => write!(out, "after {km} km"),
            (None, Some(time)) => write!(out, "after {}", months(time)),
            (None, None) => out.write_str("the next time you are there"),
        }
    }
}

/// One question of the survey. All its references hold, but for the patterns: see [`Survey::lost_patterns`].
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Question {
    /// Its own name in the survey; never changed, as answers are kept under it.
    pub key: String,
    /// Its line in the text, from 1.
    pub line: usize,
    pub ask: String,
    pub look: String,
    pub fine: String,
    pub watch: String,
    pub act: String,
    pub stake: Stake,
    pub unknown: Unknown,
    pub system: System,
    /// A second person is needed.
    pub helper: bool,
    pub reading: Option<Reading>,
    /// What to take a picture of; empty where none is wanted.
    pub photo: String,
    pub cautions: Vec<Caution>,
    /// Names of patterns, the fittest first.
    pub mends: Vec<String>,
    /// What is ordered for it; empty where nothing is.
    pub part: String,
    /// What is for a workshop or an office; empty where nothing is.
    pub workshop: String,
    pub again: Interval,
    pub items: Vec<Cited>,
    /// Phrases by which a finding in free words is taken for it; each as its words in lower case.
    pub hears: Vec<Vec<String>>,
}

/// A place of the walk, with what is asked there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Area {
    pub key: String,
    pub title: String,
    /// How to stand there, and what to have at hand.
    pub intro: String,
    pub questions: Vec<Question>,
}

/// All areas in walking order, no question named twice.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Survey {
    areas: Vec<Area>,
}

impl Survey {
    /// Areas in walking order. Errors: an area or a question whose name is there twice, each with the area it stands in.
    pub fn new(areas: Vec<Area>) -> Result<Survey, Vec<(String, Trouble)>> {
        let mut troubles = Vec::new();
        let (mut places, mut keys) = (HashSet::new(), HashSet::new());
        for area in &areas {
            if !places.insert(area.key.as_str()) {
                let say = format!("The area ‘{}’ is there twice.", area.key);
                troubles.push((area.key.clone(), Trouble { line: 1, say }));
            }
            for question in area.questions.iter().filter(|question| !keys.insert(question.key.as_str())) {
                let say = format!("The question ‘{}’ is there twice.", question.key);
                troubles.push((area.key.clone(), Trouble { line: question.line, say }));
            }
        }
        if troubles.is_empty() { Ok(Survey { areas }) } else { Err(troubles) }
    }

    pub fn areas(&self) -> &[Area] {
        &self.areas
    }

    /// All questions in walking order.
    pub fn questions(&self) -> impl Iterator<Item = &Question> {
        self.areas.iter().flat_map(|area| &area.questions)
    }

    /// Its place in the walk, from 0, and the question itself.
    pub fn question(&self, key: &str) -> Option<(usize, &Question)> {
        self.questions().enumerate().find(|(_, question)| question.key == key)
    }

    /// Patterns that questions name and the library does not have.
    pub fn lost_patterns<'a>(&'a self, known: impl Fn(&str) -> bool + 'a) -> impl Iterator<Item = Trouble> + 'a {
        let lost = move |question: &'a Question| {
            let missing = question.mends.iter().filter(|name| !known(name));
            let say = |name: &String| format!("‘{}’ names the pattern ‘{name}’, and there is none.", question.key);
            missing.map(|name| Trouble { line: question.line, say: say(name) }).collect::<Vec<_>>()
        };
        self.questions().flat_map(lost)
    }
}
