//! The state of the car while a card is worked: the loose ends, and the facts that only the rules care about.
//!
//! A fact is a word, or a word and a thing: `hot`, `jacked:front end`, `proven:rear axle filler plug`. A loose end's key is
//! a fact too. So the whole state is one set, and the phone can keep it without knowing any rule.

use super::step::StepProgram;
use std::collections::BTreeMap;

/// What is true of the car: each fact with the name of the thing that it is about.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct State(BTreeMap<String, String>);

impl State {
    /// Whether a fact holds. One that ends with `*` stands for every fact that begins so.
    pub fn holds(&self, fact: &str) -> bool {
        match fact.strip_suffix('*') {
            Some(beginning) => self.beginning(beginning).next().is_some(),
            None => self.0.contains_key(fact),
        }
    }

    /// The names of the things that the matching facts are about.
    pub fn things(&self, fact: &str) -> Vec<&str> {
        match fact.strip_suffix('*') {
            Some(beginning) => self.beginning(beginning).map(|(_, name)| name).collect(),
            None => self.0.get(fact).map(String::as_str).into_iter().collect(),
        }
    }

    fn beginning<'a>(&'a self, beginning: &str) -> impl Iterator<Item = (&'a str, &'a str)> + use<'a> {
        let beginning = beginning.to_owned();
        let all = self.0.range(beginning.clone()..).map(|(fact, name)| (fact.as_str(), name.as_str()));
        all.take_while(move |(fact, _)| fact.starts_with(&beginning))
    }

    /// What a step that was done makes of it: first what it ends, then what it begins.
    pub fn apply(&mut self, step: &StepProgram) {
        for fact in step.clears.iter().chain(&step.closes) {
            self.clear(fact);
        }
        for fact in step.opens.iter().map(|opened| &opened.key).chain(&step.sets) {
            self.0.insert(fact.clone(), thing(fact).to_owned());
        }
    }

    /// A loose end closed by hand: nothing that was known of the same thing holds any more.
    pub fn close_by_hand(&mut self, key: &str) {
        let Some((_, closed)) = key.split_once(':') else { return };
        self.0.retain(|fact, _| fact.split_once(':').is_none_or(|(_, other)| other != closed));
    }

    /// A loose end made by hand, in the words of who made it.
    pub fn open_by_hand(&mut self, key: &str, words: &str) {
        self.0.insert(key.to_owned(), words.to_owned());
    }

    fn clear(&mut self, fact: &str) {
        match fact.strip_suffix('*') {
            Some(beginning) => self.0.retain(|known, _| !known.starts_with(beginning)),
            None => {
                self.0.remove(fact);
            }
        }
    }

    pub fn facts(&self) -> impl Iterator<Item = &str> {
        self.0.keys().map(String::as_str)
    }
}

impl<'a> FromIterator<&'a str> for State {
    fn from_iter<I: IntoIterator<Item = &'a str>>(facts: I) -> State {
        State(facts.into_iter().map(|fact| (fact.to_owned(), thing(fact).to_owned())).collect())
    }
}

/// The things in facts, without the word before: `jacked:front end` is about the front end.
pub fn thing(fact: &str) -> &str {
    fact.split_once(':').map_or(fact, |(_, thing)| thing)
}
