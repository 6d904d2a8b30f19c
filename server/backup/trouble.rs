//! What can go wrong between a garage and the place where its backups are kept, as sentences that help.

use std::io;
use std::path::PathBuf;

#[derive(Debug, thiserror::Error)]
pub enum Trouble {
    #[error("The server refused the user or the password (it answered {0}). Enter them again.")]
    Refused(u16),
    #[error("There is no room left in that place. Make room there, or choose another place.")]
    Full,
    #[error("The server stopped answering half-way. It may be busy, or the network slow.")]
    Slow,
    #[error("The server could not be reached ({0}). Is it switched on, and is the address right?")]
    Unreachable(String),
    #[error(
        "The server’s certificate is not trusted by this computer ({0}). Have the computer trust it, or use another address."
    )]
    Certificate(String),
    #[error("The connection broke off half-way.")]
    Cut,
    #[error(
        "There is no such folder on the server, and it would not make one. Make the folder there, or correct the address."
    )]
    NoFolderThere,
    #[error("The server sends on to another address (it answered {0}). Enter that one.")]
    Elsewhere(u16),
    #[error(
        "There is no WebDAV at this address (it answered {0}). Correct the address: many servers have one of their own for it."
    )]
    NoWebDav(u16),
    #[error("The server answered {0}, which is not known here.")]
    Answered(u16),
    #[error("The folder {} is not there. Is the disk plugged in?", .0.display())]
    NoFolder(PathBuf),
    #[error("The folder {} cannot be used ({cause}).", folder.display())]
    Folder { folder: PathBuf, cause: io::Error },
    #[error(
        "What arrived there is not what was sent, so it was taken away again. The disk or the network may be failing."
    )]
    Differs,
    #[error("There is no backup called ‘{0}’ in that place.")]
    NoSuch(String),
    #[error("The backup could not be made here: {0}")]
    NotMade(String),
}

impl Trouble {
    /// Trouble in a folder.
    pub fn folder(folder: impl Into<PathBuf>) -> impl FnOnce(io::Error) -> Trouble {
        let folder = folder.into();
        move |cause| match cause.kind() {
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => Trouble::Full,
            _ => Trouble::Folder { folder, cause },
        }
    }

    /// Trouble on the way to a server.
    pub fn on_the_way(cause: &reqwest::Error) -> Trouble {
        let said = innermost(cause);
        if cause.is_timeout() {
            return Trouble::Slow;
        }
        if said.to_lowercase().contains("certificate") {
            return Trouble::Certificate(said);
        }
        if cause.is_connect() {
            return Trouble::Unreachable(said);
        }
        Trouble::Cut
    }

    /// What an answer means that is no success.
    pub fn of_status(status: u16) -> Trouble {
        match status {
            300..=399 => Trouble::Elsewhere(status),
            401 | 403 | 407 => Trouble::Refused(status),
            404 | 409 => Trouble::NoFolderThere,
            405 | 501 => Trouble::NoWebDav(status),
            408 | 429 | 503 | 504 => Trouble::Slow,
            507 => Trouble::Full,
            _ => Trouble::Answered(status),
        }
    }
}

/// The cause behind all others, which names what happened.
fn innermost(error: &dyn std::error::Error) -> String {
    let mut at = error;
    while let Some(cause) = at.source() {
        at = cause;
    }
    at.to_string()
}
