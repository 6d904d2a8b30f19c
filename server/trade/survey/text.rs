//! An area of the survey as text: `name: value` lines, read with everything that is wrong told by line.
//!
//! ```text
//! area: battery
//! title: Battery and earths
//! intro: Glasses and gloves on, rings off.
//!
//! question: battery-rest
//! ask: Which voltage has the battery at rest?
//! look: Twelve hours without charge or load,
//!   voltmeter on the posts.                    a line that begins with a blank goes on with the one before
//! fine: 12.5 V or more for a 12 V battery.
//! watch: Around 12.3 V: charge it and read again.
//! act: Under 12.2 V again after charging.
//! stake: reliability                           safety, ruins-dearer, reliability, comfort
//! unknown: look                                due, look
//! system: electrics
//! reading: voltage; battery at rest            kind; what
//! limit: battery-rest                          a rule of `trade::limits`, where there is one
//! caution: battery-gas, battery-short
//! mend: battery-and-earths                     patterns, the fittest first
//! part: Battery of the right size
//! workshop: What is not done at home.          at least one of mend, part and workshop
//! photo: the battery’s plate
//! helper: yes
//! again: 1000 km, 3 months
//! item: read; 49 CFR 570.7(b)                  may be there several times
//! hears: battery flat, flat battery            words by which a finding is taken for it
//! ```

use super::question::{Area, Cited, Interval, Limit, Question, Reading, Stake, Unknown};
use crate::trade::citation::Standing;
use crate::trade::name_value::{Bounds, Line, Reader, Trouble};
use crate::trade::spec::System;
use crate::trade::steps::{Ask, AskKind};

/// A survey's file is some kilobytes; one beyond that is something else.
const BOUNDS: Bounds = Bounds { largest: 200_000, longest: 400 };
const OF_AREA: [&str; 3] = ["area", "title", "intro"];
const OF_QUESTION: [&str; 20] = [
    "question", "ask", "look", "fine", "watch", "act", "stake", "unknown", "system", "reading", "limit", "caution",
    "mend", "part", "workshop", "photo", "helper", "again", "item", "hears",
];

/// Reads one area. Errors: everything that is wrong, in the order of lines; never empty.
pub fn read_area(text: &str) -> Result<Area, Vec<Trouble>> {
    let (reader, lines) = Reader::begin(text, &BOUNDS)?;
    let mut reader = AreaReader(reader);
    for line in &lines {
        reader.belongs(line);
    }
    let first = lines.iter().position(|line| line.name == "question").unwrap_or(lines.len());
    let (head, body) = lines.split_at(first);
    let mut area = reader.head(head);
    if body.is_empty() {
        reader.0.say(1, "The area asks nothing: it needs at least one ‘question:’.");
    }
    let blocks = body.chunk_by(|_, next| next.name != "question");
    area.questions = blocks.filter_map(|block| reader.question(block)).collect();
    reader.0.finish(area)
}

/// Reads the blocks of one file.
struct AreaReader(Reader);

impl AreaReader {
    fn belongs(&mut self, line: &Line<'_>) {
        if !OF_AREA.contains(&line.name) && !OF_QUESTION.contains(&line.name) {
            let known = OF_AREA.iter().chain(&OF_QUESTION).copied().collect::<Vec<_>>().join(", ");
            self.0.say(line.at, format!("‘{}’ is no name of a line. Known: {known}.", line.name));
        }
    }

    fn head(&mut self, head: &[Line<'_>]) -> Area {
        for line in head.iter().filter(|line| OF_QUESTION.contains(&line.name)) {
            self.0.say(line.at, format!("‘{}:’ belongs to a question, and none has begun.", line.name));
        }
        let key = self.0.wanted(head, "area", 1);
        self.0.name(head.first().map_or(1, |line| line.at), &key);
        let (title, intro) = (self.0.wanted(head, "title", 1), self.0.wanted(head, "intro", 1));
        Area { key, title, intro, questions: Vec::new() }
    }

    /// A block begins with its `question:`.
    fn question(&mut self, block: &[Line<'_>]) -> Option<Question> {
        let (line, key) = block.first().map(|line| (line.at, line.value.clone()))?;
        self.0.name(line, &key);
        for lost in block.iter().filter(|lost| OF_AREA.contains(&lost.name)) {
            self.0.say(lost.at, format!("‘{}:’ belongs before the first question.", lost.name));
        }
        let wanted = |reader: &mut Self, name| reader.0.wanted(block, name, line);
        let [ask, look, fine, watch, act] = ["ask", "look", "fine", "watch", "act"].map(|name| wanted(self, name));
        let stake = self.one_of(block, "stake", line, Stake::from_name, Stake::ALL.iter().map(|one| one.name()));
        let unknown =
            self.one_of(block, "unknown", line, Unknown::from_name, Unknown::ALL.iter().map(|one| one.name()));
        let system = self.one_of(block, "system", line, System::from_name, System::ALL.iter().map(|one| one.name()));
        let mends = self.list(block, "mend");
        let [part, workshop, photo] = ["part", "workshop", "photo"].map(|name| self.0.maybe(block, name));
        if mends.is_empty() && part.is_empty() && workshop.is_empty() {
            self.0.say(line, "Nothing follows from this question: it needs ‘mend:’, ‘part:’ or ‘workshop:’.");
        }
        let named = self.lined(block, "caution");
        let cautions = self.0.cautions(named);
        let question = Question {
            helper: self.0.yes(block, "helper"),
            reading: self.reading(block),
            cautions,
            again: self.interval(block, line)?,
            items: self.items(block),
            hears: self.list(block, "hears").iter().map(|phrase| words(phrase)).collect(),
            stake: stake?,
            unknown: unknown?,
            system: system?,
            key,
            line,
            ask,
            look,
            fine,
            watch,
            act,
            photo,
            mends,
            part,
            workshop,
        };
        Some(question)
    }

    /// Of all lines of this name, what stands between commas.
    fn list(&mut self, block: &[Line<'_>], name: &str) -> Vec<String> {
        self.lined(block, name).into_iter().map(|(_, value)| value).collect()
    }

    fn lined(&mut self, block: &[Line<'_>], name: &str) -> Vec<(usize, String)> {
        let mut all: Vec<(usize, String)> = Vec::new();
        for line in block.iter().filter(|line| line.name == name) {
            for piece in line.value.split(',').map(|piece| piece.trim().to_owned()) {
                if piece.is_empty() {
                    self.0.say(line.at, "There is nothing between two commas.");
                } else if all.iter().any(|(_, known)| *known == piece) {
                    self.0.say(line.at, format!("‘{piece}’ is there twice."));
                } else {
                    all.push((line.at, piece));
                }
            }
        }
        all
    }

    fn one_of<T>(
        &mut self,
        block: &[Line<'_>],
        name: &str,
        line: usize,
        from_name: impl Fn(&str) -> Option<T>,
        all: impl Iterator<Item = &'static str>,
    ) -> Option<T> {
        let Some(found) = self.0.one(block, name) else {
            self.0.say(line, format!("‘{name}:’ is missing."));
            return None;
        };
        let known = from_name(&found.value);
        if known.is_none() {
            let all = all.collect::<Vec<_>>().join(", ");
            self.0.say(found.at, format!("‘{}’ is no {name}. Known: {all}.", found.value));
        }
        known
    }

    /// `voltage; battery at rest`, and the limit beside it.
    fn reading(&mut self, block: &[Line<'_>]) -> Option<Reading> {
        let limit = self.limit(block);
        let Some(line) = self.0.one(block, "reading") else {
            if let Some((at, _)) = limit {
                self.0.say(at, "A limit needs a reading: write ‘reading:’ too.");
            }
            return None;
        };
        let (kind, what) = line.value.split_once(';').unwrap_or((&line.value, ""));
        let Some(kind) = AskKind::from_name(kind.trim()) else {
            let all = AskKind::ALL.iter().map(|one| one.name()).collect::<Vec<_>>().join(", ");
            self.0.say(line.at, format!("‘{}’ is no kind of reading. Known: {all}.", kind.trim()));
            return None;
        };
        if what.trim().is_empty() {
            self.0.say(line.at, "A reading is ‘kind; what’, as in ‘voltage; battery at rest’.");
        }
        if let Some((at, limit)) = limit.filter(|(_, limit)| limit.kind() != kind) {
            let say = format!(
                "The limit ‘{}’ is held against a {}, not a {}.",
                limit.name(),
                limit.kind().name(),
                kind.name()
            );
            self.0.say(at, say);
        }
        Some(Reading { ask: Ask { what: what.trim().to_owned(), kind }, limit: limit.map(|(_, limit)| limit) })
    }

    fn limit(&mut self, block: &[Line<'_>]) -> Option<(usize, Limit)> {
        let line = self.0.one(block, "limit")?;
        let limit = self.one_of(block, "limit", line.at, Limit::from_name, Limit::ALL.iter().map(|one| one.name()))?;
        Some((line.at, limit))
    }

    fn interval(&mut self, block: &[Line<'_>], line: usize) -> Option<Interval> {
        let Some(found) = self.0.one(block, "again") else {
            self.0.say(line, "‘again:’ is missing: after how long is it looked at again?");
            return None;
        };
        match Interval::parse(&found.value) {
            Ok(interval) => Some(interval),
            Err(error) => {
                self.0.say(found.at, error.to_string());
                None
            }
        }
    }

    /// `read; 49 CFR 570.7(b)`: a comma may be part of the clause.
    fn items(&mut self, block: &[Line<'_>]) -> Vec<Cited> {
        let mut items = Vec::new();
        for line in block.iter().filter(|line| line.name == "item") {
            let (standing, item) = line.value.split_once(';').unwrap_or((&line.value, ""));
            match Standing::from_name(standing.trim()) {
                Some(standing) if !item.trim().is_empty() => {
                    items.push(Cited { standing, item: item.trim().to_owned() });
                }
                _ => self.0.say(
                    line.at,
                    "An item is how it was read and where, as in ‘read; 49 CFR 570.7(b)’; how: read, worked-out, quoted, memory, practice.",
                ),
            }
        }
        items
    }
}

/// The words of a text, in lower case.
pub(super) fn words(text: &str) -> Vec<String> {
    let parts = text.split(|letter: char| !letter.is_alphanumeric());
    parts.filter(|word| !word.is_empty()).map(str::to_lowercase).collect()
}
