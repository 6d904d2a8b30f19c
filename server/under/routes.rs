//! HTTP of the phone's pages.

use super::arrivals::ArrivalsPage;
use super::bolts;
use super::checks::ChecksPage;
use super::doing::{Back, Doing};
use super::guard::{self, GuardPage, GuardView};
use super::loose::LoosePage;
use super::night::NightPage;
use super::pack::{self, Around};
use super::road::RoadPage;
use super::survey::SurveyPage;
use super::tonight;
use super::views::{CarPage, CardPage, ChoosePage, NotePage, SpecsPage, Trouble, WaitingPage};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::chest::model::day_of;
use crate::error::AppError;
use crate::ids::{CarId, CardId, StepId};
use crate::jobs::model::StepEffect;
use crate::jobs::store as jobs;
use crate::road::list::RoadList;
use crate::survey::routes::Walk;
use crate::sync::apply;
use crate::sync::store as sync;
use crate::sync::wire::{Act, Mark, Subject, WentOnBody};
use crate::web::extract::{Form, Json, Path, Query};
use crate::web::page::{Page, show, show_again};
use crate::work::whole::WholeCar;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use sqlx::SqliteConnection;
use std::collections::BTreeSet;
use std::sync::Arc;

async fn car_under(state: &ReaderState, car: CarId) -> Result<Arc<WholeCar>, AppError> {
    state.cars.get(&state.read, car).await
}

/// `GET /under`
pub async fn choose(State(state): State<ReaderState>, page: Page) -> Result<Response, AppError> {
    let cars = cars::all(&mut *state.read.conn().await?).await?;
    show(&ChoosePage::of(page, cars))
}

/// `GET /under/waiting`
pub async fn waiting(State(state): State<ReaderState>, page: Page) -> Result<Response, AppError> {
    show(&WaitingPage::of(page, &effects_of_all(&mut *state.read.conn().await?).await?)?)
}

/// `GET /under/{car}`
pub async fn car(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let walk = Walk::at(&state.surveys, &state.clock).await?;
    show(&CarPage::of(page, &*car_under(&state, car).await?, &walk)?)
}

/// `GET /under/{car}/cards/{card}`
pub async fn card(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
) -> Result<Response, AppError> {
    show(&CardPage::of(page, &*car_under(&state, car).await?, card, Trouble::default())?)
}

/// `GET /under/{car}/loose`
pub async fn loose(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    show(&LoosePage::of(page, &*car_under(&state, car).await?, Trouble::default())?)
}

/// `GET /under/{car}/night`
pub async fn night(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    show(&NightPage::of(page, &*car_under(&state, car).await?, Trouble::default())?)
}

/// `GET /under/{car}/road`
pub async fn road(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    show(&RoadPage::of(page, &*car_under(&state, car).await?, Trouble::default())?)
}

/// `GET /under/{car}/survey`
pub async fn survey(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
) -> Result<Response, AppError> {
    let walk = Walk::at(&state.surveys, &state.clock).await?;
    show(&SurveyPage::of(page, &*car_under(&state, car).await?, &walk)?)
}

/// `GET /under/{car}/arrivals`
pub async fn arrivals(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
) -> Result<Response, AppError> {
    show(&ArrivalsPage::of(page, &*car_under(&state, car).await?, Trouble::default())?)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Wanted {
    #[serde(default)]
    q: String,
}

/// `GET /under/{car}/specs`
pub async fn specs(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Query(wanted): Query<Wanted>,
) -> Result<Response, AppError> {
    show(&SpecsPage::of(page, &*car_under(&state, car).await?, &wanted.q))
}

/// `GET /under/{car}/note`
pub async fn note(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    show(&NotePage::of(page, &*car_under(&state, car).await?, Trouble::default())?)
}

/// `GET /under/{car}/checks`
pub async fn checks(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
) -> Result<Response, AppError> {
    show(&ChecksPage::of(page, &*car_under(&state, car).await?)?)
}

/// `POST /under/{car}/do`: a form sent without scripts.
pub async fn act(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(form): Form<Doing>,
) -> Result<Response, AppError> {
    if let Some(guards) = in_the_way(&state, car, &form).await? {
        let at = (form.card()?.ok_or(AppError::NotFound("such job card"))?, guards.step);
        let page = GuardPage::of(page, &guards.under, at, guards.broken, form.goes_on_anyway());
        return if form.goes_on_anyway() { show_again(&page) } else { show(&page) };
    }
    match carry_out(&state, &owner, car, &form).await {
        Ok(()) => Ok(Redirect::to(&form.way_back(car)?).into_response()),
        Err(AppError::Invalid(_, say)) => show_form_again(&state, page, car, &form, say).await,
        Err(other) => Err(other),
    }
}

/// What stops a tick until a reason is given.
struct InTheWay {
    under: Arc<WholeCar>,
    step: StepId,
    broken: Vec<GuardView>,
}

async fn in_the_way(state: &OwnerState, car: CarId, form: &Doing) -> Result<Option<InTheWay>, AppError> {
    let Some(step) = form.step_done()? else { return Ok(None) };
    if form.goes_on_anyway() && !form.reason().is_empty() {
        return Ok(None);
    }
    let under = state.cars.get(&state.read, car).await?;
    let broken = guard::stopping(&under, step);
    Ok((!broken.is_empty()).then_some(InTheWay { under, step, broken }))
}

async fn carry_out(state: &OwnerState, owner: &Owner, car: CarId, form: &Doing) -> Result<(), AppError> {
    if let Some(step) = form.step_done()? {
        go_on(state, owner, car, form, step).await?;
    }
    let act = match (form.road_item(), form.pressed()?) {
        (Some(item), _) => answer(&*state.cars.get(&state.read, car).await?, form, item)?,
        (None, Some((step, [stage, bolt, tight]))) => {
            bolts::press(&*state.cars.get(&state.read, car).await?, step, stage, bolt, tight)?
        }
        (None, None) => form.act()?,
    };
    apply::do_now(state, owner, car, form.card()?, form.subject(car)?, act).await?;
    Ok(())
}

/// Writes down which guards are gone past, and why, before the tick.
async fn go_on(state: &OwnerState, owner: &Owner, car: CarId, form: &Doing, step: StepId) -> Result<(), AppError> {
    let under = state.cars.get(&state.read, car).await?;
    for guard in guard::stopping(&under, step) {
        let body = WentOnBody { rule: guard.rule.name().to_owned(), say: guard.say, why: form.reason() };
        apply::do_now(state, owner, car, form.card()?, Subject::Step(step), Act::WentOn(body)).await?;
    }
    Ok(())
}

/// An answer of the road check: of something that it asks, while nothing is loose.
fn answer(under: &WholeCar, form: &Doing, item: &str) -> Result<Act, AppError> {
    let invalid = |say: &str| AppError::Invalid("malformed", say.to_owned());
    let list = RoadList::of(under);
    let found = list.item(item).ok_or_else(|| invalid("The road check does not ask that now."))?;
    if !list.blocked_by.is_empty() {
        return Err(invalid("Close the loose ends first: the road check begins when none is open."));
    }
    form.road_answer(&found.say)
}

async fn show_form_again(
    state: &OwnerState,
    page: Page,
    car: CarId,
    form: &Doing,
    say: String,
) -> Result<Response, AppError> {
    let under = state.cars.get(&state.read, car).await?;
    let trouble = form.trouble(say);
    match (form.back, form.card()?) {
        (Back::Card, Some(card)) => show_again(&CardPage::of(page, &under, card, trouble)?),
        (Back::Loose, _) => show_again(&LoosePage::of(page, &under, trouble)?),
        (Back::Road, _) => show_again(&RoadPage::of(page, &under, trouble)?),
        (Back::Night, _) => show_again(&NightPage::of(page, &under, trouble)?),
        (Back::Arrivals, _) => show_again(&ArrivalsPage::of(page, &under, trouble)?),
        (Back::Card | Back::Note, _) => show_again(&NotePage::of(page, &under, trouble)?),
    }
}

async fn effects_of_all(conn: &mut SqliteConnection) -> Result<Vec<StepEffect>, AppError> {
    let mut effects = Vec::new();
    for car in cars::all(&mut *conn).await? {
        effects.extend(jobs::effects_of_car(&mut *conn, car.id).await?);
    }
    Ok(effects)
}

async fn around(state: &ReaderState, car: CarId) -> Result<Around, AppError> {
    let walk = Walk::at(&state.surveys, &state.clock).await?;
    let mut conn = state.read.conn().await?;
    let tonight = tonight::kept(&mut conn, car).await?;
    Ok(Around { walk, cars: cars::all(&mut conn).await?, effects: effects_of_all(&mut conn).await?, tonight })
}

/// `GET /sync/pack/{car}`
pub async fn pack(State(state): State<ReaderState>, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let around = around(&state, car).await?;
    let mut conn = state.read.conn().await?;
    let seq = sync::latest_seq(&mut conn, car).await?;
    let under = WholeCar::read(&mut conn, car, day_of(state.clock.now())?).await?;
    drop(conn);
    let pictures = pack::pictures(&state.photos, &under.done).await?;
    let mark = Mark { store: state.store, seq };
    Ok(axum::Json(pack::pack(under, &around, pictures, mark, state.clock.now().0)?).into_response())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PagesWanted {
    urls: BTreeSet<String>,
}

/// `POST /sync/pack/{car}/pages`
pub async fn bundle(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Json(wanted): Json<PagesWanted>,
) -> Result<Response, AppError> {
    let around = around(&state, car).await?;
    let lines = pack::bundle(&*car_under(&state, car).await?, &around, &page, &wanted.urls)?;
    Ok(([(header::CONTENT_TYPE, "application/x-ndjson")], lines).into_response())
}
