//! Pages of the garage that are reached from a car's spec book: they hold for every car, and keep the way back.

use super::routes::frame;
use crate::db::ReadDb;
use crate::error::AppError;
use crate::ids::CarId;
use crate::web::page::Page;
use serde::Deserialize;

/// The car from whose book somebody came, where he came from one.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FromCar {
    car: Option<CarId>,
}

impl FromCar {
    /// The frame of the page: that of the car, or of none. Errors where there is no such car.
    pub async fn frame(self, db: &ReadDb, page: Page) -> Result<Page, AppError> {
        match self.car {
            Some(car) => frame(&mut *db.conn().await?, page, car).await,
            None => Ok(page),
        }
    }

    /// What stands behind an address, so that the next page knows the way back too.
    pub fn tail(self) -> String {
        self.car.map(|car| format!("?car={car}")).unwrap_or_default()
    }

    /// Where the way back leads, and its words.
    pub fn back(self) -> (String, &'static str) {
        match self.car {
            Some(car) => (format!("/cars/{car}/specs"), "Spec book"),
            None => ("/".to_owned(), "The garage"),
        }
    }
}
