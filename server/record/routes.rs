//! HTTP of the record.

use super::choice::{Choice, Question};
use super::contents::{Contents, Material};
use super::lines::Noted;
use super::printer::PrintError;
use super::sheet::{drawn, lay_out, page_style as style_of};
use super::views::{ChoosePage, SheetPage};
use super::work::day;
use crate::app::ReaderState;
use crate::cars::store as cars;
use crate::error::AppError;
use crate::ids::CarId;
use crate::upkeep::views as upkeep;
use crate::web::extract::{Lists, Path};
use crate::web::page::{Page, show};
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{Html, IntoResponse, Response};

/// `GET /cars/{car}/record`: what to leave out.
pub async fn choose(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Lists(question): Lists<Question>,
) -> Result<Response, AppError> {
    show(&choose_page(&state, page, car, &Choice::read(&question)?, "").await?)
}

async fn choose_page(
    state: &ReaderState,
    page: Page,
    car: CarId,
    choice: &Choice,
    no_pdf: &'static str,
) -> Result<ChoosePage, AppError> {
    let known = cars::get(&mut *state.read.conn().await?, car).await?;
    Ok(ChoosePage::new(page, &known, choice, state.printer.is_here(), no_pdf))
}

/// `GET` and `POST /cars/{car}/record/sheet`: the record as a page to print. The form posts, so that words which must not be
/// in it do not stand in its address either.
pub async fn sheet(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Lists(question): Lists<Question>,
) -> Result<Response, AppError> {
    let choice = Choice::read(&question)?;
    let contents = contents(&state, car, &choice).await?;
    let page = SheetPage::served(page.scheme, &contents, &choice);
    Ok(Html(drawn(&page, &contents, &choice)?).into_response())
}

/// `GET /cars/{car}/record/page.css`: the paper of that page, with its running heads.
pub async fn page_style(
    State(state): State<ReaderState>,
    Path(car): Path<CarId>,
    Lists(question): Lists<Question>,
) -> Result<Response, AppError> {
    let choice = Choice::read(&question)?;
    let known = cars::get(&mut *state.read.conn().await?, car).await?;
    let style = style_of(&known, &choice, &day(state.clock.now()));
    Ok(([(header::CONTENT_TYPE, "text/css; charset=utf-8")], style).into_response())
}

/// `POST /cars/{car}/record.pdf`: the same page as a PDF; the choice again, which says why, where none can be made.
pub async fn pdf(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Lists(question): Lists<Question>,
) -> Result<Response, AppError> {
    let choice = Choice::read(&question)?;
    let contents = contents(&state, car, &choice).await?;
    match printed(&state, &contents, &choice).await? {
        Ok(bytes) => {
            let headers = [
                (header::CONTENT_TYPE, "application/pdf"),
                (header::CONTENT_DISPOSITION, "attachment; filename=\"record.pdf\""),
            ];
            Ok((headers, bytes).into_response())
        }
        Err(why) => {
            tracing::warn!(%why, "a record was not printed");
            let say = match why {
                PrintError::NoBrowser => "No browser was found on the garage’s computer that could make one.",
                PrintError::TooLong(_) => "The browser on the garage’s computer took too long.",
                PrintError::Failed(_) => "The browser on the garage’s computer could not make it.",
            };
            let again = choose_page(&state, page, car, &choice, say).await?;
            Ok((StatusCode::SERVICE_UNAVAILABLE, show(&again)?).into_response())
        }
    }
}

async fn printed(
    state: &ReaderState,
    contents: &Contents,
    choice: &Choice,
) -> Result<Result<Vec<u8>, PrintError>, AppError> {
    if !state.printer.is_here() {
        return Ok(Err(PrintError::NoBrowser));
    }
    let html = drawn(&SheetPage::in_folder(contents, choice), contents, choice)?;
    let style = style_of(&contents.car, choice, &contents.made);
    let folder = tempfile::tempdir().map_err(AppError::internal)?;
    lay_out(folder.path(), (&html, &style), contents, &state.photos).await?;
    Ok(state.printer.print(folder.path()).await)
}

async fn contents(state: &ReaderState, car: CarId, choice: &Choice) -> Result<Contents, AppError> {
    let material = Material::read(&mut *state.read.conn().await?, car, choice).await?;
    let whole = state.cars.get(&state.read, car).await?;
    let ahead = upkeep::to_come(&whole.upkeep).map(|(what, more)| Noted { what, more }).collect();
    Ok(Contents::of(material, choice, ahead, state.clock.now()))
}
