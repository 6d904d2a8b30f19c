//! The garage and the cars' homes.

use super::form::{CarForm, seen};
use super::home;
use super::store;
use super::views::{CarFormPage, GarageCar, GaragePage, HomePage, SurveyLine};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::backup::warning;
use crate::clock::Clock;
use crate::error::AppError;
use crate::ids::CarId;
use crate::survey::list::SurveyList;
use crate::survey::routes::Walk;
use crate::trade::variant::names;
use crate::web::extract::{Form, Path};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, Place, show, show_again};
use crate::work::model::CarState;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::civil::Date;
use sqlx::SqliteConnection;

/// What manuals most often tell variants apart by (common practice, no source).
const USUAL_CODES: [&str; 6] =
    ["engine code", "gearbox code", "axle code", "chassis number", "built", "air conditioning"];

fn today(clock: &Clock) -> Date {
    clock.now().local().date()
}

/// `GET /`
pub async fn garage(State(state): State<ReaderState>, page: Page) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let mut cars = Vec::new();
    for car in store::all(&mut conn).await? {
        let work = CarState::read(&mut conn, car.id).await?;
        cars.push(GarageCar::new(car, &work, today(&state.clock)));
    }
    drop(conn);
    // What is invented can be made again at any time.
    let is_worth_saving = cars.iter().any(|car| !car.invented);
    let unsaved = if is_worth_saving { warning(&state.backups.standing().await?) } else { String::new() };
    show(&GaragePage { page, cars, unsaved })
}

/// `GET /cars/{car}`
pub async fn home(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let home = home::read(&mut *state.read.conn().await?, car).await?;
    let (walk, whole) = (Walk::at(&state.surveys, &state.clock).await?, state.cars.get(&state.read, car).await?);
    let survey = SurveyLine::of(&SurveyList::of(&walk.known, &whole, walk.today));
    show(&HomePage::new(page, home, survey, today(&state.clock)))
}

/// The names of codes that help to tell variants apart: the usual ones, and those that any car of the garage has.
async fn code_names(conn: &mut SqliteConnection) -> Result<String, AppError> {
    let cars = store::all(conn).await?;
    let mut all: Vec<&str> = USUAL_CODES.to_vec();
    for name in cars.iter().flat_map(|car| names(&car.codes)) {
        if !all.iter().any(|known| known.eq_ignore_ascii_case(name)) {
            all.push(name);
        }
    }
    Ok(all.join(", "))
}

/// `GET /cars/new`
pub async fn new(State(state): State<ReaderState>, page: Page) -> Result<Response, AppError> {
    let code_names = code_names(&mut *state.read.conn().await?).await?;
    let (form, slips) = (CarForm::default(), Slips::default());
    show(&CarFormPage { page, car: None, form, slips, code_names, differs: None })
}

/// `POST /cars`
pub async fn add(
    State(state): State<OwnerState>,
    page: Page,
    owner: Owner,
    Form(form): Form<CarForm>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let mut slips = Slips::default();
    let Some(facts) = form.read(today(&state.clock), &mut slips) else {
        let code_names = code_names(&mut tx).await?;
        return show_again(&CarFormPage { page, car: None, form, slips, code_names, differs: None });
    };
    let car = CarId::new();
    store::add(&mut tx, car, &facts, false, state.clock.now()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/cars/{car}")).into_response())
}

/// `GET /cars/{car}/edit`
pub async fn edit(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let known = store::get(&mut conn, car).await?;
    let page = page.at_desk(car, &known.name, Place::Car);
    let code_names = code_names(&mut conn).await?;
    let (form, slips) = (CarForm::of(&known), Slips::default());
    show(&CarFormPage { page, car: Some(car), form, slips, code_names, differs: None })
}

/// `POST /cars/{car}/edit`
pub async fn change(
    State(state): State<OwnerState>,
    page: Page,
    owner: Owner,
    Path(car): Path<CarId>,
    Form(form): Form<CarForm>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let known = store::get(&mut tx, car).await?;
    let page = page.at_desk(car, &known.name, Place::Car);
    let code_names = code_names(&mut tx).await?;
    let mut slips = Slips::default();
    let Some(facts) = form.read(today(&state.clock), &mut slips) else {
        return show_again(&CarFormPage { page, car: Some(car), form, slips, code_names, differs: None });
    };
    if form.seen != seen(&known) {
        let differs = Some(form.differing(&known));
        let form = CarForm { seen: seen(&known), ..form };
        return show_collision(&CarFormPage { page, car: Some(car), form, slips, code_names, differs });
    }
    store::change(&mut tx, car, &facts).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/cars/{car}")).into_response())
}
