//! A folder for what all tests share, which is gone when this program is. Statics are never dropped, so a process of its
//! own waits for the end of the pipe between them and then cleans up.

use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::LazyLock;

struct Scratch {
    folder: PathBuf,
    /// Holds the pipe open.
    _cleaner: Child,
}

static SCRATCH: LazyLock<Scratch> = LazyLock::new(|| {
    let folder = tempfile::tempdir().unwrap().keep();
    // A browser that is being ended at the same time may write for a moment longer.
    let cleaner = Command::new("sh")
        .args(["-c", "read -r _; sleep 1; rm -rf \"$1\"", "cleaner"])
        .arg(&folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("sh");
    Scratch { folder, _cleaner: cleaner }
});

pub fn scratch() -> &'static Path {
    &SCRATCH.folder
}
