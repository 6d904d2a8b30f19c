//! HTTP of a car's money.

use super::form::{LimitsForm, seen};
use super::store;
use super::sums::spending;
use super::views::{MoneyPage, csv_rows};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::db::ReadDb;
use crate::error::AppError;
use crate::ids::CarId;
use crate::shelf::around::Shelf;
use crate::shelf::routes::table;
use crate::shelf::wants::Chosen;
use crate::web::extract::{Form, Path};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, show, show_again};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};

async fn limits(db: &ReadDb, car: CarId) -> Result<store::Limits, AppError> {
    store::of_car(&mut *db.conn().await?, car).await
}

/// `GET /cars/{car}/buy-list/money`
pub async fn money(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let limits = limits(&state.read, car).await?;
    let form = LimitsForm::of(&limits, shelf.currency());
    show(&MoneyPage::new(page, &shelf, &limits, form, Slips::default()))
}

/// `POST /cars/{car}/buy-list/money`: the budget, and what the car is worth to its owner.
pub async fn keep(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(form): Form<LimitsForm>,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let mut slips = Slips::default();
    let Some(typed) = form.read(&mut slips) else {
        let kept = limits(&state.read, car).await?;
        return show_again(&MoneyPage::new(page, &shelf, &kept, form, slips));
    };
    let mut tx = state.write.begin(&owner).await?;
    let now = store::of_car(&mut tx, car).await?;
    if form.seen != seen(&now) {
        drop(tx);
        let form = LimitsForm { seen: seen(&now), ..form };
        return show_collision(&MoneyPage::new(page, &shelf, &now, form, Slips::default()).changed());
    }
    store::keep(&mut tx, car, &typed).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/cars/{car}/buy-list/money")).into_response())
}

/// `GET /cars/{car}/buy-list/money.csv`
pub async fn csv(State(state): State<ReaderState>, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let spending = spending(&shelf.wants(&Chosen::All).items);
    Ok(table("money.csv", csv_rows(&spending)))
}
