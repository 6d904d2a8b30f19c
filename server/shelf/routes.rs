//! The buy list and its parts.

use super::form::PartForm;
use super::store::{self, Moved, Part};
use super::views::{BuyListPage, PartPage, Told};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::clock::Clock;
use crate::db::ReadDb;
use crate::error::AppError;
use crate::ids::{CarId, PartId};
use crate::web::extract::{Form, Path};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, show, show_again};
use crate::work::model::CarState;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::civil::Date;

/// The currency of a first price, where none was used before.
const CURRENCY: &str = "EUR";

/// What stands around every part of a car.
struct Shelf {
    car: CarId,
    called: String,
    state: CarState,
    moves: Vec<Moved>,
    today: Date,
}

impl Shelf {
    async fn read(db: &ReadDb, clock: &Clock, car: CarId) -> Result<Shelf, AppError> {
        let mut conn = db.conn().await?;
        let known = cars::get(&mut conn, car).await?;
        let state = CarState::read(&mut conn, car).await?;
        let moves = store::moved_on_car(&mut conn, car).await?;
        Ok(Shelf { car, called: known.name, state, moves, today: clock.now().local().date() })
    }

    fn told(&self) -> Told<'_> {
        let Shelf { car, called, state, moves, today } = self;
        Told { car: *car, called, state, moves, today: *today }
    }

    fn part(&self, part: PartId) -> Result<&Part, AppError> {
        self.state.parts.iter().find(|known| known.id == part).ok_or(AppError::NotFound("such part"))
    }

    fn currency(&self) -> &str {
        let used = self.state.parts.iter().rev().map(|part| part.facts.currency.as_str());
        used.into_iter().find(|currency| !currency.is_empty()).unwrap_or(CURRENCY)
    }
}

fn to_list(car: CarId) -> Response {
    Redirect::to(&format!("/cars/{car}/buy-list")).into_response()
}

/// `GET /cars/{car}/buy-list`
pub async fn list(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    show(&BuyListPage::new(page, &shelf.told()))
}

/// `GET /cars/{car}/parts/new`
pub async fn new(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let form = PartForm::blank(shelf.currency());
    show(&PartPage::new(page, &shelf.told(), None, form, Slips::default()))
}

/// `POST /cars/{car}/parts`
pub async fn add(
    State(state): State<OwnerState>,
    page: Page,
    owner: Owner,
    Path(car): Path<CarId>,
    Form(form): Form<PartForm>,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let mut slips = Slips::default();
    let Some(facts) = form.read(&mut slips) else {
        return show_again(&PartPage::new(page, &shelf.told(), None, form, slips));
    };
    let mut tx = state.write.begin(&owner).await?;
    store::add(&mut tx, car, PartId::new(), &facts).await?;
    tx.commit().await?;
    Ok(to_list(car))
}

/// `GET /cars/{car}/parts/{part}`
pub async fn part(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, part)): Path<(CarId, PartId)>,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let known = shelf.part(part)?;
    show(&PartPage::new(page, &shelf.told(), Some(known), PartForm::of(known), Slips::default()))
}

/// `POST /cars/{car}/parts/{part}`
pub async fn change(
    State(state): State<OwnerState>,
    page: Page,
    owner: Owner,
    Path((car, part)): Path<(CarId, PartId)>,
    Form(form): Form<PartForm>,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let known = shelf.part(part)?;
    let mut slips = Slips::default();
    let Some(facts) = form.read(&mut slips) else {
        return show_again(&PartPage::new(page, &shelf.told(), Some(known), form, slips));
    };
    let mut tx = state.write.begin(&owner).await?;
    match store::change(&mut tx, car, part, form.rev, &facts).await {
        Ok(()) => tx.commit().await?,
        Err(AppError::ChangedMeanwhile) => {
            drop(tx);
            return collision(&state, page, car, part, form).await;
        }
        Err(other) => return Err(other),
    }
    Ok(to_list(car))
}

/// What is there now is read after the change was refused: it may have come in between.
async fn collision(
    state: &OwnerState,
    page: Page,
    car: CarId,
    part: PartId,
    form: PartForm,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let known = shelf.part(part)?;
    show_collision(&PartPage::new(page, &shelf.told(), Some(known), form, Slips::default()))
}

/// `POST /cars/{car}/parts/{part}/remove`: takes it off the list. The logbook still knows it.
pub async fn remove(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, part)): Path<(CarId, PartId)>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    store::get(&mut tx, car, part).await?;
    store::remove(&mut tx, car, part, state.clock.now()).await?;
    tx.commit().await?;
    Ok(to_list(car))
}
