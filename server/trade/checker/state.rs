//! The state of the car while a card is worked: the loose ends, and the facts that only the rules care about.
//!
//! A fact is a word, or a word and a thing: `hot`, `jacked:front end`, `proven:rear axle filler plug`. A loose end's key is
//! a fact too. So the whole state is one set, and the phone can keep it without knowing any rule.

use super::step::StepProgram;
use std::collections::BTreeSet;

/// What is true of the car.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct State(BTreeSet<String>);

impl State {
    /// Whether a fact holds. One that ends with `*` stands for every fact that begins so.
    pub fn holds(&self, fact: &str) -> bool {
        match fact.strip_suffix('*') {
            Some(beginning) => self.beginning(beginning).next().is_some(),
            None => self.0.contains(fact),
        }
    }

    /// The facts that match: itself, or those that begin so.
    pub fn matches(&self, fact: &str) -> Vec<&str> {
        match fact.strip_suffix('*') {
            Some(beginning) => self.beginning(beginning).collect(),
            None => self.0.get(fact).map(String::as_str).into_iter().collect(),
        }
    }

    fn beginning<'a>(&'a self, beginning: &str) -> impl Iterator<Item = &'a str> + use<'a> {
        let beginning = beginning.to_owned();
        self.0.range(beginning.clone()..).map(String::as_str).take_while(move |fact| fact.starts_with(&beginning))
    }

    /// What a step that was done makes of it: first what it ends, then what it begins.
    pub fn apply(&mut self, step: &StepProgram) {
        for fact in step.clears.iter().chain(&step.closes) {
            self.clear(fact);
        }
        self.0.extend(step.opens.iter().map(|opened| opened.key.clone()));
        self.0.extend(step.sets.iter().cloned());
    }

    /// A loose end closed by hand: nothing that was known of the same thing holds any more.
    pub fn close_by_hand(&mut self, key: &str) {
        let Some((_, thing)) = key.split_once(':') else { return };
        self.0.retain(|fact| fact.split_once(':').is_none_or(|(_, other)| other != thing));
    }

    /// A loose end made by hand.
    pub fn open_by_hand(&mut self, key: &str) {
        self.0.insert(key.to_owned());
    }

    fn clear(&mut self, fact: &str) {
        match fact.strip_suffix('*') {
            Some(beginning) => self.0.retain(|known| !known.starts_with(beginning)),
            None => {
                self.0.remove(fact);
            }
        }
    }

    pub fn facts(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(String::as_str)
    }
}

impl<'a> FromIterator<&'a str> for State {
    fn from_iter<I: IntoIterator<Item = &'a str>>(facts: I) -> State {
        State(facts.into_iter().map(str::to_owned).collect())
    }
}

/// The things in facts, without the word before: `jacked:front end` is about the front end.
pub fn thing(fact: &str) -> &str {
    fact.split_once(':').map_or(fact, |(_, thing)| thing)
}
