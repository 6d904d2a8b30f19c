//! An opened data folder: database and photos, held by one process at a time.

use crate::access::Tries;
use crate::app::{OwnerState, Site};
use crate::backup::keeper::Backups;
use crate::clock::Clock;
use crate::config::{self, DataFolder};
use crate::db::{self, Db};
use crate::error::{AppError, StartError};
use crate::helper::presence::Presence;
use crate::logbook::find::Indexes;
use crate::patterns::library::PatternFolder;
use crate::photos::shelf::PhotoShelf;
use crate::plan::pages::standing::Plans;
use crate::record::printer::Printer;
use crate::survey::library::SurveyFolder;
use crate::trade::plan::Effort;
use crate::work::whole::WholeCars;
use std::fs::{File, TryLockError};
use std::path::PathBuf;
use tempfile::TempDir;

/// A phone may lie in a drawer for a winter with half a photo sent.
const UNFINISHED_DAYS: i64 = 365;

/// Room beside the data for files that are put together or taken apart. What is made in it goes when it is dropped.
#[derive(Debug, Clone)]
pub struct Scratch(PathBuf);

impl Scratch {
    /// Makes the room, and clears what a program left behind that was stopped half-way.
    pub fn open(folder: &DataFolder) -> Result<Scratch, StartError> {
        let path = folder.scratch();
        match std::fs::remove_dir_all(&path) {
            Err(cause) if cause.kind() != std::io::ErrorKind::NotFound => {
                return Err(StartError::file("Cannot clear", &path)(cause));
            }
            Ok(()) | Err(_) => {}
        }
        std::fs::create_dir_all(&path).map_err(StartError::file("Cannot make", &path))?;
        Ok(Scratch(path))
    }

    /// A new empty folder, closed to other users of the machine.
    pub fn folder(&self) -> Result<TempDir, AppError> {
        tempfile::tempdir_in(&self.0).map_err(AppError::disk)
    }
}

/// Everything that a running garage stands on.
pub struct Garage {
    pub db: Db,
    pub photos: PhotoShelf,
    pub clock: Clock,
    cars: WholeCars,
    patterns: PatternFolder,
    indexes: Indexes,
    printer: Printer,
    surveys: SurveyFolder,
    pub scratch: Scratch,
    pub backups: Backups,
    _held: File,
}

impl Garage {
    /// Opens the folder for serving. Errors: in use by another Underlamp, or anything `db::open` says.
    pub async fn open(folder: &DataFolder, clock: Clock) -> Result<Garage, StartError> {
        folder.make()?;
        let held = hold(folder)?;
        let db = db::open(&folder.database(), &clock).await?;
        let photos = PhotoShelf::open(folder.photos())
            .await
            .map_err(|cause| StartError::Said(format!("The photo folder cannot be used: {cause}")))?;
        sweep(&photos, &clock).await;
        let patterns = PatternFolder::new(folder.patterns());
        let surveys = SurveyFolder::new(folder.survey());
        let printer = Printer::of(config::browser());
        let cars = WholeCars::new(clock.clone());
        let scratch = Scratch::open(folder)?;
        let backups = Backups::new(folder.clone(), &db, clock.clone());
        Ok(Garage {
            db,
            photos,
            cars,
            clock,
            patterns,
            surveys,
            indexes: Indexes::default(),
            printer,
            scratch,
            backups,
            _held: held,
        })
    }

    /// What handlers are given, for one address at which the garage is reached.
    pub fn state(&self, site: Site, tries: Tries) -> OwnerState {
        OwnerState {
            read: self.db.read.clone(),
            cars: self.cars.clone(),
            write: self.db.write.clone(),
            photos: self.photos.clone(),
            patterns: self.patterns.clone(),
            surveys: self.surveys.clone(),
            scratch: self.scratch.clone(),
            backups: self.backups.clone(),
            clock: self.clock.clone(),
            store: self.db.store,
            site,
            tries,
            presence: Presence::default(),
            plans: Plans::new(Effort::USUAL),
            indexes: self.indexes.clone(),
            printer: self.printer.clone(),
        }
    }
}

/// Takes out what is left of photos whose phones never came back to finish them.
async fn sweep(photos: &PhotoShelf, clock: &Clock) {
    let longest_ago = clock.now().plus_days(-UNFINISHED_DAYS);
    match photos.sweep(longest_ago.system_time()).await {
        Ok(0) => {}
        Ok(count) => tracing::info!(count, "unfinished photos of long ago were taken out"),
        Err(cause) => tracing::warn!(%cause, "unfinished photos could not be looked through"),
    }
}

/// The database, brought up to date unless a running garage holds it.
pub async fn open_either_way(folder: &DataFolder, clock: &Clock) -> Result<Db, StartError> {
    match hold(folder) {
        Ok(_held) => db::open(&folder.database(), clock).await,
        Err(_) => db::open_beside(&folder.database(), clock).await,
    }
}

/// Takes the folder for this process; it is let go when the process ends, however it ends.
pub fn hold(folder: &DataFolder) -> Result<File, StartError> {
    let path = folder.lock();
    let file = File::create(&path).map_err(StartError::file("The data folder cannot be written:", &path))?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => Err(StartError::Said(format!(
            "{} is in use by another Underlamp. Stop that one first, or point --data at another folder.",
            folder.path().display()
        ))),
        Err(TryLockError::Error(cause)) => Err(StartError::File { what: "Cannot lock", path, cause }),
    }
}
