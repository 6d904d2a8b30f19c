//! The marking reader under the car. It is read by the garage: the page is in the copy and says so out of its reach.

use crate::app::ReaderState;
use crate::error::AppError;
use crate::ids::CarId;
use crate::markings::views::{Answer, MarkingForm};
use crate::web::extract::{Form, Path};
use crate::web::page::{Page, show, show_again};
use crate::work::whole::WholeCar;
use askama::Template;
use axum::extract::State;
use axum::response::Response;

#[derive(Template)]
#[template(path = "under/markings.html")]
pub struct MarkingsPage {
    page: Page,
    car: String,
    answer: Answer,
}

impl MarkingsPage {
    pub fn of(page: Page, under: &WholeCar, answer: Answer) -> MarkingsPage {
        let car = &under.car;
        MarkingsPage {
            page: page.script("markings").under_car(car.id, &car.name, None, "specs"),
            car: car.id.to_string(),
            answer,
        }
    }
}

/// `GET /under/{car}/markings`
pub async fn ask(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let under = state.cars.get(&state.read, car).await?;
    show(&MarkingsPage::of(page, &under, Answer::default()))
}

/// `POST /under/{car}/markings`: a reader may, as nothing is changed.
pub async fn read(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Form(typed): Form<MarkingForm>,
) -> Result<Response, AppError> {
    let under = state.cars.get(&state.read, car).await?;
    let read = MarkingsPage::of(page, &under, Answer::of(typed));
    if read.answer.slips.is_empty() { show(&read) } else { show_again(&read) }
}
