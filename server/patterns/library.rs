//! The patterns there are: those of the program, and those that somebody put into the data folder.

use super::text::{Pattern, Trouble, read};
use crate::own_files::{Sort, trouble};
use rust_embed::RustEmbed;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock};

static FILES: Sort = Sort { ending: "toml", never_longer: "no pattern is", example: "my-gearbox.toml", most: 500 };

pub use crate::own_files::Broken;

#[derive(RustEmbed)]
#[folder = "seed/patterns/"]
#[include = "*.toml"]
struct Seed;

/// A pattern that can be used.
#[derive(Debug, Clone)]
pub struct Kept {
    pub pattern: Arc<Pattern>,
    /// It comes from the data folder.
    pub own: bool,
}

/// Everything that was read, by key. Own files take the place of the program's with the same name.
#[derive(Debug, Clone, Default)]
pub struct Library {
    pub patterns: BTreeMap<String, Kept>,
    pub broken: Vec<Broken>,
}

/// The program's own patterns. None of them is broken: a test reads them all.
static EMBEDDED: LazyLock<Library> = LazyLock::new(|| {
    let mut library = Library::default();
    for file in Seed::iter() {
        let bytes = Seed::get(&file).map(|file| file.data.into_owned()).unwrap_or_default();
        library.take(&file, bytes, false);
    }
    library
});

impl Library {
    /// The program's own.
    pub fn embedded() -> &'static Library {
        &EMBEDDED
    }

    fn take(&mut self, file: &str, bytes: Vec<u8>, own: bool) {
        match read_file(file, bytes) {
            Ok(pattern) => {
                self.patterns.insert(pattern.key.clone(), Kept { pattern: Arc::new(pattern), own });
            }
            Err(troubles) => self.broken.push(Broken { file: file.to_owned(), troubles }),
        }
    }
}

/// Reads a file's bytes; its name without the ending is the pattern's key.
pub fn read_file(file: &str, bytes: Vec<u8>) -> Result<Pattern, Vec<Trouble>> {
    let (key, text) = FILES.text(file, bytes)?;
    read(key, &text)
}

/// The folder `patterns` of the data folder. Cheap to clone.
#[derive(Debug, Clone)]
pub struct PatternFolder(Arc<Path>);

impl PatternFolder {
    pub fn new(path: PathBuf) -> PatternFolder {
        PatternFolder(path.into())
    }

    pub fn path(&self) -> &Path {
        &self.0
    }

    /// The program's patterns with those of the folder, read anew: they are edited while the garage is running.
    pub async fn library(&self) -> Library {
        let own = FILES.read(&self.0).await;
        let mut library = Library::embedded().clone();
        for (file, bytes) in own {
            match bytes {
                Ok(bytes) => library.take(&file, bytes, true),
                Err(say) => library.broken.push(Broken { file, troubles: trouble(say) }),
            }
        }
        library
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_needs_a_plain_name_and_text_in_it() {
        let fault = |file: &str, bytes: &[u8]| read_file(file, bytes.to_vec()).unwrap_err().remove(0);
        assert!(fault("my card.toml", b"").say.contains("letters, digits and dashes"));
        assert!(fault(".toml", b"").say.contains("letters, digits and dashes"));
        assert!(fault("bad.toml", &[0xff, 0xfe]).say.contains("UTF-8"));
    }

    #[tokio::test]
    async fn own_files_are_added_broken_ones_hide_nothing_and_one_of_the_same_name_takes_its_place() {
        let folder = tempfile::tempdir().unwrap();
        let put = |name: &str, text: &[u8]| std::fs::write(folder.path().join(name), text).unwrap();
        let axle = Seed::get("axle-oil.toml").unwrap().data.into_owned();
        let mine = String::from_utf8(axle).unwrap().replace("Change the oil", "Look at the oil");
        put("axle-oil.toml", mine.as_bytes());
        put("mine.toml", mine.as_bytes());
        put("broken.toml", b"title = \"x\"\nsystem = 3\n");
        put("notes.txt", b"not a pattern");
        let library = PatternFolder::new(folder.path().to_owned()).library().await;
        let known = &library.patterns;
        assert_eq!(known.len(), Library::embedded().patterns.len() + 1);
        assert!(known["mine"].own && known["axle-oil"].own);
        assert!(known["axle-oil"].pattern.title.starts_with("Look at the oil"));
        assert_eq!((library.broken[0].file.as_str(), library.broken[0].troubles[0].line), ("broken.toml", 2));
        let none = PatternFolder::new(folder.path().join("none")).library().await;
        assert_eq!((none.patterns.len(), none.broken.len()), (Library::embedded().patterns.len(), 0));
    }
}
