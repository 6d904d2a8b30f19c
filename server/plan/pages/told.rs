//! What is known now of a car and its plan, read in one go.

use super::made::{EveningFacts, Known, Made};
use super::standing::beside;
use crate::app::ReaderState;
use crate::cars::store::Car;
use crate::clock::Moment;
use crate::error::AppError;
use crate::ids::CarId;
use crate::plan::facts::Facts;
use crate::plan::garage;
use crate::plan::model::{Kept, Planning};
use crate::plan::store;
use crate::trade::plan::Pin;
use crate::web::words::capital;
use crate::work::whole::WholeCar;

/// What the planner would be told now, and the plan that was kept.
pub struct Now {
    pub car: Car,
    pub known: Known,
    pub facts: Facts,
    pub kept: Option<KeptPlan>,
}

/// The plan that was kept last.
pub struct KeptPlan {
    pub made: Made,
    pub facts: Facts,
}

/// Errors where there is no such car.
pub async fn read(state: &ReaderState, car: CarId) -> Result<Now, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let planning = store::planning(&mut *state.read.conn().await?, car).await?;
    let now = state.clock.now();
    beside(move || of(&whole, &planning, now)).await
}

/// The same from what was read already. Long work where there are hundreds of cards.
pub fn of(whole: &WholeCar, planning: &Planning, now: Moment) -> Now {
    let local = now.local().datetime();
    Now {
        car: whole.car.clone(),
        known: known(whole, planning, now),
        facts: Facts::of(whole, planning, local),
        kept: planning.kept.as_ref().and_then(kept),
    }
}

fn known(whole: &WholeCar, planning: &Planning, now: Moment) -> Known {
    let mut told = garage::told(whole, planning, now.local().datetime());
    // Titles of cards are typed by people and no part of a sentence: ‘Renew the axle oil’.
    told.garage.jobs.iter_mut().for_each(|job| job.title = format!("‘{}’", job.title));
    let evening = |id: &crate::ids::EveningId| {
        let known = planning.evening(*id);
        EveningFacts {
            id: id.to_string(),
            starts: known.map_or(0, |known| minute_of_day(known.facts.starts)),
            note: known.map_or(String::new(), |known| known.facts.note.clone()),
            revision: known.and_then(|known| u32::try_from(known.rev).ok()).unwrap_or(0),
        }
    };
    let over = planning.pins.iter().filter(|(_, evening)| !told.evenings.contains(evening));
    Known {
        evenings: told.evenings.iter().map(evening).collect(),
        pins: told.pins.iter().map(|(job, evening)| Pin { job: job.clone(), evening: *evening }).collect(),
        over_pins: over.map(|(card, _)| garage::job_id(*card)).collect(),
        correction: told.correction.as_ref().map(ToString::to_string).unwrap_or_default(),
        left_out: told.left_out.iter().map(|out| (garage::job_id(out.card), capital(&out.say))).collect(),
        guesses: told.guesses.clone(),
        garage: told.garage,
    }
}

fn minute_of_day(time: jiff::civil::Time) -> u16 {
    // Neither is ever negative.
    u16::try_from(i32::from(time.hour()) * 60 + i32::from(time.minute())).unwrap_or(0)
}

/// What cannot be read is no plan: an older version of the program may have kept it.
pub fn kept(stored: &Kept) -> Option<KeptPlan> {
    let (made, facts) = (serde_json::from_str(&stored.plan), serde_json::from_str(&stored.facts));
    match (made, facts) {
        (Ok(made), Ok(facts)) => Some(KeptPlan { made, facts }),
        (Err(cause), _) | (_, Err(cause)) => {
            tracing::warn!(%cause, "a kept plan could not be read and counts for none");
            None
        }
    }
}

/// As it is stored.
pub fn to_keep(made: &Made, facts: &Facts) -> Result<Kept, AppError> {
    let plan = serde_json::to_string(made).map_err(AppError::internal)?;
    let facts = serde_json::to_string(facts).map_err(AppError::internal)?;
    Ok(Kept { made_at: made.at, plan, facts })
}
