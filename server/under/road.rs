//! The road check on the phone: item by item, offline too.

use super::live;
use super::views::{Trouble, shapes_state};
use crate::error::AppError;
use crate::road::list::{CAUTION, RoadItem, RoadList, for_scripts};
use crate::sync::wire::Weight;
use crate::web::page::Page;
use crate::work::whole::WholeCar;
use askama::Template;

#[derive(Template)]
#[template(path = "under/road.html")]
pub struct RoadPage {
    page: Page,
    car: String,
    list: RoadList,
    weights: Vec<(&'static str, &'static str)>,
    trouble: Trouble,
    road_json: String,
    effects_json: String,
    ops_json: String,
}

impl RoadPage {
    pub fn of(page: Page, under: &WholeCar, trouble: Trouble) -> Result<RoadPage, AppError> {
        let id = under.car.id;
        let state_ops = under.done.iter().filter(|done| shapes_state(done));
        let weights = [Weight::Act, Weight::Watch, Weight::Fine, Weight::Unknown];
        Ok(RoadPage {
            page: page.script("road").under_car(id, &under.car.name, None, "loose"),
            car: id.to_string(),
            list: RoadList::of(under),
            weights: weights.into_iter().map(|weight| (weight.name(), live::weight_word(weight))).collect(),
            trouble,
            road_json: live::for_script(&for_scripts(under))?,
            effects_json: live::for_script(&live::effects(under.state.effects.iter(), None))?,
            ops_json: live::for_script(&live::ops(id, state_ops))?,
        })
    }
}

impl RoadPage {
    fn caution(&self) -> (&'static str, &'static str) {
        CAUTION
    }

    /// An item to be filled by script.
    fn blank(&self) -> RoadItem {
        RoadItem { key: String::new(), say: String::new(), due: true, seen: None, answered: String::new() }
    }
}
