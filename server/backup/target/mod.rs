//! The place where backups are kept: a folder, or a folder on a WebDAV server (RFC 4918).
//!
//! Both keep the same promise: a backup that bears its name is whole. It is written under another name, read back and
//! compared, and only then given its own. What is there already is never written over.

mod folder;
mod multistatus;
mod webdav;

pub use folder::FolderTarget;
pub use webdav::{Login, PATIENCE, WebDavTarget, folder_of};

use super::name::{Name, is_part_of};
use super::trouble::Trouble;
use sha2::{Digest, Sha256};
use std::fs::File;
use std::io::Read;
use std::path::Path;

/// A file in the place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    pub file: String,
    /// In bytes; `None`: not told.
    pub bytes: Option<u64>,
}

/// A backup in the place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    pub name: Name,
    pub bytes: Option<u64>,
}

/// Length in bytes and SHA-256 of a file: what makes two the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Print {
    pub bytes: u64,
    pub sha256: [u8; 32],
}

#[derive(Debug, Clone)]
pub enum Target {
    Folder(FolderTarget),
    WebDav(WebDavTarget),
}

impl Target {
    /// The backups in the place, the newest first. Whatever else lies there is passed over.
    pub async fn kept(&self) -> Result<Vec<Kept>, Trouble> {
        let named = |found: Found| Some(Kept { name: found.file.parse().ok()?, bytes: found.bytes });
        let mut kept: Vec<Kept> = self.list().await?.into_iter().filter_map(named).collect();
        kept.sort_by(|one, other| other.name.cmp(&one.name));
        Ok(kept)
    }

    /// Keeps a file there under its name, whole and read back.
    ///
    /// # Errors
    /// What went wrong. Nothing that was there is touched, and what was half-written is taken away if that can be done.
    pub async fn put(&self, name: &Name, file: &Path) -> Result<(), Trouble> {
        self.sweep(&name.series).await?;
        let print = print_of(file)?;
        let part = name.part();
        let put = self.put_checked(&part, &name.to_string(), file, &print).await;
        if put.is_err() {
            // The trouble that is told is the one before: this often fails for the same reason, and is tried next time.
            let _ = self.remove(&part).await;
        }
        put
    }

    async fn put_checked(&self, part: &str, name: &str, file: &Path, print: &Print) -> Result<(), Trouble> {
        match self {
            Target::Folder(target) => target.write(part, file).await?,
            Target::WebDav(target) => target.write(part, file, print.bytes).await?,
        }
        if self.read_back(part).await? != *print {
            return Err(Trouble::Differs);
        }
        match self {
            Target::Folder(target) => target.rename(part, name).await?,
            Target::WebDav(target) => target.rename(part, name).await?,
        }
        let there = self.list().await?.into_iter().find(|found| found.file == name).ok_or(Trouble::Differs)?;
        if there.bytes.is_some_and(|bytes| bytes != print.bytes) {
            return Err(Trouble::Differs);
        }
        Ok(())
    }

    /// Takes away what an earlier try left half-written. What will not go is in nobody's way.
    async fn sweep(&self, series: &str) -> Result<(), Trouble> {
        for found in self.list().await? {
            if is_part_of(&found.file, series) {
                let _ = self.remove(&found.file).await;
            }
        }
        Ok(())
    }

    async fn list(&self) -> Result<Vec<Found>, Trouble> {
        match self {
            Target::Folder(target) => target.list().await,
            Target::WebDav(target) => target.list().await,
        }
    }

    async fn read_back(&self, file: &str) -> Result<Print, Trouble> {
        match self {
            Target::Folder(target) => target.read(file, None).await,
            Target::WebDav(target) => target.read(file, None).await,
        }
    }

    /// Brings a backup back into a new file here.
    pub async fn fetch(&self, name: &Name, into: &Path) -> Result<(), Trouble> {
        let file = name.to_string();
        match self {
            Target::Folder(target) => target.read(&file, Some(into)).await?,
            Target::WebDav(target) => target.read(&file, Some(into)).await?,
        };
        Ok(())
    }

    /// Takes a file away. That it is not there is no trouble.
    pub async fn remove(&self, file: &str) -> Result<(), Trouble> {
        match self {
            Target::Folder(target) => target.remove(file).await,
            Target::WebDav(target) => target.remove(file).await,
        }
    }

    /// The place in words.
    pub fn words(&self) -> String {
        match self {
            Target::Folder(target) => target.path().display().to_string(),
            Target::WebDav(target) => target.address(),
        }
    }
}

fn print_of(file: &Path) -> Result<Print, Trouble> {
    let fail = || Trouble::folder(file.to_owned());
    let mut hasher = Hasher::default();
    let mut opened = File::open(file).map_err(fail())?;
    let mut piece = vec![0; 64 * 1024];
    loop {
        let n = opened.read(&mut piece).map_err(fail())?;
        if n == 0 {
            return Ok(hasher.print());
        }
        hasher.take(&piece[..n]);
    }
}

/// Makes a print as bytes go past.
#[derive(Default)]
struct Hasher {
    sha: Sha256,
    bytes: u64,
}

impl Hasher {
    fn take(&mut self, piece: &[u8]) {
        self.sha.update(piece);
        self.bytes += piece.len() as u64;
    }

    fn print(self) -> Print {
        Print { bytes: self.bytes, sha256: self.sha.finalize().into() }
    }
}
