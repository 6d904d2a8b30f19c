//! Files that hold keys: readable by their owner only, and on disk whole or not at all.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::Path;

use super::TlsError;

/// Makes the folder for keys, closed to other users of the machine.
pub(super) fn make_folder(dir: &Path) -> Result<(), TlsError> {
    fs::create_dir_all(dir).and_then(|()| close_to_others(dir)).map_err(|source| TlsError::file("make", dir, source))
}

/// The file's text, or `None` if there is no such file. What is not text becomes replacement
/// characters, so that damage is found by whoever parses it and can say what was expected.
pub(super) fn read_if_there(path: &Path) -> Result<Option<String>, TlsError> {
    match fs::read(path) {
        Ok(bytes) => Ok(Some(String::from_utf8_lossy(&bytes).into_owned())),
        Err(missing) if missing.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(source) => Err(TlsError::file("read", path, source)),
    }
}

/// Writes beside the file, forces it to disk, then puts it in place: a power cut leaves the old
/// file or the new one, never half of either, and the key is at no moment readable by others.
pub(super) fn write_secret(path: &Path, text: &str) -> Result<(), TlsError> {
    let beside = path.with_extension("new");
    write_and_sync(&beside, text)
        .and_then(|()| fs::rename(&beside, path))
        .and_then(|()| sync_folder_of(path))
        .map_err(|source| TlsError::file("write", path, source))
}

fn write_and_sync(path: &Path, text: &str) -> io::Result<()> {
    // A leftover of an interrupted start may have other permissions: never write into it.
    match fs::remove_file(path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error),
        Ok(()) | Err(_) => {}
    }
    let mut file = owner_only().open(path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

#[cfg(unix)]
fn owner_only() -> OpenOptions {
    use std::os::unix::fs::OpenOptionsExt;
    let mut options = OpenOptions::new();
    options.write(true).create_new(true).mode(0o600);
    options
}

#[cfg(not(unix))]
fn owner_only() -> OpenOptions {
    let mut options = OpenOptions::new();
    options.write(true).create_new(true);
    options
}

#[cfg(unix)]
fn close_to_others(dir: &Path) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(dir, fs::Permissions::from_mode(0o700))
}

#[cfg(not(unix))]
fn close_to_others(_dir: &Path) -> io::Result<()> {
    Ok(())
}

#[cfg(unix)]
fn sync_folder_of(path: &Path) -> io::Result<()> {
    match path.parent() {
        Some(folder) => File::open(folder)?.sync_all(),
        None => Ok(()),
    }
}

#[cfg(not(unix))]
fn sync_folder_of(_path: &Path) -> io::Result<()> {
    Ok(())
}
