//! The limit that a question brings along, where the restorer chose none for its reading.

use super::library::embedded;
use crate::readings::model::{Limit, LimitFacts, key_of, limit_of};
use crate::sync::wire::Act;
use crate::trade::limits::{Inputs, Rule};
use crate::trade::survey::{self as trade, Question};
use crate::work::store::StandingOp;
use std::collections::HashSet;

/// The published rule that holds without being told anything of the car; of two countries' the stricter. `None`: the rule wants a
/// figure of this car, which the restorer gives where limits are chosen.
fn rule(limit: trade::Limit) -> Option<Rule> {
    match limit {
        trade::Limit::Tread => Some(Rule::TreadUk),
        trade::Limit::Lining => Some(Rule::LiningUk),
        trade::Limit::WheelRunOut => Some(Rule::WheelRunOut),
        trade::Limit::LinkagePlay => Some(Rule::Linkage),
        trade::Limit::BatteryRest => Some(Rule::Battery12),
        trade::Limit::Disc
        | trade::Limit::PedalTravel
        | trade::Limit::SteeringPlay
        | trade::Limit::Toe
        | trade::Limit::Compression => None,
    }
}

/// What a question holds its reading against until another limit is chosen for it.
fn brought(question: &Question) -> Option<Limit> {
    let reading = question.reading.as_ref()?;
    let facts = LimitFacts {
        what: reading.ask.what.clone(),
        rule: rule(reading.limit?)?,
        least: None,
        most: None,
        margin: String::new(),
        inputs: Inputs::default(),
    };
    Some(Limit::of(&facts, &[]))
}

/// The limit of a question's reading: the one that the restorer chose, else the question's own.
pub fn limit_for(question: &Question, chosen: &[Limit]) -> Option<Limit> {
    let key = key_of(&question.reading.as_ref()?.ask.what);
    limit_of(chosen, &key).cloned().or_else(|| brought(question))
}

/// Puts beside the limits that were chosen those which come with questions whose readings were taken, so that such a reading is
/// judged alike wherever it is shown. By the program's own questions: this is read with every car.
pub fn add_brought(chosen: &mut Vec<Limit>, standing: &[StandingOp]) {
    let read: HashSet<String> = standing.iter().filter_map(reading_key).collect();
    let asked = embedded()
        .survey
        .questions()
        .filter(|question| question.reading.as_ref().is_some_and(|reading| read.contains(&key_of(&reading.ask.what))));
    for question in asked {
        let key = question.reading.as_ref().map(|reading| key_of(&reading.ask.what)).unwrap_or_default();
        if limit_of(chosen, &key).is_none() {
            chosen.extend(brought(question));
        }
    }
}

fn reading_key(op: &StandingOp) -> Option<String> {
    match &op.act {
        Act::Reading(body) => Some(key_of(&body.what)),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn question(key: &str) -> &'static Question {
        embedded().survey.question(key).unwrap().1
    }

    #[test]
    fn a_question_brings_a_limit_that_can_judge_where_the_rule_needs_no_figure_of_the_car() {
        let with: Vec<&str> = embedded()
            .survey
            .questions()
            .filter(|question| brought(question).is_some_and(|limit| limit.plan.is_ok()))
            .map(|question| question.key.as_str())
            .collect();
        assert_eq!(with, ["tread", "rims", "battery-rest", "brake-linings", "track-rods"]);
    }

    #[test]
    fn the_restorers_own_choice_comes_before_it() {
        let tread = question("tread");
        let brought = limit_for(tread, &[]).unwrap();
        assert_eq!(brought.rule, Rule::TreadUk);
        let chosen = Limit { rule: Rule::TreadUs, ..brought };
        assert_eq!(limit_for(tread, &[chosen]).unwrap().rule, Rule::TreadUs);
        assert_eq!(limit_for(question("vin"), &[]), None);
    }
}
