//! The rotating parts of a car: entered, changed, taken out.

use super::form::PartForm;
use super::routes::list_href;
use super::store;
use super::views::PartPage;
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::db::ReadDb;
use crate::error::AppError;
use crate::ids::{CarId, TurningPartId};
use crate::web::extract::{Form, Path};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, Place, show, show_again};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};

async fn frame(db: &ReadDb, page: Page, car: CarId) -> Result<Page, AppError> {
    let known = cars::get(&mut *db.conn().await?, car).await?;
    Ok(page.at_desk(car, &known.name, Place::Car))
}

/// `GET /cars/{car}/sounds/parts/new`
pub async fn new(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let page = frame(&state.read, page, car).await?;
    show(&PartPage::new(page, car, None, PartForm::default(), Slips::default()))
}

/// `POST /cars/{car}/sounds/parts`
pub async fn add(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(typed): Form<PartForm>,
) -> Result<Response, AppError> {
    let page = frame(&state.read, page, car).await?;
    let mut slips = Slips::default();
    let Some(part) = typed.read(&mut slips) else {
        return show_again(&PartPage::new(page, car, None, typed, slips));
    };
    let mut tx = state.write.begin(&owner).await?;
    store::add_part(&mut tx, car, TurningPartId::new(), &part).await?;
    tx.commit().await?;
    Ok(Redirect::to(&list_href(car)).into_response())
}

/// `GET /cars/{car}/sounds/parts/{part}`
pub async fn edit(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, part)): Path<(CarId, TurningPartId)>,
) -> Result<Response, AppError> {
    let page = frame(&state.read, page, car).await?;
    let parts = store::parts(&mut *state.read.conn().await?, car).await?;
    let kept = parts.iter().find(|kept| kept.id == part).ok_or(AppError::NotFound("such part"))?;
    show(&PartPage::new(page, car, Some(kept), PartForm::of(kept), Slips::default()))
}

/// `POST /cars/{car}/sounds/parts/{part}`
pub async fn change(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, part)): Path<(CarId, TurningPartId)>,
    Form(typed): Form<PartForm>,
) -> Result<Response, AppError> {
    let page = frame(&state.read, page, car).await?;
    let mut tx = state.write.begin(&owner).await?;
    let parts = store::parts(&mut tx, car).await?;
    let kept = parts.iter().find(|kept| kept.id == part).ok_or(AppError::NotFound("such part"))?;
    let mut slips = Slips::default();
    let Some(read) = typed.read(&mut slips) else {
        return show_again(&PartPage::new(page, car, Some(kept), typed, slips));
    };
    if typed.rev != kept.rev {
        return show_collision(&PartPage::collided(page, car, kept, typed));
    }
    store::change_part(&mut tx, car, part, typed.rev, &read).await?;
    tx.commit().await?;
    Ok(Redirect::to(&list_href(car)).into_response())
}

/// `POST /cars/{car}/sounds/parts/{part}/remove`
pub async fn remove(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, part)): Path<(CarId, TurningPartId)>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    store::remove_part(&mut tx, car, part).await?;
    tx.commit().await?;
    Ok(Redirect::to(&list_href(car)).into_response())
}
