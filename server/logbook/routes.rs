//! The logbook at the desk: read, found by words, and written on by hand.

use super::book::{self, Asked};
use super::evening::evening_of;
use super::find::{Hit, Sought};
use super::sources::Sources;
use super::views::{LogbookPage, OdometerForm, TextForm, Told, WrittenView};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::clock::Clock;
use crate::db::ReadDb;
use crate::error::AppError;
use crate::ids::{CarId, CardId, OpId};
use crate::jobs::store as jobs;
use crate::sync::apply::do_now;
use crate::sync::wire::{Act, Subject};
use crate::web::extract::{Form, Path, Query};
use crate::web::page::{Page, Place, show, show_again};
use crate::work::form::{NO_WEIGHT, Typed};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use std::collections::HashMap;

#[derive(Debug, Default, Deserialize)]
pub struct Question {
    /// The words looked for.
    #[serde(default)]
    q: String,
    #[serde(default)]
    card: String,
    #[serde(default)]
    page: String,
    #[serde(default)]
    all: String,
}

impl Question {
    /// Errors: a card's id that is none.
    fn read(&self) -> Result<Asked, AppError> {
        let page: usize = self.page.parse().unwrap_or(1);
        Ok(Asked {
            find: self.q.trim().to_owned(),
            only: None,
            card: card(&self.card)?,
            page: page.saturating_sub(1),
            all: self.all == "yes",
        })
    }
}

fn card(text: &str) -> Result<Option<CardId>, AppError> {
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some).map_err(|_| AppError::NotFound("such job card"))
}

/// `GET /cars/{car}/logbook?q=`
pub async fn logbook(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Query(question): Query<Question>,
) -> Result<Response, AppError> {
    let asked = question.read()?;
    let read = Read { db: &state.read, clock: &state.clock, car };
    if asked.find.is_empty() {
        return show(&read.page(page, &asked, WrittenView::default()).await?);
    }
    let indexed = state.indexes.get(&state.read, car).await?;
    let sought = Sought::of(&asked.find);
    let hits = indexed.index.find(&sought).await?;
    let asked = Asked { only: Some(hits.keys().copied().collect()), ..asked };
    let found = Found { sought, hits: &hits, lines: indexed.index.lines };
    show(&read.page_with(page, &asked, &indexed.sources, found, WrittenView::default()).await?)
}

/// What was looked for, and what was found.
struct Found<'a> {
    sought: Sought,
    hits: &'a HashMap<OpId, Hit>,
    lines: usize,
}

/// What the page is read from.
struct Read<'a> {
    db: &'a ReadDb,
    clock: &'a Clock,
    car: CarId,
}

impl Read<'_> {
    /// The book where nothing was looked for.
    async fn page(&self, page: Page, asked: &Asked, written: WrittenView) -> Result<LogbookPage, AppError> {
        let sources = Sources::read(&mut *self.db.conn().await?, self.car).await?;
        let nothing = Found { sought: Sought::default(), hits: &HashMap::new(), lines: 0 };
        self.page_with(page, asked, &sources, nothing, written).await
    }

    async fn page_with(
        &self,
        page: Page,
        asked: &Asked,
        sources: &Sources,
        found: Found<'_>,
        written: WrittenView,
    ) -> Result<LogbookPage, AppError> {
        let mut conn = self.db.conn().await?;
        let known = cars::get(&mut conn, self.car).await?;
        let cards = jobs::cards_of_car(&mut conn, self.car).await?;
        let book = book::open(&sources.context(), &sources.ops, asked);
        let told = Told {
            car: self.car,
            book,
            asked,
            things: &sources.things,
            cards: &cards,
            today: evening_of(self.clock.now()),
            sought: found.sought,
            hits: found.hits,
            lines: found.lines,
        };
        Ok(LogbookPage::new(page.at_desk(self.car, &known.name, Place::Logbook), told, written))
    }
}

/// What is written at the desk: a note, a finding or the odometer, each from a form of its own.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Written {
    kind: Kind,
    #[serde(default)]
    text: String,
    #[serde(default)]
    place: String,
    #[serde(default)]
    weight: String,
    #[serde(default)]
    card: String,
    #[serde(default)]
    number: String,
    #[serde(default)]
    unit: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Kind {
    Note,
    Finding,
    Odometer,
}

/// `POST /cars/{car}/logbook`
pub async fn write(
    State(state): State<OwnerState>,
    page: Page,
    owner: Owner,
    Path(car): Path<CarId>,
    Form(written): Form<Written>,
) -> Result<Response, AppError> {
    let slip = match record(&state, &owner, car, &written).await {
        Ok(()) => return Ok(Redirect::to(&format!("/cars/{car}/logbook")).into_response()),
        Err(AppError::Invalid(code, say)) => (code, say),
        Err(other) => return Err(other),
    };
    let again = written.again(slip);
    let read = Read { db: &state.read, clock: &state.clock, car };
    show_again(&read.page(page, &Asked::default(), again).await?)
}

async fn record(state: &OwnerState, owner: &Owner, car: CarId, written: &Written) -> Result<(), AppError> {
    let act = written.act()?;
    let card = card(&written.card)?;
    let on = card.map_or(Subject::Car(car), Subject::Card);
    do_now(state, owner, car, card, on, act).await?;
    Ok(())
}

impl Written {
    fn act(&self) -> Result<Act, AppError> {
        let Written { text, place, weight, number, unit, .. } = self;
        match self.kind {
            Kind::Note => Typed::Note { text },
            Kind::Finding => Typed::Finding { text, place, weight },
            Kind::Odometer => Typed::Odometer { number, unit },
        }
        .act()
    }

    /// The forms as they were typed, with what was wrong where it was wrong.
    fn again(self, (code, say): (&'static str, String)) -> WrittenView {
        let (error, weight_error) = if code == NO_WEIGHT { (String::new(), say) } else { (say, String::new()) };
        let mut view = WrittenView::default();
        match self.kind {
            Kind::Odometer => view.odometer = OdometerForm { number: self.number, unit: self.unit, error },
            kind => {
                let form = TextForm {
                    text: self.text,
                    place: self.place,
                    weight: self.weight,
                    card: self.card,
                    error,
                    weight_error,
                };
                if kind == Kind::Note { view.note = form } else { view.finding = form }
            }
        }
        view
    }
}
