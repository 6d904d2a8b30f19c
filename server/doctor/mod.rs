//! Says what is wrong, in the order in which it should be put right.

mod backups;
mod checks;

use crate::config::{DataFolder, Serve};
use crate::error::StartError;
use crate::say::say;
use std::process::ExitCode;

/// What one check found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Found {
    Well(String),
    /// Not wrong, but worth knowing.
    Note(String),
    /// What is wrong, and what to do about it.
    Wrong(String),
}

/// One line of the report.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    pub about: &'static str,
    pub found: Found,
}

/// Runs every check. No check changes anything.
pub async fn examine(folder: &DataFolder, options: &Serve) -> Vec<Line> {
    let line = |about, found| Line { about, found };
    let mut lines = vec![
        line("clock", checks::clock(folder).await),
        line("disk", checks::disk(folder)),
        line("database", checks::database(folder).await),
        line("backup", backups::backup(folder)),
        line("desk port", checks::port(options.desk_port, "--desk-port").await),
    ];
    if options.only_here {
        return lines;
    }
    match checks::lan(folder, options) {
        Ok(lan) => {
            lines.push(line("certificate", checks::certificate(&lan)));
            lines.push(line("name", checks::name(&lan).await));
            lines.push(line("phone port", checks::port(lan.address.port, "--port").await));
            lines.push(line("answer", checks::answer(&lan).await));
        }
        Err(found) => lines.push(line("certificate", found)),
    }
    lines
}

/// Prints the report; the exit code is 1 when anything is wrong.
pub async fn run(folder: &DataFolder, options: &Serve) -> Result<ExitCode, StartError> {
    say(format_args!("Looking at {}", folder.path().display()));
    let lines = examine(folder, options).await;
    for line in &lines {
        let (mark, found) = match &line.found {
            Found::Well(words) => ("well ", words),
            Found::Note(words) => ("note ", words),
            Found::Wrong(words) => ("WRONG", words),
        };
        say(format_args!("{mark}  {:<12} {found}", line.about));
    }
    let wrong = lines.iter().filter(|line| matches!(line.found, Found::Wrong(_))).count();
    if wrong == 0 {
        say("Nothing is wrong.");
        return Ok(ExitCode::SUCCESS);
    }
    say(format_args!("{wrong} wrong. Put the first one right, then look again."));
    Ok(ExitCode::FAILURE)
}
