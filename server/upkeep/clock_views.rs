//! What the page of the odometer shows.

use super::book::{Book, Told};
use super::chart::Chart;
use super::clock_form::{ReadForm, WordForm};
use super::model::{WordFacts, WordKind};
use super::views::{day_words, units, usage_words};
use crate::ids::CarId;
use crate::trade::upkeep::{Between, Digits, Distance, DistanceUnit, said_day};
use crate::web::form::{Choice, Slips};
use crate::web::page::Page;
use crate::work::whole::WholeCar;
use askama::Template;

/// A reading in the table.
pub struct Row {
    pub when: String,
    pub shown: String,
    pub from_where: String,
    /// What was run since the one before; or why it does not count.
    pub says: String,
    /// The shape: `fine`, `watch` where it was explained, `act` where it does not count.
    pub code: &'static str,
    pub word: &'static str,
    pub explain: String,
}

/// A reading that is being explained.
pub struct Explaining {
    pub when: String,
    pub shown: String,
    pub form: WordForm,
    pub kinds: Vec<Choice>,
    pub digits: Vec<Choice>,
    pub old_units: Vec<Choice>,
    pub new_units: Vec<Choice>,
    pub run_units: Vec<Choice>,
    /// Something was said of it before.
    pub said: bool,
}

#[derive(Template)]
#[template(path = "upkeep/odometer.html")]
pub struct ClockPage {
    page: Page,
    car: CarId,
    now: String,
    usage: String,
    run: String,
    /// The newest first.
    rows: Vec<Row>,
    chart: Option<Chart>,
    reading: ReadForm,
    units: Vec<Choice>,
    explaining: Option<Explaining>,
    slips: Slips,
    today: String,
}

impl ClockPage {
    pub fn new(page: Page, whole: &WholeCar) -> ClockPage {
        let (book, car) = (&whole.upkeep, whole.car.id);
        let unit = book.unit();
        ClockPage {
            page,
            car,
            now: book.history.last().map(|last| last.shown.to_string()).unwrap_or_default(),
            usage: usage_words(&book.usage, unit),
            run: book.history.last().map(|last| run_words(last.run, unit)).unwrap_or_default(),
            rows: book
                .readings
                .iter()
                .rev()
                .filter(|told| !is_said(told, book))
                .map(|told| row(told, whole, unit))
                .collect(),
            chart: Chart::of(book),
            reading: ReadForm { day: book.today.to_string(), unit: unit.name().to_owned(), ..ReadForm::default() },
            units: units(unit.name()),
            explaining: None,
            slips: Slips::default(),
            today: book.today.to_string(),
        }
    }

    pub fn with_reading(self, typed: ReadForm, slips: Slips) -> ClockPage {
        ClockPage { units: units(&typed.unit), reading: typed, slips, ..self }
    }

    pub fn explaining(self, told: &Told, form: WordForm, slips: Slips) -> ClockPage {
        let own = told.shown.unit().name().to_owned();
        let unit = |typed: &str| units(if typed.is_empty() { &own } else { typed });
        let kind = |kind: &WordKind| Choice::new(kind.name(), kind.label(), form.kind == kind.name());
        let digits = |digits: &Digits| Choice::new(digits.name(), digits.label(), form.digits == digits.name());
        let explaining = Explaining {
            when: said_day(told.day),
            shown: told.shown.to_string(),
            kinds: WordKind::ALL.iter().map(kind).collect(),
            digits: Digits::ALL.iter().map(digits).collect(),
            old_units: unit(&form.old_unit),
            new_units: unit(&form.new_unit),
            run_units: unit(&form.run_unit),
            said: told.word.is_some(),
            form,
        };
        ClockPage { explaining: Some(explaining), slips, ..self }
    }
}

/// Whether a reading noted with upkeep says only what another of that day says: once is enough.
fn is_said(told: &Told, book: &Book) -> bool {
    let same = |other: &&Told| other.key != told.key && other.day == told.day && other.shown == told.shown;
    told.with_work && told.word.is_none() && book.readings.iter().filter(same).any(|other| !other.with_work)
}

/// `1 260 km`, `at least 300 km`, `between 500 and 900 km`
pub(super) fn run_words(run: Between, unit: DistanceUnit) -> String {
    match run.high {
        Some(_) if run.is_exact() => unit.say(run.low),
        Some(high) => format!("between {} and {}", unit.say(run.low), unit.say(high)),
        None => format!("at least {}", unit.say(run.low)),
    }
}

fn row(told: &Told, whole: &WholeCar, unit: DistanceUnit) -> Row {
    let (book, car) = (&whole.upkeep, whole.car.id);
    let used = book.history.used().iter().position(|used| used.key == told.key);
    let aside = book.history.aside().iter().find(|aside| aside.key == told.key);
    let said = told.word.as_ref().map(word_words).unwrap_or_default();
    let (says, code, word) = match (used, aside) {
        (Some(0), _) => ("The first: counted from here.".to_owned(), "fine", "counts"),
        (Some(at), _) => {
            let step = run_words(book.history.used()[at].step, unit);
            (format!("{step} since the one before."), if said.is_empty() { "fine" } else { "watch" }, "counts")
        }
        (None, Some(aside)) => (aside.why.to_string(), "act", "does not count"),
        // Every reading is one of the two.
        (None, None) => (String::new(), "unknown", ""),
    };
    Row {
        when: day_words(told.day, book.today),
        shown: told.shown.to_string(),
        from_where: told.from_where.clone(),
        says: format!("{says} {said}").trim_end().to_owned(),
        code,
        word,
        explain: format!("/cars/{car}/upkeep/odometer?explain={}#explain", told.key),
    }
}

fn word_words(word: &WordFacts) -> String {
    let note = if word.note.is_empty() { String::new() } else { format!(" ({})", word.note) };
    let number = |number: &str, unit: &str| {
        let read = DistanceUnit::from_name(unit).and_then(|unit| Distance::read(number, unit).ok());
        read.map_or_else(|| format!("{number} {unit}"), |distance| distance.to_string())
    };
    match word.kind {
        None => String::new(),
        Some(WordKind::RolledOver) => format!("The clock of {} digits rolled over.{note}", word.digits),
        Some(WordKind::Replaced) => {
            let old =
                if word.first.is_empty() { "nobody noted what".into() } else { number(&word.first, &word.first_unit) };
            format!(
                "Another clock: the old one showed {old} last, this one began at {}.{note}",
                number(&word.second, &word.second_unit)
            )
        }
        Some(WordKind::Stood) if word.first.is_empty() => {
            format!("The clock stood still before, and nobody knows for how far.{note}")
        }
        Some(WordKind::Stood) => format!(
            "The clock stood still before, for {} to {}.{note}",
            word.first,
            number(&word.second, &word.second_unit)
        ),
        Some(WordKind::OtherUnit) => format!("Noted in the wrong unit.{note}"),
        Some(WordKind::Misread) => note.trim().to_owned(),
    }
}
