//! The days on which something is due, as a file for other calendars.

use super::book::{Book, KeptUp};
use super::views::source_words;
use crate::app::ReaderState;
use crate::clock::Moment;
use crate::error::AppError;
use crate::ids::CarId;
use crate::trade::calendar::{Date, DayEvent, LocalTime, Stamp, write_days};
use crate::web::extract::Path;
use crate::web::words::capital;
use axum::extract::State;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};

/// `GET /cars/{car}/upkeep/upkeep.ics`
pub async fn calendar(State(state): State<ReaderState>, Path(car): Path<CarId>) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let text = written(&whole.car.name, &whole.upkeep, state.clock.now())?;
    let kind = "text/calendar; charset=utf-8";
    Ok(([(CONTENT_TYPE, kind), (CONTENT_DISPOSITION, "attachment; filename=\"upkeep.ics\"")], text).into_response())
}

/// What is due on a day, each on its day; what nobody knows has none and is left out.
pub fn written(car: &str, book: &Book, now: Moment) -> Result<String, AppError> {
    let events: Vec<DayEvent> = book.items.iter().filter_map(|kept| event(car, kept)).collect();
    write_days(&format!("Upkeep of {car}"), stamp(now)?, &events).map_err(AppError::internal)
}

fn event(car: &str, kept: &KeptUp) -> Option<DayEvent> {
    let facts = &kept.item.facts;
    let lines = [
        kept.due.says.clone(),
        format!("{}.", capital(&kept.interval.to_string())),
        format!("{}.", source_words(facts)),
    ];
    Some(DayEvent {
        uid: format!("upkeep-{}", kept.item.id),
        day: kept.due.day?,
        summary: format!("{car}: {}", facts.what),
        description: lines.join("\n"),
    })
}

fn stamp(now: Moment) -> Result<Stamp, AppError> {
    let at = now.timestamp().to_zoned_datetime(jiff::tz::TimeZone::UTC);
    let day = Date::parse(&at.date().to_string()).map_err(AppError::internal)?;
    let small = |number: i8| u8::try_from(number).unwrap_or_default();
    let time = LocalTime::new(day, small(at.hour()), small(at.minute())).map_err(AppError::internal)?;
    Ok(Stamp::utc(time, small(at.second())))
}
