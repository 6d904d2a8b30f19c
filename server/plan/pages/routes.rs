//! HTTP of the plan: shown, made again, and what a move would cost.

use super::made::Made;
use super::moving::{self, MovePage};
use super::standing::{Standing, beside};
use super::told;
use super::tonight::for_the_phone;
use super::views::PlanPage;
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::error::AppError;
use crate::ids::{CarId, CardId, EveningId};
use crate::jobs::store as jobs;
use crate::plan::store;
use crate::web::extract::{Form, Path, Query};
use crate::web::page::{Page, show, show_again};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

/// `GET /cars/{car}/plan`
pub async fn plan(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let standing = Standing::of(&state, car).await?;
    show(&beside(move || PlanPage::of(page, &standing)).await?)
}

/// `POST /cars/{car}/plan/again`: plans from what is known now, and keeps it. Shown again where no plan can be made.
pub async fn again(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
) -> Result<Response, AppError> {
    let standing = Standing::fresh(&ReaderState::from(&state), car).await?;
    if standing.made.is_none() {
        return show_again(&PlanPage::of(page, &standing));
    }
    keep(&state, &owner, &standing).await?;
    Ok(Redirect::to(&format!("/cars/{car}/plan")).into_response())
}

/// Keeps the plan of a standing in place of the one before. Nothing to keep: nothing is changed.
async fn keep(state: &OwnerState, owner: &Owner, standing: &Standing) -> Result<(), AppError> {
    let Some(made) = &standing.made else { return Ok(()) };
    let mut made = Made::clone(made);
    let made = beside(move || {
        made.tonight = for_the_phone(&made.known);
        made
    });
    let kept = told::to_keep(&made.await?, &standing.facts)?;
    let mut tx = state.write.begin(owner).await?;
    store::keep_plan(&mut tx, standing.car.id, &kept).await?;
    tx.commit().await
}

/// Where a job might go.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// The evening; empty: it is still to be chosen.
    #[serde(default)]
    to: String,
}

/// `GET /cars/{car}/plan/move/{card}?to=…`: to which evening, and what that costs. Changes nothing.
pub async fn ask(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
    Query(asked): Query<Asked>,
) -> Result<Response, AppError> {
    jobs::card(&mut *state.read.conn().await?, car, card).await?;
    let standing = Standing::fresh(&state, car).await?;
    let to = asked.to.trim().to_owned();
    let effort = state.plans.effort();
    show(&beside(move || MovePage::of(page, &standing, card, &to, effort)).await?)
}

/// `POST /cars/{car}/plan/move/{card}`: keeps a job to an evening, and plans the rest around it.
pub async fn keep_there(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
    Form(asked): Form<Asked>,
) -> Result<Response, AppError> {
    let reader = ReaderState::from(&state);
    jobs::card(&mut *state.read.conn().await?, car, card).await?;
    let standing = Standing::fresh(&reader, car).await?;
    let (to, effort) = (asked.to.trim().to_owned(), state.plans.effort());
    let refused = beside(move || moving::answer(&standing, card, &to, effort).is_err().then_some(standing));
    if let Some(standing) = refused.await? {
        return show_again(&MovePage::of(page, &standing, card, asked.to.trim(), effort));
    }
    let evening: EveningId = asked.to.trim().parse().map_err(|_| AppError::NotFound("such evening"))?;
    let mut tx = state.write.begin(&owner).await?;
    store::evening(&mut tx, car, evening).await?;
    store::pin(&mut tx, card, evening).await?;
    tx.commit().await?;
    keep(&state, &owner, &Standing::fresh(&reader, car).await?).await?;
    Ok(Redirect::to(&format!("/cars/{car}/plan")).into_response())
}

/// `POST /cars/{car}/plan/move/{card}/free`: lets the plan choose the evening of a job again.
pub async fn free(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, card)): Path<(CarId, CardId)>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    jobs::card(&mut tx, car, card).await?;
    store::unpin(&mut tx, card).await?;
    tx.commit().await?;
    keep(&state, &owner, &Standing::fresh(&ReaderState::from(&state), car).await?).await?;
    Ok(Redirect::to(&format!("/cars/{car}/plan")).into_response())
}
