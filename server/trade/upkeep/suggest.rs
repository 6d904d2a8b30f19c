//! Intervals that are offered where the restorer has none yet. They are common practice with no source; the maker's manual
//! comes first, and nothing is taken unless somebody takes it.
//!
//! ```text
//! item: Engine oil and filter
//! every: 10000 km, 12 months
//! pattern: engine-oil                    the pattern whose card does it, where there is one
//! why: Short runs foul oil sooner than distance does.
//! ```

use super::interval::Interval;
use crate::trade::name_value::Trouble;

/// A file of these is a page long.
const LARGEST: usize = 100_000;
const LONGEST: usize = 300;

/// An interval that is offered.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suggestion {
    pub item: String,
    pub every: Interval,
    /// Names of the patterns whose cards do it; may be none.
    pub patterns: Vec<String>,
    /// May be empty.
    pub why: String,
}

/// Reads them in their order. Errors: everything that is wrong; never empty.
pub fn read_suggestions(text: &str) -> Result<Vec<Suggestion>, Vec<Trouble>> {
    if text.len() > LARGEST {
        return Err(vec![Trouble { line: 1, say: format!("This file is larger than {LARGEST} bytes.") }]);
    }
    let mut reader = Reader::default();
    for (at, raw) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        if !raw.trim().is_empty() && !raw.starts_with('#') {
            reader.line(at + 1, raw);
        }
    }
    reader.finish();
    if reader.troubles.is_empty() { Ok(reader.read) } else { Err(reader.troubles) }
}

#[derive(Default)]
struct Reader {
    read: Vec<Suggestion>,
    /// The one being read: its line, its name, what was said of it so far.
    open: Option<Open>,
    troubles: Vec<Trouble>,
}

#[derive(Default)]
struct Open {
    line: usize,
    item: String,
    every: Option<Interval>,
    patterns: Vec<String>,
    why: String,
}

impl Reader {
    fn say(&mut self, line: usize, say: impl Into<String>) {
        self.troubles.push(Trouble { line, say: say.into() });
    }

    fn line(&mut self, at: usize, raw: &str) {
        let Some((name, value)) = raw.split_once(':').map(|(name, value)| (name.trim(), value.trim())) else {
            return self.say(at, "A line is ‘name: value’.");
        };
        if value.is_empty() || value.chars().count() > LONGEST {
            return self.say(at, format!("‘{name}:’ has from 1 to {LONGEST} characters behind it."));
        }
        if name == "item" {
            self.finish();
            self.open = Some(Open { line: at, item: value.to_owned(), ..Open::default() });
            return;
        }
        let Some(open) = &mut self.open else { return self.say(at, "An ‘item:’ comes first.") };
        match name {
            "every" if open.every.is_none() => match Interval::parse(value) {
                Ok(every) => open.every = Some(every),
                Err(why) => self.say(at, why.to_string()),
            },
            "pattern" if open.patterns.is_empty() => {
                open.patterns = value.split(',').map(|name| name.trim().to_owned()).collect();
            }
            "why" if open.why.is_empty() => open.why = value.to_owned(),
            "every" | "pattern" | "why" => self.say(at, format!("‘{name}:’ is there twice.")),
            _ => self.say(at, format!("‘{name}’ is none of: item, every, pattern, why.")),
        }
    }

    fn finish(&mut self) {
        let Some(Open { line, item, every, patterns, why }) = self.open.take() else { return };
        if self.read.iter().any(|known| known.item == item) {
            return self.say(line, format!("‘{item}’ is there twice."));
        }
        match every {
            Some(every) => self.read.push(Suggestion { item, every, patterns, why }),
            None if self.troubles.iter().any(|trouble| trouble.line > line) => {}
            None => self.say(line, format!("‘{item}’ needs its ‘every:’.")),
        }
    }
}
