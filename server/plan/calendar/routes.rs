//! HTTP of the evenings for other calendars.

use super::entries;
use super::store::{self, Link};
use crate::access::{LinkSecret, Owner};
use crate::app::{DoorState, OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::clock::Moment;
use crate::error::AppError;
use crate::ids::{CalendarLinkId, CarId};
use crate::plan::pages::standing::Standing;
use crate::plan::pages::told;
use crate::plan::store as plans;
use crate::web::extract::{Form, Path, Query};
use crate::web::form::Slips;
use crate::web::page::{Page, Place, show, show_again};
use crate::web::words::day_and_time;
use askama::Template;
use axum::extract::State;
use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use sqlx::SqliteConnection;

const LONGEST_LABEL: usize = 60;

#[derive(Template)]
#[template(path = "plan/calendar.html")]
struct CalendarPage {
    page: Page,
    car: CarId,
    links: Vec<ShownLink>,
    /// What was typed as a label.
    typed: String,
    slips: Slips,
    /// The label and address of a link that was just made.
    made: Option<(String, String)>,
    only_here: bool,
    zone: String,
}

struct ShownLink {
    id: CalendarLinkId,
    label: String,
    stands: String,
    holds: bool,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Labelled {
    label: String,
}

/// What stands behind the question mark of the link.
#[derive(Debug, Deserialize)]
pub struct Key {
    #[serde(default)]
    key: String,
}

/// `GET /cars/{car}/plan/evenings.ics`
pub async fn file(State(state): State<ReaderState>, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let standing = Standing::of(&state, car).await?;
    let evenings = plans::evenings_of_car(&mut *state.read.conn().await?, car).await?;
    let text = entries::written(&standing.car.name, &evenings, standing.made.as_deref(), state.clock.now())?;
    let mut answer = as_calendar(text);
    answer
        .headers_mut()
        .insert(header::CONTENT_DISPOSITION, HeaderValue::from_static("attachment; filename=\"evenings.ics\""));
    Ok(answer)
}

/// `GET /calendar/evenings.ics?key=…`: for calendar programs. Shows the plan that was kept last, and makes none.
pub async fn feed(State(state): State<DoorState>, Query(key): Query<Key>) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let secret = LinkSecret::read(&key.key).hash();
    let (car, name) = store::car_of_secret(&mut conn, &secret).await?.ok_or(AppError::LinkOver)?;
    let planning = plans::planning(&mut conn, car).await?;
    let kept = planning.kept.as_ref().and_then(told::kept);
    let text = entries::written(&name, &planning.evenings, kept.as_ref().map(|kept| &kept.made), state.clock.now())?;
    Ok(as_calendar(text))
}

fn as_calendar(text: String) -> Response {
    ([(header::CONTENT_TYPE, "text/calendar; charset=utf-8")], text).into_response()
}

/// `GET /cars/{car}/plan/calendar`
pub async fn links(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    show(&shown(&mut *state.read.conn().await?, page, car, &state).await?)
}

async fn shown(
    conn: &mut SqliteConnection,
    page: Page,
    car: CarId,
    state: &ReaderState,
) -> Result<CalendarPage, AppError> {
    let known = cars::get(&mut *conn, car).await?;
    let links = store::of_car(conn, car).await?;
    let zone = state.clock.now().local().time_zone().iana_name().unwrap_or("the clock of whoever reads").to_owned();
    Ok(CalendarPage {
        page: page.at_desk(car, &known.name, Place::Plan),
        car,
        links: links.into_iter().map(shown_link).collect(),
        typed: String::new(),
        slips: Slips::default(),
        made: None,
        only_here: state.site.is_only_here(),
        zone,
    })
}

fn shown_link(link: Link) -> ShownLink {
    let said = |at: Moment, what: &str| format!("{what} on {}", day_and_time(at));
    ShownLink {
        id: link.id,
        holds: link.taken_back_at.is_none(),
        stands: link.taken_back_at.map_or_else(|| said(link.made_at, "Made"), |at| said(at, "Taken back")),
        label: link.label,
    }
}

/// `POST /cars/{car}/plan/calendar`: the answer shows the address once.
pub async fn make(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(form): Form<Labelled>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let mut slips = Slips::default();
    let say = "Say which calendar gets it, so that you can tell it from others.";
    let label = slips.needed("label", &form.label, LONGEST_LABEL, say);
    let reader = ReaderState::from(&state);
    if !slips.is_empty() {
        let shown = shown(&mut tx, page, car, &reader).await?;
        return show_again(&CalendarPage { typed: form.label, slips, ..shown });
    }
    cars::get(&mut tx, car).await?;
    let secret = LinkSecret::random();
    let link = Link { id: CalendarLinkId::new(), label, made_at: state.clock.now(), taken_back_at: None };
    store::add(&mut tx, car, &secret.hash(), &link).await?;
    let shown = shown(&mut tx, page, car, &reader).await?;
    tx.commit().await?;
    show(&CalendarPage { made: Some((link.label, secret.calendar_address(&state.site.canonical))), ..shown })
}

/// `POST /cars/{car}/plan/calendar/{link}/take-back`: from now on the link shows nothing.
pub async fn take_back(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, link)): Path<(CarId, CalendarLinkId)>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    cars::get(&mut tx, car).await?;
    store::take_back(&mut tx, car, link, state.clock.now()).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/cars/{car}/plan/calendar")).into_response())
}
