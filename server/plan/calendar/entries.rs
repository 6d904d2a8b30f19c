//! The evenings there are, each with what the plan has in it.

use super::zone;
use crate::clock::Moment;
use crate::error::AppError;
use crate::plan::model::Evening as Known;
use crate::plan::pages::made::Made;
use crate::plan::pages::timeline::sleeps;
use crate::plan::pages::words;
use crate::trade::calendar::{self, Evening, Stamp};
use crate::trade::plan::{Act, PlannedEvening};
use jiff::tz::TimeZone;

/// Days for which evenings that are over stay in the calendar.
const KEEPS_DAYS: i64 = 31;

/// The calendar of a car, written. `made` is the plan that fills its evenings, where there is one.
pub fn written(car: &str, evenings: &[Known], made: Option<&Made>, now: Moment) -> Result<String, AppError> {
    let local = now.local();
    let zone = local.time_zone();
    let since = now.plus_days(-KEEPS_DAYS).local().date();
    let shown: Vec<&Known> = evenings.iter().filter(|evening| evening.facts.day >= since).collect();
    let first = shown.first().map_or(local.datetime(), |evening| evening.facts.begins());
    let last = shown.last().map_or(local.datetime(), |evening| evening.facts.begins());
    let named = zone::of(zone, first, last)?;
    let entries = shown.into_iter().map(|evening| entry(car, evening, made, zone)).collect::<Result<Vec<_>, _>>()?;
    let utc = now.timestamp().to_zoned_datetime(TimeZone::UTC).datetime();
    let stamp = Stamp::utc(zone::local(utc)?, u8::try_from(utc.second()).unwrap_or(0));
    calendar::write(&format!("{car}: evenings"), &named, stamp, &entries).map_err(AppError::internal)
}

fn entry(car: &str, evening: &Known, made: Option<&Made>, zone: &TimeZone) -> Result<Evening, AppError> {
    let id = evening.id.to_string();
    let planned = made.and_then(|made| {
        let at = made.known.evening_at(&id)?;
        made.plan.evenings.iter().find(|planned| planned.evening == at).map(|planned| (made, planned))
    });
    let titles = planned.map_or(Vec::new(), |(made, planned)| titles(made, planned));
    let what = if titles.is_empty() { "evening at the car".to_owned() } else { titles.join(", ") };
    // A time that the clocks skip is the one an hour later.
    let starts = evening.facts.begins().to_zoned_datetime(zone.clone()).map_err(AppError::internal)?.datetime();
    Ok(Evening {
        uid: format!("{id}@underlamp"),
        starts: zone::local(starts)?,
        minutes: evening.facts.minutes,
        summary: format!("{car}: {what}"),
        description: planned.map_or("Nothing is planned for it.".to_owned(), |(made, planned)| told(made, planned)),
        sequence: sequence(evening, made),
    })
}

/// Greater whenever the evening or the plan is newer.
fn sequence(evening: &Known, made: Option<&Made>) -> u32 {
    let minutes = made.map_or(0, |made| made.at.0 / 60_000);
    u32::try_from(minutes.saturating_add(evening.rev)).unwrap_or(0)
}

/// Of its jobs, each once.
fn titles(made: &Made, planned: &PlannedEvening) -> Vec<String> {
    let mut titles: Vec<String> = Vec::new();
    for act in &planned.acts {
        if let Act::Work { job, .. } = act {
            let title = made.known.title(job).to_owned();
            if !titles.contains(&title) {
                titles.push(title);
            }
        }
    }
    titles
}

/// What is done, a line each, and how the car is left.
fn told(made: &Made, planned: &PlannedEvening) -> String {
    let lines = planned.acts.iter().map(|act| {
        let minutes = words::minutes(act.minutes());
        match act {
            Act::LookOver { access, .. } => format!("Look over: {}, {minutes}", made.known.access_title(access)),
            Act::Open { access, .. } => format!("Open up: {}, {minutes}", made.known.access_title(access)),
            Act::Work { job, .. } => format!("{}, {minutes}", made.known.title(job)),
            Act::Close { access, .. } => format!("Close again: {}, {minutes}", made.known.access_title(access)),
        }
    });
    let lines: Vec<String> = lines.chain([sleeps(&made.known, planned)]).collect();
    lines.join("\n")
}
