//! What the pages of moving house show.

use super::bring::Brought;
use super::sheets::Sheet;
use crate::ids::CarId;
use crate::web::page::Page;
use crate::web::words;
use askama::Template;

/// Everything that leaves a car as a file.
#[derive(Template)]
#[template(path = "moving/take.html")]
pub struct TakePage {
    pub page: Page,
    pub car: CarId,
    pub name: String,
}

impl TakePage {
    pub fn sheets(&self) -> &'static [Sheet] {
        Sheet::ALL
    }
}

/// The garage's own: all cars out, a car in.
#[derive(Template)]
#[template(path = "moving/moving.html")]
pub struct MovingPage {
    pub page: Page,
    pub cars: usize,
    /// Why a file was refused; empty: none was.
    pub refused: String,
    pub brought: Option<Brought>,
}

impl MovingPage {
    pub fn new(page: Page, cars: usize) -> MovingPage {
        MovingPage { page, cars, refused: String::new(), brought: None }
    }

    /// `2 cars, 41 photos, 12 tools`
    pub fn counted(&self) -> String {
        let Some(brought) = &self.brought else { return String::new() };
        [
            words::count(brought.cars.len(), "car", "cars"),
            words::count(brought.photos, "photo that was not here", "photos that were not here"),
            words::count(brought.tools, "tool", "tools"),
        ]
        .join(", ")
    }
}
