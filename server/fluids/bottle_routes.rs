//! The bottle plan of a car's buy list.

use super::bottle_views::BottlesPage;
use super::bottles::{Kept, KeptForm, Size, SizeForm, takes_fluid};
use super::store;
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::db::ReadDb;
use crate::error::AppError;
use crate::ids::{BottleId, CarId, CardId, ShelfFluidId};
use crate::trade::condition::Condition;
use crate::web::extract::{Form, Lists, Path};
use crate::web::form::Slips;
use crate::web::page::{Page, Place, show, show_again};
use crate::work::whole::{WholeCar, WholeCars};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use std::sync::Arc;

/// The cards asked for. Where none was ever chosen, those that are still to be done.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    #[serde(default)]
    card: Vec<String>,
    #[serde(default)]
    chosen: String,
}

/// What stands around the plan.
pub struct Around {
    pub under: Arc<WholeCar>,
    pub sizes: Vec<Size>,
    pub shelf: Vec<Kept>,
}

impl Around {
    async fn read(cars: &WholeCars, db: &ReadDb, car: CarId) -> Result<Around, AppError> {
        let under = cars.get(db, car).await?;
        let mut conn = db.conn().await?;
        let sizes = store::sizes_of_car(&mut conn, car).await?;
        let shelf = store::shelf_of_car(&mut conn, car).await?;
        Ok(Around { under, sizes, shelf })
    }

    pub fn currency(&self) -> Option<&str> {
        self.sizes.first().map(|size| size.facts.currency.as_str())
    }

    fn still_to_do(&self) -> Vec<CardId> {
        let open = |condition| !matches!(condition, Condition::ClosedUp | Condition::Proven);
        let cards = self.under.state.cards.iter();
        cards.filter(|card| takes_fluid(card) && open(card.condition)).map(|card| card.card.id).collect()
    }

    /// The cards of an address or a form, those the car has not left out.
    fn chosen(&self, ids: &[String]) -> Vec<CardId> {
        let known = |card: &CardId| self.under.state.card(*card).is_some();
        ids.iter().filter_map(|text| text.parse().ok()).filter(known).collect()
    }
}

fn frame(page: Page, around: &Around) -> Page {
    page.at_desk(around.under.car.id, &around.under.car.name, Place::BuyList)
}

/// `GET /cars/{car}/buy-list/bottles?card=…&card=…`
pub async fn bottles(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Lists(asked): Lists<Asked>,
) -> Result<Response, AppError> {
    let around = Around::read(&state.cars, &state.read, car).await?;
    let never_chosen = asked.card.is_empty() && asked.chosen.is_empty();
    let chosen = if never_chosen { around.still_to_do() } else { around.chosen(&asked.card) };
    let page = frame(page, &around);
    show(&BottlesPage::new(page, &around, &chosen, SizeForm::default(), KeptForm::default(), Slips::default()))
}

/// `POST /cars/{car}/buy-list/bottles/sizes`: a size and its price; one that is there already gets the new price.
pub async fn add_size(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(form): Form<SizeForm>,
) -> Result<Response, AppError> {
    let around = Around::read(&state.cars, &state.read, car).await?;
    let mut slips = Slips::default();
    let Some(facts) = form.read(around.currency(), &mut slips) else {
        let chosen = around.chosen(&ids(&form.cards));
        let page = frame(page, &around);
        return show_again(&BottlesPage::new(page, &around, &chosen, form, KeptForm::default(), slips));
    };
    let mut tx = state.write.begin(&owner).await?;
    let known = store::sizes_of_car(&mut tx, car).await?;
    match known.iter().find(|size| size.facts.is_same_size(&facts)) {
        Some(size) => store::reprice(&mut tx, car, size.id, &facts).await?,
        None => store::add_size(&mut tx, car, BottleId::new(), &facts).await?,
    }
    tx.commit().await?;
    Ok(back(car, &form.cards))
}

/// Which cards were chosen, to come back to.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Chosen {
    #[serde(default)]
    cards: String,
}

/// `POST /cars/{car}/buy-list/bottles/sizes/{size}/remove`
pub async fn remove_size(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, size)): Path<(CarId, BottleId)>,
    Form(chosen): Form<Chosen>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    store::remove_size(&mut tx, car, size, state.clock.now()).await?;
    tx.commit().await?;
    Ok(back(car, &chosen.cards))
}

/// `POST /cars/{car}/buy-list/bottles/shelf`
pub async fn add_kept(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(form): Form<KeptForm>,
) -> Result<Response, AppError> {
    let around = Around::read(&state.cars, &state.read, car).await?;
    let mut slips = Slips::default();
    let Some(facts) = form.read(&mut slips) else {
        let chosen = around.chosen(&ids(&form.cards));
        let page = frame(page, &around);
        return show_again(&BottlesPage::new(page, &around, &chosen, SizeForm::default(), form, slips));
    };
    let mut tx = state.write.begin(&owner).await?;
    store::add_kept(&mut tx, car, ShelfFluidId::new(), &facts).await?;
    tx.commit().await?;
    Ok(back(car, &form.cards))
}

/// `POST /cars/{car}/buy-list/bottles/shelf/{bottle}/remove`
pub async fn remove_kept(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, bottle)): Path<(CarId, ShelfFluidId)>,
    Form(chosen): Form<Chosen>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    store::remove_kept(&mut tx, car, bottle, state.clock.now()).await?;
    tx.commit().await?;
    Ok(back(car, &chosen.cards))
}

fn ids(cards: &str) -> Vec<String> {
    cards.split_whitespace().map(str::to_owned).collect()
}

/// Back to the plan of the same cards; only ids are taken over.
fn back(car: CarId, cards: &str) -> Response {
    let cards: Vec<CardId> = cards.split_whitespace().filter_map(|text| text.parse().ok()).collect();
    let tail: String = cards.iter().map(|card| format!("&card={card}")).collect();
    Redirect::to(&format!("/cars/{car}/buy-list/bottles?chosen=yes{tail}")).into_response()
}
