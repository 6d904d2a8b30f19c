//! Texts that a mechanic can edit: `name: value` lines in blocks, read with everything that is wrong told by line.
//!
//! A line that begins with a blank goes on with the one before; one that begins with `#` is a remark.

use super::cautions::Caution;

/// What is wrong in a text, and where.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {say}")]
pub struct Trouble {
    /// From 1.
    pub line: usize,
    pub say: String,
}

/// How much a text may hold.
pub(super) struct Bounds {
    /// Bytes of the whole.
    pub largest: usize,
    /// Characters of one value.
    pub longest: usize,
}

#[derive(Debug)]
pub(super) struct Line<'a> {
    pub at: usize,
    pub name: &'a str,
    pub value: String,
}

/// Reads blocks of lines, and gathers what is wrong with them.
#[derive(Default)]
pub(super) struct Reader {
    pub troubles: Vec<Trouble>,
}

impl Reader {
    /// The lines of a text. Errors: it is too large to be looked at.
    pub fn begin<'a>(text: &'a str, bounds: &Bounds) -> Result<(Reader, Vec<Line<'a>>), Vec<Trouble>> {
        let Bounds { largest, longest } = bounds;
        if text.len() > *largest {
            return Err(vec![Trouble { line: 1, say: format!("This file is larger than {largest} bytes.") }]);
        }
        let mut reader = Reader::default();
        let lines = reader.lines(text);
        for line in &lines {
            if line.value.is_empty() {
                reader
                    .say(line.at, format!("‘{}:’ has nothing behind it: write it, or leave the line out.", line.name));
            }
            if line.value.chars().count() > *longest {
                reader.say(line.at, format!("This is longer than {longest} characters."));
            }
        }
        Ok((reader, lines))
    }

    /// What was read, unless something is wrong; then all of that, in the order of lines.
    pub fn finish<T>(mut self, read: T) -> Result<T, Vec<Trouble>> {
        self.troubles.sort_by_key(|trouble| trouble.line);
        if self.troubles.is_empty() { Ok(read) } else { Err(self.troubles) }
    }

    fn lines<'a>(&mut self, text: &'a str) -> Vec<Line<'a>> {
        let mut lines: Vec<Line<'a>> = Vec::new();
        for (at, raw) in text.trim_start_matches('\u{feff}').lines().enumerate() {
            let at = at + 1;
            if raw.trim().is_empty() || raw.starts_with('#') {
                continue;
            }
            match (raw.starts_with([' ', '\t']), lines.last_mut(), raw.split_once(':')) {
                (true, Some(before), _) => before.value = format!("{} {}", before.value, raw.trim()),
                (true, None, _) => self.say(at, "This line goes on with the one before, and there is none."),
                (false, _, Some((name, value))) => {
                    lines.push(Line { at, name: name.trim(), value: value.trim().to_owned() });
                }
                (false, _, None) => {
                    self.say(at, "A line is ‘name: value’, or begins with a blank and goes on with the one before.");
                }
            }
        }
        lines
    }

    pub fn say(&mut self, line: usize, say: impl Into<String>) {
        self.troubles.push(Trouble { line, say: say.into() });
    }

    /// Whether a key can name something.
    pub fn name(&mut self, line: usize, key: &str) {
        let plain = |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-';
        if key.is_empty() || key.len() > 60 || !key.chars().all(plain) {
            self.say(line, format!("‘{key}’ is no name: small letters, digits and dashes, at most 60."));
        }
    }

    /// The one line of this name, or none.
    pub fn one<'a, 'b>(&mut self, block: &'a [Line<'b>], name: &str) -> Option<&'a Line<'b>> {
        let mut found = block.iter().filter(|line| line.name == name);
        let first = found.next();
        if let Some(second) = found.next() {
            self.say(second.at, format!("‘{name}:’ is there twice."));
        }
        first
    }

    /// The value of this name. It is told at `line`, where the block begins, when there is none.
    pub fn wanted(&mut self, block: &[Line<'_>], name: &str, line: usize) -> String {
        let found = self.one(block, name).map(|line| line.value.clone());
        if found.is_none() {
            self.say(line, format!("‘{name}:’ is missing."));
        }
        found.unwrap_or_default()
    }

    /// The value of this name; empty where there is none.
    pub fn maybe(&mut self, block: &[Line<'_>], name: &str) -> String {
        self.one(block, name).map(|line| line.value.clone()).unwrap_or_default()
    }

    /// Yes or no; no where there is no such line.
    pub fn yes(&mut self, block: &[Line<'_>], name: &str) -> bool {
        match self.one(block, name) {
            None => false,
            Some(line) if line.value == "yes" => true,
            Some(line) if line.value == "no" => false,
            Some(line) => {
                self.say(line.at, format!("‘{name}:’ is yes or no."));
                false
            }
        }
    }

    /// The known cautions among names, each with its line.
    pub fn cautions(&mut self, names: Vec<(usize, String)>) -> Vec<Caution> {
        let mut known = Vec::new();
        for (line, name) in names {
            match Caution::from_name(&name) {
                Some(caution) => known.push(caution),
                None => self.say(line, format!("‘{name}’ is not the name of a known caution.")),
            }
        }
        known
    }
}
