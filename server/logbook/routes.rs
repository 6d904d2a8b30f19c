//! The logbook at the desk: read, found by words, and written on by hand.

use super::book::{self, Asked};
use super::evening::evening_of;
use super::store::things_of_car;
use super::views::{LogbookPage, OdometerForm, TextForm, Told, WrittenView};
use super::words::Context;
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::clock::Clock;
use crate::db::ReadDb;
use crate::error::AppError;
use crate::ids::{CarId, CardId};
use crate::jobs::store as jobs;
use crate::photos::store as photos;
use crate::readings::series::words_of;
use crate::readings::store as readings;
use crate::specs::store as specs;
use crate::sync::apply::do_now;
use crate::sync::wire::{Act, Subject};
use crate::web::extract::{Form, Path, Query};
use crate::web::page::{Page, Place, show, show_again};
use crate::work::form::{NO_WEIGHT, Typed};
use crate::work::store as work;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

#[derive(Debug, Default, Deserialize)]
pub struct Question {
    #[serde(default)]
    find: String,
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
            find: self.find.trim().to_owned(),
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

/// `GET /cars/{car}/logbook`
pub async fn logbook(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Query(question): Query<Question>,
) -> Result<Response, AppError> {
    show(&read_page(&state.read, &state.clock, page, car, &question.read()?, WrittenView::default()).await?)
}

async fn read_page(
    db: &ReadDb,
    clock: &Clock,
    page: Page,
    car: CarId,
    asked: &Asked,
    written: WrittenView,
) -> Result<LogbookPage, AppError> {
    let mut conn = db.conn().await?;
    let known = cars::get(&mut conn, car).await?;
    let cards = jobs::cards_of_car(&mut conn, car).await?;
    let things = things_of_car(&mut conn, car).await?;
    let ops = work::done_on_car(&mut conn, car).await?;
    let pictures = photos::complete(&mut conn).await?;
    let specs = specs::of_car(&mut conn, car).await?;
    let limits = readings::of_car(&mut conn, car, &specs).await?;
    let context = Context::new(&ops, &things, &pictures).judged(words_of(&ops, &limits));
    let book = book::open(&context, &ops, asked);
    let told = Told { car, book, asked, things: &things, cards: &cards, today: evening_of(clock.now()) };
    Ok(LogbookPage::new(page.at_desk(car, &known.name, Place::Logbook), told, written))
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
    show_again(&read_page(&state.read, &state.clock, page, car, &Asked::default(), again).await?)
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
