//! HTTP of what is asked of a plan: its dates, and what tonight is good for.

use super::dates::DatesPage;
use super::standing::{Standing, beside};
use super::told;
use super::tonight::{Asked, TonightPage};
use crate::app::ReaderState;
use crate::error::AppError;
use crate::ids::CarId;
use crate::web::extract::{Path, Query};
use crate::web::page::{Page, show, show_again};
use axum::extract::State;
use axum::response::Response;

/// `GET /cars/{car}/plan/dates`
pub async fn dates(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let standing = Standing::of(&state, car).await?;
    show(&beside(move || DatesPage::of(page, &standing)).await?)
}

/// `GET /cars/{car}/plan/tonight?minutes=…&helper=…&wanted=…`
pub async fn tonight(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Query(asked): Query<Asked>,
) -> Result<Response, AppError> {
    let now = told::read(&state, car).await?;
    let page = beside(move || TonightPage::of(page, &now, asked)).await?;
    if page.slips.is_empty() { show(&page) } else { show_again(&page) }
}
