//! Makes backups by itself: one each day, kept by age.

use super::due::{self, Age};
use super::name::{Name, series_of};
use super::record::{Failed, Good, Record};
use super::settings::{self, OLD_AFTER_DAYS, Place, Settings};
use super::target::{Kept, PATIENCE, Target};
use super::thin::surplus;
use super::trouble::Trouble;
use super::{make_quietly, store};
use crate::clock::{Clock, Moment};
use crate::config::DataFolder;
use crate::db::{Db, ReadDb};
use crate::error::{AppError, StartError};
use crate::ids::StoreId;
use jiff::tz::TimeZone;
use std::sync::{Arc, PoisonError};
use std::time::Duration;
use tokio::sync::{Mutex, Notify};

/// How often it is looked whether one is due.
const LOOKING: Duration = Duration::from_secs(60);

/// The backups of a garage, with what is needed to make them. Cheap to clone; clones share what is under way.
#[derive(Clone)]
pub struct Backups(Arc<Inner>);

struct Inner {
    folder: DataFolder,
    read: ReadDb,
    store: StoreId,
    clock: Clock,
    /// How long nothing may move on the way to a server.
    patience: Duration,
    /// Held while one is made.
    making: Mutex<()>,
    /// Since when one is being made.
    since: std::sync::Mutex<Option<Moment>>,
    /// Settings were changed, or one was asked for.
    woken: Notify,
}

/// How things stand, to be shown.
#[derive(Debug, Clone)]
pub struct Standing {
    pub settings: Option<Settings>,
    pub record: Record,
    /// `None` where none is made by itself.
    pub next: Option<Moment>,
    pub under_way_since: Option<Moment>,
    pub age: Age,
    /// The settings or the record cannot be read.
    pub fault: Option<String>,
}

/// To look at how the backups stand. Nothing can be made, set or taken away through it.
#[derive(Clone)]
pub struct BackupNews(Backups);

impl BackupNews {
    pub fn of(backups: &Backups) -> BackupNews {
        BackupNews(backups.clone())
    }

    pub async fn standing(&self) -> Result<Standing, AppError> {
        self.0.standing().await
    }
}

impl Backups {
    pub fn new(folder: DataFolder, db: &Db, clock: Clock) -> Backups {
        Backups::with_patience(folder, db, clock, PATIENCE)
    }

    /// With another patience, for places that fail.
    pub fn with_patience(folder: DataFolder, db: &Db, clock: Clock, patience: Duration) -> Backups {
        let (making, since, woken) = (Mutex::default(), std::sync::Mutex::default(), Notify::new());
        let (read, store) = (db.read.clone(), db.store);
        Backups(Arc::new(Inner { folder, read, store, clock, patience, making, since, woken }))
    }

    /// The place, to see whether it can be used.
    pub fn target(&self, place: &Place) -> Result<Target, String> {
        place.target(self.0.patience)
    }

    pub fn folder(&self) -> &DataFolder {
        &self.0.folder
    }

    /// Errors only where the database cannot be read.
    pub async fn standing(&self) -> Result<Standing, AppError> {
        let now = self.0.clock.now();
        let (settings, wrong) = or_fault(settings::load(&self.0.folder));
        let (record, ill) = or_fault(Record::load(&self.0.folder).map(Some));
        let (settings, record) = (settings.flatten(), record.flatten().unwrap_or_default());
        let began = store::began(&mut *self.0.read.conn().await?).await?;
        let old_after = settings.as_ref().map_or(OLD_AFTER_DAYS, |settings| settings.old_after_days);
        Ok(Standing {
            next: settings.as_ref().map(|set| due::next(&record, set.hour, now, &TimeZone::system())),
            age: due::age(record.good.as_ref().map(|good| good.at), began, now, old_after),
            under_way_since: *self.0.since.lock().unwrap_or_else(PoisonError::into_inner),
            fault: wrong.or(ill),
            settings,
            record,
        })
    }

    /// Keeps what was chosen. The first backup to a new place is due at once.
    pub fn set(&self, chosen: &Settings) -> Result<(), StartError> {
        let before = settings::load(&self.0.folder).ok().flatten();
        settings::save(&self.0.folder, chosen)?;
        let mut record = Record::load(&self.0.folder).unwrap_or_default();
        record.trouble = None;
        record.failures = 0;
        if before.is_none_or(|before| before.place != chosen.place) {
            record.by_itself_at = None;
            record.kept = 0;
            record.oldest = None;
        }
        record.save(&self.0.folder)?;
        self.0.woken.notify_one();
        Ok(())
    }

    /// No more are made by themselves.
    pub fn stop(&self) -> Result<(), StartError> {
        settings::forget(&self.0.folder)
    }

    /// Makes one whenever one is due, for as long as the garage is open.
    pub async fn keep_making(self) {
        loop {
            if self.is_due()
                && let Err(trouble) = self.make_one().await
            {
                tracing::warn!(%trouble, "no backup was made");
            }
            let _ = tokio::time::timeout(LOOKING, self.0.woken.notified()).await;
        }
    }

    fn is_due(&self) -> bool {
        let Ok(Some(chosen)) = settings::load(&self.0.folder) else { return false };
        let record = Record::load(&self.0.folder).unwrap_or_default();
        let now = self.0.clock.now();
        due::next(&record, chosen.hour, now, &TimeZone::system()) <= now
    }

    /// Makes one now and notes what became of it. While one is being made it waits for that and makes another.
    ///
    /// # Errors
    /// What went wrong, which is noted as well. Older backups are left alone then.
    pub async fn make_one(&self) -> Result<(), Trouble> {
        let _alone = self.0.making.lock().await;
        let now = self.0.clock.now();
        *self.0.since.lock().unwrap_or_else(PoisonError::into_inner) = Some(now);
        let made = self.put_one(now).await;
        *self.0.since.lock().unwrap_or_else(PoisonError::into_inner) = None;
        let mut record = Record::load(&self.0.folder).unwrap_or_default();
        match &made {
            Ok((good, Ok(kept))) => {
                let oldest = kept.last().map(|kept| kept.name.made_at);
                record = Record { kept: kept.len(), oldest, ..Record::made(good.clone()) };
            }
            // It is whole all the same: another try would only fill the place further.
            Ok((good, Err(untidy))) => {
                record = Record { untidy: Some(untidy.to_string()), ..Record::made(good.clone()) };
            }
            Err(trouble) => {
                record.failures = record.failures.saturating_add(1);
                record.trouble = Some(Failed { at: now, say: trouble.to_string() });
            }
        }
        if let Err(cause) = record.save(&self.0.folder) {
            tracing::warn!(%cause, "what became of a backup could not be noted");
        }
        made.map(drop)
    }

    /// Makes one, keeps it, and only then thins out. Answers the new one, and what is kept, the newest first.
    async fn put_one(&self, now: Moment) -> Result<(Good, Result<Vec<Kept>, Trouble>), Trouble> {
        let not_made = |cause: StartError| Trouble::NotMade(cause.to_string());
        let chosen = settings::load(&self.0.folder).map_err(not_made)?;
        let chosen = chosen.ok_or_else(|| Trouble::NotMade("no place was chosen for it.".into()))?;
        let target = chosen.place.target(self.0.patience).map_err(Trouble::NotMade)?;
        // A place that cannot be reached is told before a large file is made for nothing.
        target.kept().await?;
        let scratch = self.0.folder.scratch();
        std::fs::create_dir_all(&scratch).map_err(Trouble::folder(&scratch))?;
        let work = tempfile::tempdir_in(&scratch).map_err(Trouble::folder(&scratch))?;
        let file = work.path().join("backup");
        make_quietly(&self.0.folder, &file, &self.0.clock).await.map_err(not_made)?;
        let bytes = std::fs::metadata(&file).map_err(Trouble::folder(&scratch))?.len();
        let name = Name::new(self.0.store, now);
        target.put(&name, &file).await?;
        let kept = thin(&target, &series_of(self.0.store)).await;
        Ok((Good { at: now, place: target.words(), bytes }, kept))
    }
}

/// Takes away the backups of a series that are not kept any longer. Answers those that are, the newest first.
async fn thin(target: &Target, series: &str) -> Result<Vec<Kept>, Trouble> {
    let mut ours = target.kept().await?;
    ours.retain(|kept| kept.name.series == series);
    let made: Vec<_> = ours.iter().map(|kept| kept.name.made_at.local().datetime()).collect();
    let goes = surplus(&made);
    for at in &goes {
        target.remove(&ours[*at].name.to_string()).await?;
    }
    let mut place = 0;
    ours.retain(|_| {
        place += 1;
        !goes.contains(&(place - 1))
    });
    Ok(ours)
}

fn or_fault<T>(read: Result<T, StartError>) -> (Option<T>, Option<String>) {
    match read {
        Ok(found) => (Some(found), None),
        Err(cause) => (None, Some(cause.to_string())),
    }
}
