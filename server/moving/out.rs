//! Takes cars out: one, or all with what the garage holds for every car.

use super::document::{self, Document, FILE, Mentions, SCHEMA, SCHEMA_FILE, SCHEMA_TEXT, Tables, VERSION};
use super::of_archive;
use super::store::{self, Row};
use super::tables::{BY_HASH, DEVICE_COLUMNS, DEVICES, OF_CAR, OF_GARAGE, PHOTOS};
use crate::backup::archive::{self, Entry};
use crate::cars::store as cars;
use crate::clock::Moment;
use crate::db::{ReadDb, newest_known};
use crate::error::AppError;
use crate::ids::CarId;
use crate::photos::Pictures;
use crate::photos::shelf::{Kind, Sha256Hex};
use serde_json::Value;
use sqlx::SqliteConnection;
use std::path::{Path, PathBuf};
use tokio::task::spawn_blocking;

/// What is taken out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// One car, with the tool chest: what its cards ask for is looked up there.
    Car(CarId),
    Garage,
}

/// The document, from one snapshot.
pub async fn document(conn: &mut SqliteConnection, what: What, now: Moment) -> Result<Document, AppError> {
    let mut wanted = Vec::new();
    match what {
        What::Car(car) => wanted.push(cars::get(conn, car).await?.id),
        What::Garage => wanted.extend(cars::all(conn).await?.into_iter().map(|car| car.id)),
    }
    let mut out = Vec::with_capacity(wanted.len());
    for car in wanted {
        out.push(car_tables(conn, car).await?);
    }
    let mentions = Mentions::of(&out);
    Ok(Document {
        schema: SCHEMA.into(),
        format: document::FORMAT.into(),
        version: VERSION,
        database: newest_known(),
        made_at: now,
        whole_garage: what == What::Garage,
        cars: out,
        garage: garage_tables(conn).await?,
        by_hash: by_hash(conn, &mentions).await?,
        devices: devices(conn, &mentions).await?,
        photos: photos(conn, &mentions, what).await?,
    })
}

/// Every row that belongs to a car.
pub async fn car_tables(conn: &mut SqliteConnection, car: CarId) -> Result<Tables, AppError> {
    let mut tables = Tables::new();
    for table in OF_CAR {
        tables.insert(table.name.to_owned(), store::rows_of_car(conn, table, car).await?);
    }
    Ok(tables)
}

async fn garage_tables(conn: &mut SqliteConnection) -> Result<Tables, AppError> {
    let mut tables = Tables::new();
    for (name, _) in OF_GARAGE {
        tables.insert((*name).to_owned(), store::rows(conn, name).await?);
    }
    Ok(tables)
}

async fn by_hash(conn: &mut SqliteConnection, mentions: &Mentions) -> Result<Tables, AppError> {
    let mut tables = Tables::new();
    for (name, _) in BY_HASH {
        let mut rows = store::rows(conn, name).await?;
        rows.retain(|row| mentions.hash(row));
        tables.insert((*name).to_owned(), rows);
    }
    Ok(tables)
}

async fn devices(conn: &mut SqliteConnection, mentions: &Mentions) -> Result<Vec<Row>, AppError> {
    let mut devices = store::rows(conn, DEVICES).await?;
    devices.retain(|row| mentions.device(row));
    for row in &mut devices {
        row.retain(|name, _| DEVICE_COLUMNS.contains(&name.as_str()));
    }
    Ok(devices)
}

/// The photos that are spoken of; of a whole garage all of them, as a note may still be on its way.
async fn photos(conn: &mut SqliteConnection, mentions: &Mentions, what: What) -> Result<Vec<Row>, AppError> {
    let mut photos = store::rows(conn, PHOTOS).await?;
    photos.retain(|row| what == What::Garage || mentions.hash(row));
    Ok(photos)
}

/// Writes the archive to a new file. `scratch` is an empty folder for what is put together on the way.
///
/// # Errors
/// No such car; a photo whose files are gone; trouble with the disk.
pub async fn write(
    db: &ReadDb,
    pictures: &Pictures,
    what: What,
    now: Moment,
    (to, scratch): (&Path, &Path),
) -> Result<(), AppError> {
    let document = document(&mut *db.conn().await?, what, now).await?;
    let mut entries = texts(&document, scratch)?;
    for row in &document.photos {
        entries.extend(files_of(pictures, row).await?);
    }
    let to = to.to_owned();
    let written = spawn_blocking(move || archive::write(&to, &entries, now)).await.map_err(AppError::internal)?;
    written.map(drop).map_err(of_archive)
}

fn texts(document: &Document, scratch: &Path) -> Result<Vec<Entry>, AppError> {
    let mut text = serde_json::to_vec_pretty(document).map_err(AppError::internal)?;
    text.push(b'\n');
    let put = |name: &str, bytes: &[u8]| -> Result<Entry, AppError> {
        let path = scratch.join(name.replace('/', "-"));
        std::fs::write(&path, bytes).map_err(AppError::disk)?;
        Ok(Entry { name: name.to_owned(), path })
    };
    Ok(vec![put(FILE, &text)?, put(SCHEMA_FILE, SCHEMA_TEXT.as_bytes())?])
}

/// The three files of a photo, under its name.
async fn files_of(pictures: &Pictures, row: &Row) -> Result<Vec<Entry>, AppError> {
    let named = row.get("sha256").and_then(Value::as_str).unwrap_or_default();
    let sha = Sha256Hex::parse(named).map_err(AppError::internal)?;
    let mut entries = Vec::new();
    for kind in [Kind::Original, Kind::Upright, Kind::Thumb] {
        let stored = pictures.read(&sha, kind).await?.ok_or_else(|| missing(&sha))?;
        entries.push(Entry { name: format!("photos/{sha}/{}", file_name(&stored.path)), path: stored.path });
    }
    Ok(entries)
}

fn file_name(path: &Path) -> String {
    PathBuf::from(path).file_name().unwrap_or_default().to_string_lossy().into_owned()
}

fn missing(sha: &Sha256Hex) -> AppError {
    AppError::Invalid(
        "photo-missing",
        format!(
            "The files of photo {sha} are gone from the garage’s disk, so nothing was taken out: it would not be whole. \
             Put them back from a backup, then take it out again."
        ),
    )
}
