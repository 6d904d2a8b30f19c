//! Work recorded at the desk.

use crate::access::Owner;
use crate::app::OwnerState;
use crate::error::AppError;
use crate::ids::{CarId, CardId, StepId};
use crate::jobs::store as jobs;
use crate::sync::apply::do_now;
use crate::sync::wire::{Act, Subject, Tick, TickBody};
use crate::web::extract::{Form, Path};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TickForm {
    state: Tick,
}

/// `POST /cars/{car}/cards/{card}/steps/{step}/tick`: done, skipped, or open again.
pub async fn tick(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, card, step)): Path<(CarId, CardId, StepId)>,
    Form(typed): Form<TickForm>,
) -> Result<Response, AppError> {
    {
        let mut conn = state.read.conn().await?;
        jobs::card(&mut conn, car, card).await?;
        jobs::step(&mut conn, card, step).await?;
    }
    let act = Act::Tick(TickBody { state: typed.state });
    do_now(&state, &owner, car, Some(card), Subject::Step(step), act).await?;
    Ok(Redirect::to(&format!("/cars/{car}/cards/{card}#step-{step}")).into_response())
}
