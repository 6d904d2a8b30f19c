//! Upkeep at the desk: all items by how pressing they are; one item; having done it.

use super::book::KeptUp;
use super::form::{DoneForm, ItemForm, offered_facts, served};
use super::offered;
use super::store;
use super::views::{ItemPage, ListPage, NewPage};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::error::AppError;
use crate::ids::{CarId, CardId, UpkeepItemId};
use crate::sync::apply::do_in;
use crate::sync::wire::{Act, Served, ServicedBody, Subject};
use crate::trade::condition::Condition;
use crate::trade::upkeep::DistanceUnit;
use crate::web::extract::{Form, Path, Query};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, Place, show, show_again};
use crate::work::whole::WholeCar;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

pub(super) fn frame(page: Page, whole: &WholeCar) -> Page {
    page.at_desk(whole.car.id, &whole.car.name, Place::Upkeep)
}

/// Where a change leads: a page below the car's upkeep.
pub(super) fn to(car: CarId, tail: &str) -> Response {
    Redirect::to(&format!("/cars/{car}/upkeep{tail}")).into_response()
}

/// `GET /cars/{car}/upkeep`
pub async fn list(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    show(&ListPage::new(frame(page, &whole), &whole, String::new(), Slips::default()))
}

/// What a new item is asked for with.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// The name of an interval that is offered.
    #[serde(default)]
    offer: String,
    /// The id of a card that does it.
    #[serde(default)]
    card: String,
}

/// `GET /cars/{car}/upkeep/new?offer=&card=`
pub async fn new(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Query(asked): Query<Asked>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let card = whole.state.cards.iter().find(|state| state.card.id.to_string() == asked.card);
    let offer = offered::named(&asked.offer)
        .or_else(|| card.and_then(|state| offered::for_card(&state.card.facts.title, &state.card.facts.why)));
    let mut form = ItemForm::offered(offer, whole.upkeep.unit());
    if let Some(state) = card {
        form.card = asked.card;
        if form.what.is_empty() {
            form.what = state.card.facts.title.clone();
        }
    }
    show(&NewPage::new(frame(page, &whole), &whole, form, Slips::default()))
}

fn cards(whole: &WholeCar) -> Vec<CardId> {
    whole.state.cards.iter().map(|state| state.card.id).collect()
}

/// `POST /cars/{car}/upkeep`
pub async fn add(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(typed): Form<ItemForm>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let mut slips = Slips::default();
    let Some(facts) = typed.read(&cards(&whole), &mut slips) else {
        return show_again(&NewPage::new(frame(page, &whole), &whole, typed, slips));
    };
    let item = UpkeepItemId::new();
    let mut tx = state.write.begin(&owner).await?;
    store::add_item(&mut tx, car, item, &facts).await?;
    tx.commit().await?;
    Ok(to(car, &format!("/{item}#done")))
}

/// `POST /cars/{car}/upkeep/from/{card}`: a proven card is kept up from now on, as is offered for it.
pub async fn from_card(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, card)): Path<(CarId, CardId)>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let on_card = whole.state.card(card).ok_or(AppError::NotFound("such job card"))?;
    let facts = &on_card.card.facts;
    let (Some(offer), Condition::Proven) = (offered::for_card(&facts.title, &facts.why), on_card.condition) else {
        return Ok(to(car, &format!("/new?card={card}")));
    };
    if let Some(known) = whole.upkeep.items.iter().find(|kept| kept.item.facts.card == Some(card)) {
        // Pressed twice: it is kept up already.
        return Ok(to(car, &format!("/{}", known.item.id)));
    }
    let (item, facts) = (UpkeepItemId::new(), offered_facts(offer, Some(card)));
    let mut tx = state.write.begin(&owner).await?;
    store::add_item(&mut tx, car, item, &facts).await?;
    if let Some(day) = super::views::proven_on(&whole, card) {
        let nobody_looked = (String::new(), whole.upkeep.unit());
        let body = served(item, &facts.what, day, nobody_looked, on_card.card.facts.title.clone(), String::new());
        do_in(&mut tx, &owner, state.clock.now(), (car, None, Subject::Car(car)), Act::Serviced(body)).await?;
    }
    tx.commit().await?;
    Ok(to(car, &format!("/{item}")))
}

/// `GET /cars/{car}/upkeep/{item}`
pub async fn item(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, item)): Path<(CarId, UpkeepItemId)>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let kept = whole.upkeep.item(item)?;
    show(&ItemPage::new(frame(page, &whole), &whole, kept))
}

/// `POST /cars/{car}/upkeep/{item}`
pub async fn change(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, item)): Path<(CarId, UpkeepItemId)>,
    Form(typed): Form<ItemForm>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let (page, kept) = (frame(page, &whole), whole.upkeep.item(item)?);
    let mut slips = Slips::default();
    let Some(facts) = typed.read(&cards(&whole), &mut slips) else {
        return show_again(&ItemPage::new(page, &whole, kept).with_item(typed, slips));
    };
    if typed.rev != kept.item.rev {
        return show_collision(&ItemPage::new(page, &whole, kept).collided(&kept.item, typed));
    }
    let mut tx = state.write.begin(&owner).await?;
    store::change_item(&mut tx, (car, item), typed.rev, &facts).await?;
    tx.commit().await?;
    Ok(to(car, &format!("/{item}")))
}

/// `POST /cars/{car}/upkeep/{item}/done`
pub async fn done(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, item)): Path<(CarId, UpkeepItemId)>,
    Form(typed): Form<DoneForm>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let kept = whole.upkeep.item(item)?;
    let mut slips = Slips::default();
    let Some(body) = typed.read(&kept.item, whole.upkeep.today, &mut slips) else {
        return show_again(&ItemPage::new(frame(page, &whole), &whole, kept).with_done(typed, slips));
    };
    say(&state, &owner, car, body).await?;
    Ok(to(car, &format!("/{item}")))
}

async fn say(state: &OwnerState, owner: &Owner, car: CarId, body: ServicedBody) -> Result<(), AppError> {
    let mut tx = state.write.begin(owner).await?;
    do_in(&mut tx, owner, state.clock.now(), (car, None, Subject::Car(car)), Act::Serviced(body)).await?;
    tx.commit().await
}

/// Which time is taken back.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TakenBack {
    day: String,
}

/// `POST /cars/{car}/upkeep/{item}/not-done`: that was a slip. The logbook keeps both.
pub async fn not_done(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, item)): Path<(CarId, UpkeepItemId)>,
    Form(TakenBack { day }): Form<TakenBack>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let KeptUp { item: kept, done, .. } = whole.upkeep.item(item)?;
    let known =
        done.iter().find(|one| one.body.day == day).ok_or(AppError::NotFound("such day on which it was done"))?;
    let none = (String::new(), DistanceUnit::Kilometre);
    let body = served(item, &kept.facts.what, known.day, none, String::new(), String::new());
    say(&state, &owner, car, ServicedBody { state: Served::Not, ..body }).await?;
    Ok(to(car, &format!("/{item}")))
}

/// `POST /cars/{car}/upkeep/{item}/remove`
pub async fn remove(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, item)): Path<(CarId, UpkeepItemId)>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    store::remove_item(&mut tx, car, item, state.clock.now()).await?;
    tx.commit().await?;
    Ok(to(car, ""))
}
