//! The questions there are: those of the program, and those that somebody put into the data folder.

use crate::own_files::{OwnFile, Sort, trouble};
use crate::trade::survey::{Area, Survey, Trouble, read_area};
use rust_embed::RustEmbed;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, LazyLock};

static FILES: Sort =
    Sort { ending: "txt", never_longer: "no area of a survey is", example: "21-towbar.txt", most: 200 };

pub use crate::own_files::Broken;

#[derive(RustEmbed)]
#[folder = "seed/survey/"]
#[include = "*.txt"]
struct Seed;

/// What was read: the survey, and the own files that are not part of it.
#[derive(Debug, Clone)]
pub struct Known {
    pub survey: Survey,
    pub broken: Vec<Broken>,
}

/// The areas by the names of their files, which give their turn.
type Areas = BTreeMap<String, Area>;

static EMBEDDED_AREAS: LazyLock<Areas> = LazyLock::new(|| {
    let read = |file: &str| {
        let bytes = Seed::get(file).map(|file| file.data.into_owned()).unwrap_or_default();
        read_file(file, bytes).ok().map(|area| (file.to_owned(), area))
    };
    // None of them is broken: a test reads them all.
    Seed::iter().filter_map(|file| read(&file)).collect()
});

static EMBEDDED: LazyLock<Arc<Known>> =
    LazyLock::new(|| Arc::new(Known { survey: put_together(&EMBEDDED_AREAS), broken: Vec::new() }));

/// The program's own survey.
pub fn embedded() -> &'static Arc<Known> {
    &EMBEDDED
}

/// Areas that were found to go together.
fn put_together(areas: &Areas) -> Survey {
    Survey::new(areas.values().cloned().collect()).unwrap_or_else(|_| Survey::default())
}

/// Reads a file's bytes. Its name gives its turn in the walk only; the area names itself.
fn read_file(file: &str, bytes: Vec<u8>) -> Result<Area, Vec<Trouble>> {
    read_area(&FILES.text(file, bytes)?.1)
}

/// The folder `survey` of the data folder. Cheap to clone.
#[derive(Debug, Clone)]
pub struct SurveyFolder(Arc<Path>);

impl SurveyFolder {
    pub fn new(path: PathBuf) -> SurveyFolder {
        SurveyFolder(path.into())
    }

    pub fn path(&self) -> &Path {
        &self.0
    }

    /// The program's survey with the areas of the folder, read anew: they are edited while the garage is running. A file named like
    /// one of the program's takes its place; one with something wrong in it is left out, and the survey stands without it.
    pub async fn known(&self) -> Arc<Known> {
        let own = FILES.read(&self.0).await;
        if own.is_empty() { Arc::clone(embedded()) } else { Arc::new(with_own(own)) }
    }
}

fn with_own(own: Vec<OwnFile>) -> Known {
    let mut areas = EMBEDDED_AREAS.clone();
    let mut broken = Vec::new();
    for (file, bytes) in own {
        let area = bytes.map_err(trouble).and_then(|bytes| read_file(&file, bytes));
        match area.and_then(|area| joined(&areas, &file, area)) {
            Ok(with_it) => areas = with_it,
            Err(troubles) => broken.push(Broken { file, troubles }),
        }
    }
    Known { survey: put_together(&areas), broken }
}

/// The areas with one more. Errors: a name of it is taken already.
fn joined(areas: &Areas, file: &str, area: Area) -> Result<Areas, Vec<Trouble>> {
    let mut with_it = areas.clone();
    with_it.insert(file.to_owned(), area);
    match Survey::new(with_it.values().cloned().collect()) {
        Ok(_) => Ok(with_it),
        Err(troubles) => Err(troubles.into_iter().map(|(_, trouble)| trouble).collect()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn text_of(file: &str) -> String {
        String::from_utf8(Seed::get(file).unwrap().data.into_owned()).unwrap()
    }

    #[test]
    fn every_file_of_the_program_is_in_its_survey() {
        assert_eq!(embedded().survey.areas().len(), Seed::iter().count());
        assert!(embedded().survey.questions().count() > 0);
    }

    #[tokio::test]
    async fn own_areas_are_added_one_of_the_same_name_takes_its_place_and_broken_ones_hide_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let put = |name: &str, text: &[u8]| std::fs::write(folder.path().join(name), text).unwrap();
        let battery = text_of("08-battery.txt");
        put("08-battery.txt", battery.replace("Which voltage has the battery at rest?", "How full is it?").as_bytes());
        let towbar = "area: towbar\ntitle: Towbar\nintro: Level ground.\n\nquestion: towbar\nask: Is it tight?\nlook: Pull.\n\
                      fine: Tight.\nwatch: Rust.\nact: Loose.\nstake: safety\nunknown: look\nsystem: body\nworkshop: Ask.\n\
                      again: 6 months\n";
        put("21-towbar.txt", towbar.as_bytes());
        put("22-broken.txt", towbar.replace("stake: safety", "stake: dread").as_bytes());
        put("23-again.txt", towbar.as_bytes());
        put("24 blank.txt", towbar.as_bytes());
        put("25-no-text.txt", &[0xff, 0xfe]);
        put("notes.md", b"not read");
        let known = SurveyFolder::new(folder.path().to_owned()).known().await;
        assert_eq!(known.survey.areas().len(), embedded().survey.areas().len() + 1);
        assert_eq!(known.survey.question("battery-rest").unwrap().1.ask, "How full is it?");
        assert_eq!(known.survey.areas().last().unwrap().title, "Towbar");
        let told: Vec<(&str, usize)> =
            known.broken.iter().map(|broken| (broken.file.as_str(), broken.troubles[0].line)).collect();
        assert_eq!(told, [("22-broken.txt", 11), ("23-again.txt", 1), ("24 blank.txt", 1), ("25-no-text.txt", 1)]);
        assert!(known.broken[1].troubles.iter().any(|trouble| trouble.say.contains("there twice")));
        let none = SurveyFolder::new(folder.path().join("none")).known().await;
        assert_eq!(none.broken, []);
    }
}
