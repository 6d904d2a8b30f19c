//! HTTP of the record.

use super::choice::{Choice, Question};
use super::contents::{Contents, Material};
use super::printer::PrintError;
use super::sheet::{drawn, lay_out, page_style as style_of};
use super::views::{ChoosePage, SheetPage};
use super::work::day;
use crate::app::ReaderState;
use crate::cars::store as cars;
use crate::error::AppError;
use crate::ids::CarId;
use crate::web::extract::{Lists, Path};
use crate::web::page::{Page, show};
use axum::extract::{RawQuery, State};
use axum::http::header;
use axum::response::{Html, IntoResponse, Redirect, Response};

/// `GET /cars/{car}/record`: what to leave out.
pub async fn choose(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Lists(question): Lists<Question>,
) -> Result<Response, AppError> {
    let choice = Choice::read(&question)?;
    let known = cars::get(&mut *state.read.conn().await?, car).await?;
    let no_pdf = match question.no_pdf.as_str() {
        "" => "",
        NO_BROWSER => "No browser was found on the garage’s computer that could make one.",
        _ => "The browser on the garage’s computer could not make it, or took too long.",
    };
    show(&ChoosePage::new(page, &known, &choice, state.printer.is_here(), no_pdf))
}

/// `GET /cars/{car}/record/sheet`: the record as a page to print.
pub async fn sheet(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    RawQuery(query): RawQuery,
    Lists(question): Lists<Question>,
) -> Result<Response, AppError> {
    let choice = Choice::read(&question)?;
    let contents = contents(&state, car, &choice).await?;
    let page = SheetPage::served(page.scheme, &contents, &choice, &query.unwrap_or_default());
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

/// `GET /cars/{car}/record.pdf`: the same page as a PDF; back to the choice, which then says so, where none can be made.
pub async fn pdf(
    State(state): State<ReaderState>,
    Path(car): Path<CarId>,
    RawQuery(query): RawQuery,
    Lists(question): Lists<Question>,
) -> Result<Response, AppError> {
    let choice = Choice::read(&question)?;
    let contents = contents(&state, car, &choice).await?;
    let html = drawn(&SheetPage::in_folder(&contents, &choice), &contents, &choice)?;
    let style = style_of(&contents.car, &choice, &contents.made);
    let folder = tempfile::tempdir().map_err(AppError::internal)?;
    if state.printer.is_here() {
        lay_out(folder.path(), (&html, &style), &contents, &state.photos).await?;
    }
    match state.printer.print(folder.path()).await {
        Ok(bytes) => {
            let headers = [
                (header::CONTENT_TYPE, "application/pdf"),
                (header::CONTENT_DISPOSITION, "attachment; filename=\"record.pdf\""),
            ];
            Ok((headers, bytes).into_response())
        }
        Err(why) => {
            tracing::warn!(%why, "a record was not printed");
            let word = if matches!(why, PrintError::NoBrowser) { NO_BROWSER } else { "failed" };
            let query = query.unwrap_or_default();
            Ok(Redirect::to(&format!("/cars/{car}/record?{query}&no_pdf={word}")).into_response())
        }
    }
}

/// How the address says that there is no browser.
const NO_BROWSER: &str = "no-browser";

async fn contents(state: &ReaderState, car: CarId, choice: &Choice) -> Result<Contents, AppError> {
    let material = Material::read(&mut *state.read.conn().await?, car, choice).await?;
    Ok(Contents::of(material, choice, Vec::new(), state.clock.now()))
}
