//! Saving the whole garage into one file, and putting it back; and doing so by itself, every day.
//!
//! `keeper` makes one when `due` says so, to the place that was chosen (`settings`, `target`), thins out older ones by age
//! (`thin`) and notes what became of it (`record`).
//!
//! The file is a gzip-compressed tar: `manifest.json` first, with the size and SHA-256 of every other
//! entry, then the database (a consistent copy, also while the garage is running), the finished photos and
//! the certificates. It holds the key of the garage's own authority, so it is kept as carefully as a house key.

pub mod archive;
pub mod bring_back;
pub mod due;
mod form;
pub mod keeper;
pub mod name;
pub mod record;
pub mod routes;
pub mod settings;
pub mod store;
pub mod target;
pub mod thin;
pub mod trouble;
mod views;

pub use views::warning;

use crate::clock::Clock;
use crate::config::DataFolder;
use crate::db;
use crate::error::StartError;
use crate::garage::{hold, open_either_way};
use crate::say::say;
use record::{Good, Record};
use std::path::{Path, PathBuf};

const DATABASE: &str = "underlamp.db";

/// Makes a backup. It is written beside its place and moved there when complete; an existing file is never touched.
pub async fn make(folder: &DataFolder, file: &Path, clock: &Clock) -> Result<(), StartError> {
    let count = make_quietly(folder, file, clock).await?;
    note_made_by_hand(folder, file, clock);
    say(format_args!(
        "{} holds {count} files, each with its checksum. It holds private keys: keep it safe.",
        file.display()
    ));
    Ok(())
}

/// A backup made by hand counts like any other. That it cannot be noted does not unmake it.
fn note_made_by_hand(folder: &DataFolder, file: &Path, clock: &Clock) {
    let bytes = std::fs::metadata(file).map_or(0, |about| about.len());
    let good = Good { at: clock.now(), place: file.display().to_string(), bytes };
    let noted = Record::load(folder).and_then(|record| Record { good: Some(good), ..record }.save(folder));
    if let Err(cause) = noted {
        tracing::warn!(%cause, "that a backup was made could not be noted");
    }
}

/// Makes a backup and says nothing. Answers how many files it holds.
async fn make_quietly(folder: &DataFolder, file: &Path, clock: &Clock) -> Result<usize, StartError> {
    if file.exists() {
        return Err(StartError::Said(format!("{} exists already. Choose another name.", file.display())));
    }
    let database = folder.database();
    if !database.exists() {
        return Err(StartError::Said(format!("There is no garage in {}.", folder.path().display())));
    }
    let beside = file.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let work = tempfile::tempdir_in(beside).map_err(StartError::file("The backup cannot be written to", beside))?;
    let copy = work.path().join(DATABASE);
    let opened = open_either_way(folder, clock).await?;
    opened.write.copy_into(&copy).await?;
    opened.close().await;
    db::integrity(&copy).await?;

    let mut entries = vec![archive::Entry { name: DATABASE.into(), path: copy }];
    collect(&folder.photos().join("done"), "photos/done", &mut entries)?;
    collect(&folder.tls(), "certificates", &mut entries)?;
    let made = work.path().join("backup");
    let count = archive::write(&made, &entries, clock.now())?;
    // A link, unlike a move, never takes the place of a file that came to be meanwhile.
    std::fs::hard_link(&made, file).map_err(StartError::file("The backup cannot be put at", file))?;
    sync_folder(beside)?;
    Ok(count)
}

fn sync_folder(folder: &Path) -> Result<(), StartError> {
    let opened = std::fs::File::open(folder).and_then(|folder| folder.sync_all());
    opened.map_err(StartError::file("Cannot sync", folder))
}

/// Every file below a folder, with its name in the archive.
fn collect(from: &Path, name: &str, entries: &mut Vec<archive::Entry>) -> Result<(), StartError> {
    if !from.exists() {
        return Ok(());
    }
    let listing = std::fs::read_dir(from).map_err(StartError::file("Cannot read", from))?;
    let mut found: Vec<PathBuf> = Vec::new();
    for item in listing {
        found.push(item.map_err(StartError::file("Cannot read", from))?.path());
    }
    found.sort();
    for path in found {
        let Some(part) = path.file_name().and_then(|part| part.to_str()) else { continue };
        let name = format!("{name}/{part}");
        if path.is_dir() {
            collect(&path, &name, entries)?;
        } else {
            entries.push(archive::Entry { name, path });
        }
    }
    Ok(())
}

/// Puts a backup into a data folder that holds nothing. Everything is checked before anything is put in place.
pub async fn restore(folder: &DataFolder, file: &Path) -> Result<(), StartError> {
    folder.make()?;
    let _held = hold(folder)?;
    refuse_unless_empty(folder)?;
    let work = tempfile::tempdir_in(folder.path()).map_err(StartError::file("Cannot write to", folder.path()))?;
    let count = archive::read(file, &format!("{} is no whole backup", file.display()), work.path())?;
    let database = work.path().join(DATABASE);
    if !database.exists() {
        return Err(StartError::Said(format!(
            "{} is no backup but an export of cars: bring it in with ‘underlamp import’. Nothing was changed.",
            file.display()
        )));
    }
    db::integrity(&database).await?;
    db::open(&database, &Clock::system()).await?.close().await;
    db::renew_store_id(&database).await?;
    put_in_place(work.path(), folder)?;
    say(format_args!("{count} files are back in {}. Phones give back what they did since.", folder.path().display()));
    Ok(())
}

/// What is left of another garage must be moved away by its owner: a leftover log of the old database would be played
/// into the new one, and photos newer than the backup may exist nowhere else.
fn refuse_unless_empty(folder: &DataFolder) -> Result<(), StartError> {
    let path = folder.path();
    let listing = std::fs::read_dir(path).map_err(StartError::file("Cannot read", path))?;
    let lock = folder.lock();
    let there = listing.flatten().map(|entry| entry.path()).find(|found| *found != lock);
    match there {
        None => Ok(()),
        Some(found) => Err(StartError::Said(format!(
            "{} is not empty: it holds {}. Move the whole folder away, or restore elsewhere with --data. Nothing was changed.",
            path.display(),
            found.file_name().unwrap_or_default().to_string_lossy()
        ))),
    }
}

/// The database goes last: a folder without one is not yet a garage.
fn put_in_place(from: &Path, folder: &DataFolder) -> Result<(), StartError> {
    let moves = [
        (from.join("photos"), folder.photos()),
        (from.join("certificates"), folder.tls()),
        (from.join(DATABASE), folder.database()),
    ];
    for (from, to) in moves {
        if from.exists() {
            std::fs::rename(&from, &to).map_err(StartError::file("Cannot put in place", &to))?;
        }
    }
    sync_folder(folder.path())
}
