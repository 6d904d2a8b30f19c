//! A folder of this computer: another disk, a stick, a share of the network.

use super::{Found, Hasher, Print};
use crate::backup::trouble::Trouble;
use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use tokio::task::spawn_blocking;

/// The folder is never made: a disk that is not plugged in must not turn into a folder on the garage's own.
#[derive(Debug, Clone)]
pub struct FolderTarget(PathBuf);

impl FolderTarget {
    pub fn new(path: impl Into<PathBuf>) -> FolderTarget {
        FolderTarget(path.into())
    }

    pub fn path(&self) -> &Path {
        &self.0
    }

    pub async fn list(&self) -> Result<Vec<Found>, Trouble> {
        self.blocking(|folder| {
            let mut found = Vec::new();
            for entry in fs::read_dir(folder)? {
                let entry = entry?;
                let about = entry.metadata()?;
                if let (true, Ok(file)) = (about.is_file(), entry.file_name().into_string()) {
                    found.push(Found { file, bytes: Some(about.len()) });
                }
            }
            Ok(found)
        })
        .await
    }

    /// Writes a new file, synced, and readable by its owner only: there are keys in a backup.
    pub async fn write(&self, file: &str, from: &Path) -> Result<(), Trouble> {
        let (file, from) = (file.to_owned(), from.to_owned());
        self.blocking(move |folder| {
            let mut out = private(&folder.join(file))?;
            io::copy(&mut File::open(from)?, &mut out)?;
            out.sync_all()
        })
        .await
    }

    pub async fn rename(&self, from: &str, to: &str) -> Result<(), Trouble> {
        let (from, to) = (from.to_owned(), to.to_owned());
        self.blocking(move |folder| {
            let to = folder.join(to);
            if to.exists() {
                return Err(io::Error::from(ErrorKind::AlreadyExists));
            }
            fs::rename(folder.join(from), to)?;
            sync_folder(folder)
        })
        .await
    }

    /// Reads a file through, into a new one if there is to be one.
    pub async fn read(&self, file: &str, into: Option<&Path>) -> Result<Print, Trouble> {
        let (name, into) = (file.to_owned(), into.map(Path::to_owned));
        if !self.0.join(file).exists() {
            return Err(Trouble::NoSuch(name));
        }
        self.blocking(move |folder| {
            let mut from = File::open(folder.join(name))?;
            let mut out = into.as_deref().map(private).transpose()?;
            let (mut hasher, mut piece) = (Hasher::default(), vec![0; 64 * 1024]);
            loop {
                let n = from.read(&mut piece)?;
                if n == 0 {
                    return Ok(hasher.print());
                }
                hasher.take(&piece[..n]);
                if let Some(out) = &mut out {
                    out.write_all(&piece[..n])?;
                }
            }
        })
        .await
    }

    pub async fn remove(&self, file: &str) -> Result<(), Trouble> {
        let file = file.to_owned();
        self.blocking(move |folder| match fs::remove_file(folder.join(file)) {
            Err(cause) if cause.kind() != ErrorKind::NotFound => Err(cause),
            Ok(()) | Err(_) => Ok(()),
        })
        .await
    }

    async fn blocking<T: Send + 'static>(
        &self,
        work: impl FnOnce(&Path) -> io::Result<T> + Send + 'static,
    ) -> Result<T, Trouble> {
        let folder = self.0.clone();
        if !folder.is_dir() {
            return Err(Trouble::NoFolder(folder));
        }
        let at = folder.clone();
        let done = spawn_blocking(move || work(&at)).await.map_err(io::Error::other).and_then(|done| done);
        done.map_err(Trouble::folder(folder))
    }
}

fn private(path: &Path) -> io::Result<File> {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(path)
}

/// Makes names last through a power cut. A share of the network may not know how, and is none the worse for it.
fn sync_folder(folder: &Path) -> io::Result<()> {
    let _ = File::open(folder).and_then(|folder| folder.sync_all());
    Ok(())
}
