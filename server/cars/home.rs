//! Everything a car's home is made from, read in one go.

use super::store::{self, Car};
use crate::error::AppError;
use crate::ids::CarId;
use crate::logbook::book::{InShort, lately};
use crate::logbook::found::{Found, findings};
use crate::logbook::store::things_of_car;
use crate::logbook::words::Context;
use crate::photos::store as photos;
use crate::sync::wire::{Act, OdometerBody};
use crate::trade::condition::Condition;
use crate::work::model::CarState;
use crate::work::store::{self as work, Done};
use sqlx::SqliteConnection;
use std::collections::{HashMap, HashSet};

const EVENINGS: usize = 4;

/// What is asked first of a card, first.
pub const BY_NEED: [Condition; 6] =
    [Condition::Apart, Condition::Ready, Condition::Short, Condition::Sketched, Condition::ClosedUp, Condition::Proven];

pub struct Home {
    pub car: Car,
    pub state: CarState,
    pub findings: Vec<Found>,
    pub lately: Vec<InShort>,
    pub odometer: Option<OdometerBody>,
    /// The newest picture of each step, by its id: SHA-256 and caption. Those only whose bytes are here.
    pub photos: HashMap<String, (String, String)>,
}

pub async fn read(conn: &mut SqliteConnection, car: CarId) -> Result<Home, AppError> {
    let known = store::get(&mut *conn, car).await?;
    let state = CarState::read(&mut *conn, car).await?;
    let things = things_of_car(&mut *conn, car).await?;
    let ops = work::done_on_car(&mut *conn, car).await?;
    let pictures = photos::complete(conn).await?;
    let findings = findings(&ops, &Context::new(&ops, &things, &pictures));
    let odometer = odometer(&state);
    let photos = photos_of_steps(&ops, &pictures);
    Ok(Home { car: known, findings, lately: lately(&ops, EVENINGS), odometer, state, photos })
}

fn photos_of_steps(ops: &[Done], here: &HashSet<String>) -> HashMap<String, (String, String)> {
    let photo = |op: &Done| match &op.act {
        Act::Photo(body) if here.contains(&body.sha256) => {
            Some((op.subject_id.clone(), (body.sha256.clone(), body.caption.clone())))
        }
        _ => None,
    };
    ops.iter().filter_map(photo).collect()
}

fn odometer(state: &CarState) -> Option<OdometerBody> {
    state.standing.iter().find_map(|op| match &op.act {
        Act::Odometer(body) => Some(body.clone()),
        _ => None,
    })
}

/// How many cards stand in each condition, those that call for work first; none are left out.
pub fn by_condition(state: &CarState) -> Vec<(Condition, usize)> {
    let count = |condition| state.cards.iter().filter(|card| card.condition == condition).count();
    BY_NEED.into_iter().map(|condition| (condition, count(condition))).filter(|(_, n)| *n > 0).collect()
}
