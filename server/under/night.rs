//! Leaving the car for the night: in what state it sleeps, what can hurt meanwhile, and which photos are worth taking.

use super::live;
use super::views::{Trouble, shapes_state};
use crate::error::AppError;
use crate::sync::wire::Act;
use crate::trade::night::{self, CAUTIONS, PHOTOS, STATE};
use crate::web::page::Page;
use crate::web::words;
use crate::work::whole::WholeCar;
use askama::Template;
use serde_json::json;

#[derive(Template)]
#[template(path = "under/night.html")]
pub struct NightPage {
    page: Page,
    car: String,
    /// The car in sentences, or what was typed instead.
    text: String,
    sentences: Vec<String>,
    /// Harm, and how to avoid it.
    cautions: Vec<(String, &'static str)>,
    photos: Vec<String>,
    /// When it was left last, and how.
    last: Option<(String, String)>,
    trouble: Trouble,
    night_json: String,
    effects_json: String,
    ops_json: String,
}

impl NightPage {
    pub fn of(page: Page, under: &WholeCar, trouble: Trouble) -> Result<NightPage, AppError> {
        let (id, now) = (under.car.id, &under.state.true_now);
        let state_ops = under.done.iter().filter(|done| shapes_state(done));
        let lines = json!({ "state": STATE, "cautions": CAUTIONS, "photos": PHOTOS });
        Ok(NightPage {
            page: page.script("night").under_car(id, &under.car.name, None, "loose"),
            car: id.to_string(),
            text: night::sentences(now),
            sentences: night::said(STATE, now),
            cautions: CAUTIONS.iter().filter_map(|line| Some((line.said(now)?, line.mend))).collect(),
            photos: night::said(PHOTOS, now),
            last: last(under),
            trouble,
            night_json: live::for_script(&lines)?,
            effects_json: live::for_script(&live::effects(under.state.effects.iter(), None))?,
            ops_json: live::for_script(&live::ops(id, state_ops))?,
        })
    }
}

fn last(under: &WholeCar) -> Option<(String, String)> {
    under.done.iter().rev().find_map(|done| match &done.act {
        Act::Night(body) => Some((words::day_and_time(live::moment(&done.hlc)), body.text.clone())),
        _ => None,
    })
}
