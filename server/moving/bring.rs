//! Brings an export in: all of it is checked first, then it goes in as one change or not at all.
//!
//! What makes 'nothing lost' true: after the rows went in, and before that is made durable, each car is read back the way
//! an export reads it, and must be what the file said. So a row that would have landed with another car, or that the
//! database would have taken in otherwise, undoes the whole.

use super::document::{Document, FILE, Tables};
use super::store::{self, Known, Row};
use super::tables::{BY_HASH, DEVICE_COLUMNS, DEVICES, OF_CAR, OF_GARAGE, Of, PHOTOS};
use super::{of_archive, out, refused};
use crate::access::Owner;
use crate::backup::archive;
use crate::cars::home;
use crate::db::{WriteDb, WriteTx, newest_known};
use crate::error::AppError;
use crate::garage::Scratch;
use crate::ids::CarId;
use crate::photos::pipeline::{self, Format, MAX_BYTES};
use crate::photos::shelf::{PhotoShelf, Sha256Hex};
use crate::sync::hlc::Hlc;
use crate::sync::store as sync;
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use tokio::task::spawn_blocking;

/// A document longer than this is none of ours, in bytes.
const LONGEST_DOCUMENT: u64 = 512 * 1024 * 1024;
/// The files of a photo.
const FILES_OF_A_PHOTO: usize = 3;

/// Where it goes.
pub struct To<'a> {
    pub write: &'a WriteDb,
    pub photos: &'a PhotoShelf,
    pub scratch: &'a Scratch,
}

/// What was chosen.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Wish {
    /// Cars that are here already are left as they are, and the others come in; else one of them stops everything.
    pub leave_known: bool,
    /// The tool chest comes in too. Tools that are here already are left as they are.
    pub chest: bool,
}

/// What came in.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Brought {
    /// By name.
    pub cars: Vec<String>,
    pub left: Vec<String>,
    pub photos: usize,
    pub tools: usize,
}

/// Brings a file in.
///
/// # Errors
/// A sentence that says what is wrong with the file; no room on the disk. Nothing is changed then.
pub async fn bring(to: To<'_>, owner: &Owner, file: &Path, wish: Wish) -> Result<Brought, AppError> {
    let folder = to.scratch.folder()?;
    let (from, into) = (file.to_owned(), folder.path().to_owned());
    let (document, photos) = spawn_blocking(move || unpack(&from, &into)).await.map_err(AppError::internal)??;
    let mut tx = to.write.begin(owner).await?;
    let mut brought = put_rows(&mut tx, &document, wish).await?;
    if brought.cars.is_empty() && brought.tools == 0 {
        return Err(refused("every car of it is here already".into()));
    }
    let mut placed = Vec::new();
    let done = match place(&to, &mut tx, &document, &photos, &mut placed).await {
        Ok(()) => tx.commit().await,
        Err(cause) => Err(cause),
    };
    if let Err(cause) = done {
        for sha in &placed {
            // What cannot be taken away again harms nothing: no row speaks of it.
            let _ = to.photos.remove(sha).await;
        }
        return Err(cause);
    }
    brought.photos = placed.len();
    Ok(brought)
}

/// A photo whose files were looked at.
struct Photo {
    sha: Sha256Hex,
    folder: PathBuf,
}

/// Unpacks the archive and reads all of it.
fn unpack(file: &Path, into: &Path) -> Result<(Document, Vec<Photo>), AppError> {
    archive::read(file, "This file was not brought in", into).map_err(of_archive)?;
    if into.join("underlamp.db").exists() {
        return Err(refused(
            "it is a backup of a whole garage. ‘underlamp restore’ puts it into an empty folder".into(),
        ));
    }
    let text = into.join(FILE);
    let length = std::fs::metadata(&text).map_err(|_| refused(format!("it holds no ‘{FILE}’")))?.len();
    if length > LONGEST_DOCUMENT {
        return Err(refused(format!("‘{FILE}’ is larger than any garage")));
    }
    let document = Document::read(&std::fs::read(&text).map_err(AppError::disk)?, newest_known())?;
    let photos = document.photos.iter().map(|row| look_at(row, into)).collect::<Result<_, _>>()?;
    Ok((document, photos))
}

/// Looks whether a photo's files are pictures of the sizes that its row says.
fn look_at(row: &Row, folder: &Path) -> Result<Photo, AppError> {
    let named = row.get("sha256").and_then(Value::as_str).unwrap_or_default();
    let sha = Sha256Hex::parse(named).map_err(|_| refused(format!("‘{named}’ is no name of a photo")))?;
    let folder = folder.join("photos").join(sha.as_str());
    let wrong = |why: &str| refused(format!("photo {sha} {why}"));
    let mut found = Vec::new();
    for entry in std::fs::read_dir(&folder).map_err(|_| wrong("has no files"))? {
        found.push(entry.map_err(AppError::disk)?.path());
    }
    if found.len() != FILES_OF_A_PHOTO {
        return Err(wrong("does not have three files"));
    }
    for path in found {
        if std::fs::metadata(&path).map_err(AppError::disk)?.len() > MAX_BYTES {
            return Err(wrong("is larger than a photo may be"));
        }
        let facts = pipeline::facts(&std::fs::read(&path).map_err(AppError::disk)?)
            .map_err(|cause| wrong(&format!("cannot be used ({cause})")))?;
        let name = path.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        let is_original = name == format!("original.{}", facts.format.extension());
        let is_made = matches!(name, "upright.jpg" | "thumb.jpg") && facts.format == Format::Jpeg;
        if !is_original && !is_made {
            return Err(wrong("has a file that is not what its name says"));
        }
        let size = [facts.size.width, facts.size.height].map(|side| Some(i64::from(side)));
        if is_original && ["width", "height"].map(|name| row.get(name).and_then(Value::as_i64)) != size {
            return Err(wrong("does not have the size that is written of it"));
        }
    }
    Ok(Photo { sha, folder })
}

/// Puts the rows in, and reads each car back.
async fn put_rows(tx: &mut WriteTx, document: &Document, wish: Wish) -> Result<Brought, AppError> {
    let mut brought = Brought::default();
    for row in &document.devices {
        add_device(tx, row).await?;
    }
    for (name, _) in BY_HASH {
        for row in document.by_hash.get(*name).into_iter().flatten() {
            store::add(tx, name, row, Known::Stays).await?;
        }
    }
    for tables in &document.cars {
        let (car, name) = car_of(tables)?;
        if !store::is_known(tx, car).await? {
            put_car(tx, car, tables).await?;
            brought.cars.push(name);
        } else if wish.leave_known {
            brought.left.push(name);
        } else {
            return Err(refused(format!(
                "‘{name}’ is here already. Choose to leave it as it is and bring in the rest"
            )));
        }
    }
    if wish.chest {
        brought.tools = put_chest(tx, &document.garage).await?;
    }
    Ok(brought)
}

/// The id and the name of the car that some tables are about.
fn car_of(tables: &Tables) -> Result<(CarId, String), AppError> {
    let [row] = tables.get("cars").map_or(&[][..], Vec::as_slice) else {
        return Err(refused("one of its cars is not written down as one row".into()));
    };
    let text = |name: &str| row.get(name).and_then(Value::as_str).unwrap_or_default();
    let car = text("id").parse().map_err(|_| refused(format!("‘{}’ is no id of a car", text("id"))))?;
    if row.get("gone_at").is_some_and(|gone| !gone.is_null()) {
        return Err(refused(format!("‘{}’ was removed where it comes from", text("name"))));
    }
    Ok((car, text("name").to_owned()))
}

async fn put_car(tx: &mut WriteTx, car: CarId, tables: &Tables) -> Result<(), AppError> {
    let known: BTreeSet<&str> = OF_CAR.iter().map(|table| table.name).collect();
    if let Some(stray) = tables.keys().find(|name| !known.contains(name.as_str())) {
        return Err(refused(format!("no table ‘{stray}’ is known here")));
    }
    for table in OF_CAR {
        for row in tables.get(table.name).into_iter().flatten() {
            let row = store::numbered_up_to(tx, table.name, row).await?;
            let row = match table.of {
                Of::Op { column } => store::numbered(tx, column, &row).await?,
                Of::Car { .. } | Of::Row { .. } => row,
            };
            store::add(tx, table.name, &row, Known::Fault).await?;
        }
    }
    let back = out::car_tables(tx, car).await?;
    for (name, rows) in tables {
        let there = back.get(name).map_or(&[][..], Vec::as_slice);
        let is_whole = rows.len() == there.len() && rows.iter().zip(there).all(|(row, there)| holds(there, row));
        if !is_whole {
            return Err(refused(format!("‘{name}’ would not be here as it is in the file")));
        }
    }
    let_operations_stand(tx, car).await?;
    // Whatever pages are made from is read once: what no page could show is not taken in.
    home::read(tx, car).await.map_err(unreadable)?;
    Ok(())
}

fn unreadable(cause: AppError) -> AppError {
    match cause {
        AppError::Internal(cause) => refused(format!("something in it could not be shown ({cause})")),
        other => other,
    }
}

/// Whether a row holds what another says. Columns that came to be since that was written have a value of their own.
fn holds(there: &Row, row: &Row) -> bool {
    row.iter().all(|(name, value)| there.get(name) == Some(value))
}

/// Makes the standing values from the operations, as their arrival would have.
async fn let_operations_stand(tx: &mut WriteTx, car: CarId) -> Result<(), AppError> {
    for known in sync::since(tx, car, 0, i64::MAX).await.map_err(unreadable)? {
        known.op.hlc.parse::<Hlc>().map_err(|cause| refused(cause.to_string()))?;
        if let Some(field) = known.op.act.field() {
            sync::let_stand(tx, &known.op, known.seq, &field).await?;
        }
    }
    Ok(())
}

/// A device keeps its name, so that the logbook can say who did something. It cannot come in: it has no session.
async fn add_device(tx: &mut WriteTx, row: &Row) -> Result<(), AppError> {
    if let Some(stray) = row.keys().find(|name| !DEVICE_COLUMNS.contains(&name.as_str())) {
        return Err(refused(format!("a device has no ‘{stray}’ in an export")));
    }
    let mut row = row.clone();
    let paired_at = row.get("paired_at").cloned().unwrap_or(Value::Null);
    row.insert("last_seen_at".into(), paired_at);
    store::add(tx, DEVICES, &row, Known::Stays).await?;
    Ok(())
}

async fn put_chest(tx: &mut WriteTx, garage: &Tables) -> Result<usize, AppError> {
    let mut added = 0;
    for (name, _) in OF_GARAGE {
        for row in garage.get(*name).into_iter().flatten() {
            added += usize::from(store::add(tx, name, row, Known::Stays).await?);
        }
    }
    Ok(added)
}

/// Puts the photos on the shelf and writes them down. `placed` are those that were not there.
async fn place(
    to: &To<'_>,
    tx: &mut WriteTx,
    document: &Document,
    photos: &[Photo],
    placed: &mut Vec<Sha256Hex>,
) -> Result<(), AppError> {
    for (row, photo) in document.photos.iter().zip(photos) {
        store::add(tx, PHOTOS, row, Known::Stays).await?;
        if to.photos.adopt(&photo.sha, &photo.folder).await? {
            placed.push(photo.sha.clone());
        }
    }
    Ok(())
}
