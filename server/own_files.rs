//! Text files that somebody put into the data folder, beside those that the program brings.

use crate::trade::name_value::Trouble;
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Such a file is text of a few pages.
const LONGEST_FILE: u64 = 256 * 1024;

/// What the files of a folder are.
#[derive(Debug)]
pub struct Sort {
    /// `txt`
    pub ending: &'static str,
    /// Behind "This is longer than 256 KiB, and": `no pattern is`.
    pub never_longer: &'static str,
    /// A name that would do: `my-gearbox.toml`.
    pub example: &'static str,
    /// So many are read at most.
    pub most: usize,
}

/// A file by its name, or why its bytes cannot be had.
pub type OwnFile = (String, Result<Vec<u8>, String>);

/// A file that cannot be used, with all that is wrong in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Broken {
    pub file: String,
    pub troubles: Vec<Trouble>,
}

/// What is wrong with a file as a whole.
pub fn trouble(say: impl Into<String>) -> Vec<Trouble> {
    vec![Trouble { line: 1, say: say.into() }]
}

impl Sort {
    /// The files in a folder, by name, read anew: they are edited while the garage is running. No folder is no files.
    pub async fn read(&'static self, folder: &Arc<Path>) -> Vec<OwnFile> {
        let folder = Arc::clone(folder);
        tokio::task::spawn_blocking(move || self.read_folder(&folder)).await.unwrap_or_default()
    }

    pub fn read_folder(&self, folder: &Path) -> Vec<OwnFile> {
        let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
        let mut paths: Vec<PathBuf> = entries.flatten().map(|entry| entry.path()).collect();
        paths.retain(|path| path.extension().is_some_and(|ending| ending == self.ending) && path.is_file());
        paths.sort();
        paths.truncate(self.most);
        let name = |path: &Path| path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        paths.iter().map(|path| (name(path), self.bytes(path))).collect()
    }

    fn bytes(&self, path: &Path) -> Result<Vec<u8>, String> {
        let length = std::fs::metadata(path).map(|facts| facts.len()).unwrap_or_default();
        if length > LONGEST_FILE {
            return Err(format!("This is longer than {} KiB, and {}.", LONGEST_FILE / 1024, self.never_longer));
        }
        std::fs::read(path).map_err(|cause| format!("It cannot be read: {cause}"))
    }

    /// The name of a file without its ending, and its text. Errors: a name or bytes that will not do.
    pub fn text<'a>(&self, file: &'a str, bytes: Vec<u8>) -> Result<(&'a str, String), Vec<Trouble>> {
        let name = file.strip_suffix(self.ending).and_then(|name| name.strip_suffix('.')).unwrap_or(file);
        if name.is_empty() || !name.chars().all(|letter| letter.is_ascii_alphanumeric() || letter == '-') {
            let example = self.example;
            return Err(trouble(format!("Name the file with letters, digits and dashes only, as in ‘{example}’.")));
        }
        let text = String::from_utf8(bytes).map_err(|_| trouble("This is no text in UTF-8: save it as plain text."))?;
        Ok((name, text))
    }
}
