//! The symptoms of a car: read, and written down by hand.

use super::views::{SymptomForm, SymptomsPage};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::error::AppError;
use crate::ids::CarId;
use crate::sync::apply::do_now;
use crate::sync::wire::Subject;
use crate::web::extract::{Form, Path};
use crate::web::page::{Page, Place, show, show_again};
use crate::work::form::Typed;
use crate::work::whole::WholeCar;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};

fn frame(page: Page, whole: &WholeCar) -> Page {
    page.at_desk(whole.car.id, &whole.car.name, Place::Car)
}

/// `GET /cars/{car}/symptoms`
pub async fn list(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    show(&SymptomsPage::new(frame(page, &whole), &whole, SymptomForm::default(), String::new()))
}

/// `POST /cars/{car}/symptoms`
pub async fn add(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(typed): Form<SymptomForm>,
) -> Result<Response, AppError> {
    let SymptomForm { kind, text, when, heat, speed, load } = &typed;
    let made = match (Typed::Symptom { kind, text, when, heat, speed, load }).act() {
        Ok(act) => do_now(&state, &owner, car, None, Subject::Car(car), act).await.map(drop),
        Err(error) => Err(error),
    };
    match made {
        Ok(()) => Ok(Redirect::to(&format!("/cars/{car}/symptoms")).into_response()),
        Err(AppError::Invalid(_, say)) => {
            let whole = state.cars.get(&state.read, car).await?;
            show_again(&SymptomsPage::new(frame(page, &whole), &whole, typed, say))
        }
        Err(other) => Err(other),
    }
}
