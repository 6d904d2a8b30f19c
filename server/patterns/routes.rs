//! Patterns at the desk: listed, shown whole, made into a card.

use super::library::{Kept, PatternFolder};
use super::make::make;
use super::text::Pattern;
use super::views::{PatternPage, PatternsPage};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::error::AppError;
use crate::ids::CarId;
use crate::shelf::store as shelf;
use crate::specs::store as specs;
use crate::web::extract::{Form, Path, Query};
use crate::web::page::{Page, Place, show, show_again};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use sqlx::SqliteConnection;
use std::collections::BTreeMap;

/// What is asked of the list.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    #[serde(default)]
    find: String,
}

/// What was chosen, by the choice's name.
type Chosen = BTreeMap<String, String>;

/// `GET /cars/{car}/patterns?find=`
pub async fn list(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Query(asked): Query<Asked>,
) -> Result<Response, AppError> {
    let known = cars::get(&mut *state.read.conn().await?, car).await?;
    let page = page.at_desk(car, &known.name, Place::Car);
    show(&PatternsPage::new(page, car, &state.patterns.library().await, asked.find))
}

/// `GET /cars/{car}/patterns/{pattern}?end=rear`
pub async fn pattern(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, key)): Path<(CarId, String)>,
    Query(chosen): Query<Chosen>,
) -> Result<Response, AppError> {
    let kept = find(&state.patterns, &key).await?;
    let wrong = wrong_choices(&kept.pattern, &chosen);
    let page = pattern_page(&mut *state.read.conn().await?, page, car, &kept, &chosen, &wrong).await?;
    if wrong.is_empty() { show(&page) } else { show_again(&page) }
}

/// `POST /cars/{car}/patterns/{pattern}`: makes the card.
pub async fn add(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, key)): Path<(CarId, String)>,
    Form(chosen): Form<Chosen>,
) -> Result<Response, AppError> {
    let kept = find(&state.patterns, &key).await?;
    let mut wrong = wrong_choices(&kept.pattern, &chosen);
    for choice in kept.pattern.choices.iter().filter(|choice| !chosen.contains_key(&choice.name)) {
        wrong.insert(choice.name.clone(), "Choose one.".into());
    }
    let mut tx = state.write.begin(&owner).await?;
    if !wrong.is_empty() {
        return show_again(&pattern_page(&mut tx, page, car, &kept, &chosen, &wrong).await?);
    }
    cars::get(&mut tx, car).await?;
    let card = make(&mut tx, car, &kept.pattern, &chosen).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/cars/{car}/cards/{card}")).into_response())
}

async fn find(folder: &PatternFolder, key: &str) -> Result<Kept, AppError> {
    folder.library().await.patterns.remove(key).ok_or(AppError::NotFound("such pattern"))
}

async fn pattern_page(
    conn: &mut SqliteConnection,
    page: Page,
    car: CarId,
    kept: &Kept,
    chosen: &Chosen,
    wrong: &BTreeMap<String, String>,
) -> Result<PatternPage, AppError> {
    let known = cars::get(conn, car).await?;
    let (book, parts) = (specs::of_car(conn, car).await?, shelf::of_car(conn, car).await?);
    let page = page.at_desk(car, &known.name, Place::Car);
    Ok(PatternPage::new(page, car, kept, chosen, wrong, (&book, &parts)))
}

/// What was chosen and cannot be, by the choice's name, each with a sentence.
fn wrong_choices(pattern: &Pattern, chosen: &Chosen) -> BTreeMap<String, String> {
    let mut wrong = BTreeMap::new();
    for (name, option) in chosen {
        match pattern.choices.iter().find(|choice| choice.name == *name) {
            Some(choice) if choice.options.contains(option) => {}
            Some(choice) => {
                wrong.insert(name.clone(), format!("‘{option}’ is none of: {}.", choice.options.join(", ")));
            }
            None => {
                wrong.insert(name.clone(), format!("This pattern asks for no ‘{name}’."));
            }
        }
    }
    wrong
}
