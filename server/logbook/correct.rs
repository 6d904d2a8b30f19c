//! Correcting an entry of the logbook: by another one that points at it. Nothing is ever changed or taken out.

use super::find::plain;
use super::sources::Sources;
use super::views::{ShownEntry, shown_entry};
use super::words::{card_of, entry, moment};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::db::ReadDb;
use crate::error::AppError;
use crate::ids::{CarId, OpId};
use crate::sync::apply::do_now;
use crate::sync::wire::{Act, CorrectionBody, Subject};
use crate::web::extract::{Form, Path};
use crate::web::page::{Page, Place, show, show_again};
use crate::web::words;
use crate::work::store::Done;
use askama::Template;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

#[derive(Template)]
#[template(path = "logbook/correct.html")]
struct CorrectPage {
    page: Page,
    car: CarId,
    op: OpId,
    day: String,
    entry: ShownEntry,
    /// What was said of it before, oldest first.
    before: Vec<String>,
    text: String,
    error: String,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Typed {
    #[serde(default)]
    text: String,
}

/// `GET /cars/{car}/logbook/{op}/correct`
pub async fn ask(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, op)): Path<(CarId, OpId)>,
) -> Result<Response, AppError> {
    show(&page_of(&state.read, page, (car, op), String::new(), String::new()).await?)
}

/// `POST /cars/{car}/logbook/{op}/correct`
pub async fn correct(
    State(state): State<OwnerState>,
    page: Page,
    owner: Owner,
    Path((car, op)): Path<(CarId, OpId)>,
    Form(typed): Form<Typed>,
) -> Result<Response, AppError> {
    let sources = Sources::read(&mut *state.read.conn().await?, car).await?;
    let wrong = wrong(&sources, op)?;
    let on = subject(wrong)?;
    // A step's own card has to be named with it; what names no card stays without.
    let card = if wrong.card.is_some() { card_of(wrong, &sources.things) } else { None };
    let act = Act::Correction(CorrectionBody { of: op, text: typed.text.trim().to_owned() });
    match do_now(&state, &owner, car, card, on, act).await {
        Ok(_) => Ok(Redirect::to(&format!("/cars/{car}/logbook")).into_response()),
        Err(AppError::Invalid(_, say)) => {
            let say = if typed.text.trim().is_empty() { "Say what is wrong, and how it was.".to_owned() } else { say };
            show_again(&page_of(&state.read, page, (car, op), typed.text, say).await?)
        }
        Err(other) => Err(other),
    }
}

fn wrong(sources: &Sources, op: OpId) -> Result<&Done, AppError> {
    sources.ops.iter().find(|known| known.op_id == op).ok_or(AppError::NotFound("such entry of the logbook"))
}

fn subject(op: &Done) -> Result<Subject, AppError> {
    let json = serde_json::json!({ op.subject_kind.as_str(): op.subject_id });
    serde_json::from_value(json).map_err(AppError::internal)
}

async fn page_of(
    db: &ReadDb,
    page: Page,
    (car, op): (CarId, OpId),
    text: String,
    error: String,
) -> Result<CorrectPage, AppError> {
    let mut conn = db.conn().await?;
    let known = cars::get(&mut conn, car).await?;
    let sources = Sources::read(&mut conn, car).await?;
    let wrong = wrong(&sources, op)?;
    let context = sources.context();
    let mut shown = shown_entry(&entry(wrong, &context), None);
    shown.since = plain("");
    let corrections = sources.ops.iter().filter_map(|other| {
        let Act::Correction(body) = &other.act else { return None };
        (body.of == op).then(|| format!("{}: {}", words::day(moment(other)), body.text.trim()))
    });
    Ok(CorrectPage {
        page: page.at_desk(car, &known.name, Place::Logbook),
        car,
        op,
        day: words::day(moment(wrong)),
        entry: shown,
        before: corrections.collect(),
        text,
        error,
    })
}
