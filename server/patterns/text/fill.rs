//! A pattern with its choices made: the card that it becomes, still without the car's own figures.

use super::read::{Pattern, PatternPart, PatternSpec, PatternStep};
use crate::trade::checker::{CardOnPaper, SpecOnPaper, StepOnPaper};
use crate::trade::marks::Marks;
use crate::trade::spec::{SourceKind, System};
use crate::trade::steps::Ask;
use crate::trade::trust::Trust;
use std::collections::BTreeMap;

/// A pattern with every `{choice}` replaced.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Filled {
    pub title: String,
    pub system: System,
    pub about: String,
    pub minutes: [i64; 3],
    pub helper: bool,
    pub specs: Vec<PatternSpec>,
    pub parts: Vec<PatternPart>,
    pub steps: Vec<PatternStep>,
}

impl Pattern {
    /// Makes the choices. Where one is not made, or is none of the options, its first option is taken.
    pub fn fill(&self, chosen: &BTreeMap<String, String>) -> Filled {
        let words = self.replacements(chosen);
        let put = |text: &str| replace(text, &words);
        let all = |texts: &[String]| texts.iter().map(|text| put(text)).collect::<Vec<_>>();
        let spec = |spec: &PatternSpec| PatternSpec {
            item: put(&spec.item),
            place: put(&spec.place),
            find: spec.find.iter().map(|find| put(find).to_lowercase()).collect(),
            ..spec.clone()
        };
        let part = |part: &PatternPart| PatternPart { name: put(&part.name), ..part.clone() };
        let step = |step: &PatternStep| PatternStep {
            object: put(&step.object),
            words: put(&step.words),
            detail: put(&step.detail),
            tools: all(&step.tools),
            cautions: all(&step.cautions),
            marks: Marks { filler: put(&step.marks.filler), set: put(&step.marks.set), ..step.marks.clone() },
            ask: step.ask.as_ref().map(|ask| Ask { what: put(&ask.what), kind: ask.kind }),
            ..step.clone()
        };
        Filled {
            title: put(&self.title),
            system: self.system,
            about: put(&self.about),
            minutes: self.minutes,
            helper: self.helper,
            specs: self.specs.iter().map(spec).collect(),
            parts: self.parts.iter().map(part).collect(),
            steps: self.steps.iter().map(step).collect(),
        }
    }

    /// Every way in which the choices can be made.
    pub fn ways(&self) -> Vec<BTreeMap<String, String>> {
        let mut ways = vec![BTreeMap::new()];
        for choice in &self.choices {
            let more = |way: &BTreeMap<String, String>| {
                let with = |option: &String| {
                    let mut way = way.clone();
                    way.insert(choice.name.clone(), option.clone());
                    way
                };
                choice.options.iter().map(with).collect::<Vec<_>>()
            };
            ways = ways.iter().flat_map(more).collect();
        }
        ways
    }

    fn replacements(&self, chosen: &BTreeMap<String, String>) -> Vec<(String, String)> {
        let mut words = Vec::new();
        for choice in &self.choices {
            let known = chosen.get(&choice.name).filter(|option| choice.options.contains(option));
            let Some(option) = known.or(choice.options.first()) else { continue };
            words.push((choice.name.clone(), option.clone()));
            if let [one, other] = choice.options.as_slice() {
                let rest = if option == one { other } else { one };
                words.push((format!("other {}", choice.name), rest.clone()));
            }
        }
        words
    }
}

/// `{end}` becomes `rear`, `{End}` becomes `Rear`.
fn replace(text: &str, words: &[(String, String)]) -> String {
    words.iter().fold(text.to_owned(), |text, (name, option)| {
        text.replace(&format!("{{{name}}}"), option).replace(&format!("{{{}}}", capital(name)), &capital(option))
    })
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

impl Filled {
    /// The card as the checker reads it, as if every spec were found in a good source and every part were bought.
    pub fn on_paper(&self) -> CardOnPaper {
        let spec = |at: &usize| SpecOnPaper {
            kind: self.specs[*at].kind,
            trust: Trust::Single(SourceKind::MakersManual),
            written: String::new(),
            head: String::new(),
            used_once: false,
            by_angle: false,
            not_ours: None,
        };
        let step = |step: &PatternStep| StepOnPaper {
            verb: step.verb,
            kind: step.kind,
            object: step.object.clone(),
            marks: step.marks.clone(),
            specs: step.specs.iter().map(spec).collect(),
            parts: step.parts.iter().map(|at| self.parts[*at].name.clone()).collect(),
            tools: step.tools.clone(),
            cautions: step.cautions.clone(),
        };
        CardOnPaper {
            title: self.title.clone(),
            system: self.system,
            helper: self.helper,
            steps: self.steps.iter().map(step).collect(),
        }
    }
}
