//! HTTP of the road check at the desk.

use super::views::SheetPage;
use crate::app::ReaderState;
use crate::error::AppError;
use crate::ids::CarId;
use crate::web::extract::Path;
use crate::web::page::{Page, show};
use axum::extract::State;
use axum::response::Response;

/// `GET /cars/{car}/road-check`: the list to print and take along.
pub async fn sheet(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let under = state.cars.get(&state.read, car).await?;
    show(&SheetPage::of(page, &under))
}
