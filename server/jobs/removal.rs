//! Cards and steps taken off the car. Their rows stay: what ticked steps left loose, or closed, stays so in the ledger.

use super::model::{Card, Step};
use super::routes::{frame, to_card};
use super::steps::{card_on_car, step_of, steps_of};
use super::store;
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::error::AppError;
use crate::ids::{CarId, CardId, StepId};
use crate::web::extract::{Form, Path};
use crate::web::page::{Page, show};
use crate::web::words;
use crate::work::model::CarState;
use askama::Template;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

/// Asks before a card is taken away.
#[derive(Template)]
#[template(path = "jobs/remove.html")]
struct RemovePage {
    page: Page,
    car: CarId,
    base: String,
    title: String,
    rev: i64,
    steps: String,
    settled: usize,
    /// What its steps have left open, in words.
    loose_ends: Vec<String>,
}

impl RemovePage {
    fn new(page: Page, card: &Card, on_car: &CarState) -> RemovePage {
        let facts = on_car.card(card.id).map(|state| state.facts).unwrap_or_default();
        RemovePage {
            page,
            car: card.car,
            base: format!("/cars/{}/cards/{}", card.car, card.id),
            title: card.facts.title.clone(),
            rev: card.rev,
            steps: words::count(facts.steps, "step", "steps"),
            settled: facts.settled_steps,
            loose_ends: on_car.left_by(card.id).map(|end| end.words.clone()).collect(),
        }
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RemoveForm {
    rev: i64,
}

/// `GET /cars/{car}/cards/{card}/remove`: asks first, and says what stays.
pub async fn ask(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let (card, on_car) = card_on_car(&mut conn, car, card).await?;
    show(&RemovePage::new(page, &card, &on_car))
}

/// `POST /cars/{car}/cards/{card}/remove`
pub async fn card(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, card)): Path<(CarId, CardId)>,
    Form(RemoveForm { rev }): Form<RemoveForm>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    if store::card(&mut tx, car, card).await?.rev != rev {
        return Err(AppError::ChangedMeanwhile);
    }
    store::remove_card(&mut tx, car, card, state.clock.now()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/cars/{car}")).into_response())
}

/// `POST /cars/{car}/cards/{card}/steps/{step}/remove`
pub async fn step(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, card, step)): Path<(CarId, CardId, StepId)>,
    Form(RemoveForm { rev }): Form<RemoveForm>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let (_, on_car) = card_on_car(&mut tx, car, card).await?;
    if step_of(&on_car, card, step)?.rev != rev {
        return Err(AppError::ChangedMeanwhile);
    }
    store::remove_step(&mut tx, card, step, state.clock.now()).await?;
    tx.commit().await?;
    let next = neighbour(steps_of(&on_car, card), step);
    Ok(to_card(car, card, &next.map(|step| format!("#step-{step}")).unwrap_or_default()))
}

/// The step that takes the place of one that is taken out, else the one before it.
fn neighbour(steps: &[Step], step: StepId) -> Option<StepId> {
    let at = steps.iter().position(|known| known.id == step)?;
    steps.get(at + 1).or_else(|| steps.get(at.checked_sub(1)?)).map(|step| step.id)
}
