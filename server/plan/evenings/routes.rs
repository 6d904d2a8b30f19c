//! The evenings of a car at the desk.

use super::form::{Beside, EveningForm, ManyForm};
use super::views::{EveningPage, EveningsPage};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{CarId, EveningId};
use crate::plan::model::{Evening, EveningFacts};
use crate::plan::store;
use crate::web::extract::{Form, Lists, Path};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, Place, show, show_again};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::civil::DateTime;
use jiff::tz::TimeZone;
use serde::Deserialize;
use sqlx::SqliteConnection;

fn to_evenings(car: CarId, anchor: &str) -> Response {
    Redirect::to(&format!("/cars/{car}/plan/evenings{anchor}")).into_response()
}

async fn frame(conn: &mut SqliteConnection, page: Page, car: CarId) -> Result<Page, AppError> {
    let known = cars::get(conn, car).await?;
    Ok(page.at_desk(car, &known.name, Place::Plan))
}

async fn page_of(conn: &mut SqliteConnection, page: Page, car: CarId, now: DateTime) -> Result<EveningsPage, AppError> {
    let page = frame(&mut *conn, page, car).await?;
    Ok(EveningsPage::new(page, car, &store::evenings_of_car(conn, car).await?, now))
}

/// The evenings that a new one could meet: one that began the day before may still go on.
async fn others(conn: &mut SqliteConnection, now: DateTime) -> Result<Vec<(Evening, String)>, AppError> {
    let from = now.date().yesterday().unwrap_or(now.date());
    store::evenings_of_garage(conn, from).await
}

/// `GET /cars/{car}/plan/evenings`
pub async fn list(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let now = state.clock.now().local().datetime();
    show(&page_of(&mut *state.read.conn().await?, page, car, now).await?)
}

/// What new evenings are held against, inside the transaction that adds them; and the page that shows what was wrong.
struct Asked {
    tx: WriteTx,
    page: EveningsPage,
    others: Vec<(Evening, String)>,
    now: DateTime,
}

impl Asked {
    async fn of(state: &OwnerState, owner: &Owner, page: Page, car: CarId) -> Result<Asked, AppError> {
        let now = state.clock.now().local().datetime();
        let mut tx = state.write.begin(owner).await?;
        let page = page_of(&mut tx, page, car, now).await?;
        Ok(Asked { others: others(&mut tx, now).await?, page, tx, now })
    }
}

/// `POST /cars/{car}/plan/evenings`
pub async fn add(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(typed): Form<EveningForm>,
) -> Result<Response, AppError> {
    let Asked { mut tx, page, others, now } = Asked::of(&state, &owner, page, car).await?;
    let mut slips = Slips::default();
    let beside = Beside { now, zone: &TimeZone::system(), others: &others };
    let Some(facts) = typed.read(&beside, &mut slips) else {
        return show_again(&page.with_one(typed, slips));
    };
    let evening = EveningId::new();
    store::add_evening(&mut tx, car, evening, &facts).await?;
    tx.commit().await?;
    Ok(to_evenings(car, &format!("#evening-{evening}")))
}

/// `POST /cars/{car}/plan/evenings/many`: all of them or none.
pub async fn add_many(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Lists(typed): Lists<ManyForm>,
) -> Result<Response, AppError> {
    let Asked { mut tx, page, others, now } = Asked::of(&state, &owner, page, car).await?;
    let mut slips = Slips::default();
    let beside = Beside { now, zone: &TimeZone::system(), others: &others };
    let Some(all) = typed.read(&beside, &mut slips) else {
        return show_again(&page.with_many(typed, slips));
    };
    for facts in &all {
        store::add_evening(&mut tx, car, EveningId::new(), facts).await?;
    }
    tx.commit().await?;
    Ok(to_evenings(car, "#evenings"))
}

/// `GET /cars/{car}/plan/evenings/{evening}`
pub async fn evening(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, evening)): Path<(CarId, EveningId)>,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let known = store::evening(&mut conn, car, evening).await?;
    show(&EveningPage::new(page, car, &known, EveningForm::from(&known), Slips::default()))
}

/// `POST /cars/{car}/plan/evenings/{evening}`
pub async fn change(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, evening)): Path<(CarId, EveningId)>,
    Form(typed): Form<EveningForm>,
) -> Result<Response, AppError> {
    let now = state.clock.now().local().datetime();
    let mut tx = state.write.begin(&owner).await?;
    let page = frame(&mut tx, page, car).await?;
    let known = store::evening(&mut tx, car, evening).await?;
    let mut others = others(&mut tx, now).await?;
    others.retain(|(other, _)| other.id != evening);
    let mut slips = Slips::default();
    let beside = Beside { now, zone: &TimeZone::system(), others: &others };
    let Some(facts) = typed.read(&beside, &mut slips) else {
        return show_again(&EveningPage::new(page, car, &known, typed, slips));
    };
    if typed.rev != known.rev {
        return show_collision(&EveningPage::collided(page, car, &known, typed));
    }
    store::change_evening(&mut tx, car, evening, typed.rev, &facts).await?;
    tx.commit().await?;
    Ok(to_evenings(car, &format!("#evening-{evening}")))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HelperForm {
    /// `yes` or `no`
    comes: String,
}

/// `POST /cars/{car}/plan/evenings/{evening}/helper`: whether a helper comes.
pub async fn helper(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, evening)): Path<(CarId, EveningId)>,
    Form(HelperForm { comes }): Form<HelperForm>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let known = store::evening(&mut tx, car, evening).await?;
    let facts = EveningFacts { helper: comes == "yes", ..known.facts };
    store::change_evening(&mut tx, car, evening, known.rev, &facts).await?;
    tx.commit().await?;
    Ok(to_evenings(car, &format!("#evening-{evening}")))
}

/// `POST /cars/{car}/plan/evenings/{evening}/remove`
pub async fn remove(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, evening)): Path<(CarId, EveningId)>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    store::remove_evening(&mut tx, car, evening, state.clock.now()).await?;
    tx.commit().await?;
    Ok(to_evenings(car, "#evenings"))
}
