//! Job cards at the desk: shown, added, changed, put into order, looked at again.

use super::form::CardForm;
use super::in_plan::InPlan;
use super::order::moved;
use super::store;
use super::views::{CardFormPage, CardPage};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::error::AppError;
use crate::ids::{CarId, CardId};
use crate::plan::store as plans;
use crate::sync::apply::do_now;
use crate::sync::wire::Subject;
use crate::web::extract::{Form, Lists, Path};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, Place, show, show_again};
use crate::work::form::Typed;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use sqlx::SqliteConnection;

/// The frame of a page about a car's cards. Errors where there is no such car.
pub(crate) async fn frame(conn: &mut SqliteConnection, page: Page, car: CarId) -> Result<Page, AppError> {
    let known = cars::get(conn, car).await?;
    Ok(page.at_desk(car, &known.name, Place::Car))
}

/// `GET /cars/{car}/cards/new`
pub async fn new(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let plan = InPlan::read(&mut conn, car).await?;
    show(&CardFormPage::new_card(page, car, &plan, CardForm::default(), Slips::default()))
}

/// `POST /cars/{car}/cards`
pub async fn add(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Lists(typed): Lists<CardForm>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let page = frame(&mut tx, page, car).await?;
    let plan = InPlan::read(&mut tx, car).await?;
    let mut slips = Slips::default();
    let (chosen, facts) = (plan.chosen(None, &typed, &mut slips), typed.read(&mut slips));
    let (Some(facts), Some(chosen)) = (facts, chosen) else {
        return show_again(&CardFormPage::new_card(page, car, &plan, typed, slips));
    };
    let card = CardId::new();
    store::add_card(&mut tx, car, card, &facts).await?;
    plans::set_in_plan(&mut tx, card, chosen.put_off, &chosen.after).await?;
    tx.commit().await?;
    Ok(to_card(car, card, ""))
}

/// Where a change to a card leads: its page, at `anchor`.
pub(super) fn to_card(car: CarId, card: CardId, anchor: &str) -> Response {
    Redirect::to(&format!("/cars/{car}/cards/{card}{anchor}")).into_response()
}

/// `GET /cars/{car}/cards/{card}`
pub async fn card(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
) -> Result<Response, AppError> {
    show(&card_page(&state, page, car, card).await?)
}

async fn card_page(state: &ReaderState, page: Page, car: CarId, card: CardId) -> Result<CardPage, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let planning = plans::planning(&mut *state.read.conn().await?, car).await?;
    CardPage::new(page, &whole, &planning, card)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TimeForm {
    minutes: String,
}

/// `POST /cars/{car}/cards/{card}/time`: how long was worked on it.
pub async fn time(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
    Form(TimeForm { minutes }): Form<TimeForm>,
) -> Result<Response, AppError> {
    let page = card_page(&ReaderState::from(&state), page, car, card).await?;
    let done = match (Typed::Time { minutes: &minutes }).act() {
        Ok(act) => do_now(&state, &owner, car, Some(card), Subject::Card(card), act).await,
        Err(slip) => Err(slip),
    };
    match done {
        Ok(_) => Ok(to_card(car, card, "#takes")),
        Err(AppError::Invalid(_, say)) => show_again(&page.with_time(minutes, say)),
        Err(other) => Err(other),
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RecheckForm {
    text: String,
}

/// `POST /cars/{car}/cards/{card}/recheck`: what was seen after the road check, which proves the card.
pub async fn recheck(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
    Form(RecheckForm { text }): Form<RecheckForm>,
) -> Result<Response, AppError> {
    let page = card_page(&ReaderState::from(&state), page, car, card).await?;
    let done = match (Typed::Recheck { text: &text }).act() {
        Ok(act) => do_now(&state, &owner, car, Some(card), Subject::Card(card), act).await,
        Err(slip) => Err(slip),
    };
    match done {
        Ok(_) => Ok(to_card(car, card, "")),
        Err(AppError::Invalid(_, say)) => show_again(&page.with_recheck(text, say)),
        Err(other) => Err(other),
    }
}

/// `GET /cars/{car}/cards/{card}/edit`
pub async fn edit(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let card = store::card(&mut conn, car, card).await?;
    let plan = InPlan::read(&mut conn, car).await?;
    show(&CardFormPage::edit(page, &card, &plan, plan.form(&card), Slips::default(), None))
}

/// `POST /cars/{car}/cards/{card}/edit`
pub async fn change(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, id)): Path<(CarId, CardId)>,
    Lists(typed): Lists<CardForm>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let page = frame(&mut tx, page, car).await?;
    let card = store::card(&mut tx, car, id).await?;
    let plan = InPlan::read(&mut tx, car).await?;
    let mut slips = Slips::default();
    let (chosen, facts) = (plan.chosen(Some(id), &typed, &mut slips), typed.read(&mut slips));
    let (Some(facts), Some(chosen)) = (facts, chosen) else {
        return show_again(&CardFormPage::edit(page, &card, &plan, typed, slips, None));
    };
    if typed.rev != card.rev {
        let differs = typed.differing(&card, &plan);
        let again = CardForm { rev: card.rev, ..typed };
        return show_collision(&CardFormPage::edit(page, &card, &plan, again, slips, Some(differs)));
    }
    store::change_card(&mut tx, car, id, typed.rev, &facts).await?;
    plans::set_in_plan(&mut tx, id, chosen.put_off, &chosen.after).await?;
    tx.commit().await?;
    Ok(to_card(car, id, ""))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MoveForm {
    pub direction: String,
}

/// `POST /cars/{car}/cards/{card}/move`: up or down in the car's order.
pub async fn move_card(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, card)): Path<(CarId, CardId)>,
    Form(typed): Form<MoveForm>,
) -> Result<Response, AppError> {
    let to = typed.direction.parse()?;
    let mut tx = state.write.begin(&owner).await?;
    store::card(&mut tx, car, card).await?;
    let order: Vec<CardId> = store::cards_of_car(&mut tx, car).await?.iter().map(|card| card.id).collect();
    store::order_cards(&mut tx, car, &moved(&order, card, to)).await?;
    tx.commit().await?;
    Ok(to_card(car, card, "#order"))
}
