//! The steps of a job card: added, changed with all that is attached to them, moved.

use super::model::{Attached, Card, Step, StepFacts};
use super::order::moved;
use super::routes::{MoveForm, frame, to_card};
use super::step_form::{Deed, OnCar, StepForm};
use super::step_views::StepPage;
use super::store;
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{CarId, CardId, StepId};
use crate::sync::wire::Tick;
use crate::web::extract::{Form, Lists, Path, Query};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, show, show_again};
use crate::work::model::CarState;
use axum::extract::State;
use axum::response::Response;
use serde::Deserialize;
use sqlx::SqliteConnection;

/// The card of a car with everything on that car.
pub(super) async fn card_on_car(
    conn: &mut SqliteConnection,
    car: CarId,
    card: CardId,
) -> Result<(Card, CarState), AppError> {
    let known = store::card(conn, car, card).await?;
    Ok((known, CarState::read(conn, car).await?))
}

pub(super) fn steps_of(on_car: &CarState, card: CardId) -> &[Step] {
    on_car.card(card).map_or(&[], |state| state.steps.as_slice())
}

pub(super) fn step_of(on_car: &CarState, card: CardId, step: StepId) -> Result<&Step, AppError> {
    steps_of(on_car, card).iter().find(|known| known.id == step).ok_or(AppError::NotFound("such step"))
}

fn what_is_on(on_car: &CarState) -> OnCar {
    OnCar {
        specs: on_car.specs.iter().map(|spec| spec.id).collect(),
        parts: on_car.parts.iter().map(|part| part.id).collect(),
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct After {
    #[serde(default)]
    after: String,
}

/// `GET /cars/{car}/cards/{card}/steps/new?after=`
pub async fn new(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
    Query(After { after }): Query<After>,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let (card, on_car) = card_on_car(&mut conn, car, card).await?;
    place_after(steps_of(&on_car, card.id), &after)?;
    let form = StepForm { after, ..StepForm::default() };
    show(&StepPage::new(page, &card, &on_car, None, form, Slips::default()))
}

/// The place that a new step takes in the order, from 0: behind the step named, or the end.
fn place_after(steps: &[Step], after: &str) -> Result<usize, AppError> {
    if after.is_empty() {
        return Ok(steps.len());
    }
    let id: StepId = after.parse().map_err(|_| AppError::NotFound("such step"))?;
    let at = steps.iter().position(|step| step.id == id);
    at.map(|at| at + 1).ok_or(AppError::NotFound("such step"))
}

/// `POST /cars/{car}/cards/{card}/steps`
pub async fn add(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
    Lists(typed): Lists<StepForm>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let page = frame(&mut tx, page, car).await?;
    let (card, on_car) = card_on_car(&mut tx, car, card).await?;
    let place = place_after(steps_of(&on_car, card.id), &typed.after)?;
    if typed.deed() != Deed::Save {
        return show(&StepPage::new(page, &card, &on_car, None, typed, Slips::default()));
    }
    let mut slips = Slips::default();
    let Some(read) = typed.read(&what_is_on(&on_car), &mut slips)? else {
        return show_again(&StepPage::new(page, &card, &on_car, None, typed, slips));
    };
    let step = StepId::new();
    put(&mut tx, card.id, step, read, steps_of(&on_car, card.id), place).await?;
    tx.commit().await?;
    Ok(to_card(car, card.id, &format!("#step-{step}")))
}

/// Writes a new step into its place.
async fn put(
    tx: &mut WriteTx,
    card: CardId,
    step: StepId,
    (facts, attached): (StepFacts, Attached),
    steps: &[Step],
    place: usize,
) -> Result<(), AppError> {
    store::add_step(tx, card, step, &facts).await?;
    store::attach(tx, card, step, &attached).await?;
    let mut order: Vec<StepId> = steps.iter().map(|step| step.id).collect();
    order.insert(place, step);
    store::order_steps(tx, card, &order).await
}

/// `GET /cars/{car}/cards/{card}/steps/{step}`
pub async fn edit(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, card, step)): Path<(CarId, CardId, StepId)>,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let (card, on_car) = card_on_car(&mut conn, car, card).await?;
    let step = step_of(&on_car, card.id, step)?;
    show(&StepPage::new(page, &card, &on_car, Some(step), StepForm::from(step), Slips::default()))
}

/// `POST /cars/{car}/cards/{card}/steps/{step}`
pub async fn change(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, card, id)): Path<(CarId, CardId, StepId)>,
    Lists(typed): Lists<StepForm>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let page = frame(&mut tx, page, car).await?;
    let (card, on_car) = card_on_car(&mut tx, car, card).await?;
    let step = step_of(&on_car, card.id, id)?;
    if typed.deed() != Deed::Save {
        return show(&StepPage::new(page, &card, &on_car, Some(step), typed, Slips::default()));
    }
    let mut slips = Slips::default();
    let Some((facts, attached)) = typed.read(&what_is_on(&on_car), &mut slips)? else {
        return show_again(&StepPage::new(page, &card, &on_car, Some(step), typed, slips));
    };
    if typed.rev != step.rev {
        let differs = typed.differing(step);
        let again = StepForm { rev: step.rev, ..typed };
        let page = StepPage::new(page, &card, &on_car, Some(step), again, slips);
        return show_collision(&page.with_collision(differs));
    }
    let is_done = on_car.card(card.id).is_some_and(|state| state.tick(id) == Tick::Done);
    if let Some((field, say)) = rewrites_ledger(step, &facts).filter(|_| is_done) {
        slips.say(field, say);
        return show_again(&StepPage::new(page, &card, &on_car, Some(step), typed, slips));
    }
    store::change_step(&mut tx, card.id, id, typed.rev, &facts).await?;
    store::attach(&mut tx, card.id, id, &attached).await?;
    tx.commit().await?;
    Ok(to_card(car, card.id, &format!("#step-{id}")))
}

/// `POST /cars/{car}/cards/{card}/steps/{step}/move`
pub async fn move_step(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, card, step)): Path<(CarId, CardId, StepId)>,
    Form(typed): Form<MoveForm>,
) -> Result<Response, AppError> {
    let to = typed.direction.parse()?;
    let mut tx = state.write.begin(&owner).await?;
    store::card(&mut tx, car, card).await?;
    store::step(&mut tx, card, step).await?;
    let order: Vec<StepId> = store::steps_of_card(&mut tx, card).await?.iter().map(|step| step.id).collect();
    store::order_steps(&mut tx, card, &moved(&order, step, to)).await?;
    tx.commit().await?;
    Ok(to_card(car, card, &format!("#step-{step}")))
}

/// The field at which an edit would change what the ledger knows of a step, and why it may not: effects are compiled
/// from the step as it is now, so that a ticked step that is written anew would rewrite what was done.
fn rewrites_ledger(step: &Step, facts: &StepFacts) -> Option<(&'static str, String)> {
    let (old, before) = (&step.facts, step.compiled());
    if before == facts.compiled() {
        return None;
    }
    let field = if facts.object != old.object {
        "object"
    } else if facts.object_kind != old.object_kind {
        "object_kind"
    } else {
        "verb"
    };
    let why = match (before.opens.first(), before.closes.is_empty()) {
        (Some(opened), _) => format!("what it left, ‘{}’, would be forgotten", opened.words),
        (None, false) => format!("that it closed ‘{}’ would be forgotten", old.object.trim()),
        (None, true) => "the ledger would take it for something else that was done".to_owned(),
    };
    Some((field, format!("This step is ticked, and {why}. Open it again first.")))
}
