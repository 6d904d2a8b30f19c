//! HTTP of a paste. Everything travels in the form: nothing is kept before it is saved, all of it or nothing.

use super::columns::guess;
use super::draft::{Draft, drafts, same_spec, says_so_already};
use super::form::PasteForm;
use super::table::Table;
use super::views::PastePage;
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::error::AppError;
use crate::ids::{CarId, SpecId, SpecValueId};
use crate::specs::model::{Says, SaysFacts, Spec, SpecFacts};
use crate::specs::store;
use crate::web::extract::{Lists, Path};
use crate::web::page::{Page, Place, show, show_again};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use sqlx::SqliteConnection;

async fn frame(conn: &mut SqliteConnection, page: Page, car: CarId) -> Result<Page, AppError> {
    let known = cars::get(conn, car).await?;
    Ok(page.at_desk(car, &known.name, Place::SpecBook))
}

/// `GET /cars/{car}/specs/paste`
pub async fn ask(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let page = frame(&mut *state.read.conn().await?, page, car).await?;
    show(&PastePage::new(page, car, PasteForm::default()))
}

/// `POST /cars/{car}/specs/paste`: shows the rows as they would be saved, or saves those that are wanted.
pub async fn paste(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Lists(form): Lists<PasteForm>,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let book = store::of_car(&mut conn, car).await?;
    drop(conn);
    let shown = PastePage::new(page, car, form.clone());
    let table = match Table::read(&form.text) {
        Ok(table) => table,
        Err(why) => return show_again(&shown.troubled(why.to_string())),
    };
    let columns = form.columns(table.width).unwrap_or_else(|| guess(&table));
    if !form.is_to_be_saved() {
        let rows = drafts(&table, &columns, &form.common());
        return show(&shown.looked_at(&table, &columns, rows, &book));
    }
    let rows = form.rows()?;
    match readable(&rows, &form) {
        Ok(facts) => {
            save(&state, &owner, car, facts).await?;
            Ok(Redirect::to(&format!("/cars/{car}/specs")).into_response())
        }
        Err(why) => show_again(&shown.looked_at(&table, &columns, rows, &book).troubled(why)),
    }
}

/// The facts of every row that is wanted; a sentence where one of them cannot be saved, or none is wanted.
fn readable(rows: &[Draft], form: &PasteForm) -> Result<Vec<(SpecFacts, SaysFacts)>, String> {
    let common = form.common();
    let wanted: Vec<&Draft> = rows.iter().filter(|row| row.kept).collect();
    if wanted.is_empty() {
        return Err("No row is chosen: tick those that are to be saved.".into());
    }
    let read: Vec<_> = wanted.iter().map(|row| row.read(&common)).collect();
    let bad = read.iter().filter(|row| row.is_err()).count();
    if bad > 0 {
        let rows = crate::web::words::count(bad, "row", "rows");
        return Err(format!("Nothing was saved: {rows} cannot be. Mend or leave out what is named below."));
    }
    Ok(read.into_iter().flatten().collect())
}

/// All in one transaction. What the book has becomes another source of it; nothing is ever written over.
async fn save(
    state: &OwnerState,
    owner: &Owner,
    car: CarId,
    rows: Vec<(SpecFacts, SaysFacts)>,
) -> Result<(), AppError> {
    let now = state.clock.now();
    let mut tx = state.write.begin(owner).await?;
    let mut book = store::of_car(&mut tx, car).await?;
    for (facts, said) in rows {
        let known = same_spec(&facts, &book);
        if known.is_some_and(|spec| says_so_already(spec, &said)) {
            continue;
        }
        let says = Says { id: SpecValueId::new(), facts: said, settled: false };
        let id = match known {
            Some(spec) => spec.id,
            None => {
                let id = SpecId::new();
                store::add(&mut tx, car, id, &facts).await?;
                book.push(Spec { id, car, facts, says: Vec::new(), rev: 1, holding: None });
                id
            }
        };
        store::add_says(&mut tx, id, &says, now).await?;
        if let Some(spec) = book.iter_mut().find(|spec| spec.id == id) {
            spec.says.push(says);
        }
    }
    tx.commit().await
}
