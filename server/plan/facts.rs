//! What a plan was made from, so that it can be said what changed since.

use super::job::is_finished;
use super::model::Planning;
use crate::sync::wire::Tick;
use crate::work::model::CardState;
use crate::work::whole::WholeCar;
use jiff::civil::DateTime;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// Every fact by its key, with the words for it and its value.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Facts(BTreeMap<String, Fact>);

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Fact {
    /// What to say where it is there now and was not.
    came: String,
    /// What to say where it is not there any more.
    went: String,
    /// What to say where it has another value.
    other: String,
    value: String,
}

impl Facts {
    /// The facts as they are now.
    pub fn of(whole: &WholeCar, planning: &Planning, now: DateTime) -> Facts {
        let mut facts = Facts::default();
        for card in &whole.state.cards {
            facts.card(card, planning);
        }
        for part in &whole.state.parts {
            let name = &part.facts.name;
            let value = format!("{} {:?}", part.facts.state.name(), part.facts.expected_on);
            let said = if part.facts.state.is_missing() { "is expected otherwise" } else { "is here" };
            facts.add(format!("part {}", part.id), ["is on the buy list", "left the buy list", said], name, value);
        }
        for evening in planning.evenings.iter().filter(|evening| !evening.facts.is_over(now)) {
            let name = evening.facts.begins().strftime("%a %-d %b, %H:%M").to_string();
            let value = format!("{} {} {}", evening.facts.begins(), evening.facts.minutes, evening.facts.helper);
            let said = ["is a new evening", "is past, or no evening any more", "is another evening than it was"];
            facts.add(format!("evening {}", evening.id), said, &name, value);
        }
        for key in whole.state.true_now.facts().filter(|fact| fact.starts_with("corner:")) {
            let said = ["was raised", "was let down", ""];
            facts.add(format!("open {key}"), said, crate::trade::checker::thing(key), String::new());
        }
        let tools = whole.state.tools.len().to_string();
        facts.add("tools".into(), ["", "", "holds other tools"], "The chest", tools);
        let wanted = whole.car.wanted_on.clone().unwrap_or_default();
        facts.add("wanted".into(), ["", "", "is another one"], "The wanted date", wanted);
        facts
    }

    fn card(&mut self, card: &CardState, planning: &Planning) {
        let (id, title) = (card.card.id, &card.card.facts.title);
        if planning.put_off.contains(&id) {
            self.add(format!("put-off {id}"), ["was put off", "is to be done again", ""], title, String::new());
            return;
        }
        let finished = is_finished(card);
        let settled = card.steps.iter().filter(|step| card.tick(step.id) != Tick::Open).count();
        let said = ["is a new job", "is no job any more", if finished { "was finished" } else { "was worked on" }];
        self.add(format!("job {id}"), said, title, settled.to_string());
        if finished {
            return;
        }
        let said = ["", "", "has other times, steps or needs"];
        self.add(format!("work {id}"), said, title, format!("{:?} {}", card.card.facts.minutes, card.card.rev));
        let after: Vec<String> = planning.after(id).iter().map(ToString::to_string).collect();
        self.add(format!("after {id}"), ["", "", "comes after other jobs"], title, after.join(" "));
        let pin = planning.pins.get(&id).map(ToString::to_string).unwrap_or_default();
        self.add(format!("pin {id}"), ["", "", "is kept to another evening, or to none"], title, pin);
    }

    fn add(&mut self, key: String, [came, went, other]: [&str; 3], name: &str, value: String) {
        let say = |what: &str| if what.is_empty() { String::new() } else { format!("‘{name}’ {what}.") };
        self.0.insert(key, Fact { came: say(came), went: say(went), other: say(other), value });
    }

    /// What changed from these facts to `now`, each a sentence; empty where a plan made from these is not stale.
    pub fn changed(&self, now: &Facts) -> Vec<String> {
        let mut said: Vec<String> = Vec::new();
        let mut say = |sentence: &String| {
            if !sentence.is_empty() && !said.contains(sentence) {
                said.push(sentence.clone());
            }
        };
        for (key, fact) in &now.0 {
            match self.0.get(key) {
                None => say(&fact.came),
                Some(before) if before.value != fact.value => say(&fact.other),
                Some(_) => {}
            }
        }
        for (key, fact) in &self.0 {
            if !now.0.contains_key(key) {
                say(&fact.went);
            }
        }
        said
    }
}
