//! A car that stands, put away for a while.

use super::form::past_day;
use super::routes::{frame, to};
use super::store;
use super::views::ListPage;
use crate::access::Owner;
use crate::app::OwnerState;
use crate::error::AppError;
use crate::ids::CarId;
use crate::web::extract::{Form, Path};
use crate::web::form::Slips;
use crate::web::page::{Page, show_again};
use axum::extract::State;
use axum::response::Response;
use serde::Deserialize;

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StandsForm {
    /// Since when it stands, or since when it runs again.
    day: String,
}

/// `POST /cars/{car}/upkeep/stands`: put away since a day, or fetched out on one.
pub async fn stands(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(StandsForm { day: typed }): Form<StandsForm>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let since = whole.upkeep.stands_since;
    let mut slips = Slips::default();
    let day = past_day("day", &typed, whole.upkeep.today, &mut slips);
    if let (Some(since), Some(day)) = (since, day)
        && day < since
    {
        slips.say("day", format!("It stands since {since}: it cannot have run again before."));
    }
    let Some(day) = day.filter(|_| slips.is_empty()) else {
        return show_again(&ListPage::new(frame(page, &whole), &whole, typed, slips));
    };
    let mut tx = state.write.begin(&owner).await?;
    match since {
        None => store::begin_stay(&mut tx, car, day, state.clock.now()).await?,
        Some(_) => store::end_stay(&mut tx, car, day).await?,
    }
    tx.commit().await?;
    Ok(to(car, "#stands"))
}
