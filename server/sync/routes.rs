//! HTTP of the sync protocol.

use super::apply;
use super::store;
use super::wire::{Changes, Mark, Sent, Verdicts};
use crate::access::{Owner, Reader};
use crate::app::{OwnerState, ReaderState};
use crate::error::AppError;
use crate::ids::CarId;
use crate::web::extract::{Json, Query};
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use serde_json::json;

const MOST_SENT: usize = 100;
const MOST_READ: usize = 500;

/// `GET /sync/hello`
pub async fn hello(State(state): State<ReaderState>, reader: Reader) -> Response {
    axum::Json(json!({
        "underlamp": true, "store": state.store, "now": state.clock.now().0, "device": reader.device(),
    }))
    .into_response()
}

/// `POST /sync/ops`
pub async fn send(State(state): State<OwnerState>, owner: Owner, Json(sent): Json<Sent>) -> Result<Response, AppError> {
    if sent.ops.len() > MOST_SENT {
        return Err(AppError::TooLarge(format!("At most {MOST_SENT} operations are taken at once.")));
    }
    let (store, now) = (state.store, state.clock.now().0);
    let verdicts = apply::batch(state, owner, sent.ops).await?;
    Ok(axum::Json(Verdicts { store, now, verdicts }).into_response())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Since {
    car: CarId,
    since: Option<String>,
}

/// `GET /sync/changes`
pub async fn changes(State(state): State<ReaderState>, Query(asked): Query<Since>) -> Result<Response, AppError> {
    let mark = asked.since.as_deref().map(str::parse::<Mark>).transpose().map_err(|cause| {
        AppError::Invalid("malformed", format!("‘since’ is no mark that was given out here: {cause}."))
    })?;
    let fresh_start = mark.is_some_and(|mark| mark.store != state.store);
    let from = mark.filter(|_| !fresh_start).map_or(0, |mark| mark.seq);
    let mut conn = state.read.conn().await?;
    let most = i64::try_from(MOST_READ + 1).map_err(AppError::internal)?;
    let mut ops = store::since(&mut conn, asked.car, from, most).await?;
    let more = ops.len() > MOST_READ;
    ops.truncate(MOST_READ);
    let seq = ops.last().map_or(from, |op| op.seq);
    let mark = Mark { store: state.store, seq }.to_string();
    let answer = Changes { store: state.store, now: state.clock.now().0, mark, more, fresh_start, ops };
    Ok(axum::Json(answer).into_response())
}

/// `POST /sync/kept`: this device has stored something of ours.
pub async fn kept(State(state): State<OwnerState>, owner: Owner) -> Result<StatusCode, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    crate::access::kept_something(&mut tx, &owner).await?;
    tx.commit().await?;
    Ok(StatusCode::NO_CONTENT)
}
