//! A check tree as text: `name: value` lines, read with everything that is wrong told by line. The format: `seed/checks/README.md`.

use super::tree::{Check, End, Question, Reply};
use crate::trade::cautions::Caution;
use crate::trade::survey::{Answer, Trouble};
use std::collections::{BTreeMap, BTreeSet};

const LONGEST: usize = 500;
/// A tree's file is some kilobytes; one beyond this is something else.
const LARGEST: usize = 100_000;
const OF_CHECK: [&str; 4] = ["check", "title", "intro", "caution"];
const OF_QUESTION: [&str; 8] = ["question", "ask", "look", "caution", "helper", "yes", "no", "cannot-tell"];
const OF_END: [&str; 8] = ["end", "say", "where", "weight", "next", "mend", "workshop", "caution"];

struct Line<'a> {
    at: usize,
    name: &'a str,
    value: String,
}

/// Reads one tree. Errors: everything that is wrong, in the order of lines; never empty.
pub fn read_check(text: &str) -> Result<Check, Vec<Trouble>> {
    if text.len() > LARGEST {
        return Err(vec![Trouble { line: 1, say: format!("This file is larger than {LARGEST} bytes.") }]);
    }
    let mut reader = Reader { troubles: Vec::new() };
    let lines = reader.lines(text);
    let begins = |line: &Line<'_>| matches!(line.name, "question" | "end");
    let first = lines.iter().position(begins).unwrap_or(lines.len());
    let (head, body) = lines.split_at(first);
    let mut check = reader.head(head);
    for block in body.chunk_by(|_, next| !begins(next)) {
        match block.first().map(|line| line.name) {
            Some("question") => check.questions.push(reader.question(block)),
            Some(_) => check.ends.extend(reader.end(block)),
            None => {}
        }
    }
    if reader.troubles.is_empty() {
        reader.ways(&check);
    }
    reader.troubles.sort_by_key(|trouble| trouble.line);
    if reader.troubles.is_empty() { Ok(check) } else { Err(reader.troubles) }
}

struct Reader {
    troubles: Vec<Trouble>,
}

impl Reader {
    fn say(&mut self, line: usize, say: impl Into<String>) {
        self.troubles.push(Trouble { line, say: say.into() });
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
        for line in &lines {
            if line.value.is_empty() {
                self.say(line.at, format!("‘{}:’ has nothing behind it: write it, or leave the line out.", line.name));
            }
            if line.value.chars().count() > LONGEST {
                self.say(line.at, format!("This is longer than {LONGEST} characters."));
            }
        }
        lines
    }

    /// Only lines of the names that belong here.
    fn only(&mut self, block: &[Line<'_>], known: &[&str], what: &str) {
        for line in block.iter().filter(|line| !known.contains(&line.name)) {
            self.say(line.at, format!("‘{}:’ does not belong {what}. Known: {}.", line.name, known.join(", ")));
        }
    }

    fn head(&mut self, head: &[Line<'_>]) -> Check {
        self.only(head, &OF_CHECK, "before the first question");
        let key = self.wanted(head, "check", 1);
        self.name(head.first().map_or(1, |line| line.at), &key);
        let [title, intro] = ["title", "intro"].map(|name| self.wanted(head, name, 1));
        Check { key, title, intro, cautions: self.cautions(head), questions: Vec::new(), ends: Vec::new() }
    }

    /// A block begins with its `question:`.
    fn question(&mut self, block: &[Line<'_>]) -> Question {
        self.only(block, &OF_QUESTION, "to a question");
        let (line, key) = self.key(block);
        let [ask, look, yes, no, cannot_tell] =
            ["ask", "look", "yes", "no", "cannot-tell"].map(|name| self.wanted(block, name, line));
        let helper = match self.one(block, "helper").map(|line| (line.at, line.value.as_str())) {
            None | Some((_, "no")) => false,
            Some((_, "yes")) => true,
            Some((at, _)) => {
                self.say(at, "‘helper:’ is yes or no.");
                false
            }
        };
        Question { key, line, ask, look, cautions: self.cautions(block), helper, yes, no, cannot_tell }
    }

    /// A block begins with its `end:`.
    fn end(&mut self, block: &[Line<'_>]) -> Option<End> {
        self.only(block, &OF_END, "to an end");
        let (line, key) = self.key(block);
        let [say, place, written] = ["say", "where", "weight"].map(|name| self.wanted(block, name, line));
        let [next, workshop] = ["next", "workshop"].map(|name| self.maybe(block, name));
        let weight = Answer::from_name(&written);
        if weight.is_none() && !written.is_empty() {
            self.say(line, format!("‘{written}’ is no weight. Known: fine, watch, act, unknown."));
        }
        let mends: Vec<String> = self.list(block, "mend").into_iter().map(|(_, name)| name).collect();
        if mends.is_empty() && next.is_empty() && workshop.is_empty() {
            self.say(line, "Nothing follows from this end: it needs ‘next:’, ‘mend:’ or ‘workshop:’.");
        }
        Some(End { key, line, say, place, weight: weight?, next, mends, workshop, cautions: self.cautions(block) })
    }

    fn key(&mut self, block: &[Line<'_>]) -> (usize, String) {
        let (line, key) = block.first().map_or((1, String::new()), |line| (line.at, line.value.clone()));
        self.name(line, &key);
        (line, key)
    }

    fn name(&mut self, line: usize, key: &str) {
        let plain = |letter: char| letter.is_ascii_lowercase() || letter.is_ascii_digit() || letter == '-';
        if key.is_empty() || key.len() > 60 || !key.chars().all(plain) {
            self.say(line, format!("‘{key}’ is no name: small letters, digits and dashes, at most 60."));
        }
    }

    fn one<'a, 'b>(&mut self, block: &'a [Line<'b>], name: &str) -> Option<&'a Line<'b>> {
        let mut found = block.iter().filter(|line| line.name == name);
        let first = found.next();
        if let Some(second) = found.next() {
            self.say(second.at, format!("‘{name}:’ is there twice."));
        }
        first
    }

    fn wanted(&mut self, block: &[Line<'_>], name: &str, line: usize) -> String {
        let found = self.one(block, name).map(|line| line.value.clone());
        if found.is_none() {
            self.say(line, format!("‘{name}:’ is missing."));
        }
        found.unwrap_or_default()
    }

    fn maybe(&mut self, block: &[Line<'_>], name: &str) -> String {
        self.one(block, name).map(|line| line.value.clone()).unwrap_or_default()
    }

    /// What stands between commas, each with its line.
    fn list(&mut self, block: &[Line<'_>], name: &str) -> Vec<(usize, String)> {
        let Some(line) = self.one(block, name) else { return Vec::new() };
        line.value
            .split(',')
            .map(|piece| (line.at, piece.trim().to_owned()))
            .filter(|(_, piece)| !piece.is_empty())
            .collect()
    }

    fn cautions(&mut self, block: &[Line<'_>]) -> Vec<Caution> {
        let mut known = Vec::new();
        for (line, name) in self.list(block, "caution") {
            match Caution::from_name(&name) {
                Some(caution) => known.push(caution),
                None => self.say(line, format!("‘{name}’ is not the name of a known caution.")),
            }
        }
        known
    }

    /// Every name is known and there once, every way ends, and nothing is out of reach.
    fn ways(&mut self, check: &Check) {
        let Some(start) = check.questions.first() else {
            self.say(1, "The check asks nothing: it needs at least one ‘question:’.");
            return;
        };
        let mut names: BTreeMap<&str, usize> = BTreeMap::new();
        let questions = check.questions.iter().map(|question| (question.key.as_str(), question.line));
        for (key, line) in questions.chain(check.ends.iter().map(|end| (end.key.as_str(), end.line))) {
            if names.insert(key, line).is_some() {
                self.say(line, format!("The name ‘{key}’ is there twice."));
            }
        }
        for question in &check.questions {
            for reply in Reply::ALL {
                let next = question.after(*reply);
                if !names.contains_key(next) {
                    self.say(
                        question.line,
                        format!("‘{}: {next}’ leads nowhere: no question or end has that name.", reply.name()),
                    );
                }
            }
        }
        if !self.troubles.is_empty() {
            return;
        }
        let mut reached = BTreeSet::new();
        self.follow(check, start, &mut Vec::new(), &mut reached);
        for (key, line) in names.into_iter().filter(|(key, _)| !reached.contains(*key)) {
            self.say(line, format!("No answer leads to ‘{key}’."));
        }
    }

    fn follow<'a>(
        &mut self,
        check: &'a Check,
        question: &'a Question,
        way: &mut Vec<&'a str>,
        reached: &mut BTreeSet<&'a str>,
    ) {
        reached.insert(&question.key);
        way.push(&question.key);
        for reply in Reply::ALL {
            let next = question.after(*reply);
            if way.contains(&next) {
                self.say(question.line, format!("‘{}: {next}’ leads back to where the way came from.", reply.name()));
                continue;
            }
            match check.questions.iter().find(|known| known.key == next) {
                Some(known) if !reached.contains(known.key.as_str()) => self.follow(check, known, way, reached),
                Some(known) => drop(reached.insert(&known.key)),
                None => drop(reached.insert(next)),
            }
        }
        way.pop();
    }
}
