//! What must hold before a step, as it is shown on the phone: the reason, how to mend it, and whether somebody went on
//! all the same. Scripts do the same offline in `static/js/work/guard.js`.

use super::bolts;
use crate::ids::{CardId, StepId};
use crate::sync::wire::{Act, Tick};
use crate::trade::checker::{Rule, Weight, broken};
use crate::web::page::Page;
use crate::work::store::Done;
use crate::work::whole::WholeCar;
use askama::Template;

/// Why somebody goes on all the same: what is offered to be chosen. Other words can be typed.
pub const REASONS: [&str; 4] = [
    "It is so already, only not ticked",
    "This car differs from the card",
    "I made sure of it another way",
    "Only a part of the step is done now",
];

/// A guard that is broken now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct GuardView {
    pub rule: Rule,
    pub code: &'static str,
    pub word: &'static str,
    pub headline: &'static str,
    pub say: String,
    pub mend: String,
    /// Somebody went on all the same, since the step was last unticked.
    pub passed: bool,
}

/// What was gone past at a step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PassedView {
    pub say: String,
    pub why: String,
}

/// The guards of a step that the state of the car breaks now, the weightiest first.
pub fn guards_of(under: &WholeCar, step: StepId) -> Vec<GuardView> {
    let state = &under.state;
    let Some(effect) = state.effects.iter().find(|one| one.step == step && !one.gone) else { return Vec::new() };
    let passed = went_on(&under.done_on(&step.to_string()));
    let mut found: Vec<GuardView> = broken(&effect.compiled, 0, &state.true_now)
        .map(|found| GuardView {
            rule: found.rule,
            code: found.weight().name(),
            word: found.weight().label(),
            headline: found.rule.label(),
            passed: passed.iter().any(|(rule, _)| *rule == found.rule.name()),
            say: found.say,
            mend: found.mend,
        })
        .collect();
    found.sort_by_key(|guard| guard.rule.weight());
    found
}

/// The guards that stop a tick until a reason is given: a note never does.
pub fn stopping(under: &WholeCar, step: StepId) -> Vec<GuardView> {
    let mut guards = guards_of(under, step);
    guards.retain(|guard| !guard.passed && guard.rule.weight() != Weight::Note);
    let passed = went_on(&under.done_on(&step.to_string()));
    let is_passed = passed.iter().any(|(rule, _)| *rule == Rule::BoltsLeft.name());
    guards.extend(bolts::left(under, step).filter(|_| !is_passed));
    guards
}

pub fn passed_at(under: &WholeCar, step: StepId) -> Vec<PassedView> {
    let view = |(_, done): (&str, &Done)| match &done.act {
        Act::WentOn(body) => Some(PassedView { say: body.say.clone(), why: body.why.clone() }),
        _ => None,
    };
    went_on(&under.done_on(&step.to_string())).into_iter().filter_map(view).collect()
}

/// What was gone past since the step was last opened again, by rule: the latest of each. `done` is of one step, oldest first.
fn went_on<'a>(done: &[&'a Done]) -> Vec<(&'a str, &'a Done)> {
    let mut found: Vec<(&str, &Done)> = Vec::new();
    for one in done {
        match &one.act {
            Act::Tick(body) if body.state == Tick::Open => found.clear(),
            Act::WentOn(body) => {
                found.retain(|(rule, _)| *rule != body.rule);
                found.push((&body.rule, one));
            }
            _ => {}
        }
    }
    found
}

/// The page between a form's Done and the tick, where a guard stands in the way.
#[derive(Template)]
#[template(path = "under/guard.html")]
pub struct GuardPage {
    page: Page,
    car: String,
    card: String,
    step: String,
    n: String,
    words: String,
    guards: Vec<GuardView>,
    reasons: [&'static str; 4],
    /// What was wrong with the reason that was given; empty at first.
    trouble: &'static str,
}

impl GuardPage {
    pub fn of(
        page: Page,
        under: &WholeCar,
        at: (CardId, StepId),
        guards: Vec<GuardView>,
        no_reason: bool,
    ) -> GuardPage {
        let (card, step) = at;
        let effect = under.state.effects.iter().find(|one| one.step == step);
        let here = format!("/under/{}/cards/{card}", under.car.id);
        GuardPage {
            page: page.under_car(under.car.id, &under.car.name, Some(here), "card"),
            car: under.car.id.to_string(),
            card: card.to_string(),
            step: step.to_string(),
            n: effect.map(|one| one.number.to_string()).unwrap_or_default(),
            words: effect.map(|one| one.words.clone()).unwrap_or_default(),
            guards,
            reasons: REASONS,
            trouble: if no_reason { "Say in a few words why you go on all the same." } else { "" },
        }
    }
}
