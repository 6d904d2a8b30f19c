//! From an answer or a finding to what can be done about it.

use super::question::{Answer, Interval, Question, Survey, Unknown};
use super::text::words;
use serde::Serialize;

/// Where nothing of the survey fits a finding to be watched: common practice, no source.
const LOOK_AGAIN: Interval = Interval { kilometres: Some(500), months: Some(1) };

/// Something to do about it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Suggestion {
    /// Make a card from this pattern.
    Job { pattern: String },
    /// No pattern fits: write a card of your own.
    OwnCard,
    /// A part to order.
    Order { part: String },
    /// What is not done at home, as a sentence.
    Workshop { say: String },
    /// Look at it, as this sentence says.
    Look { say: String },
    /// Look again after this; it is to be done once it looks as `until` says.
    Watch { again: Interval, until: String },
}

impl std::fmt::Display for Suggestion {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Suggestion::Job { pattern } => write!(out, "Make a job card from the pattern ‘{pattern}’."),
            Suggestion::OwnCard => out.write_str("No pattern fits: write a job card of your own."),
            Suggestion::Order { part } => write!(out, "To order: {part}."),
            Suggestion::Workshop { say } => out.write_str(say),
            Suggestion::Look { say } if say.is_empty() => out.write_str("Look at it once more, closely."),
            Suggestion::Look { say } => write!(out, "Look at it: {say}"),
            Suggestion::Watch { again, until } if until.is_empty() => write!(out, "Look again {again}."),
            Suggestion::Watch { again, until } => write!(out, "Look again {again}. To be done once: {until}"),
        }
    }
}

/// What to do about an answer; nothing where it is fine. Of a finding in free words `question` is the one it was taken for.
pub fn suggest(question: Option<&Question>, answer: Answer) -> Vec<Suggestion> {
    match (answer, question) {
        (Answer::Fine, _) => Vec::new(),
        (Answer::Watch, Some(question)) => {
            vec![Suggestion::Watch { again: question.again, until: question.act.clone() }]
        }
        (Answer::Watch, None) => vec![Suggestion::Watch { again: LOOK_AGAIN, until: String::new() }],
        (Answer::Act, None) => vec![Suggestion::OwnCard],
        (Answer::Unknown, None) => vec![Suggestion::Look { say: String::new() }],
        (Answer::Act, Some(question)) => mending(question),
        (Answer::Unknown, Some(question)) => match question.unknown {
            Unknown::Due => mending(question),
            Unknown::Look => vec![Suggestion::Look { say: question.look.clone() }],
        },
    }
}

/// Never empty: the text's reader sees to it.
fn mending(question: &Question) -> Vec<Suggestion> {
    let jobs = question.mends.iter().map(|pattern| Suggestion::Job { pattern: pattern.clone() });
    let part = Some(&question.part).filter(|part| !part.is_empty());
    let workshop = Some(&question.workshop).filter(|say| !say.is_empty());
    jobs.chain(part.map(|part| Suggestion::Order { part: part.clone() }))
        .chain(workshop.map(|say| Suggestion::Workshop { say: say.clone() }))
        .collect()
}

/// The question that a finding is about, by its words: the one with the most words of a phrase that all begin a word of the
/// finding; of equals the longer phrase in letters, then the earlier in the walk. `None` where no phrase fits.
pub fn heard<'a>(survey: &'a Survey, finding: &str) -> Option<(usize, &'a Question)> {
    let said = words(finding);
    let fits =
        |phrase: &&Vec<String>| phrase.iter().all(|word| said.iter().any(|said| said.starts_with(word.as_str())));
    let weight = |phrase: &Vec<String>| (phrase.len(), phrase.iter().map(String::len).sum::<usize>());
    let best = |question: &Question| question.hears.iter().filter(fits).map(weight).max();
    let mut found: Option<((usize, usize), usize, &Question)> = None;
    for (at, question) in survey.questions().enumerate() {
        let Some(weight) = best(question) else { continue };
        if found.is_none_or(|(known, _, _)| weight > known) {
            found = Some((weight, at, question));
        }
    }
    found.map(|(_, at, question)| (at, question))
}
