//! `underlamp patterns check`: everything that is wrong in the texts of patterns, for whoever writes one.

use super::library::read_file;
use super::text::Pattern;
use crate::trade::checker::{State, check};
use crate::web::words;
use std::collections::BTreeMap;
use std::path::Path;

/// What was said of some files, a line each, and whether all of them are without fault.
pub struct Report {
    pub lines: Vec<String>,
    pub is_clean: bool,
}

/// Reads and checks the files.
pub fn check_files(files: &[impl AsRef<Path>]) -> Report {
    let mut report = Report { lines: Vec::new(), is_clean: true };
    for file in files {
        report.add(file.as_ref());
    }
    report
}

impl Report {
    fn add(&mut self, path: &Path) {
        let shown = path.display();
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let bytes = match std::fs::read(path) {
            Ok(bytes) => bytes,
            Err(cause) => return self.wrong(format!("{shown}: cannot be read: {cause}")),
        };
        let pattern = match read_file(&name, bytes) {
            Ok(pattern) => pattern,
            Err(troubles) => {
                return troubles.iter().for_each(|one| self.wrong(format!("{shown}:{}: {}", one.line, one.say)));
            }
        };
        let found = findings(&pattern);
        if found.is_empty() {
            let (ways, steps) = (pattern.ways().len(), pattern.steps());
            let (ways, steps) = (words::count(ways, "way", "ways"), words::count(steps, "step", "steps"));
            self.lines.push(format!("{shown}: {steps}, the checker is silent in {ways} of choosing"));
        }
        found.iter().for_each(|(line, say)| self.wrong(format!("{shown}:{line}: {say}")));
    }

    fn wrong(&mut self, line: String) {
        self.is_clean = false;
        self.lines.push(line);
    }
}

/// What the checker says, with its line, of each way in which the pattern's choices can be made.
pub fn findings(pattern: &Pattern) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    for way in pattern.ways() {
        let card = pattern.fill(&way).on_paper();
        for finding in check(&card, &State::default()) {
            let (line, step) = match finding.step {
                Some(at) => (pattern.line_of(at), format!("step {}", at + 1)),
                None => (1, "whole card".to_owned()),
            };
            let (weight, headline) = (finding.weight().label(), finding.rule.label());
            let way = way_words(&way);
            found.push((line, format!("{weight}, {step}{way}: {headline}. {} {}", finding.say, finding.mend)));
        }
    }
    found
}

/// `, end = rear`
fn way_words(way: &BTreeMap<String, String>) -> String {
    way.iter().map(|(name, option)| format!(", {name} = {option}")).collect()
}
