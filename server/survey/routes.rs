//! HTTP of the survey at the desk.

use super::answers::{Sent, Slips, area_of};
use super::library::{Known, SurveyFolder};
use super::views::{AreaPage, ListPage, Trouble};
use crate::app::ReaderState;
use crate::clock::{Clock, Moment};
use crate::error::AppError;
use crate::ids::CarId;
use crate::trade::calendar::Date;
use crate::trade::survey::Standing;
use crate::web::extract::{Path, Query};
use crate::web::page::{Page, Place, show};
use crate::work::whole::WholeCar;
use axum::extract::State;
use axum::response::Response;
use serde::Deserialize;
use std::sync::Arc;

/// The survey as it is now, and the day on which it is looked at.
pub struct Walk {
    pub known: Arc<Known>,
    pub today: Date,
    pub now: Moment,
}

impl Walk {
    pub async fn at(folder: &SurveyFolder, clock: &Clock) -> Result<Walk, AppError> {
        let now = clock.now();
        let today = Date::parse(&now.local().date().to_string()).map_err(AppError::internal)?;
        Ok(Walk { known: folder.known().await, today, now })
    }
}

pub fn frame(page: Page, whole: &WholeCar) -> Page {
    page.at_desk(whole.car.id, &whole.car.name, Place::Survey)
}

/// Which entries are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Show {
    /// The first of them.
    #[default]
    First,
    All,
    Act,
    Due,
    Watch,
    /// Found in the middle of a job.
    Found,
}

#[derive(Debug, Clone, Copy, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    #[serde(default)]
    pub show: Show,
}

impl Asked {
    pub fn whole() -> Asked {
        Asked { show: Show::All }
    }
}

impl Show {
    /// The standing that is asked for, where one is.
    pub fn standing(self) -> Option<Standing> {
        match self {
            Show::Act => Some(Standing::Act),
            Show::Due => Some(Standing::Due),
            Show::Watch => Some(Standing::Watch),
            Show::First | Show::All | Show::Found => None,
        }
    }
}

/// `GET /cars/{car}/survey?show=…`
pub async fn list(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Query(asked): Query<Asked>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let walk = Walk::at(&state.surveys, &state.clock).await?;
    let library = state.patterns.library().await;
    show(&ListPage::new(frame(page, &whole), &whole, &walk, &library, (asked, Trouble::default())))
}

/// `GET /cars/{car}/survey/areas/{area}`
pub async fn area(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, area)): Path<(CarId, String)>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let walk = Walk::at(&state.surveys, &state.clock).await?;
    let area = area_of(&walk.known, &area)?;
    show(&AreaPage::new(frame(page, &whole), &whole, &walk.known, area, &Sent::new(), &Slips::new()))
}
