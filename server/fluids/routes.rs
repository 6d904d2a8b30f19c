//! The page of one fluid.

use super::ask::{self, Asked};
use super::family::Family;
use super::kind::class_of;
use super::views::FluidPage;
use crate::app::ReaderState;
use crate::error::AppError;
use crate::ids::{CarId, SpecId};
use crate::web::extract::{Path, Query};
use crate::web::form::Slips;
use crate::web::page::{Page, Place, show, show_again};
use axum::extract::State;
use axum::response::Response;

/// `GET /cars/{car}/specs/{spec}/fluid`, with what was asked behind it. Nothing is stored.
pub async fn fluid(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, spec)): Path<(CarId, SpecId)>,
    Query(asked): Query<Asked>,
) -> Result<Response, AppError> {
    let under = state.cars.get(&state.read, car).await?;
    let page = page.at_desk(car, &under.car.name, Place::SpecBook);
    let known = under.state.specs.iter().find(|known| known.id == spec).ok_or(AppError::NotFound("such spec"))?;
    let family = Family::of(&under.state, known).ok_or(AppError::NotFound("such fluid"))?;
    let class = match family.fluid {
        Some(fluid) => class_of(fluid),
        None => Err("The spec book has only a quantity of it: add a spec that says which fluid it is.".to_owned()),
    };
    let mut slips = Slips::default();
    let answered = ask::answer(&asked, &class, &mut slips);
    let has_slips = !slips.is_empty();
    let page = FluidPage::new(page, &under, known, &family, class, asked, answered, slips);
    if has_slips { show_again(&page) } else { show(&page) }
}
