//! The odometer at the desk: what was read off, over time, and what became of the clock.

use super::book::Told;
use super::clock_form::{ReadForm, ReadOff, WordForm};
use super::clock_views::ClockPage;
use super::model::{Paper, WordFacts};
use super::routes::{frame, to};
use super::store;
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::error::AppError;
use crate::ids::{CarId, PaperId};
use crate::sync::apply::do_in;
use crate::sync::wire::{Act, OdometerBody, Subject};
use crate::trade::upkeep::{History, Reading, Why};
use crate::web::extract::{Form, Path, Query};
use crate::web::form::Slips;
use crate::web::page::{Page, show, show_again};
use crate::work::whole::WholeCar;
use axum::extract::State;
use axum::response::Response;
use serde::Deserialize;

/// Which reading is to be explained.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    #[serde(default)]
    explain: String,
}

/// `GET /cars/{car}/upkeep/odometer?explain=`
pub async fn clock(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Query(asked): Query<Asked>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let page = ClockPage::new(frame(page, &whole), &whole);
    if asked.explain.is_empty() {
        return show(&page);
    }
    let told = known(&whole, &asked.explain)?;
    show(&page.explaining(told, WordForm::of(&told.key, told.word.as_ref()), Slips::default()))
}

fn known<'a>(whole: &'a WholeCar, reading: &str) -> Result<&'a Told, AppError> {
    whole.upkeep.readings.iter().find(|told| told.key == reading).ok_or(AppError::NotFound("such reading"))
}

/// `POST /cars/{car}/upkeep/odometer`: of today, an operation like any other; of an earlier day, out of a paper.
pub async fn read_off(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(typed): Form<ReadForm>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let today = whole.upkeep.today;
    let mut slips = Slips::default();
    let Some(ReadOff { day, shown, from_where }) = typed.read(today, &mut slips) else {
        return show_again(&ClockPage::new(frame(page, &whole), &whole).with_reading(typed, slips));
    };
    let now = state.clock.now();
    let mut tx = state.write.begin(&owner).await?;
    if day == today {
        let body = OdometerBody { number: shown.number().to_string(), unit: shown.unit().name().to_owned() };
        do_in(&mut tx, &owner, now, (car, None, Subject::Car(car)), Act::Odometer(body)).await?;
    } else {
        store::add_paper(&mut tx, car, &Paper { id: PaperId::new(), day, shown, from_where }, now).await?;
    }
    tx.commit().await?;
    Ok(to(car, "/odometer"))
}

/// `POST /cars/{car}/upkeep/odometer/word`: what became of the clock before a reading, or of the reading.
pub async fn explain(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(typed): Form<WordForm>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let told = known(&whole, &typed.reading)?;
    let mut slips = Slips::default();
    let facts = typed.read(&mut slips);
    let unfit = facts.as_ref().and_then(|facts| unfit(&whole, facts));
    if let Some(why) = unfit {
        slips.say("kind", why);
    }
    let Some(facts) = facts.filter(|_| slips.is_empty()) else {
        let page = ClockPage::new(frame(page, &whole), &whole);
        return show_again(&page.explaining(told, typed, slips));
    };
    let mut tx = state.write.begin(&owner).await?;
    store::add_word(&mut tx, car, &facts, state.clock.now()).await?;
    tx.commit().await?;
    Ok(to(car, "/odometer"))
}

/// Why what is said of a reading cannot be true beside the readings before it.
fn unfit(whole: &WholeCar, facts: &WordFacts) -> Option<String> {
    let reading = |told: &Told| {
        let word = if told.key == facts.reading { Some(facts) } else { told.word.as_ref() };
        let word = word.and_then(|word| word.word().ok().flatten());
        Reading { key: told.key.clone(), day: told.day, shown: told.shown, word }
    };
    let history = History::of(whole.upkeep.readings.iter().map(reading).collect());
    let aside = history.aside().iter().find(|aside| aside.key == facts.reading)?;
    match &aside.why {
        Why::DoesNotFit(_) => Some(aside.why.to_string()),
        // Taken for what it is: named on the page until it is explained better.
        Why::Backwards { .. } | Why::TooFar { .. } | Why::Misread => None,
    }
}
