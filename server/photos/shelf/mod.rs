//! Where photos live on disk: bytes that are still arriving, and finished photos.
//!
//! ```text
//! parts/<sha256>.part     what has arrived; its length is the offset, and nothing else is
//! parts/<sha256>.length   the length that was announced, in decimal
//! parts/<sha256>.making   folder in which a photo is put together
//! parts/<sha256>.gone     folder of a photo that is being removed
//! done/<first 2>/<sha256>/{original.jpg|png|webp, upright.jpg, thumb.jpg}
//! ```
//!
//! A photo is named by the SHA-256 of the bytes that the phone sent. The steps follow the core of the
//! tus 1.0 resumable upload protocol; HTTP itself is elsewhere.
//!
//! Invariants:
//! - No offset is told before the bytes under it are synced, so a power cut cannot make the answer a lie.
//! - A folder under `done/` is complete: it is put together elsewhere, synced, and renamed into place.
//! - One request at a time touches an upload. The newest wins: an older one that still receives is told
//!   to stop, saves what it has and lets go. A phone that lost Wi-Fi never waits for its own old request.
//! - Whatever holds the lock runs on a blocking thread to its end, even if the request that started it
//!   is dropped half-way; the lock goes with it. So two writers never meet.
//! - One process per folder: the locks are in memory.

use std::collections::HashMap;
use std::fmt::Display;
use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Write};
use std::panic::catch_unwind;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError, Weak};
use std::time::SystemTime;

use bytes::Bytes;
use futures_util::{Stream, StreamExt};
use thiserror::Error;
use tokio::sync::Semaphore;
use tokio::task::spawn_blocking;

use super::pipeline::{self, Facts, MAX_BYTES, Pictures, Refusal};
use folder::*;
use turn::{Turn, Upload};

mod folder;
mod sha;
mod turn;

pub use sha::{NotASha256, Sha256Hex};

/// How far a photo has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// `offset` bytes of `length` are safe on disk. When they are equal, [`PhotoShelf::finish`] is due.
    Receiving { offset: u64, length: u64 },
    /// The finished photo is on the shelf; nothing needs to be sent.
    AlreadyHere,
}

impl Standing {
    /// Whether everything has arrived and the photo waits to be finished.
    pub fn awaits_finish(self) -> bool {
        match self {
            Standing::Receiving { offset, length } => offset == length,
            Standing::AlreadyHere => false,
        }
    }
}

/// A photo that is on the shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FinishedPhoto {
    pub sha: Sha256Hex,
    pub facts: Facts,
}

/// The pictures kept of every photo.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    Original,
    Upright,
    Thumb,
}

/// A file to serve. It never changes: name and bytes belong together for ever.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StoredFile {
    pub path: PathBuf,
    pub media_type: &'static str,
    /// In bytes.
    pub length: u64,
}

#[derive(Debug, Error)]
pub enum ShelfError {
    #[error("No upload of this photo has been started.")]
    NotStarted,
    #[error("The photo goes on at byte {have}.")]
    WrongOffset { have: u64 },
    #[error("More arrived than the {length} bytes that were announced.")]
    TooLong { length: u64 },
    #[error("Only {have} of {length} bytes have arrived.")]
    Incomplete { have: u64, length: u64 },
    #[error("A newer request goes on with this photo.")]
    Superseded,
    #[error("The connection broke after byte {have}: {reason}")]
    Cut { have: u64, reason: String },
    #[error("What arrived is not the photo that was announced. Send it again from the start.")]
    WrongHash,
    #[error(transparent)]
    Refused(#[from] Refusal),
    #[error("The disk of the server is full. Make room there; the photo stays on the phone until then.")]
    DiskFull,
    #[error("The photo folder cannot be used: {0}")]
    Io(io::Error),
}

impl From<io::Error> for ShelfError {
    fn from(error: io::Error) -> Self {
        match error.kind() {
            ErrorKind::StorageFull | ErrorKind::QuotaExceeded => Self::DiskFull,
            _ => Self::Io(error),
        }
    }
}

/// The folder of photos. Cheap to clone; clones share their locks.
#[derive(Debug, Clone)]
pub struct PhotoShelf {
    folder: Folder,
    uploads: Arc<Mutex<HashMap<Sha256Hex, Weak<Upload>>>>,
    /// One photo is worked on at a time: a large one takes hundreds of megabytes while it is open.
    bench: Arc<Semaphore>,
}

impl PhotoShelf {
    /// Opens the shelf and makes its folders if needed.
    ///
    /// # Errors
    /// When the folders cannot be made.
    pub async fn open(dir: impl Into<PathBuf>) -> Result<Self, ShelfError> {
        let folder = Folder::new(dir.into());
        let made = folder.clone();
        blocking(move || made.make()).await?;
        Ok(Self { folder, uploads: Arc::default(), bench: Arc::new(Semaphore::new(1)) })
    }

    /// Announces a photo of `length` bytes, or asks how far it has come.
    ///
    /// # Errors
    /// [`Refusal::TooLarge`] before a byte is sent; trouble with the disk.
    pub async fn begin(&self, sha: &Sha256Hex, length: u64) -> Result<Standing, ShelfError> {
        if length > MAX_BYTES {
            return Err(Refusal::TooLarge.into());
        }
        let slot = self.slot(sha).await?;
        blocking(move || slot.begin(length)).await
    }

    /// How far a photo has come. Ends an older request that still sends it.
    ///
    /// # Errors
    /// [`ShelfError::NotStarted`]; trouble with the disk.
    pub async fn offset(&self, sha: &Sha256Hex) -> Result<Standing, ShelfError> {
        let slot = self.slot(sha).await?;
        blocking(move || slot.standing()).await
    }

    /// Writes a piece that begins at byte `at`. Bytes go to disk as they come; those that came before
    /// a cut are kept. Does not read `pieces` when the photo is finished already.
    ///
    /// # Errors
    /// [`ShelfError::WrongOffset`] changes nothing. After [`ShelfError::Cut`], [`ShelfError::TooLong`],
    /// [`ShelfError::Superseded`] and [`ShelfError::DiskFull`] the offset tells what was kept.
    pub async fn append<S, E>(&self, sha: &Sha256Hex, at: u64, pieces: S) -> Result<Standing, ShelfError>
    where
        S: Stream<Item = Result<Bytes, E>>,
        E: Display,
    {
        let slot = self.slot(sha).await?;
        let mut newest = slot.turn.watch();
        let Some(mut part) = blocking(move || slot.open_part(at)).await? else {
            return Ok(Standing::AlreadyHere);
        };
        let mut pieces = std::pin::pin!(pieces);
        let ended = loop {
            // What has come is written even if a newer request waits, so that requests which keep ending
            // each other still get on.
            let piece = tokio::select! {
                biased;
                piece = pieces.next() => piece,
                () = newest.passed() => break Some(ShelfError::Superseded),
            };
            match piece {
                None => break None,
                Some(Ok(bytes)) => part = blocking(move || part.write(&bytes)).await?,
                Some(Err(error)) => {
                    break Some(ShelfError::Cut { have: part.have, reason: error.to_string() });
                }
            }
            if newest.has_passed() {
                break Some(ShelfError::Superseded);
            }
        };
        let saved = blocking(move || part.save()).await?;
        ended.map_or(Ok(saved), Err)
    }

    /// Makes the finished photo of a complete upload. Repeating it is harmless and answers the same.
    ///
    /// # Errors
    /// [`ShelfError::Incomplete`] keeps what came. [`ShelfError::WrongHash`] and [`ShelfError::Refused`]
    /// throw it away. Trouble with the disk keeps it, so that finishing can be tried again.
    pub async fn finish(&self, sha: &Sha256Hex) -> Result<FinishedPhoto, ShelfError> {
        let slot = self.slot(sha).await?;
        let room = Arc::clone(&self.bench).acquire_owned().await.map_err(io::Error::other)?;
        blocking(move || {
            let _room = room;
            slot.finish()
        })
        .await
    }

    /// Puts a finished photo on the shelf whose three files lie in a folder on the same disk. Answers whether it was new;
    /// one that is there stays, and so does the folder then.
    ///
    /// # Errors
    /// Trouble with the disk.
    pub async fn adopt(&self, sha: &Sha256Hex, files: &Path) -> Result<bool, ShelfError> {
        let slot = self.slot(sha).await?;
        let files = files.to_owned();
        blocking(move || slot.adopt(&files)).await
    }

    /// The file of a finished photo, `None` when the photo is not on the shelf.
    ///
    /// # Errors
    /// Trouble with the disk.
    pub async fn read(&self, sha: &Sha256Hex, kind: Kind) -> Result<Option<StoredFile>, ShelfError> {
        let (folder, sha) = (self.folder.clone(), sha.clone());
        blocking(move || folder.stored(&sha, kind)).await
    }

    /// Removes a photo, finished or arriving. Answers whether there was one.
    ///
    /// # Errors
    /// Trouble with the disk.
    pub async fn remove(&self, sha: &Sha256Hex) -> Result<bool, ShelfError> {
        let slot = self.slot(sha).await?;
        blocking(move || slot.remove()).await
    }

    /// All finished photos, in the order of their names.
    ///
    /// # Errors
    /// Trouble with the disk.
    pub async fn list(&self) -> Result<Vec<Sha256Hex>, ShelfError> {
        let folder = self.folder.clone();
        blocking(move || folder.finished()).await
    }

    /// Bytes taken by all finished and arriving photos.
    ///
    /// # Errors
    /// Trouble with the disk.
    pub async fn total_bytes(&self) -> Result<u64, ShelfError> {
        let folder = self.folder.clone();
        blocking(move || Ok(bytes_under(&folder.parts)? + bytes_under(&folder.done)?)).await
    }

    /// Throws away uploads that nobody has touched since `older_than`. Answers how many.
    /// One that is being worked on is left alone.
    ///
    /// # Errors
    /// Trouble with the disk.
    pub async fn sweep(&self, older_than: SystemTime) -> Result<usize, ShelfError> {
        let folder = self.folder.clone();
        let mut swept = 0;
        for sha in blocking(move || folder.arriving()).await? {
            let Some(slot) = self.idle_slot(&sha) else {
                continue;
            };
            swept += usize::from(blocking(move || slot.discard_if_untouched_since(older_than)).await?);
        }
        Ok(swept)
    }

    /// Becomes the newest request for `sha` and waits until an older one has let go.
    async fn slot(&self, sha: &Sha256Hex) -> Result<Slot, ShelfError> {
        let turn = Turn::newest(self.upload(sha)).await?;
        Ok(Slot { folder: self.folder.clone(), sha: sha.clone(), turn })
    }

    fn idle_slot(&self, sha: &Sha256Hex) -> Option<Slot> {
        let turn = Turn::if_idle(self.upload(sha))?;
        Some(Slot { folder: self.folder.clone(), sha: sha.clone(), turn })
    }

    fn upload(&self, sha: &Sha256Hex) -> Arc<Upload> {
        // The map is whole after any panic: each change to it is a single call.
        let mut uploads = self.uploads.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(upload) = uploads.get(sha).and_then(Weak::upgrade) {
            return upload;
        }
        uploads.retain(|_, upload| upload.strong_count() > 0);
        let upload = Arc::new(Upload::default());
        uploads.insert(sha.clone(), Arc::downgrade(&upload));
        upload
    }
}

/// The files of one photo in the hands of the one request whose turn it is. Blocking.
struct Slot {
    folder: Folder,
    sha: Sha256Hex,
    turn: Turn,
}

impl Slot {
    fn begin(self, length: u64) -> Result<Standing, ShelfError> {
        if self.is_finished() {
            return Ok(Standing::AlreadyHere);
        }
        let announced = self.announced()?;
        if announced == Some(length) && self.part().exists() {
            return self.standing();
        }
        // A name has one true length, so an upload announced with another one cannot come right.
        remove_if_there(&self.part())?;
        write_synced(&self.length_file(), length.to_string().as_bytes())?;
        File::create(self.part())?;
        sync_folder(&self.folder.parts)?;
        Ok(Standing::Receiving { offset: 0, length })
    }

    fn standing(self) -> Result<Standing, ShelfError> {
        if self.is_finished() {
            return Ok(Standing::AlreadyHere);
        }
        let length = self.announced()?.ok_or(ShelfError::NotStarted)?;
        let (_, offset) = self.synced_part()?;
        Ok(Standing::Receiving { offset, length })
    }

    /// `None` when the photo is finished.
    fn open_part(self, at: u64) -> Result<Option<OpenPart>, ShelfError> {
        if self.is_finished() {
            return Ok(None);
        }
        let length = self.announced()?.ok_or(ShelfError::NotStarted)?;
        let (file, have) = self.synced_part()?;
        if at != have {
            return Err(ShelfError::WrongOffset { have });
        }
        Ok(Some(OpenPart { file, have, length, _turn: self.turn }))
    }

    /// Opens the part for appending and syncs it: a write that was cut off may have left bytes unsynced.
    fn synced_part(&self) -> Result<(File, u64), ShelfError> {
        let file = OpenOptions::new().append(true).open(self.part()).map_err(not_started)?;
        file.sync_all()?;
        let have = file.metadata()?.len();
        Ok((file, have))
    }

    fn finish(self) -> Result<FinishedPhoto, ShelfError> {
        if self.is_finished() {
            self.discard_files()?;
            return self.finished_photo();
        }
        let length = self.announced()?.ok_or(ShelfError::NotStarted)?;
        let sent = fs::read(self.part()).map_err(not_started)?;
        let have = sent.len() as u64;
        if have < length {
            return Err(ShelfError::Incomplete { have, length });
        }
        if Sha256Hex::of(&sent) != self.sha {
            self.discard_files()?;
            return Err(ShelfError::WrongHash);
        }
        // A decoder that panics has met a damaged picture; reported as trouble it would be sent again for ever.
        let made = catch_unwind(|| pipeline::process(&sent)).unwrap_or(Err(Refusal::Damaged));
        let pictures = match made {
            Ok(pictures) => pictures,
            Err(refusal) => {
                self.discard_files()?;
                return Err(refusal.into());
            }
        };
        if let Err(trouble) = self.put_on_shelf(&pictures) {
            // On a full disk the half-made photo would take the room that the upload needs.
            remove_folder_if_there(&self.folder.part(&self.sha, MAKING))?;
            return Err(trouble);
        }
        self.discard_files()?;
        let facts = Facts { format: pictures.format, size: pictures.size };
        Ok(FinishedPhoto { sha: self.sha, facts })
    }

    fn put_on_shelf(&self, pictures: &Pictures) -> Result<(), ShelfError> {
        let making = self.folder.part(&self.sha, MAKING);
        remove_folder_if_there(&making)?;
        fs::create_dir(&making)?;
        write_synced(&making.join(original_name(pictures.format)), &pictures.original)?;
        write_synced(&making.join(UPRIGHT), &pictures.upright)?;
        write_synced(&making.join(THUMB), &pictures.thumb)?;
        sync_folder(&making)?;
        self.put_in_place(&making)
    }

    /// `made` holds the whole photo, synced.
    fn put_in_place(&self, made: &Path) -> Result<(), ShelfError> {
        let finished = self.folder.finished_folder(&self.sha);
        let group = self.folder.group(&self.sha);
        fs::create_dir_all(&group)?;
        sync_folder(&self.folder.done)?;
        fs::rename(made, &finished)?;
        sync_folder(&group)?;
        Ok(())
    }

    fn adopt(self, files: &Path) -> Result<bool, ShelfError> {
        if self.is_finished() {
            return Ok(false);
        }
        for file in entries(files)? {
            File::open(file)?.sync_all()?;
        }
        sync_folder(files)?;
        self.put_in_place(files)?;
        self.discard_files()?;
        Ok(true)
    }

    /// Reads what [`Slot::finish`] answered the first time from the stored picture.
    fn finished_photo(self) -> Result<FinishedPhoto, ShelfError> {
        let stored = self.folder.stored(&self.sha, Kind::Original)?;
        let stored = stored.ok_or_else(|| io::Error::from(ErrorKind::NotFound))?;
        let facts = pipeline::facts(&fs::read(stored.path)?)?;
        Ok(FinishedPhoto { sha: self.sha, facts })
    }

    fn remove(self) -> Result<bool, ShelfError> {
        let arriving = self.part().exists();
        self.discard_files()?;
        let gone = self.folder.part(&self.sha, GONE);
        match fs::rename(self.folder.finished_folder(&self.sha), &gone) {
            Ok(()) => {}
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(arriving),
            Err(error) => return Err(error.into()),
        }
        sync_folder(&self.folder.group(&self.sha))?;
        fs::remove_dir_all(&gone)?;
        Ok(true)
    }

    fn discard_if_untouched_since(self, older_than: SystemTime) -> Result<bool, ShelfError> {
        for ending in ENDINGS {
            match fs::metadata(self.folder.part(&self.sha, ending)) {
                Ok(about) if about.modified()? >= older_than => return Ok(false),
                Ok(_) => {}
                Err(error) => unless_absent(error)?,
            }
        }
        self.discard_files()?;
        Ok(true)
    }

    fn discard_files(&self) -> Result<(), ShelfError> {
        remove_folder_if_there(&self.folder.part(&self.sha, MAKING))?;
        remove_folder_if_there(&self.folder.part(&self.sha, GONE))?;
        remove_if_there(&self.part())?;
        remove_if_there(&self.length_file())?;
        Ok(())
    }

    fn announced(&self) -> Result<Option<u64>, ShelfError> {
        match fs::read_to_string(self.length_file()) {
            // A number that cannot be read is a file cut short by a crash: as good as none.
            Ok(text) => Ok(text.parse().ok()),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
            Err(error) => Err(error.into()),
        }
    }

    fn is_finished(&self) -> bool {
        self.folder.finished_folder(&self.sha).is_dir()
    }

    fn part(&self) -> PathBuf {
        self.folder.part(&self.sha, PART)
    }

    fn length_file(&self) -> PathBuf {
        self.folder.part(&self.sha, LENGTH)
    }
}

/// A part file that is being written.
struct OpenPart {
    file: File,
    have: u64,
    length: u64,
    _turn: Turn,
}

impl OpenPart {
    fn write(mut self, bytes: &[u8]) -> Result<Self, ShelfError> {
        let have = self.have + bytes.len() as u64;
        if have > self.length {
            return Err(ShelfError::TooLong { length: self.length });
        }
        self.file.write_all(bytes)?;
        self.have = have;
        Ok(self)
    }

    fn save(self) -> Result<Standing, ShelfError> {
        self.file.sync_all()?;
        Ok(Standing::Receiving { offset: self.have, length: self.length })
    }
}

fn not_started(error: io::Error) -> ShelfError {
    if error.kind() == ErrorKind::NotFound { ShelfError::NotStarted } else { error.into() }
}

/// Runs file work on a thread that may block. It goes on to its end when the caller is dropped.
async fn blocking<T, F>(work: F) -> Result<T, ShelfError>
where
    T: Send + 'static,
    F: FnOnce() -> Result<T, ShelfError> + Send + 'static,
{
    spawn_blocking(work).await.map_err(io::Error::other)?
}
