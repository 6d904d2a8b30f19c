//! What the sheet of the road check shows.

use super::list::{CAUTION, RoadList};
use crate::web::page::{Page, Place};
use crate::work::whole::WholeCar;
use askama::Template;

#[derive(Template)]
#[template(path = "road/sheet.html")]
pub struct SheetPage {
    page: Page,
    car: String,
    name: String,
    list: RoadList,
    caution: (&'static str, &'static str),
}

impl SheetPage {
    pub fn of(page: Page, under: &WholeCar) -> SheetPage {
        SheetPage {
            page: page.at_desk(under.car.id, &under.car.name, Place::Car),
            car: under.car.id.to_string(),
            name: under.car.name.clone(),
            list: RoadList::of(under),
            caution: CAUTION,
        }
    }
}
