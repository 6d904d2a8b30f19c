//! A line of a step's tools beside what lies in the chest.

use crate::trade::tools::{Found, Tool, find, read};

/// A tool that a step asks for, and what is known of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AskedTool {
    /// As it stands on the step.
    pub words: String,
    /// The style of its word and shape; empty where nothing is said of it.
    pub code: &'static str,
    /// Whether the chest has it; empty where it is no socket or key, or where the chest was never filled.
    pub say: String,
}

impl AskedTool {
    pub fn of(line: &str, chest: &[Tool]) -> AskedTool {
        let (code, say) = match read(line).filter(|_| !chest.is_empty()) {
            None => ("", String::new()),
            Some(Err(why)) => ("unknown", format!("not read: {}", lower_first(&why))),
            Some(Ok(wanted)) => {
                let found = find(&wanted, chest);
                (code(&found), found.sentence())
            }
        };
        AskedTool { words: line.to_owned(), code, say }
    }

    /// Each line of a step.
    pub fn all(lines: &[String], chest: &[Tool]) -> Vec<AskedTool> {
        lines.iter().map(|line| AskedTool::of(line, chest)).collect()
    }

    pub fn is_missing(&self) -> bool {
        self.code == "act"
    }
}

/// Whether a chest that holds anything lacks one of these, or has only one that will not do.
pub fn lacks_tool(lines: &[String], chest: &[Tool]) -> bool {
    let missing = |line: &String| matches!(read(line), Some(Ok(wanted)) if find(&wanted, chest).is_missing());
    !chest.is_empty() && lines.iter().any(missing)
}

fn code(found: &Found) -> &'static str {
    match found {
        Found::Here | Found::ByAdapter { .. } => "fine",
        Found::Unmeasured => "watch",
        Found::TooLong(_) | Found::TooShort(_) | Found::OtherDrive { .. } | Found::Near(_) | Found::Missing => "act",
    }
}

fn lower_first(sentence: &str) -> String {
    let mut letters = sentence.trim_end_matches('.').chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::tools::whole_set;

    #[test]
    fn a_chest_that_was_never_filled_says_nothing_and_lacks_nothing() {
        let line = ["22 mm crowfoot".to_owned()];
        assert_eq!(AskedTool::of(&line[0], &[]).say, "");
        assert!(!lacks_tool(&line, &[]));
    }

    #[test]
    fn a_tool_is_in_the_chest_or_not_or_was_not_read() {
        let chest = whole_set("10 to 13 mm sockets, long").unwrap();
        let said = |line: &str| {
            let asked = AskedTool::of(line, &chest);
            (asked.code, asked.say, lacks_tool(&[line.to_owned()], &chest))
        };
        assert_eq!(said("13 mm socket"), ("fine", "in the chest".into(), false));
        assert_eq!(said("13 mm socket, short"), ("act", "only a long one, it will not go in there".into(), true));
        assert_eq!(said("22 mm crowfoot"), ("act", "not in the chest".into(), true));
        assert_eq!(said("socket"), ("unknown", "not read: no size is written".into(), false));
        assert_eq!(said("rags"), ("", String::new(), false));
    }
}
