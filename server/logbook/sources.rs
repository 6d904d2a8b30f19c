//! Everything that the book of a car is made from, read in one go.

use super::store::{Things, reached_on_car, things_of_car};
use super::words::Context;
use crate::error::AppError;
use crate::ids::{CarId, OpId};
use crate::photos::store as photos;
use crate::readings::series::words_of;
use crate::readings::store as readings;
use crate::shelf::store::{self as shelf, Part};
use crate::specs::store as specs;
use crate::web::words;
use crate::work::store::{self as work, Done};
use sqlx::SqliteConnection;
use std::collections::{HashMap, HashSet};

/// What was done on a car, with all that its words are made from.
pub struct Sources {
    /// Oldest first.
    pub ops: Vec<Done>,
    pub things: Things,
    /// Pictures whose bytes are here.
    pub pictures: HashSet<String>,
    /// How readings stand to their limits.
    verdicts: HashMap<OpId, &'static str>,
    reached: HashMap<OpId, String>,
    prices: HashMap<String, String>,
}

impl Sources {
    pub async fn read(conn: &mut SqliteConnection, car: CarId) -> Result<Sources, AppError> {
        let ops = work::done_on_car(conn, car).await?;
        let specs = specs::of_car(conn, car).await?;
        let limits = readings::of_car(conn, car, &specs).await?;
        Ok(Sources {
            things: things_of_car(conn, car).await?,
            pictures: photos::complete(conn).await?,
            verdicts: words_of(&ops, &limits),
            reached: reached_on_car(conn, car).await?,
            prices: prices(&shelf::of_car(conn, car).await?),
            ops,
        })
    }

    /// The same without what parts cost.
    pub fn without_prices(self) -> Sources {
        Sources { prices: HashMap::new(), ..self }
    }

    pub fn context(&self) -> Context<'_> {
        Context::new(&self.ops, &self.things, &self.pictures)
            .judged(self.verdicts.clone())
            .with(&self.reached, &self.prices)
    }
}

/// By the part's id as text, as operations hold it.
fn prices(parts: &[Part]) -> HashMap<String, String> {
    let priced = |part: &Part| Some((part.id.to_string(), words::money(part.facts.price_minor?, &part.facts.currency)));
    parts.iter().filter_map(priced).collect()
}
