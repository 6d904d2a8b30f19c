//! The marking reader's one page.

use super::views::{Answer, MarkingForm, MarkingsPage};
use crate::app::ReaderState;
use crate::error::AppError;
use crate::specs::from_car::FromCar;
use crate::web::extract::{Form, Query};
use crate::web::page::{Page, show, show_again};
use axum::extract::State;
use axum::response::Response;

/// `GET /markings`
pub async fn ask(
    State(state): State<ReaderState>,
    page: Page,
    Query(from): Query<FromCar>,
) -> Result<Response, AppError> {
    let page = from.frame(&state.read, page).await?;
    show(&MarkingsPage::new(page, from, Answer::default()))
}

/// `POST /markings`: reads a marking or a measured thread. A reader may: nothing is changed.
pub async fn read(
    State(state): State<ReaderState>,
    page: Page,
    Query(from): Query<FromCar>,
    Form(typed): Form<MarkingForm>,
) -> Result<Response, AppError> {
    let page = from.frame(&state.read, page).await?;
    let read = MarkingsPage::new(page, from, Answer::of(typed));
    if read.has_slips() { show_again(&read) } else { show(&read) }
}
