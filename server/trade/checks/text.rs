//! A check tree as text: `name: value` lines, read with everything that is wrong told by line. The format: `seed/checks/README.md`.

use super::tree::{Check, End, Question, Reply};
use crate::trade::cautions::Caution;
use crate::trade::name_value::{Bounds, Line, Reader, Trouble};
use crate::trade::survey::Answer;
use std::collections::{BTreeMap, BTreeSet};

/// A tree's file is some kilobytes; one beyond that is something else.
const BOUNDS: Bounds = Bounds { largest: 100_000, longest: 500 };
const OF_CHECK: [&str; 4] = ["check", "title", "intro", "caution"];
const OF_QUESTION: [&str; 8] = ["question", "ask", "look", "caution", "helper", "yes", "no", "cannot-tell"];
const OF_END: [&str; 8] = ["end", "say", "where", "weight", "next", "mend", "workshop", "caution"];

/// Reads one tree. Errors: everything that is wrong, in the order of lines; never empty.
pub fn read_check(text: &str) -> Result<Check, Vec<Trouble>> {
    let (reader, lines) = Reader::begin(text, &BOUNDS)?;
    let mut reader = CheckReader(reader);
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
    if reader.0.troubles.is_empty() {
        reader.ways(&check);
    }
    reader.0.finish(check)
}

/// Reads the blocks of one file.
struct CheckReader(Reader);

impl CheckReader {
    /// Only lines of the names that belong here.
    fn only(&mut self, block: &[Line<'_>], known: &[&str], what: &str) {
        for line in block.iter().filter(|line| !known.contains(&line.name)) {
            self.0.say(line.at, format!("‘{}:’ does not belong {what}. Known: {}.", line.name, known.join(", ")));
        }
    }

    fn head(&mut self, head: &[Line<'_>]) -> Check {
        self.only(head, &OF_CHECK, "before the first question");
        let key = self.0.wanted(head, "check", 1);
        self.0.name(head.first().map_or(1, |line| line.at), &key);
        let [title, intro] = ["title", "intro"].map(|name| self.0.wanted(head, name, 1));
        Check { key, title, intro, cautions: self.named_cautions(head), questions: Vec::new(), ends: Vec::new() }
    }

    /// A block begins with its `question:`.
    fn question(&mut self, block: &[Line<'_>]) -> Question {
        self.only(block, &OF_QUESTION, "to a question");
        let (line, key) = self.key(block);
        let [ask, look, yes, no, cannot_tell] =
            ["ask", "look", "yes", "no", "cannot-tell"].map(|name| self.0.wanted(block, name, line));
        let helper = self.0.yes(block, "helper");
        Question { key, line, ask, look, cautions: self.named_cautions(block), helper, yes, no, cannot_tell }
    }

    /// A block begins with its `end:`.
    fn end(&mut self, block: &[Line<'_>]) -> Option<End> {
        self.only(block, &OF_END, "to an end");
        let (line, key) = self.key(block);
        let [say, place, written] = ["say", "where", "weight"].map(|name| self.0.wanted(block, name, line));
        let [next, workshop] = ["next", "workshop"].map(|name| self.0.maybe(block, name));
        let weight = Answer::from_name(&written);
        if weight.is_none() && !written.is_empty() {
            self.0.say(line, format!("‘{written}’ is no weight. Known: fine, watch, act, unknown."));
        }
        let mends: Vec<String> = self.list(block, "mend").into_iter().map(|(_, name)| name).collect();
        if mends.is_empty() && next.is_empty() && workshop.is_empty() {
            self.0.say(line, "Nothing follows from this end: it needs ‘next:’, ‘mend:’ or ‘workshop:’.");
        }
        Some(End {
            key,
            line,
            say,
            place,
            weight: weight?,
            next,
            mends,
            workshop,
            cautions: self.named_cautions(block),
        })
    }

    fn key(&mut self, block: &[Line<'_>]) -> (usize, String) {
        let (line, key) = block.first().map_or((1, String::new()), |line| (line.at, line.value.clone()));
        self.0.name(line, &key);
        (line, key)
    }

    /// What stands between commas, each with its line.
    fn list(&mut self, block: &[Line<'_>], name: &str) -> Vec<(usize, String)> {
        let Some(line) = self.0.one(block, name) else { return Vec::new() };
        line.value
            .split(',')
            .map(|piece| (line.at, piece.trim().to_owned()))
            .filter(|(_, piece)| !piece.is_empty())
            .collect()
    }

    fn named_cautions(&mut self, block: &[Line<'_>]) -> Vec<Caution> {
        let named = self.list(block, "caution");
        self.0.cautions(named)
    }

    /// Every name is known and there once, every way ends, and nothing is out of reach.
    fn ways(&mut self, check: &Check) {
        let Some(start) = check.questions.first() else {
            self.0.say(1, "The check asks nothing: it needs at least one ‘question:’.");
            return;
        };
        let mut names: BTreeMap<&str, usize> = BTreeMap::new();
        let questions = check.questions.iter().map(|question| (question.key.as_str(), question.line));
        for (key, line) in questions.chain(check.ends.iter().map(|end| (end.key.as_str(), end.line))) {
            if names.insert(key, line).is_some() {
                self.0.say(line, format!("The name ‘{key}’ is there twice."));
            }
        }
        for question in &check.questions {
            for reply in Reply::ALL {
                let next = question.after(*reply);
                if !names.contains_key(next) {
                    self.0.say(
                        question.line,
                        format!("‘{}: {next}’ leads nowhere: no question or end has that name.", reply.name()),
                    );
                }
            }
        }
        if !self.0.troubles.is_empty() {
            return;
        }
        let mut reached = BTreeSet::new();
        self.follow(check, start, &mut Vec::new(), &mut reached);
        for (key, line) in names.into_iter().filter(|(key, _)| !reached.contains(*key)) {
            self.0.say(line, format!("No answer leads to ‘{key}’."));
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
                self.0.say(question.line, format!("‘{}: {next}’ leads back to where the way came from.", reply.name()));
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
