//! What the page shows on which a file is looked at.

use super::merge::News;
use crate::ids::CarId;
use crate::web::page::Page;
use askama::Template;

#[derive(Template)]
#[template(path = "specs/bring.html")]
pub struct BringPage {
    pub page: Page,
    pub book: String,
    /// What stands in the file.
    pub text: String,
    pub faults: Vec<String>,
    pub told: Vec<String>,
    pub disputed: Vec<String>,
    /// Whether there is anything to save.
    pub news: bool,
}

impl BringPage {
    pub fn new(page: Page, car: CarId, text: String) -> BringPage {
        let book = format!("/cars/{car}/specs");
        BringPage { page, book, text, faults: Vec::new(), told: Vec::new(), disputed: Vec::new(), news: false }
    }

    pub fn faulty(self, faults: Vec<String>) -> BringPage {
        BringPage { faults, ..self }
    }

    pub fn looked_at(self, news: &News) -> BringPage {
        BringPage { told: news.told(), disputed: news.disputed(), news: !news.is_empty(), ..self }
    }
}
