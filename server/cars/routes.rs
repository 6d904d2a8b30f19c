//! The garage and the cars' homes.

use super::form::{CarForm, CarSlips, seen};
use super::home;
use super::store::{self, CarFacts};
use super::views::{CarFormPage, GarageCar, GaragePage, HomePage};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::clock::Clock;
use crate::error::AppError;
use crate::ids::CarId;
use crate::web::extract::{Form, Path};
use crate::web::page::{Page, Place, show, show_again};
use crate::work::model::CarState;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::civil::Date;

fn today(clock: &Clock) -> Date {
    clock.now().local().date()
}

/// `GET /`
pub async fn garage(State(state): State<ReaderState>, page: Page) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let mut cars = Vec::new();
    for car in store::all(&mut conn).await? {
        let work = CarState::read(&mut conn, car.id).await?;
        cars.push(GarageCar::new(car, &work, today(&state.clock)));
    }
    show(&GaragePage { page, cars })
}

/// `GET /cars/{car}`
pub async fn home(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let home = home::read(&mut conn, car).await?;
    show(&HomePage::new(page, home, today(&state.clock)))
}

/// `GET /cars/new`
pub async fn new(page: Page) -> Result<Response, AppError> {
    show(&blank(page, CarForm::default(), CarSlips::default()))
}

fn blank(page: Page, form: CarForm, slips: CarSlips) -> CarFormPage {
    CarFormPage { page, car: None, form, slips, changed: false }
}

/// `POST /cars`
pub async fn add(
    State(state): State<OwnerState>,
    page: Page,
    owner: Owner,
    Form(form): Form<CarForm>,
) -> Result<Response, AppError> {
    let facts = match form.read(today(&state.clock)) {
        Ok(facts) => facts,
        Err(slips) => return show_again(&blank(page, form, slips)),
    };
    let car = CarId::new();
    let mut tx = state.write.begin(&owner).await?;
    store::add(&mut tx, car, &facts, false, state.clock.now()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/cars/{car}")).into_response())
}

/// `GET /cars/{car}/edit`
pub async fn edit(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let known = store::get(&mut conn, car).await?;
    let page = page.at_desk(car, &known.name, Place::Car);
    let form = CarForm::of(&known);
    show(&CarFormPage { page, car: Some(car), form, slips: CarSlips::default(), changed: false })
}

/// `POST /cars/{car}/edit`
pub async fn change(
    State(state): State<OwnerState>,
    page: Page,
    owner: Owner,
    Path(car): Path<CarId>,
    Form(form): Form<CarForm>,
) -> Result<Response, AppError> {
    let slips = match form.read(today(&state.clock)) {
        Ok(facts) => match change_unless_changed(&state, &owner, car, &form.seen, &facts).await {
            Ok(()) => return Ok(Redirect::to(&format!("/cars/{car}")).into_response()),
            Err(AppError::ChangedMeanwhile) => CarSlips::default(),
            Err(other) => return Err(other),
        },
        Err(slips) => slips,
    };
    let known = store::get(&mut *state.read.conn().await?, car).await?;
    let changed = form.seen != seen(&known);
    let form = CarForm { seen: seen(&known), ..form };
    let page = page.at_desk(car, &known.name, Place::Car);
    show_again(&CarFormPage { page, car: Some(car), form, slips, changed })
}

/// Errors: the car is no longer what it was when the form was opened.
async fn change_unless_changed(
    state: &OwnerState,
    owner: &Owner,
    car: CarId,
    form_saw: &str,
    facts: &CarFacts,
) -> Result<(), AppError> {
    let mut tx = state.write.begin(owner).await?;
    if seen(&store::get(&mut tx, car).await?) != form_saw {
        return Err(AppError::ChangedMeanwhile);
    }
    store::change(&mut tx, car, facts).await?;
    tx.commit().await
}
