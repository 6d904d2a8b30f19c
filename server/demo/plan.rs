//! The demo's evenings, and what of its work is planned.

use super::format::DemoPlan;
use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::StartError;
use crate::ids::{CarId, CardId, EveningId};
use crate::plan::evenings::WEEKDAYS;
use crate::plan::model::EveningFacts;
use crate::plan::store;
use std::collections::{BTreeSet, HashMap};

fn fault(say: impl std::fmt::Display) -> StartError {
    StartError::Said(format!("seed/demo/plan.toml: {say}"))
}

/// `wanted_in_days`: how far the evenings reach, whatever day of the week it is today.
pub(super) async fn add(
    tx: &mut WriteTx,
    car: CarId,
    cards: &HashMap<String, CardId>,
    now: Moment,
    wanted_in_days: i64,
) -> Result<(), StartError> {
    let demo = super::read::<DemoPlan>("plan.toml").map_err(StartError::Said)?;
    let card = |key: &String| cards.get(key).copied().ok_or_else(|| fault(format!("no card ‘{key}’")));
    let named: BTreeSet<&String> = demo.after.keys().chain(&demo.put_off.cards).collect();
    for key in named {
        let after = demo.after.get(key).into_iter().flatten().map(card).collect::<Result<Vec<_>, _>>()?;
        store::set_in_plan(tx, card(key)?, demo.put_off.cards.contains(key), &after).await?;
    }
    let days: Vec<_> = (1..=wanted_in_days).map(|days| now.plus_days(days).local().date()).collect();
    for weekly in demo.weekly {
        let weekday = WEEKDAYS.iter().find(|(_, name, _)| *name == weekly.weekday).map(|(weekday, ..)| *weekday);
        let weekday = weekday.ok_or_else(|| fault(format!("no weekday ‘{}’", weekly.weekday)))?;
        for day in days.iter().filter(|day| day.weekday() == weekday) {
            let facts = EveningFacts {
                day: *day,
                starts: weekly.starts.parse().map_err(fault)?,
                minutes: weekly.minutes,
                helper: weekly.helper,
                note: weekly.note.clone(),
            };
            store::add_evening(tx, car, EveningId::new(), &facts).await?;
        }
    }
    Ok(())
}
