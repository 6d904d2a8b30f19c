//! HTTP of a spec book that is brought in: looked at, then saved whole.

use super::merge::{News, news};
use super::read::read;
use super::views::BringPage;
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::error::AppError;
use crate::ids::CarId;
use crate::specs::store;
use crate::web::extract::Path;
use crate::web::page::{Page, Place, show, show_again};
use axum::extract::{Multipart, State};
use axum::response::{IntoResponse, Redirect, Response};
use sqlx::SqliteConnection;

async fn frame(conn: &mut SqliteConnection, page: Page, car: CarId) -> Result<Page, AppError> {
    let known = cars::get(conn, car).await?;
    Ok(page.at_desk(car, &known.name, Place::SpecBook))
}

/// `GET /cars/{car}/specs/bring`
pub async fn ask(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let page = frame(&mut *state.read.conn().await?, page, car).await?;
    show(&BringPage::new(page, car, String::new()))
}

/// What came in the form: a file counts before a text.
#[derive(Default)]
struct Brought {
    text: String,
    is_to_be_saved: bool,
}

async fn brought(mut form: Multipart) -> Result<Brought, AppError> {
    let mut found = Brought::default();
    while let Some(field) = form.next_field().await.map_err(too_large_or_broken)? {
        let name = field.name().unwrap_or_default().to_owned();
        let bytes = field.bytes().await.map_err(too_large_or_broken)?;
        let text = String::from_utf8(bytes.to_vec()).map_err(|_| {
            AppError::Invalid("malformed", "This file is no text. A spec book is a .json or .csv file in UTF-8.".into())
        })?;
        match name.as_str() {
            "file" if !text.trim().is_empty() => found.text = text,
            "text" if found.text.is_empty() => found.text = text,
            "deed" => found.is_to_be_saved = text == "save",
            _ => {}
        }
    }
    Ok(found)
}

fn too_large_or_broken(cause: axum::extract::multipart::MultipartError) -> AppError {
    if cause.status() == axum::http::StatusCode::PAYLOAD_TOO_LARGE {
        return AppError::TooLarge("A spec book of more than 1 MB is not taken in at once. Split it.".into());
    }
    AppError::Invalid("malformed", "The file did not arrive whole. Send it again.".into())
}

/// `POST /cars/{car}/specs/bring`: says what is news in it, or saves that.
pub async fn bring(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    form: Multipart,
) -> Result<Response, AppError> {
    let Brought { text, is_to_be_saved } = brought(form).await?;
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let book = store::of_car(&mut conn, car).await?;
    drop(conn);
    let specs = match read(&text) {
        Ok(specs) => specs,
        Err(faults) => return show_again(&BringPage::new(page, car, text).faulty(faults)),
    };
    if !is_to_be_saved {
        return show(&BringPage::new(page, car, text).looked_at(&news(specs, &book)));
    }
    let mut tx = state.write.begin(&owner).await?;
    let book = store::of_car(&mut tx, car).await?;
    let News { new, more, .. } = news(specs, &book);
    let now = state.clock.now();
    for spec in new {
        store::add(&mut tx, car, spec.id, &spec.facts).await?;
        for says in &spec.says {
            store::add_says(&mut tx, spec.id, says, now).await?;
        }
    }
    for (spec, says) in more {
        for one in &says {
            store::add_says(&mut tx, spec.id, one, now).await?;
        }
    }
    tx.commit().await?;
    Ok(Redirect::to(&format!("/cars/{car}/specs")).into_response())
}
