//! The upkeep of the demo car: what is kept up, and what its odometers showed before the demo's evenings.

use super::format::{DemoItem, DemoPaper, DemoUpkeep};
use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::StartError;
use crate::ids::{CarId, CardId, DeviceId, OpId, PaperId, UpkeepItemId};
use crate::sync::apply;
use crate::sync::hlc::Hlc;
use crate::sync::wire::{Act, Op, Subject, Verdict};
use crate::trade::calendar::Date;
use crate::trade::spec::SourceKind;
use crate::trade::upkeep::{Distance, DistanceUnit, Interval};
use crate::upkeep::form::served;
use crate::upkeep::model::{ItemFacts, Paper, WordFacts, WordKind};
use crate::upkeep::store;
use std::collections::HashMap;

/// When the items were written down: on the first evening of work, after it.
const WRITTEN_DAYS_AGO: i64 = 9;

fn fault(what: &str, say: impl std::fmt::Display) -> StartError {
    StartError::Said(format!("seed/demo/upkeep.toml: {what}: {say}"))
}

fn day(now: Moment, days_ago: i64) -> Result<Date, StartError> {
    Date::parse(&now.plus_days(-days_ago).local().date().to_string()).map_err(|cause| fault("days_ago", cause))
}

/// `74350 mi`
fn split(shown: &str) -> Result<(String, DistanceUnit), StartError> {
    let (number, unit) = shown.split_once(' ').ok_or_else(|| fault(shown, "a number and km or mi"))?;
    let unit = DistanceUnit::from_name(unit).ok_or_else(|| fault(shown, "neither km nor mi"))?;
    Ok((number.to_owned(), unit))
}

pub(super) async fn add(
    tx: &mut WriteTx,
    (car, device): (CarId, DeviceId),
    cards: &HashMap<String, CardId>,
    now: Moment,
) -> Result<(), StartError> {
    let demo = super::read::<DemoUpkeep>("upkeep.toml").map_err(StartError::Said)?;
    for paper in demo.paper {
        add_paper(tx, car, paper, now).await?;
    }
    let mut hlc = Hlc::ZERO;
    for item in demo.item {
        hlc = hlc.next(now.plus_days(-WRITTEN_DAYS_AGO));
        add_item(tx, (car, device), item, cards, (hlc, now)).await?;
    }
    Ok(())
}

async fn add_paper(tx: &mut WriteTx, car: CarId, demo: DemoPaper, now: Moment) -> Result<(), StartError> {
    let (number, unit) = split(&demo.shown)?;
    let shown = Distance::read(&number, unit).map_err(|cause| fault(&demo.shown, cause))?;
    let paper = Paper { id: PaperId::new(), day: day(now, demo.days_ago)?, shown, from_where: demo.from };
    store::add_paper(tx, car, &paper, now).await?;
    let Some(replaced) = demo.replaced else { return Ok(()) };
    let ((first, first_unit), (second, second_unit)) = (split(&replaced.old_end)?, split(&replaced.new_start)?);
    let word = WordFacts {
        reading: paper.id.to_string(),
        kind: Some(WordKind::Replaced),
        first,
        first_unit: first_unit.name().to_owned(),
        second,
        second_unit: second_unit.name().to_owned(),
        note: replaced.note,
        ..WordFacts::default()
    };
    word.word().map_err(|slip| fault(&demo.shown, slip.say))?;
    Ok(store::add_word(tx, car, &word, now).await?)
}

async fn add_item(
    tx: &mut WriteTx,
    (car, device): (CarId, DeviceId),
    demo: DemoItem,
    cards: &HashMap<String, CardId>,
    (hlc, now): (Hlc, Moment),
) -> Result<(), StartError> {
    let say = |what: &str| fault(&demo.what, what);
    let every = Interval::parse(&demo.every).map_err(|cause| fault(&demo.what, cause))?;
    let card = match &demo.card {
        Some(key) => Some(*cards.get(key).ok_or_else(|| say("unknown card"))?),
        None => None,
    };
    let facts = ItemFacts {
        what: demo.what.clone(),
        distance: every.distance().map(|distance| distance.number().to_string()).unwrap_or_default(),
        unit: every.distance().map_or(DistanceUnit::Kilometre, Distance::unit),
        months: every.months().map(|months| months.to_string()).unwrap_or_default(),
        source: SourceKind::from_name(&demo.source).ok_or_else(|| say("unknown source"))?,
        citation: demo.citation.clone(),
        page: demo.page.clone(),
        card,
    };
    let item = UpkeepItemId::new();
    store::add_item(tx, car, item, &facts).await?;
    let Some(done) = &demo.done else { return Ok(()) };
    let shown = if done.shown.is_empty() { (String::new(), DistanceUnit::Kilometre) } else { split(&done.shown)? };
    let body = served(item, &facts.what, day(now, done.days_ago)?, shown, done.by.clone(), done.note.clone());
    let act = Act::Serviced(body);
    let op = Op { id: OpId::new(), device, hlc: hlc.to_string(), car, card: None, on: Subject::Car(car), act };
    let raw = serde_json::to_value(&op).map_err(|cause| fault(&demo.what, cause))?;
    crate::sync::judge::read(&raw, now).map_err(|(_, refusal)| fault(&demo.what, refusal.say))?;
    match apply::take_op(tx, device, &op, now).await? {
        Verdict::Refused { say, .. } => Err(fault(&demo.what, say)),
        Verdict::Applied { .. } | Verdict::Had { .. } | Verdict::Kept { .. } => Ok(()),
    }
}
