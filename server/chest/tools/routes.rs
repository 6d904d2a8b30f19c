//! Sockets and keys: put in, changed and taken out.

use super::form::{SetForm, ToolForm};
use super::model::ToolFacts;
use super::store;
use super::views::ToolPage;
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::chest::routes::{chest_page, to_chest};
use crate::error::AppError;
use crate::ids::ToolId;
use crate::specs::from_car::FromCar;
use crate::web::extract::{Form, Path, Query};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, show, show_again};
use axum::extract::State;
use axum::response::Response;

/// `POST /chest/sets`: a whole set in one line.
pub async fn add_set(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Query(from): Query<FromCar>,
    Form(typed): Form<SetForm>,
) -> Result<Response, AppError> {
    let mut slips = Slips::default();
    let tools = typed.read(&mut slips);
    if !slips.is_empty() {
        return show_again(&chest_page(&ReaderState::from(&state), page, from, typed, slips).await?);
    }
    let mut tx = state.write.begin(&owner).await?;
    for tool in &tools {
        store::add(&mut tx, ToolId::new(), &ToolFacts::of(tool)).await?;
    }
    tx.commit().await?;
    Ok(to_chest(from))
}

/// `GET /chest/tools/new`
pub async fn new(
    State(state): State<ReaderState>,
    page: Page,
    Query(from): Query<FromCar>,
) -> Result<Response, AppError> {
    let page = from.frame(&state.read, page).await?;
    show(&ToolPage::new(page, from, None, ToolForm::default(), Slips::default()))
}

/// `POST /chest/tools`
pub async fn add(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Query(from): Query<FromCar>,
    Form(typed): Form<ToolForm>,
) -> Result<Response, AppError> {
    let page = from.frame(&state.read, page).await?;
    let mut slips = Slips::default();
    let Some(facts) = typed.read(&mut slips) else {
        return show_again(&ToolPage::new(page, from, None, typed, slips));
    };
    let mut tx = state.write.begin(&owner).await?;
    store::add(&mut tx, ToolId::new(), &facts).await?;
    tx.commit().await?;
    Ok(to_chest(from))
}

/// `GET /chest/tools/{tool}`
pub async fn tool(
    State(state): State<ReaderState>,
    page: Page,
    Path(tool): Path<ToolId>,
    Query(from): Query<FromCar>,
) -> Result<Response, AppError> {
    let page = from.frame(&state.read, page).await?;
    let kept = store::get(&mut *state.read.conn().await?, tool).await?;
    show(&ToolPage::new(page, from, Some(&kept), ToolForm::of(&kept), Slips::default()))
}

/// `POST /chest/tools/{tool}`
pub async fn change(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(tool): Path<ToolId>,
    Query(from): Query<FromCar>,
    Form(typed): Form<ToolForm>,
) -> Result<Response, AppError> {
    let page = from.frame(&state.read, page).await?;
    let mut tx = state.write.begin(&owner).await?;
    let kept = store::get(&mut tx, tool).await?;
    let mut slips = Slips::default();
    let Some(facts) = typed.read(&mut slips) else {
        return show_again(&ToolPage::new(page, from, Some(&kept), typed, slips));
    };
    if typed.rev != kept.rev {
        return show_collision(&ToolPage::collided(page, from, &kept, typed));
    }
    store::change(&mut tx, tool, typed.rev, &facts).await?;
    tx.commit().await?;
    Ok(to_chest(from))
}

/// `POST /chest/tools/{tool}/remove`
pub async fn remove(
    State(state): State<OwnerState>,
    owner: Owner,
    Path(tool): Path<ToolId>,
    Query(from): Query<FromCar>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    store::remove(&mut tx, tool, state.clock.now()).await?;
    tx.commit().await?;
    Ok(to_chest(from))
}
