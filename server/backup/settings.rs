//! Where and when backups are kept: a file of the data folder that only its owner can read, as it holds a password.
//!
//! It is no part of a backup: whoever finds a backup finds no way to the others.

use super::target::{FolderTarget, Login, Target, WebDavTarget};
use crate::config::DataFolder;
use crate::error::StartError;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};
use std::fmt;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};
use std::time::Duration;

/// Days after which a backup counts as old, unless something else was chosen.
pub const OLD_AFTER_DAYS: i64 = 7;

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Settings {
    pub place: Place,
    /// Hour of the day in the garage's time zone, 0 to 23.
    pub hour: i8,
    /// Days without a good backup after which the garage's home says so.
    pub old_after_days: i64,
}

#[derive(Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub enum Place {
    Folder {
        path: PathBuf,
    },
    WebDav {
        address: String,
        /// Empty: the server asks for none.
        user: String,
        password: String,
    },
}

/// Without the password.
impl fmt::Debug for Place {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Place::Folder { path } => out.debug_struct("Folder").field("path", path).finish(),
            Place::WebDav { address, user, password: _ } => {
                out.debug_struct("WebDav").field("address", address).field("user", user).finish_non_exhaustive()
            }
        }
    }
}

impl Place {
    /// The place as it can be used. `patience`: how long nothing may move on the way to a server.
    ///
    /// # Errors
    /// A sentence where an address is none.
    pub fn target(&self, patience: Duration) -> Result<Target, String> {
        match self {
            Place::Folder { path } => Ok(Target::Folder(FolderTarget::new(path))),
            Place::WebDav { address, user, password } => {
                let login = Login { user: user.clone(), password: password.clone() };
                let login = (!user.is_empty()).then_some(login);
                Ok(Target::WebDav(WebDavTarget::new(address, login, patience)?))
            }
        }
    }
}

/// What was chosen; `None`: nothing yet.
pub fn load(folder: &DataFolder) -> Result<Option<Settings>, StartError> {
    read_json(&folder.backup_settings())
}

pub fn save(folder: &DataFolder, settings: &Settings) -> Result<(), StartError> {
    write_json(&folder.backup_settings(), settings)
}

/// No more backups are made by themselves. Those that were made stay where they are.
pub fn forget(folder: &DataFolder) -> Result<(), StartError> {
    let path = folder.backup_settings();
    match std::fs::remove_file(&path) {
        Err(cause) if cause.kind() != ErrorKind::NotFound => Err(StartError::file("Cannot remove", &path)(cause)),
        Ok(()) | Err(_) => Ok(()),
    }
}

/// A small file of the data folder; `None` where it is not there.
pub(super) fn read_json<T: DeserializeOwned>(path: &Path) -> Result<Option<T>, StartError> {
    let text = match std::fs::read(path) {
        Ok(text) => text,
        Err(cause) if cause.kind() == ErrorKind::NotFound => return Ok(None),
        Err(cause) => return Err(StartError::file("Cannot read", path)(cause)),
    };
    let read = serde_json::from_slice(&text);
    read.map(Some).map_err(|cause| {
        StartError::Said(format!(
            "{} cannot be read ({cause}). Remove it, and set up the backups anew.",
            path.display()
        ))
    })
}

/// Written beside its place, readable by its owner only, synced, and moved there: whole or not at all.
pub(super) fn write_json<T: Serialize>(path: &Path, value: &T) -> Result<(), StartError> {
    let fail = || StartError::file("Cannot write", path);
    let folder = path.parent().unwrap_or(Path::new("."));
    let text = serde_json::to_vec_pretty(value).map_err(|cause| StartError::Said(cause.to_string()))?;
    let mut beside = tempfile::NamedTempFile::new_in(folder).map_err(fail())?;
    beside.write_all(&text).map_err(fail())?;
    beside.as_file().sync_all().map_err(fail())?;
    beside.persist(path).map_err(|cause| fail()(cause.error))?;
    super::sync_folder(folder)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn settings_are_kept_for_their_owner_only_and_show_no_password_in_a_log() {
        let home = tempfile::tempdir().unwrap();
        let folder = DataFolder::choose(Some(home.path()), false).unwrap();
        let place =
            Place::WebDav { address: "https://nas.example/keep/".into(), user: "me".into(), password: "hush".into() };
        let settings = Settings { place, hour: 3, old_after_days: OLD_AFTER_DAYS };
        assert!(load(&folder).unwrap().is_none());
        save(&folder, &settings).unwrap();
        assert_eq!(load(&folder).unwrap(), Some(settings.clone()));
        assert!(!format!("{settings:?}").contains("hush"));
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            let mode = std::fs::metadata(folder.backup_settings()).unwrap().permissions().mode();
            assert_eq!(mode & 0o077, 0, "nobody else may read it");
        }
        forget(&folder).unwrap();
        forget(&folder).unwrap();
        assert!(load(&folder).unwrap().is_none());
        std::fs::write(folder.backup_settings(), "{").unwrap();
        assert!(load(&folder).unwrap_err().to_string().contains("anew"));
    }
}
