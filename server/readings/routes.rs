//! Readings at the desk: all of them, one thing over time, and the limit it is held against.

use super::form::{LimitForm, TakenForm};
use super::model::key_of;
use super::store;
use super::views::{LimitPage, ListPage, ThingPage, href};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::error::AppError;
use crate::ids::CarId;
use crate::sync::apply::do_now;
use crate::sync::wire::Subject;
use crate::web::extract::{Form, Lists, Path, Query};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, Place, show, show_again};
use crate::work::whole::WholeCar;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

fn frame(page: Page, whole: &WholeCar) -> Page {
    page.at_desk(whole.car.id, &whole.car.name, Place::Car)
}

/// What a page about one thing is asked for.
#[derive(Debug, Default, Deserialize)]
pub struct Asked {
    #[serde(default)]
    what: String,
    #[serde(default)]
    rule: String,
}

/// `GET /cars/{car}/readings`
pub async fn list(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    show(&ListPage::new(frame(page, &whole), &whole, TakenForm::default(), Slips::default()))
}

/// `GET /cars/{car}/readings/of?what=…`
pub async fn thing(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Query(asked): Query<Asked>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    if asked.what.trim().is_empty() {
        return Ok(Redirect::to(&format!("/cars/{car}/readings")).into_response());
    }
    let form = TakenForm { what: asked.what, ..TakenForm::default() };
    show(&ThingPage::new(frame(page, &whole), &whole, form, Slips::default()))
}

/// `POST /cars/{car}/readings`: readings taken by hand.
pub async fn add(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Lists(typed): Lists<TakenForm>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    // By its own name: that of a single cylinder or cell is one reading like any other.
    let key = key_of(&typed.what);
    let limit = whole.state.limits.iter().find(|limit| limit.key == key);
    let mut slips = Slips::default();
    let Some(acts) = typed.read(limit, &mut slips) else {
        let page = frame(page, &whole);
        return if typed.what.trim().is_empty() {
            show_again(&ListPage::new(page, &whole, typed, slips))
        } else {
            show_again(&ThingPage::new(page, &whole, typed, slips))
        };
    };
    for act in acts {
        do_now(&state, &owner, car, None, Subject::Car(car), act).await?;
    }
    Ok(Redirect::to(&href(car, typed.what.trim())).into_response())
}

/// `GET /cars/{car}/readings/limit?what=…`: whose limit, and then what it needs to be told.
pub async fn limit(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Query(asked): Query<Asked>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let kept = store::kept_of_car(&mut *state.read.conn().await?, car).await?;
    let kept = kept.iter().find(|kept| key_of(&kept.facts.what) == key_of(&asked.what));
    let known = kept.map(LimitForm::of).filter(|form| asked.rule.is_empty() || form.rule == asked.rule);
    let rev = kept.map_or(0, |kept| kept.rev);
    let fresh = || LimitForm { what: asked.what.clone(), rule: asked.rule.clone(), rev, ..LimitForm::default() };
    let form = known.unwrap_or_else(fresh);
    show(&LimitPage::new(frame(page, &whole), &whole, kept, form, Slips::default()))
}

/// `POST /cars/{car}/readings/limit`
pub async fn keep(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(typed): Form<LimitForm>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let page = frame(page, &whole);
    let mut tx = state.write.begin(&owner).await?;
    let kept = store::kept_of_car(&mut tx, car).await?;
    let kept = kept.iter().find(|kept| key_of(&kept.facts.what) == key_of(&typed.what));
    let mut slips = Slips::default();
    let Some(facts) = typed.read(&whole.state.specs, &mut slips) else {
        return show_again(&LimitPage::new(page, &whole, kept, typed, slips));
    };
    match kept {
        Some(kept) if kept.rev != typed.rev => {
            return show_collision(&LimitPage::collided(page, &whole, kept, typed));
        }
        Some(kept) => store::change(&mut tx, car, kept.rev, &facts).await?,
        None => store::add(&mut tx, car, &facts).await?,
    }
    tx.commit().await?;
    Ok(Redirect::to(&href(car, &facts.what)).into_response())
}

/// What is no longer held against a limit.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NoLimit {
    what: String,
}

/// `POST /cars/{car}/readings/limit/remove`
pub async fn remove(
    State(state): State<OwnerState>,
    owner: Owner,
    Path(car): Path<CarId>,
    Form(typed): Form<NoLimit>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    store::remove(&mut tx, car, &typed.what).await?;
    tx.commit().await?;
    Ok(Redirect::to(&href(car, &typed.what)).into_response())
}
