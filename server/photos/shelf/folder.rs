//! The names of the files on disk, and the file work that lasts through a power cut.

use super::{Kind, Sha256Hex, ShelfError, StoredFile};
use crate::photos::pipeline::Format;
use std::collections::BTreeSet;
use std::fs::{self, File};
use std::io::{self, ErrorKind, Write};
use std::path::{Path, PathBuf};

pub(super) const PART: &str = "part";
pub(super) const LENGTH: &str = "length";
pub(super) const MAKING: &str = "making";
pub(super) const GONE: &str = "gone";
pub(super) const ENDINGS: [&str; 4] = [PART, LENGTH, MAKING, GONE];

pub(super) const UPRIGHT: &str = "upright.jpg";
pub(super) const THUMB: &str = "thumb.jpg";

pub(super) fn original_name(format: Format) -> String {
    format!("original.{}", format.extension())
}

/// Names of the files; knows no locks.
#[derive(Debug, Clone)]
pub(super) struct Folder {
    pub(super) parts: PathBuf,
    pub(super) done: PathBuf,
}

impl Folder {
    pub(super) fn new(dir: PathBuf) -> Self {
        Self { parts: dir.join("parts"), done: dir.join("done") }
    }

    pub(super) fn make(&self) -> Result<(), ShelfError> {
        fs::create_dir_all(&self.parts)?;
        fs::create_dir_all(&self.done)?;
        self.parts.parent().map_or(Ok(()), sync_folder)?;
        Ok(())
    }

    pub(super) fn part(&self, sha: &Sha256Hex, ending: &str) -> PathBuf {
        self.parts.join(format!("{sha}.{ending}"))
    }

    pub(super) fn group(&self, sha: &Sha256Hex) -> PathBuf {
        self.done.join(&sha.as_str()[..2])
    }

    pub(super) fn finished_folder(&self, sha: &Sha256Hex) -> PathBuf {
        self.group(sha).join(sha.as_str())
    }

    pub(super) fn stored(&self, sha: &Sha256Hex, kind: Kind) -> Result<Option<StoredFile>, ShelfError> {
        let folder = self.finished_folder(sha);
        let jpeg = Format::Jpeg.media_type();
        match kind {
            Kind::Upright => stored_file(folder.join(UPRIGHT), jpeg),
            Kind::Thumb => stored_file(folder.join(THUMB), jpeg),
            Kind::Original => {
                for format in Format::ALL {
                    let path = folder.join(original_name(format));
                    if let Some(found) = stored_file(path, format.media_type())? {
                        return Ok(Some(found));
                    }
                }
                Ok(None)
            }
        }
    }

    pub(super) fn finished(&self) -> Result<Vec<Sha256Hex>, ShelfError> {
        let mut found = Vec::new();
        for group in entries(&self.done)? {
            for photo in entries(&group)? {
                found.extend(name_of(&photo));
            }
        }
        found.sort();
        Ok(found)
    }

    /// Every photo of which there is anything under `parts/`.
    pub(super) fn arriving(&self) -> Result<BTreeSet<Sha256Hex>, ShelfError> {
        Ok(entries(&self.parts)?.iter().filter_map(|path| name_of(path)).collect())
    }
}

pub(super) fn stored_file(path: PathBuf, media_type: &'static str) -> Result<Option<StoredFile>, ShelfError> {
    match fs::metadata(&path) {
        Ok(about) => Ok(Some(StoredFile { path, media_type, length: about.len() })),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error.into()),
    }
}

/// The photo that a file or folder belongs to, by its name without the ending.
pub(super) fn name_of(path: &Path) -> Option<Sha256Hex> {
    Sha256Hex::parse(path.file_stem()?.to_str()?).ok()
}

pub(super) fn entries(folder: &Path) -> io::Result<Vec<PathBuf>> {
    fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.path())).collect()
}

pub(super) fn bytes_under(folder: &Path) -> io::Result<u64> {
    let mut total = 0;
    for path in entries(folder)? {
        total += match fs::metadata(&path) {
            Ok(about) if about.is_dir() => bytes_under(&path)?,
            Ok(about) => about.len(),
            Err(error) if error.kind() == ErrorKind::NotFound => 0,
            Err(error) => return Err(error),
        };
    }
    Ok(total)
}

pub(super) fn write_synced(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// Makes names in a folder last through a power cut. Only Unix can and needs to.
pub(super) fn sync_folder(folder: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}

pub(super) fn remove_if_there(path: &Path) -> io::Result<()> {
    fs::remove_file(path).or_else(unless_absent)
}

pub(super) fn remove_folder_if_there(path: &Path) -> io::Result<()> {
    fs::remove_dir_all(path).or_else(unless_absent)
}

pub(super) fn unless_absent(error: io::Error) -> io::Result<()> {
    if error.kind() == ErrorKind::NotFound { Ok(()) } else { Err(error) }
}
