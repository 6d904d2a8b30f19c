//! What can go wrong, twice: `AppError` is answered to a browser, `StartError` to whoever started the program.
//!
//! An `AppError` has a status, a stable code (never renamed; listed in DEVELOPERS.md), a plain sentence,
//! and says whether trying again makes sense. The API answers RFC 9457 problem details; pages get the same
//! in words (`web::page` turns the one into the other).

use axum::Json;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use std::path::{Path, PathBuf};

/// Whether sending the same thing again can help.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Again {
    Later,
    AfterPairing,
    Never,
}

#[derive(Debug, thiserror::Error)]
pub enum AppError {
    #[error("There is no {0} here.")]
    NotFound(&'static str),
    /// Something typed or sent cannot be taken; the sentence says what and how to put it right.
    #[error("{1}")]
    Invalid(&'static str, String),
    #[error(
        "This was changed meanwhile by someone else. Nothing of yours was saved over it: look at the new state and enter it again."
    )]
    ChangedMeanwhile,
    #[error("This browser is not paired with this garage.")]
    NotPaired,
    #[error("Open the link again that you were given for this job.")]
    NoLink,
    #[error(
        "This link opens nothing: its time is over, it was taken back, or a character of it is missing. Ask for a new one."
    )]
    LinkOver,
    #[error("{0}")]
    PairingRefused(String),
    #[error("This came from another site and was not carried out.")]
    CrossSite,
    #[error("{0}")]
    TooLarge(String),
    #[error("Too many tries. Wait {0} seconds.")]
    TooMany(u64),
    #[error("The piece does not fit: {have} bytes are here.")]
    WrongOffset { have: u64 },
    #[error("The computer’s disk is full. Nothing was lost: it stays where it was entered until there is room.")]
    DiskFull,
    #[error("The garage’s computer is busy. It will be tried again.")]
    Busy,
    #[error("Something went wrong on the garage’s computer. What you entered before is kept.")]
    Internal(#[source] Box<dyn std::error::Error + Send + Sync>),
}

impl AppError {
    pub fn internal(cause: impl Into<Box<dyn std::error::Error + Send + Sync>>) -> AppError {
        AppError::Internal(cause.into())
    }

    /// Trouble with a file of the program's own.
    pub fn disk(cause: std::io::Error) -> AppError {
        match cause.kind() {
            std::io::ErrorKind::StorageFull | std::io::ErrorKind::QuotaExceeded => AppError::DiskFull,
            _ => AppError::internal(cause),
        }
    }

    pub fn status(&self) -> StatusCode {
        match self {
            AppError::NotFound(_) => StatusCode::NOT_FOUND,
            AppError::Invalid(..) => StatusCode::UNPROCESSABLE_ENTITY,
            AppError::ChangedMeanwhile | AppError::WrongOffset { .. } => StatusCode::CONFLICT,
            AppError::NotPaired | AppError::NoLink => StatusCode::UNAUTHORIZED,
            AppError::LinkOver => StatusCode::GONE,
            AppError::PairingRefused(_) | AppError::CrossSite => StatusCode::FORBIDDEN,
            AppError::TooLarge(_) => StatusCode::PAYLOAD_TOO_LARGE,
            AppError::TooMany(_) => StatusCode::TOO_MANY_REQUESTS,
            AppError::DiskFull => StatusCode::INSUFFICIENT_STORAGE,
            AppError::Busy => StatusCode::SERVICE_UNAVAILABLE,
            AppError::Internal(_) => StatusCode::INTERNAL_SERVER_ERROR,
        }
    }

    /// The stable code, for programs.
    pub fn code(&self) -> &'static str {
        match self {
            AppError::NotFound(_) => "not-found",
            AppError::Invalid(code, _) => code,
            AppError::ChangedMeanwhile => "changed-meanwhile",
            AppError::NotPaired => "not-paired",
            AppError::NoLink => "no-link",
            AppError::LinkOver => "link-over",
            AppError::PairingRefused(_) => "pairing-refused",
            AppError::CrossSite => "cross-site",
            AppError::TooLarge(_) => "too-large",
            AppError::TooMany(_) => "too-many-tries",
            AppError::WrongOffset { .. } => "wrong-offset",
            AppError::DiskFull => "disk-full",
            AppError::Busy => "busy",
            AppError::Internal(_) => "internal",
        }
    }

    pub fn again(&self) -> Again {
        match self {
            AppError::NotPaired => Again::AfterPairing,
            AppError::TooMany(_)
            | AppError::WrongOffset { .. }
            | AppError::DiskFull
            | AppError::Busy
            | AppError::Internal(_) => Again::Later,
            AppError::NotFound(_)
            | AppError::Invalid(..)
            | AppError::ChangedMeanwhile
            | AppError::PairingRefused(_)
            | AppError::NoLink
            | AppError::LinkOver
            | AppError::CrossSite
            | AppError::TooLarge(_) => Again::Never,
        }
    }
}

/// SQLite's primary result codes that a person can do something about (sqlite.org/rescode.html).
const SQLITE_BUSY: u32 = 5;
const SQLITE_CORRUPT: u32 = 11;
const SQLITE_FULL: u32 = 13;
const SQLITE_NOTADB: u32 = 26;

/// The primary result code: extended ones carry it in their lowest byte.
fn sqlite_code(cause: &sqlx::Error) -> Option<u32> {
    let code = cause.as_database_error()?.code()?.parse::<u32>().ok()?;
    Some(code & 0xff)
}

impl From<sqlx::Error> for AppError {
    fn from(cause: sqlx::Error) -> AppError {
        match (sqlite_code(&cause), &cause) {
            (Some(SQLITE_FULL), _) => AppError::DiskFull,
            (Some(SQLITE_BUSY), _) | (_, sqlx::Error::PoolTimedOut) => AppError::Busy,
            _ => AppError::internal(cause),
        }
    }
}

impl From<askama::Error> for AppError {
    fn from(cause: askama::Error) -> AppError {
        AppError::internal(cause)
    }
}

/// RFC 9457 problem details, with our two extra members and the offset where there is one.
#[derive(Debug, Clone, Serialize)]
pub struct Problem {
    #[serde(rename = "type")]
    pub kind: &'static str,
    pub title: &'static str,
    pub status: u16,
    pub detail: String,
    pub code: &'static str,
    pub again: Again,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub offset: Option<u64>,
}

impl From<&AppError> for Problem {
    fn from(error: &AppError) -> Problem {
        let status = error.status();
        Problem {
            kind: "about:blank",
            title: status.canonical_reason().unwrap_or("Error"),
            status: status.as_u16(),
            detail: error.to_string(),
            code: error.code(),
            again: error.again(),
            offset: match error {
                AppError::WrongOffset { have } => Some(*have),
                _ => None,
            },
        }
    }
}

impl IntoResponse for AppError {
    fn into_response(self) -> Response {
        if let AppError::Internal(cause) = &self {
            tracing::error!(cause = %cause, "a request failed inside the program");
        }
        let problem = Problem::from(&self);
        let mut response = (self.status(), Json(&problem)).into_response();
        response.headers_mut().insert(header::CONTENT_TYPE, HeaderValue::from_static("application/problem+json"));
        response.headers_mut().insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
        response.extensions_mut().insert(problem);
        response
    }
}

/// Why the program could not start or finish a command, with what its owner can do about it.
#[derive(Debug, thiserror::Error)]
pub enum StartError {
    #[error(
        "{file} was made by a newer Underlamp. Start the newer one, or point --data at another folder. Nothing was changed."
    )]
    NewerDatabase { file: PathBuf },
    #[error("{file} is damaged ({said}). Restore a backup with ‘underlamp restore’. Nothing was changed.")]
    Damaged { file: PathBuf, said: String },
    #[error("The database {file} could not be opened: {cause}")]
    Database { file: PathBuf, cause: String },
    #[error("The disk that holds {file} is full. Make room, then start again. Nothing was lost.")]
    DiskFull { file: PathBuf },
    #[error(
        "Port {port} is in use by another program, perhaps another Underlamp. Stop that one, or choose another port with {flag}."
    )]
    PortTaken { port: u16, flag: &'static str },
    #[error("{0}")]
    Tls(String),
    #[error("{what} {path}: {cause}")]
    File { what: &'static str, path: PathBuf, cause: std::io::Error },
    #[error("{0}")]
    Said(String),
}

impl StartError {
    pub fn file(what: &'static str, path: &Path) -> impl FnOnce(std::io::Error) -> StartError {
        let path = path.to_owned();
        move |cause| match cause.kind() {
            std::io::ErrorKind::StorageFull => StartError::DiskFull { file: path },
            _ => StartError::File { what, path, cause },
        }
    }

    pub fn database(file: &Path, cause: sqlx::Error) -> StartError {
        let file = file.to_owned();
        match sqlite_code(&cause) {
            Some(SQLITE_FULL) => StartError::DiskFull { file },
            Some(SQLITE_CORRUPT | SQLITE_NOTADB) => StartError::Damaged { file, said: cause.to_string() },
            _ => StartError::Database { file, cause: cause.to_string() },
        }
    }

    pub fn migration(file: &Path, cause: sqlx::migrate::MigrateError) -> StartError {
        use sqlx::migrate::MigrateError;
        match cause {
            MigrateError::VersionMissing(_) | MigrateError::VersionTooNew(..) => {
                StartError::NewerDatabase { file: file.to_owned() }
            }
            MigrateError::Execute(cause) | MigrateError::ExecuteMigration(cause, _) => {
                StartError::database(file, cause)
            }
            other => StartError::Database { file: file.to_owned(), cause: other.to_string() },
        }
    }
}

impl From<AppError> for StartError {
    fn from(cause: AppError) -> StartError {
        match &cause {
            AppError::Internal(inner) => StartError::Said(inner.to_string()),
            _ => StartError::Said(cause.to_string()),
        }
    }
}
