//! The form of an area at the desk: every answer and every reading that was typed into it becomes one operation.

use super::library::Known;
use super::routes::{Walk, frame};
use super::views::AreaPage;
use crate::access::Owner;
use crate::app::OwnerState;
use crate::error::AppError;
use crate::ids::CarId;
use crate::sync::apply::do_in;
use crate::sync::wire::{Act, Subject, SurveyBody, Weight};
use crate::trade::survey::{Area, Question};
use crate::web::extract::{Form, Path};
use crate::web::page::{Page, show_again};
use crate::work::form::Typed;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use std::collections::BTreeMap;

/// The fields that each question has: the answer and the note, both as they were when the form was opened, and a reading.
const FIELDS: [&str; 6] = ["answer", "note", "was", "noted", "number", "unit"];

/// The form as it was sent: `answer-tread` and the like.
pub type Sent = BTreeMap<String, String>;

/// What cannot be taken, by the name of its question.
pub type Slips = BTreeMap<String, String>;

/// What was typed for a question.
pub fn typed<'a>(sent: &'a Sent, field: &str, key: &str) -> &'a str {
    sent.get(&format!("{field}-{key}")).map_or("", String::as_str)
}

/// The area of this name.
pub fn area_of<'a>(known: &'a Known, area: &str) -> Result<&'a Area, AppError> {
    known.survey.areas().iter().find(|known| known.key == area).ok_or(AppError::NotFound("such area of the survey"))
}

/// `POST /cars/{car}/survey/areas/{area}`
pub async fn keep(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, area)): Path<(CarId, String)>,
    Form(sent): Form<Sent>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let walk = Walk::at(&state.surveys, &state.clock).await?;
    let area = area_of(&walk.known, &area)?;
    only_its_own(area, &sent)?;
    let mut slips = Slips::new();
    let acts = acts(area, &sent, &mut slips);
    if slips.is_empty() {
        keep_all(&state, &owner, car, acts, &mut slips).await?;
    }
    if slips.is_empty() {
        return Ok(Redirect::to(&way_on(&walk.known, car, area)).into_response());
    }
    show_again(&AreaPage::new(frame(page, &whole), &whole, &walk.known, area, &sent, &slips))
}

/// Where the walk goes on: the next area, and the list after the last.
fn way_on(known: &Known, car: CarId, area: &Area) -> String {
    let after = known.survey.areas().iter().skip_while(|other| other.key != area.key).nth(1);
    match after {
        Some(next) => format!("/cars/{car}/survey/areas/{}", next.key),
        None => format!("/cars/{car}/survey"),
    }
}

/// Errors: a field that this area does not have, such as one of a question of another area or of no survey at all.
fn only_its_own(area: &Area, sent: &Sent) -> Result<(), AppError> {
    for name in sent.keys() {
        let (field, key) = name.split_once('-').unwrap_or((name, ""));
        if !FIELDS.contains(&field) || area.questions.iter().all(|question| question.key != key) {
            return Err(AppError::Invalid("malformed", format!("‘{}’ asks no ‘{name}’.", area.title)));
        }
    }
    Ok(())
}

fn acts(area: &Area, sent: &Sent, slips: &mut Slips) -> Vec<(String, Act)> {
    let mut acts = Vec::new();
    for question in &area.questions {
        match answer(question, sent) {
            Ok(act) => acts.extend(act.map(|act| (question.key.clone(), act))),
            Err(AppError::Invalid(_, say)) => drop(slips.insert(question.key.clone(), say)),
            Err(_) => {}
        }
        match reading(question, sent) {
            Ok(act) => acts.extend(act.map(|act| (question.key.clone(), act))),
            Err(AppError::Invalid(_, say)) => drop(slips.insert(question.key.clone(), say)),
            Err(_) => {}
        }
    }
    acts
}

/// An answer that differs from the one that the form was opened with; what was left as it stood is not said again.
fn answer(question: &Question, sent: &Sent) -> Result<Option<Act>, AppError> {
    let given = |field| typed(sent, field, &question.key).trim().replace("\r\n", "\n");
    let (answer, note) = (given("answer"), given("note"));
    if answer == given("was") && note == given("noted") {
        return Ok(None);
    }
    let invalid = |say: &str| AppError::Invalid("malformed", say.to_owned());
    if answer.is_empty() {
        return Err(invalid("A note goes with an answer: choose one of the four; ‘not known’ will do."));
    }
    let answer = Weight::from_name(&answer).ok_or_else(|| invalid("An answer is one of the four."))?;
    let (question, say) = (question.key.clone(), question.ask.clone());
    Ok(Some(Act::Survey(SurveyBody { question, say, answer, note })))
}

fn reading(question: &Question, sent: &Sent) -> Result<Option<Act>, AppError> {
    let (number, unit) = (typed(sent, "number", &question.key), typed(sent, "unit", &question.key));
    match &question.reading {
        Some(reading) if !number.trim().is_empty() => {
            Typed::Reading { what: &reading.ask.what, number, unit }.act().map(Some)
        }
        Some(_) | None => Ok(None),
    }
}

/// All or none: what is refused is told at its question.
async fn keep_all(
    state: &OwnerState,
    owner: &Owner,
    car: CarId,
    acts: Vec<(String, Act)>,
    slips: &mut Slips,
) -> Result<(), AppError> {
    let mut tx = state.write.begin(owner).await?;
    for (key, act) in acts {
        match do_in(&mut tx, owner, state.clock.now(), (car, None, Subject::Car(car)), act).await {
            Ok(_) => {}
            Err(AppError::Invalid(_, say)) => drop(slips.insert(key, say)),
            Err(other) => return Err(other),
        }
    }
    if slips.is_empty() { tx.commit().await } else { Ok(()) }
}
