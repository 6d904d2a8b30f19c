//! What a car holds, as tables for a spreadsheet. They are to be read and reckoned with; only the export brings a car back.

use crate::app::ReaderState;
use crate::error::AppError;
use crate::ids::{CarId, PartId, SpecId};
use crate::logbook::book::{self, Asked};
use crate::logbook::store::things_of_car;
use crate::logbook::words::{Context, Entry};
use crate::photos::store as photos;
use crate::readings::series::{Taken, Thing, things, words_of};
use crate::shelf::store::Part;
use crate::trade::closed_set::closed_set;
use crate::web::sheet::sheet;
use crate::web::words;
use crate::work::model::{CarState, CardState};
use crate::work::store as work;
use sqlx::SqliteConnection;

closed_set! {
    /// A table of a car. The spec book has its own (`specs::out`).
    pub enum Sheet {
        Cards = "cards", "Job cards: a row for each step, with its tick, tools, parts and specs";
        Parts = "parts", "Parts: numbers, suppliers, prices, where each is";
        Readings = "readings", "Readings: everything that was measured, and how it stands to its limit";
        Logbook = "logbook", "Logbook: everything that was done, found and noted";
    }
}

impl Sheet {
    /// What it is called as a file.
    pub fn file(self) -> String {
        format!("{}.csv", self.name())
    }

    /// The table as bytes of CSV.
    pub async fn of(self, state: &ReaderState, car: CarId) -> Result<Vec<u8>, AppError> {
        let mut conn = state.read.conn().await?;
        crate::cars::store::get(&mut conn, car).await?;
        let rows = match self {
            Sheet::Cards => cards(&mut conn, car).await?,
            Sheet::Parts => parts(&mut conn, car).await?,
            Sheet::Readings => readings(&mut conn, car).await?,
            Sheet::Logbook => logbook(&mut conn, car).await?,
        };
        sheet(rows).map_err(AppError::internal)
    }
}

type Rows = Vec<Vec<String>>;

fn header<const N: usize>(names: [&str; N]) -> Vec<String> {
    names.map(str::to_owned).to_vec()
}

async fn cards(conn: &mut SqliteConnection, car: CarId) -> Result<Rows, AppError> {
    let state = CarState::read(conn, car).await?;
    let mut rows = vec![header([
        "card",
        "system",
        "condition",
        "why",
        "minutes_low",
        "minutes_likely",
        "minutes_high",
        "helper",
        "step",
        "verb",
        "object",
        "words",
        "detail",
        "state",
        "specs",
        "parts",
        "tools",
        "cautions",
    ])];
    for card in &state.cards {
        let own = of_card(card);
        if card.steps.is_empty() {
            rows.push([own.as_slice(), &vec![String::new(); 10]].concat());
        }
        for (index, step) in card.steps.iter().enumerate() {
            let facts = &step.facts;
            let at = &step.attached;
            let of_step = [
                (index + 1).to_string(),
                facts.verb.name().to_owned(),
                facts.object.clone(),
                facts.words.clone(),
                facts.detail.clone(),
                card.tick(step.id).name().to_owned(),
                lines(at.specs.iter().map(|id| spec_name(&state, *id))),
                lines(at.parts.iter().map(|used| format!("{} × {}", used.quantity, part_name(&state, used.part)))),
                at.tools.join("\n"),
                at.cautions.join("\n"),
            ];
            rows.push([own.as_slice(), &of_step].concat());
        }
    }
    Ok(rows)
}

fn of_card(card: &CardState) -> Vec<String> {
    let facts = &card.card.facts;
    let minutes = |of: fn(crate::jobs::model::Minutes) -> i64| facts.minutes.map(of).map(|n| n.to_string());
    vec![
        facts.title.clone(),
        facts.system.name().to_owned(),
        card.condition.to_string(),
        facts.why.clone(),
        minutes(|minutes| minutes.low).unwrap_or_default(),
        minutes(|minutes| minutes.likely).unwrap_or_default(),
        minutes(|minutes| minutes.high).unwrap_or_default(),
        yes_or_no(facts.helper).to_owned(),
    ]
}

fn yes_or_no(is: bool) -> &'static str {
    if is { "yes" } else { "no" }
}

fn lines(all: impl Iterator<Item = String>) -> String {
    all.collect::<Vec<String>>().join("\n")
}

fn spec_name(state: &CarState, id: SpecId) -> String {
    let found = state.specs.iter().find(|spec| spec.id == id);
    found.map_or_else(String::new, |spec| format!("{} {}", spec.facts.item, spec.facts.place).trim().to_owned())
}

fn part_name(state: &CarState, id: PartId) -> &str {
    state.parts.iter().find(|part| part.id == id).map_or("", |part| &part.facts.name)
}

async fn parts(conn: &mut SqliteConnection, car: CarId) -> Result<Rows, AppError> {
    let mut rows =
        vec![header(["part", "number", "supplier", "quantity", "state", "price", "currency", "expected_on", "note"])];
    rows.extend(crate::shelf::store::of_car(conn, car).await?.iter().map(part));
    Ok(rows)
}

fn part(part: &Part) -> Vec<String> {
    let facts = &part.facts;
    vec![
        facts.name.clone(),
        facts.number.clone(),
        facts.supplier.clone(),
        facts.quantity.clone(),
        facts.state.name().to_owned(),
        facts.price_minor.map(|minor| words::money(minor, "")).unwrap_or_default(),
        facts.currency.clone(),
        facts.expected_on.clone().unwrap_or_default(),
        facts.note.clone(),
    ]
}

async fn readings(conn: &mut SqliteConnection, car: CarId) -> Result<Rows, AppError> {
    let done = work::done_on_car(conn, car).await?;
    let specs = crate::specs::store::of_car(conn, car).await?;
    let limits = crate::readings::store::of_car(conn, car, &specs).await?;
    let mut rows =
        vec![header(["measured", "at", "number", "unit", "stands", "because", "corrected", "note", "noted_with"])];
    for thing in things(&done, &limits) {
        rows.extend(thing.taken.iter().map(|taken| reading(&thing, taken)));
    }
    Ok(rows)
}

fn reading(thing: &Thing<'_>, taken: &Taken<'_>) -> Vec<String> {
    let (stands, because) = match &taken.verdict {
        Some(Ok((outcome, says))) => (outcome.label(), says.as_str()),
        Some(Err(says)) => ("not judged", says.as_str()),
        None => ("", ""),
    };
    let name = if taken.body.what.is_empty() { &thing.what } else { &taken.body.what };
    vec![
        name.clone(),
        moment(taken.at),
        taken.body.number.clone(),
        taken.body.unit.clone(),
        stands.to_owned(),
        because.to_owned(),
        yes_or_no(taken.corrected).to_owned(),
        taken.body.note.clone().unwrap_or_default(),
        taken.done.device_name.clone().unwrap_or_default(),
    ]
}

/// ISO 8601, in the garage's time zone.
fn moment(at: crate::clock::Moment) -> String {
    at.local().strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}

async fn logbook(conn: &mut SqliteConnection, car: CarId) -> Result<Rows, AppError> {
    let things = things_of_car(conn, car).await?;
    let done = work::done_on_car(conn, car).await?;
    let pictures = photos::complete(conn).await?;
    let specs = crate::specs::store::of_car(conn, car).await?;
    let limits = crate::readings::store::of_car(conn, car, &specs).await?;
    let context = Context::new(&done, &things, &pictures).judged(words_of(&done, &limits));
    let book = book::open(&context, &done, &Asked { all: true, ..Asked::default() });
    let mut rows = vec![header(["evening", "at", "card", "what", "more", "weight", "photo", "since", "noted_with"])];
    for evening in book.evenings.iter().rev() {
        for group in &evening.groups {
            let card = group.card.and_then(|card| things.get(&card.to_string())).map_or("", |card| &card.name);
            rows.extend(group.entries.iter().map(|entry| noted(evening.day, card, entry)));
        }
    }
    Ok(rows)
}

fn noted(evening: jiff::civil::Date, card: &str, entry: &Entry) -> Vec<String> {
    vec![
        evening.to_string(),
        moment(entry.at),
        card.to_owned(),
        entry.what.clone(),
        entry.more.join("\n"),
        entry.weight.map_or("", |weight| weight.label()).to_owned(),
        entry.picture.as_ref().map(|picture| picture.sha256.clone()).unwrap_or_default(),
        entry.since.clone().unwrap_or_default(),
        entry.who.clone(),
    ]
}
