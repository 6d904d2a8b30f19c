//! The tool chest and its wrenches, and which of them a spec wants.

use super::adapter::AdapterForm;
use super::form::WrenchForm;
use super::model::day_of;
use super::store;
use super::tools::form::SetForm;
use super::tools::store as tools;
use super::views::{ChestPage, WhichPage, WrenchPage};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::error::AppError;
use crate::ids::{CarId, SpecId, WrenchId};
use crate::specs::from_car::FromCar;
use crate::specs::routes::frame;
use crate::specs::store as specs;
use crate::trade::spec::Kind;
use crate::web::extract::{Form, Path, Query};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, show, show_again};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};

pub(super) fn to_chest(from: FromCar) -> Response {
    Redirect::to(&format!("/chest{}", from.tail())).into_response()
}

/// `GET /chest`
pub async fn chest(
    State(state): State<ReaderState>,
    page: Page,
    Query(from): Query<FromCar>,
) -> Result<Response, AppError> {
    show(&chest_page(&state, page, from, SetForm::default(), Slips::default()).await?)
}

/// The chest, with what was typed of a whole set and what is wrong with it.
pub(super) async fn chest_page(
    state: &ReaderState,
    page: Page,
    from: FromCar,
    set: SetForm,
    slips: Slips,
) -> Result<ChestPage, AppError> {
    let page = from.frame(&state.read, page).await?;
    let mut conn = state.read.conn().await?;
    let wrenches = store::all(&mut conn).await?;
    let tools = tools::all(&mut conn).await?;
    Ok(ChestPage::new(page, from, &wrenches, &tools, day_of(state.clock.now())?).with_set(set, slips))
}

/// `GET /chest/new`
pub async fn new(
    State(state): State<ReaderState>,
    page: Page,
    Query(from): Query<FromCar>,
) -> Result<Response, AppError> {
    let page = from.frame(&state.read, page).await?;
    show(&WrenchPage::new(page, from, None, WrenchForm::default(), Slips::default()))
}

/// `POST /chest`
pub async fn add(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Query(from): Query<FromCar>,
    Form(typed): Form<WrenchForm>,
) -> Result<Response, AppError> {
    let page = from.frame(&state.read, page).await?;
    let mut slips = Slips::default();
    let Some(facts) = typed.read(&mut slips) else {
        return show_again(&WrenchPage::new(page, from, None, typed, slips));
    };
    let mut tx = state.write.begin(&owner).await?;
    store::add(&mut tx, WrenchId::new(), &facts).await?;
    tx.commit().await?;
    Ok(to_chest(from))
}

/// `GET /chest/{wrench}`
pub async fn wrench(
    State(state): State<ReaderState>,
    page: Page,
    Path(wrench): Path<WrenchId>,
    Query(from): Query<FromCar>,
) -> Result<Response, AppError> {
    let page = from.frame(&state.read, page).await?;
    let kept = store::get(&mut *state.read.conn().await?, wrench).await?;
    show(&WrenchPage::new(page, from, Some(&kept), WrenchForm::of(&kept), Slips::default()))
}

/// `POST /chest/{wrench}`
pub async fn change(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(wrench): Path<WrenchId>,
    Query(from): Query<FromCar>,
    Form(typed): Form<WrenchForm>,
) -> Result<Response, AppError> {
    let page = from.frame(&state.read, page).await?;
    let mut tx = state.write.begin(&owner).await?;
    let kept = store::get(&mut tx, wrench).await?;
    let mut slips = Slips::default();
    let Some(facts) = typed.read(&mut slips) else {
        return show_again(&WrenchPage::new(page, from, Some(&kept), typed, slips));
    };
    if typed.rev != kept.rev {
        return show_collision(&WrenchPage::collided(page, from, &kept, typed));
    }
    store::change(&mut tx, wrench, typed.rev, &facts).await?;
    tx.commit().await?;
    Ok(to_chest(from))
}

/// `POST /chest/{wrench}/remove`
pub async fn remove(
    State(state): State<OwnerState>,
    owner: Owner,
    Path(wrench): Path<WrenchId>,
    Query(from): Query<FromCar>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    store::remove(&mut tx, wrench, state.clock.now()).await?;
    tx.commit().await?;
    Ok(to_chest(from))
}

/// `GET /cars/{car}/specs/{spec}/wrench`: which wrench, and what an adapter changes.
pub async fn which(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, spec)): Path<(CarId, SpecId)>,
    Query(asked): Query<AdapterForm>,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let spec = specs::get(&mut conn, car, spec).await?;
    if spec.facts.kind != Kind::Torque {
        return Err(AppError::NotFound("torque to set"));
    }
    let kept = store::all(&mut conn).await?;
    let shown = WhichPage::new(page, &spec, &kept, asked, day_of(state.clock.now())?);
    if shown.has_slips() { show_again(&shown) } else { show(&shown) }
}
