//! HTTP of the phone's pages.

use super::doing::{Back, Doing};
use super::pack::{self, Around};
use super::views::{CarPage, CardPage, ChoosePage, LoosePage, NotePage, SpecsPage, Trouble, WaitingPage};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::error::AppError;
use crate::ids::{CarId, CardId};
use crate::jobs::store as jobs;
use crate::sync::store as sync;
use crate::sync::wire::Mark;
use crate::sync::{apply, wire};
use crate::web::extract::{Form, Path, Query};
use crate::web::page::{Page, show, show_again};
use crate::work::whole::WholeCar;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use sqlx::SqliteConnection;
use std::sync::Arc;

async fn car_under(state: &ReaderState, car: CarId) -> Result<Arc<WholeCar>, AppError> {
    state.cars.get(&state.read, car).await
}

/// `GET /under`
pub async fn choose(State(state): State<ReaderState>, page: Page) -> Result<Response, AppError> {
    let cars = cars::all(&mut *state.read.conn().await?).await?;
    show(&ChoosePage::of(page, cars))
}

/// `GET /under/waiting`
pub async fn waiting(State(state): State<ReaderState>, page: Page) -> Result<Response, AppError> {
    let around = around(&mut *state.read.conn().await?).await?;
    show(&WaitingPage::of(page, &around.effects)?)
}

/// `GET /under/{car}`
pub async fn car(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    show(&CarPage::of(page, &*car_under(&state, car).await?)?)
}

/// `GET /under/{car}/cards/{card}`
pub async fn card(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
) -> Result<Response, AppError> {
    show(&CardPage::of(page, &*car_under(&state, car).await?, card, Trouble::default())?)
}

/// `GET /under/{car}/loose`
pub async fn loose(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    show(&LoosePage::of(page, &*car_under(&state, car).await?, Trouble::default())?)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wanted {
    #[serde(default)]
    q: String,
}

/// `GET /under/{car}/specs`
pub async fn specs(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Query(wanted): Query<Wanted>,
) -> Result<Response, AppError> {
    show(&SpecsPage::of(page, &*car_under(&state, car).await?, &wanted.q))
}

/// `GET /under/{car}/note`
pub async fn note(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    show(&NotePage::of(page, &*car_under(&state, car).await?, Trouble::default())?)
}

/// `POST /under/{car}/do`: a form sent without scripts.
pub async fn act(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(form): Form<Doing>,
) -> Result<Response, AppError> {
    match carry_out(&state, &owner, car, &form).await {
        Ok(_) => Ok(Redirect::to(&form.way_back(car)?).into_response()),
        Err(AppError::Invalid(_, say)) => show_form_again(&state, page, car, &form, say).await,
        Err(other) => Err(other),
    }
}

async fn carry_out(state: &OwnerState, owner: &Owner, car: CarId, form: &Doing) -> Result<wire::Verdict, AppError> {
    apply::do_now(state, owner, car, form.card()?, form.subject(car)?, form.act()?).await
}

async fn show_form_again(
    state: &OwnerState,
    page: Page,
    car: CarId,
    form: &Doing,
    say: String,
) -> Result<Response, AppError> {
    let under = state.cars.get(&state.read, car).await?;
    let trouble = form.trouble(say);
    match (form.back, form.card()?) {
        (Back::Card, Some(card)) => show_again(&CardPage::of(page, &under, card, trouble)?),
        (Back::Loose, _) => show_again(&LoosePage::of(page, &under, trouble)?),
        (Back::Card | Back::Note, _) => show_again(&NotePage::of(page, &under, trouble)?),
    }
}

async fn around(conn: &mut SqliteConnection) -> Result<Around, AppError> {
    let cars = cars::all(&mut *conn).await?;
    let mut effects = Vec::new();
    for car in &cars {
        effects.extend(jobs::effects_of_car(&mut *conn, car.id).await?);
    }
    Ok(Around { cars, effects })
}

/// `GET /sync/pack/{car}`
pub async fn pack(State(state): State<ReaderState>, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let seq = sync::latest_seq(&mut conn, car).await?;
    let under = WholeCar::read(&mut conn, car).await?;
    let around = around(&mut conn).await?;
    drop(conn);
    let pictures = pack::pictures(&state.photos, &under.done).await?;
    let mark = Mark { store: state.store, seq };
    Ok(axum::Json(pack::pack(under, around, pictures, mark, state.clock.now().0)?).into_response())
}
