//! After which steps of a card the car may be left for a night, and what speaks against the others.
//!
//! The rule: not while only a jack or a prop holds something, while what carries weight is undone, while brakes, clutch,
//! steering or fuel are open, while a wheel is off and nothing but a jack stands in for it, while something looks done and is
//! not (a fastener that is loose or nipped up, a part that hangs, a timing drive nobody has looked at again), or while
//! something was left inside. Everything else may stay: the car on its stands, wheels off, parts off, a system drained.
//! Common practice, no source.

use super::minutes::Minutes;
use crate::trade::checker::{CardOnPaper, State, StepOnPaper, StepProgram};
use crate::trade::nature::Nature;
use crate::trade::night::Line;
use crate::trade::steps::{ObjectKind, Verb};
use std::collections::BTreeSet;

const fn against(say: &'static str, when: &'static [&'static str], unless: &'static [&'static str]) -> Line {
    Line { say, mend: "", when, unless }
}

/// What speaks against leaving a car, each as it follows ‘not left while’.
const AGAINST: &[Line] = &[
    against("only a jack holds the {what}", &["jacked:*"], &[]),
    against("a prop holds something up: {what}", &["prop:*"], &[]),
    against("what carries weight is undone: {what}", &["load:*"], &[]),
    against("a wheel is off and no stands are set: {what}", &["wheel-off:*"], &["stands:*"]),
    against("the {what} are open", &["pedal-unproven:*"], &[]),
    against("air is in the {what}", &["air:*"], &[]),
    against("the brakes are apart and no stands are set", &["pads-back"], &["stands:*"]),
    against("the steering is undone: {what}", &["steering-undone:*"], &[]),
    against("fuel is open: {what}", &["fuel-open:*"], &[]),
    against("it looks tight and is not: {what}", &["half-tight:*"], &[]),
    against("something hangs: {what}", &["hanging:*"], &[]),
    against("the timing drive was fitted and not looked at again", &["timing-unproven"], &[]),
    against("dirt can fall in: {what} open", &["opening:*"], &["fluid:*"]),
    against("something is left inside: {what}", &["inside:*"], &[]),
];

/// How the car is left, each with its thing before it.
const LEFT: &[(&str, &str)] = &[
    ("stands:", "on stands"),
    ("part:", "off"),
    ("fluid:", "drained"),
    ("connection:", "parted"),
    ("prop:", "propped"),
    ("opening:", "open"),
];

/// A place in a card at which the car may be left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Leaving {
    /// Index of the last step done before.
    pub after: usize,
    /// The car then, as far as this card goes.
    pub state: State,
}

impl Leaving {
    /// `with the rear end on stands and the rear wheels off`, `with nothing undone`
    pub fn words(&self) -> String {
        let said = |(family, how): &(&str, &str)| {
            let things = self.state.things(&format!("{family}*"));
            things.into_iter().map(|thing| format!("the {thing} {how}")).collect::<Vec<_>>()
        };
        let mut parts: Vec<String> = LEFT.iter().flat_map(said).collect();
        match parts.pop() {
            None => "with nothing undone".into(),
            Some(last) if parts.is_empty() => format!("with {last}"),
            Some(last) => format!("with {} and {last}", parts.join(", ")),
        }
    }
}

/// What speaks against leaving a car in this state, as it follows ‘not left while’.
pub fn against_leaving(state: &State) -> Option<String> {
    AGAINST.iter().find_map(|line| line.said(state))
}

/// The card worked from a car at rest: the state after each step, with what only matters for a night.
///
/// `programs` are those of the card's steps.
pub fn states(card: &CardOnPaper, programs: &[StepProgram]) -> Vec<State> {
    let (mut state, mut risks) = (State::default(), Risks::default());
    card.steps
        .iter()
        .zip(programs)
        .map(|(step, program)| {
            state.apply(program);
            risks.take(step, program);
            risks.with(&state)
        })
        .collect()
}

/// Every place before the last step at which the car may be left, in order.
pub fn leaving(card: &CardOnPaper, programs: &[StepProgram]) -> Vec<Leaving> {
    let last = card.steps.len().saturating_sub(1);
    let states = states(card, programs).into_iter().enumerate().take(last);
    let free = states.filter(|(_, state)| against_leaving(state).is_none());
    free.map(|(after, state)| Leaving { after, state }).collect()
}

/// Of these places, those that cut the work into pieces worth an evening: none shorter than `least` likely minutes.
///
/// `work` are the minutes of each step, without what is only access.
pub fn worth_stopping(places: &[Leaving], work: &[Minutes], least: u32) -> Vec<usize> {
    let between = |from: usize, to: usize| work[from..to].iter().map(|step| step.likely()).sum::<u32>();
    let (mut chosen, mut from) = (Vec::new(), 0);
    for (at, place) in places.iter().enumerate() {
        let next = place.after + 1;
        if between(from, next) >= least && between(next, work.len()) >= least {
            chosen.push(at);
            from = next;
        }
    }
    chosen
}

/// What stays undone in a way that matters for a night and that the checker's state does not name.
#[derive(Default)]
struct Risks {
    steering: BTreeSet<String>,
    fuel: BTreeSet<String>,
    hanging: BTreeSet<String>,
}

impl Risks {
    fn take(&mut self, step: &StepOnPaper, program: &StepProgram) {
        for set in [&mut self.steering, &mut self.fuel, &mut self.hanging] {
            set.retain(|key| !program.closes.contains(key));
        }
        let opened = || program.opens.iter().map(|opened| opened.key.clone());
        if step.is(Nature::Steering) {
            self.steering.extend(opened());
        }
        if step.is(Nature::Fuel) {
            self.fuel.extend(opened());
        }
        if step.kind == ObjectKind::Part {
            opened().for_each(|key| {
                self.hanging.remove(&key);
            });
            if step.verb == Verb::Loosen {
                self.hanging.extend(opened());
            }
        }
    }

    fn with(&self, state: &State) -> State {
        let mut all = state.clone();
        let sets = [("steering-undone", &self.steering), ("fuel-open", &self.fuel), ("hanging", &self.hanging)];
        for (word, keys) in sets {
            for thing in keys.iter().map(|key| crate::trade::checker::thing(key)) {
                all.open_by_hand(&format!("{word}:{thing}"), thing);
            }
        }
        for thing in state.things("fastener:*").into_iter().filter(|thing| !state.holds(&format!("off:{thing}"))) {
            all.open_by_hand(&format!("half-tight:{thing}"), thing);
        }
        all
    }
}
