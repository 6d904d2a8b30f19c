//! The buy list, orders, and the form of one part.

use super::around::Shelf;
use super::asked::Asked;
use super::form::PartForm;
use super::list_views::{BuyListPage, OrderPage};
use super::press::{PressForm, Pressed, press};
use super::store;
use super::views::PartPage;
use super::wants::Chosen;
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::error::AppError;
use crate::ids::{CarId, PartId};
use crate::trade::buying;
use crate::web::extract::{Form, Lists, Path};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, show, show_again};
use axum::extract::State;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Redirect, Response};

fn to_list(car: CarId) -> Response {
    Redirect::to(&format!("/cars/{car}/buy-list")).into_response()
}

/// `GET /cars/{car}/buy-list?chosen=yes&card=…&rest=yes`
pub async fn list(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Lists(asked): Lists<Asked>,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let chosen = asked.chosen(&shelf.state);
    show(&BuyListPage::new(page, &shelf, &chosen, PressForm::default(), Slips::default()))
}

/// `POST /cars/{car}/buy-list/move`: what is ticked is ordered, here, fitted, sent back or wanted from now on.
pub async fn moved(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Lists(form): Lists<PressForm>,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let chosen = Asked::of(&form.cards, &form.rest, &form.chosen).chosen(&shelf.state);
    match press(&state, &owner, &shelf, &chosen, &form).await? {
        Pressed::Done(to) => {
            let address = format!("/cars/{car}/buy-list{}#{}", chosen.tail(), to.name());
            Ok(Redirect::to(&address).into_response())
        }
        Pressed::Refused { slips, changed } => {
            // What is there now is read after the press was refused: it may have come in between.
            let shelf = Shelf::read(&state.read, &state.clock, car).await?;
            let again = BuyListPage::new(page, &shelf, &chosen, form, slips);
            if changed { show_collision(&again) } else { show_again(&again) }
        }
    }
}

/// `GET /cars/{car}/buy-list/order?supplier=…`: what one supplier is asked for, to copy or to print.
pub async fn order(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Lists(asked): Lists<Asked>,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let chosen = asked.chosen(&shelf.state);
    let lists = buying::to_buy(&shelf.wants(&chosen).wants(), &[]);
    let supplier = lists.iter().find(|known| known.name == asked.supplier);
    show(&OrderPage::new(page, &shelf, &chosen, supplier.ok_or(AppError::NotFound("such order"))?))
}

/// `GET /cars/{car}/buy-list.csv`
pub async fn csv(
    State(state): State<ReaderState>,
    Path(car): Path<CarId>,
    Lists(asked): Lists<Asked>,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let chosen: Chosen = asked.chosen(&shelf.state);
    Ok(table("buy-list.csv", buying::csv(&shelf.wants(&chosen).wants())))
}

/// A table as a file to keep.
pub fn table(name: &str, rows: String) -> Response {
    let disposition = format!("attachment; filename=\"{name}\"");
    let kind = "text/csv; charset=utf-8; header=present".to_owned();
    ([(CONTENT_TYPE, kind), (CONTENT_DISPOSITION, disposition)], rows).into_response()
}

/// `GET /cars/{car}/parts/new`
pub async fn new(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let form = PartForm::blank(shelf.currency());
    show(&PartPage::new(page, &shelf, None, form, Slips::default()))
}

/// `POST /cars/{car}/parts`
pub async fn add(
    State(state): State<OwnerState>,
    page: Page,
    owner: Owner,
    Path(car): Path<CarId>,
    Form(form): Form<PartForm>,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let mut slips = Slips::default();
    let Some(facts) = form.read(&mut slips) else {
        return show_again(&PartPage::new(page, &shelf, None, form, slips));
    };
    let mut tx = state.write.begin(&owner).await?;
    store::add(&mut tx, car, PartId::new(), &facts, Some(state.clock.now())).await?;
    tx.commit().await?;
    Ok(to_list(car))
}

/// `GET /cars/{car}/parts/{part}`
pub async fn part(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, part)): Path<(CarId, PartId)>,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let known = shelf.part(part)?;
    show(&PartPage::new(page, &shelf, Some(known), PartForm::of(known), Slips::default()))
}

/// `POST /cars/{car}/parts/{part}`
pub async fn change(
    State(state): State<OwnerState>,
    page: Page,
    owner: Owner,
    Path((car, part)): Path<(CarId, PartId)>,
    Form(form): Form<PartForm>,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let known = shelf.part(part)?;
    let mut slips = Slips::default();
    let Some(facts) = form.read(&mut slips) else {
        return show_again(&PartPage::new(page, &shelf, Some(known), form, slips));
    };
    let mut tx = state.write.begin(&owner).await?;
    match store::change(&mut tx, car, part, form.rev, &facts).await {
        Ok(()) => {
            let now = store::get(&mut tx, car, part).await?;
            if let Some(stage) = form.said().filter(|stage| *stage != now.facts.state) {
                store::say(&mut tx, car, &now, stage, state.clock.now()).await?;
            }
            tx.commit().await?;
        }
        Err(AppError::ChangedMeanwhile) => {
            drop(tx);
            return collision(&state, page, car, part, form).await;
        }
        Err(other) => return Err(other),
    }
    Ok(to_list(car))
}

/// What is there now is read after the change was refused: it may have come in between.
async fn collision(
    state: &OwnerState,
    page: Page,
    car: CarId,
    part: PartId,
    form: PartForm,
) -> Result<Response, AppError> {
    let shelf = Shelf::read(&state.read, &state.clock, car).await?;
    let known = shelf.part(part)?;
    show_collision(&PartPage::new(page, &shelf, Some(known), form, Slips::default()))
}

/// `POST /cars/{car}/parts/{part}/remove`: takes it off the list. The logbook still knows it.
pub async fn remove(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, part)): Path<(CarId, PartId)>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    store::get(&mut tx, car, part).await?;
    store::remove(&mut tx, car, part, state.clock.now()).await?;
    tx.commit().await?;
    Ok(to_list(car))
}
