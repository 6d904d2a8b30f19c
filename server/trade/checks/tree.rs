//! Questions and what follows from each answer.

use crate::trade::cautions::Caution;
use crate::trade::closed_set::closed_set;
use crate::trade::survey::Answer;
use serde::Serialize;

closed_set! {
    /// What can be answered.
    pub enum Reply {
        Yes = "yes", "Yes";
        No = "no", "No";
        CannotTell = "cannot-tell", "Cannot tell";
    }
}

/// One thing to look at.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Question {
    pub key: String,
    /// Its line in the text, from 1.
    pub line: usize,
    pub ask: String,
    /// How to look.
    pub look: String,
    pub cautions: Vec<Caution>,
    /// A second person is needed.
    pub helper: bool,
    pub yes: String,
    pub no: String,
    pub cannot_tell: String,
}

impl Question {
    /// The name of the question or end that follows.
    pub fn after(&self, reply: Reply) -> &str {
        match reply {
            Reply::Yes => &self.yes,
            Reply::No => &self.no,
            Reply::CannotTell => &self.cannot_tell,
        }
    }
}

/// Where a walk ends: what is written down as a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct End {
    pub key: String,
    pub line: usize,
    /// The finding's words.
    pub say: String,
    /// Where on the car.
    pub place: String,
    pub weight: Answer,
    /// What to do next; empty where the finding says it all.
    pub next: String,
    /// Patterns, the fittest first.
    pub mends: Vec<String>,
    /// What is not done at home; empty where nothing is.
    pub workshop: String,
    pub cautions: Vec<Caution>,
}

/// What a name in a tree stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Next<'a> {
    Question(&'a Question),
    End(&'a End),
}

/// A tree whose every way comes to an end: all names are known, all are reached, and no way goes in a circle.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Check {
    pub(super) key: String,
    pub(super) title: String,
    pub(super) intro: String,
    pub(super) cautions: Vec<Caution>,
    /// The first is where it begins.
    pub(super) questions: Vec<Question>,
    pub(super) ends: Vec<End>,
}

impl Check {
    pub fn key(&self) -> &str {
        &self.key
    }

    pub fn title(&self) -> &str {
        &self.title
    }

    pub fn intro(&self) -> &str {
        &self.intro
    }

    pub fn cautions(&self) -> &[Caution] {
        &self.cautions
    }

    /// In the order of the text; the first is where it begins.
    pub fn questions(&self) -> &[Question] {
        &self.questions
    }

    pub fn ends(&self) -> &[End] {
        &self.ends
    }

    /// The question or end of that name.
    pub fn find(&self, key: &str) -> Option<Next<'_>> {
        let question = self.questions.iter().find(|question| question.key == key).map(Next::Question);
        question.or_else(|| self.ends.iter().find(|end| end.key == key).map(Next::End))
    }

    /// Where the answers so far lead, from the beginning; `None` where there are more of them than the way has questions.
    pub fn walk(&self, replies: &[Reply]) -> Option<Next<'_>> {
        let start = Next::Question(self.questions.first()?);
        replies.iter().try_fold(start, |here, reply| match here {
            Next::Question(question) => self.find(question.after(*reply)),
            Next::End(_) => None,
        })
    }

    /// Patterns that ends name and the library does not have, each with the line of its end.
    pub fn lost_patterns<'a>(
        &'a self,
        known: impl Fn(&str) -> bool + 'a,
    ) -> impl Iterator<Item = (usize, &'a str)> + 'a {
        let all = self.ends.iter().flat_map(|end| end.mends.iter().map(|name| (end.line, name.as_str())));
        all.filter(move |(_, name)| !known(name))
    }
}
