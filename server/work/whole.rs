//! A car with all that was done on it, read in one go and held until anything in the database changes.

use super::model::CarState;
use super::store::{self as work, Done};
use crate::cars::store::{self as cars, Car};
use crate::chest::model::{Wrenches, day_of};
use crate::chest::store as chest;
use crate::clock::Clock;
use crate::db::{ReadDb, Version};
use crate::error::AppError;
use crate::ids::CarId;
use crate::photos::store as photos;
use crate::trade::calendar::Date;
use crate::trade::torque_wrench::Day;
use crate::upkeep::book::Book;
use crate::upkeep::store as upkeep;
use sqlx::SqliteConnection;
use std::collections::{HashMap, HashSet};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// Everything that pages about a car's work are drawn from, out of one snapshot.
pub struct WholeCar {
    pub car: Car,
    pub state: CarState,
    /// Oldest first.
    pub done: Vec<Done>,
    /// The photos whose bytes are here, by SHA-256.
    pub pictures: HashSet<String>,
    pub wrenches: Wrenches,
    /// What is due, as of the same day.
    pub upkeep: Book,
    /// Places in `done`, by subject.
    by_subject: HashMap<String, Vec<usize>>,
}

impl WholeCar {
    /// `today` is the day on which calibrations are looked at. Errors where there is no such car.
    pub async fn read(conn: &mut SqliteConnection, car: CarId, today: Day) -> Result<WholeCar, AppError> {
        let known = cars::get(&mut *conn, car).await?;
        let state = CarState::read(&mut *conn, car).await?;
        let done = work::done_on_car(&mut *conn, car).await?;
        let wrenches = Wrenches { kept: chest::all(&mut *conn).await?, today };
        let pictures = photos::complete(&mut *conn).await?;
        let day = Date::parse(&today.to_string()).map_err(AppError::internal)?;
        let upkeep = Book::of(upkeep::of_car(conn, car).await?, &done, day)?;
        Ok(WholeCar::of(known, state, done, pictures, (wrenches, upkeep)))
    }

    /// The last are what changes with the day.
    pub fn of(
        car: Car,
        state: CarState,
        done: Vec<Done>,
        pictures: HashSet<String>,
        (wrenches, upkeep): (Wrenches, Book),
    ) -> WholeCar {
        let mut by_subject: HashMap<String, Vec<usize>> = HashMap::new();
        for (at, one) in done.iter().enumerate() {
            by_subject.entry(one.subject_id.clone()).or_default().push(at);
        }
        WholeCar { car, state, done, pictures, wrenches, upkeep, by_subject }
    }

    /// What was done on one subject, oldest first.
    pub fn done_on(&self, subject: &str) -> Vec<&Done> {
        let places = self.by_subject.get(subject).map_or(&[][..], Vec::as_slice);
        places.iter().map(|at| &self.done[*at]).collect()
    }
}

/// The cars as they were read last. Cheap to clone.
///
/// A car is given out again only while the database says that nobody wrote to it since, in this process or another.
#[derive(Clone)]
pub struct WholeCars {
    held: Arc<Mutex<Held>>,
    clock: Clock,
}

#[derive(Default)]
struct Held {
    version: Option<Version>,
    cars: HashMap<CarId, Arc<WholeCar>>,
}

impl WholeCars {
    pub fn new(clock: Clock) -> WholeCars {
        WholeCars { held: Arc::default(), clock }
    }

    /// The car as it is now. Errors where there is no such car.
    pub async fn get(&self, db: &ReadDb, car: CarId) -> Result<Arc<WholeCar>, AppError> {
        // Asked before anything is read: what is read is of this version or newer, never older.
        let version = db.version().await;
        let today = day_of(self.clock.now())?;
        // Since midnight a calibration may have run out.
        if let Some(known) = self.known(version, car).filter(|known| known.wrenches.today == today) {
            return Ok(known);
        }
        let whole = Arc::new(WholeCar::read(&mut *db.conn().await?, car, today).await?);
        self.keep(version, &whole);
        Ok(whole)
    }

    fn known(&self, version: Option<Version>, car: CarId) -> Option<Arc<WholeCar>> {
        let held = self.held();
        let same = version.is_some() && held.version == version;
        held.cars.get(&car).filter(|_| same).cloned()
    }

    fn keep(&self, version: Option<Version>, whole: &Arc<WholeCar>) {
        let mut held = self.held();
        if held.version != version {
            held.cars.clear();
            held.version = version;
        }
        held.cars.insert(whole.car.id, Arc::clone(whole));
    }

    /// Whoever panicked while holding it left either the old cars or none of them.
    fn held(&self) -> MutexGuard<'_, Held> {
        self.held.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
