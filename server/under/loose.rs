//! The loose ends: where each is on the car, since when, and which step closes it.

use super::doing::Undone;
use super::live;
use super::views::{Trouble, shapes_state};
use crate::error::AppError;
use crate::sync::wire::Act;
use crate::trade::ledger::LooseEnd;
use crate::trade::place::Zone;
use crate::web::car_picture::{CarPicture, zone_of_end};
use crate::web::page::Page;
use crate::web::words;
use crate::work::store::Done;
use crate::work::whole::WholeCar;
use askama::Template;

fn is_photo_of_step(done: &Done) -> bool {
    matches!(done.act, Act::Photo(_)) && done.subject_kind == "step"
}

fn latest_photo(under: &WholeCar, step: &str) -> Option<String> {
    under.done_on(step).into_iter().rev().find_map(|done| match &done.act {
        Act::Photo(body) => Some(body.sha256.clone()),
        _ => None,
    })
}

/// A step that closes a loose end.
pub struct CloserView {
    pub href: String,
    pub words: String,
}

pub struct LooseView {
    pub key: String,
    pub words: String,
    /// Where on the car, in words; empty where nothing says.
    pub zone: &'static str,
    pub since: String,
    pub from: String,
    /// The latest photo taken on the step that left it so.
    pub photo: Option<String>,
    /// The step that closes it: on the card that left it so, if there is one.
    pub closer: Option<CloserView>,
    pub others: Vec<CloserView>,
}

fn loose_view(under: &WholeCar, end: &LooseEnd) -> LooseView {
    let effects = &under.state.effects;
    let opener = end.step.as_ref().and_then(|step| effects.iter().find(|one| one.step.to_string() == *step));
    let mut closing: Vec<_> =
        effects.iter().filter(|one| !one.gone && one.compiled.closes.contains(&end.key)).collect();
    closing.sort_by_key(|one| opener.is_none_or(|opener| opener.card != one.card));
    let mut closers = closing.into_iter().map(|one| CloserView {
        href: format!("/under/{}/cards/{}#step-{}", under.car.id, one.card, one.number),
        words: format!("step {} of {}", one.number, one.card_title),
    });
    LooseView {
        key: end.key.clone(),
        words: if end.place.is_empty() { end.words.clone() } else { format!("{} ({})", end.words, end.place) },
        zone: Some(zone_of_end(end)).filter(|zone| *zone != Zone::Car).map_or("", Zone::label),
        photo: end.step.as_deref().and_then(|step| latest_photo(under, step)),
        since: words::day_and_time(live::moment(&end.since)),
        from: opener.map_or_else(|| "by hand".to_owned(), |one| one.card_title.clone()),
        closer: closers.next(),
        others: closers.collect(),
    }
}

#[derive(Template)]
#[template(path = "under/loose.html")]
pub struct LoosePage {
    page: Page,
    car: String,
    ends: Vec<LooseView>,
    picture: CarPicture,
    chooser: CarPicture,
    undone: Vec<Undone>,
    trouble: Trouble,
    effects_json: String,
    places_json: &'static str,
    ops_json: String,
}

impl LoosePage {
    pub fn of(page: Page, under: &WholeCar, trouble: Trouble) -> Result<LoosePage, AppError> {
        let id = under.car.id;
        let state_ops = under.done.iter().filter(|done| shapes_state(done) || is_photo_of_step(done));
        Ok(LoosePage {
            page: page.script("loose").under_car(id, &under.car.name, None, "loose"),
            car: id.to_string(),
            ends: under.state.loose_ends.iter().map(|end| loose_view(under, end)).collect(),
            picture: CarPicture::of(&under.state.loose_ends, &under.state.true_now),
            chooser: CarPicture::empty(),
            undone: Undone::ALL.to_vec(),
            trouble,
            places_json: live::PLACES.as_str(),
            effects_json: live::for_script(&live::effects(under.state.effects.iter(), None))?,
            ops_json: live::for_script(&live::ops(id, state_ops))?,
        })
    }
}
