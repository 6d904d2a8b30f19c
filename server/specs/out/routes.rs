//! Taking the spec book out as a file.

use super::{json, table};
use crate::app::ReaderState;
use crate::cars::store as cars;
use crate::error::AppError;
use crate::ids::CarId;
use crate::specs::model::Spec;
use crate::specs::store;
use crate::web::extract::Path;
use axum::extract::State;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};

/// `GET /cars/{car}/specs.csv`
pub async fn csv(State(state): State<ReaderState>, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let table = table::book(&specs(&state, car).await?).map_err(AppError::internal)?;
    Ok(file("text/csv; charset=utf-8; header=present", "attachment; filename=\"spec-book.csv\"", table))
}

/// `GET /cars/{car}/specs.json`
pub async fn json(State(state): State<ReaderState>, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let book = serde_json::to_vec_pretty(&json::book(&specs(&state, car).await?)).map_err(AppError::internal)?;
    Ok(file("application/json", "attachment; filename=\"spec-book.json\"", book))
}

/// The book. Errors where there is no such car.
async fn specs(state: &ReaderState, car: CarId) -> Result<Vec<Spec>, AppError> {
    let mut conn = state.read.conn().await?;
    cars::get(&mut conn, car).await?;
    store::of_car(&mut conn, car).await
}

fn file(kind: &'static str, disposition: &'static str, body: Vec<u8>) -> Response {
    ([(CONTENT_TYPE, kind), (CONTENT_DISPOSITION, disposition)], body).into_response()
}

/// `GET /schemas/spec-book-1.json`: what the JSON may hold (JSON Schema, 2020-12).
pub async fn schema() -> Response {
    const SCHEMA: &str = include_str!("../../../seed/schemas/spec-book-1.json");
    ([(CONTENT_TYPE, "application/schema+json")], SCHEMA).into_response()
}
