//! What stands around the parts of a car, read in one go.

use super::store::{self, Moved, Part};
use super::wants::{Chosen, Sources, Wants};
use crate::cars::store::{self as cars, Car};
use crate::clock::Clock;
use crate::db::ReadDb;
use crate::error::AppError;
use crate::fluids::bottles::{Kept, Size};
use crate::fluids::store as fluids;
use crate::ids::{CarId, CardId, PartId};
use crate::plan::pages::dates::order_days;
use crate::plan::store as plans;
use crate::trade::calendar;
use crate::work::model::CarState;
use jiff::civil::Date;
use std::collections::{BTreeSet, HashMap};

/// The currency of a first price, where none was used before.
const CURRENCY: &str = "EUR";

pub struct Shelf {
    pub car: Car,
    pub state: CarState,
    pub moves: Vec<Moved>,
    pub today: Date,
    sizes: Vec<Size>,
    bottles: Vec<Kept>,
    /// The last days for ordering, where a plan knows them.
    order_by: HashMap<PartId, calendar::Date>,
    /// Jobs that are put off.
    pub put_off: BTreeSet<CardId>,
}

impl Shelf {
    /// Errors where there is no such car.
    pub async fn read(db: &ReadDb, clock: &Clock, car: CarId) -> Result<Shelf, AppError> {
        let mut conn = db.conn().await?;
        let planning = plans::planning(&mut conn, car).await?;
        Ok(Shelf {
            car: cars::get(&mut conn, car).await?,
            state: CarState::read(&mut conn, car).await?,
            moves: store::moved_on_car(&mut conn, car).await?,
            sizes: fluids::sizes_of_car(&mut conn, car).await?,
            bottles: fluids::shelf_of_car(&mut conn, car).await?,
            today: clock.now().local().date(),
            order_by: planning.kept.as_ref().map(order_days).unwrap_or_default(),
            put_off: planning.put_off,
        })
    }

    pub fn wants(&self, chosen: &Chosen) -> Wants<'_> {
        let Shelf { state, sizes, bottles, order_by, put_off, .. } = self;
        Wants::of(&Sources { on_car: state, sizes, shelf: bottles, order_by, put_off }, chosen)
    }

    pub fn part(&self, part: PartId) -> Result<&Part, AppError> {
        self.state.parts.iter().find(|known| known.id == part).ok_or(AppError::NotFound("such part"))
    }

    /// The currency that was used last.
    pub fn currency(&self) -> &str {
        let used = self.state.parts.iter().rev().map(|part| part.facts.currency.as_str());
        used.into_iter().find(|currency| !currency.is_empty()).unwrap_or(CURRENCY)
    }
}
