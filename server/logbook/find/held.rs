//! Indexes of cars, each held until anything in the database changes.

use super::store::{self, Marked};
use super::{Hit, Sought, clean, pieces};
use crate::db::{ReadDb, Version};
use crate::error::AppError;
use crate::ids::{CarId, OpId};
use crate::logbook::book::{shown_ops, title_of};
use crate::logbook::sources::Sources;
use crate::logbook::words::{Entry, entry};
use sqlx::SqliteConnection;
use std::collections::HashMap;
use std::sync::Arc;
use tokio::sync::Mutex;

/// Parts of a line that stand in one column are kept apart by this; no part holds it.
const BETWEEN: char = '\n';

/// A line as it goes into the index.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    pub op: OpId,
    pub what: String,
    pub more: Vec<String>,
    pub since: String,
    pub weight: String,
    /// The title of its card; empty where it belongs to none.
    pub card: String,
}

impl Line {
    fn of(entry: Entry, sources: &Sources) -> Line {
        let mut more = entry.more;
        more.push(entry.who);
        Line {
            op: entry.op,
            what: entry.what,
            more,
            since: entry.since.unwrap_or_default(),
            weight: entry.weight.map(|weight| weight.label().to_owned()).unwrap_or_default(),
            card: entry.card.map(|card| title_of(card, &sources.things)).unwrap_or_default(),
        }
    }

    fn columns(&self) -> [String; 6] {
        let more: Vec<String> = self.more.iter().map(|part| clean(part).replace(BETWEEN, " ")).collect();
        let [what, since, card] = [&self.what, &self.since, &self.card].map(|part| clean(part));
        [self.op.to_string(), what, more.join(&BETWEEN.to_string()), since, self.weight.clone(), card]
    }
}

/// The lines of one book, to be looked through.
pub struct Index {
    conn: Mutex<SqliteConnection>,
    /// How many lines there are.
    pub lines: usize,
}

impl Index {
    pub async fn of(lines: &[Line]) -> Result<Index, AppError> {
        let columns: Vec<[String; 6]> = lines.iter().map(Line::columns).collect();
        let json = serde_json::to_string(&columns).map_err(AppError::internal)?;
        Ok(Index { conn: Mutex::new(store::filled(&json).await?), lines: lines.len() })
    }

    /// The lines in which every word stands; none where there is no word to look for.
    pub async fn find(&self, sought: &Sought) -> Result<HashMap<OpId, Hit>, AppError> {
        let Some(query) = sought.query() else { return Ok(HashMap::new()) };
        let found = store::matching(&mut *self.conn.lock().await, &query).await?;
        found.into_iter().map(|marked| Ok((marked.op.parse().map_err(AppError::internal)?, hit(&marked)))).collect()
    }
}

fn hit(marked: &Marked) -> Hit {
    Hit {
        what: pieces(&marked.what),
        more: marked.more.split(BETWEEN).map(pieces).collect(),
        since: pieces(&marked.since),
        card: pieces(&marked.card),
    }
}

/// A car's book with its index, out of one snapshot.
pub struct Indexed {
    pub sources: Sources,
    pub index: Index,
}

/// The books that were looked through last. Cheap to clone.
#[derive(Clone, Default)]
pub struct Indexes(Arc<Mutex<Held>>);

#[derive(Default)]
struct Held {
    version: Option<Version>,
    cars: HashMap<CarId, Arc<Indexed>>,
}

impl Indexes {
    /// The car's book as it is now. It is made while others wait: they would make the same one.
    pub async fn get(&self, db: &ReadDb, car: CarId) -> Result<Arc<Indexed>, AppError> {
        let mut held = self.0.lock().await;
        // Asked before anything is read: what is read is of this version or newer, never older.
        let version = db.version().await;
        if version.is_none() || held.version != version {
            held.cars.clear();
            held.version = version;
        }
        if let Some(known) = held.cars.get(&car) {
            return Ok(Arc::clone(known));
        }
        let sources = Sources::read(&mut *db.conn().await?, car).await?;
        let context = sources.context();
        let lines: Vec<Line> =
            shown_ops(&sources.ops).into_iter().map(|op| Line::of(entry(op, &context), &sources)).collect();
        let made = Arc::new(Indexed { index: Index::of(&lines).await?, sources });
        held.cars.insert(car, Arc::clone(&made));
        Ok(made)
    }
}
