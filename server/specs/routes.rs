//! The spec book and its specs: shown, found, added, changed, taken out.

use super::book::{Asked, BookPage};
use super::fit;
use super::form::{NewSpecForm, SaysForm, SpecForm, check_kind};
use super::model::Says;
use super::photo::{Candidates, after_adding};
use super::shown::ShownSpec;
use super::views::{Beside, EditPage, NewPage, SpecPage};
use super::{sources, store};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::error::AppError;
use crate::ids::{CarId, SpecId, SpecValueId};
use crate::web::extract::{Form, Path, Query};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, Place, show, show_again};
use crate::work::model::CarState;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use sqlx::SqliteConnection;

/// The frame of a page in the spec book. Errors where there is no such car.
pub(crate) async fn frame(conn: &mut SqliteConnection, page: Page, car: CarId) -> Result<Page, AppError> {
    let known = cars::get(conn, car).await?;
    Ok(page.at_desk(car, &known.name, Place::SpecBook))
}

/// `GET /cars/{car}/specs`: the book, all of it or what was asked for.
pub async fn book(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Query(asked): Query<Asked>,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let on_car = CarState::read(&mut conn, car).await?;
    show(&BookPage::new(page, car, &on_car, asked)?)
}

/// `GET /cars/{car}/specs/new`
pub async fn new(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let candidates = Candidates::read(&mut conn, car).await?;
    show(&NewPage::new(page, car, SpecForm::default(), SaysForm::default(), Slips::default(), &candidates))
}

/// `POST /cars/{car}/specs`: adds a spec with its first source.
pub async fn add(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(typed): Form<NewSpecForm>,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let candidates = Candidates::read(&mut conn, car).await?;
    drop(conn);
    let (form, says) = typed.split();
    if form.is_only_looked_at() {
        let fits = fit::of_typed(&form, &says);
        return show(&NewPage::new(page, car, form, says, Slips::default(), &candidates).judged(fits));
    }
    let mut slips = Slips::default();
    let facts = form.read(&mut slips);
    let first = candidates.facts(&says, form.kind(), &mut slips);
    let (Some(facts), Some(first)) = (facts, first) else {
        return show_again(&NewPage::new(page, car, form, says, slips, &candidates));
    };
    let id = SpecId::new();
    let first = Says { id: SpecValueId::new(), facts: first, settled: false };
    let mut tx = state.write.begin(&owner).await?;
    store::add(&mut tx, car, id, &facts).await?;
    store::add_says(&mut tx, id, &first, state.clock.now()).await?;
    tx.commit().await?;
    Ok(after_adding(&says, (car, id, first.id)))
}

/// Where a change to a spec leads: its page.
pub(super) fn to_spec(car: CarId, spec: SpecId) -> Response {
    Redirect::to(&format!("/cars/{car}/specs/{spec}")).into_response()
}

/// `GET /cars/{car}/specs/{spec}`
pub async fn spec(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, spec)): Path<(CarId, SpecId)>,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let spec = store::get(&mut conn, car, spec).await?;
    let beside = Beside::read(&mut conn, &state.clock, (car, spec.id)).await?;
    show(&SpecPage::new(page, &spec, &beside, SaysForm::default(), Slips::default()))
}

/// `GET /cars/{car}/specs/{spec}/edit`
pub async fn edit(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, spec)): Path<(CarId, SpecId)>,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let spec = store::get(&mut conn, car, spec).await?;
    show(&EditPage::new(page, &spec, SpecForm::from(&spec), Slips::default(), None))
}

/// `POST /cars/{car}/specs/{spec}/edit`
pub async fn change(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, id)): Path<(CarId, SpecId)>,
    Form(typed): Form<SpecForm>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let page = frame(&mut tx, page, car).await?;
    let spec = store::get(&mut tx, car, id).await?;
    if typed.is_only_looked_at() {
        let shown = ShownSpec::from(&spec);
        let fits = fit::of_forms(&typed, shown.values.iter().map(|value| value.written.as_str()));
        return show(&EditPage::new(page, &spec, typed, Slips::default(), None).judged(fits));
    }
    let mut slips = Slips::default();
    if let Some(kind) = typed.kind() {
        check_kind(&spec, kind, &mut slips);
    }
    let Some(facts) = typed.read(&mut slips) else {
        return show_again(&EditPage::new(page, &spec, typed, slips, None));
    };
    if typed.rev != spec.rev {
        let differs = typed.differing(&spec);
        let again = SpecForm { rev: spec.rev, ..typed };
        return show_collision(&EditPage::new(page, &spec, again, slips, Some(differs)));
    }
    store::change(&mut tx, car, id, typed.rev, &facts).await?;
    tx.commit().await?;
    Ok(to_spec(car, id))
}

/// A deed on something that must not have changed since it was looked at.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Rev {
    pub rev: i64,
}

/// `POST /cars/{car}/specs/{spec}/remove`: takes it out of the book; the logbook still knows it.
pub async fn remove(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, spec)): Path<(CarId, SpecId)>,
    Form(Rev { rev }): Form<Rev>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    sources::claim(&mut tx, car, spec, rev).await?;
    store::remove(&mut tx, car, spec, state.clock.now()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/cars/{car}/specs")).into_response())
}
