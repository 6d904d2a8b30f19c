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
    against("what carries weight is undone: {what}", &["load-undone:*"], &[]),
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
    /// Whether nothing is up, off, drained, parted or open.
    pub fn is_untouched(&self) -> bool {
        LEFT.iter().all(|(family, _)| self.state.things(&format!("{family}*")).is_empty())
    }

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
    /// Names of wheel nuts and bolts: a wheel that is off over stands has them off too, and carries nothing.
    wheel_fixings: BTreeSet<String>,
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
        if step.is(Nature::WheelFixings) {
            self.wheel_fixings.insert(step.name());
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
        let is_with_its_wheel = |thing: &&str| {
            self.wheel_fixings.contains(*thing) && state.holds(&format!("off:{thing}")) && state.holds("wheel-off:*")
        };
        for thing in state.things("load:*").into_iter().filter(|thing| !is_with_its_wheel(thing)) {
            all.open_by_hand(&format!("load-undone:{thing}"), thing);
        }
        all
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::checker::compile;
    use crate::trade::marks::Mark;
    use crate::trade::spec::System;
    use crate::trade::steps::ObjectKind;

    fn card(deeds: &[&str]) -> CardOnPaper {
        let step = |deed: &&str| {
            let (deed, bears) = deed.strip_suffix(" !").map_or((*deed, false), |deed| (deed, true));
            let mut words = deed.splitn(3, ' ');
            let (verb, kind, object) = (words.next().unwrap(), words.next().unwrap(), words.next().unwrap());
            let (verb, kind) = (Verb::from_name(verb).unwrap(), ObjectKind::from_name(kind).unwrap());
            let mut step = StepOnPaper::new(verb, kind, object);
            step.marks.marks.extend(bears.then_some(Mark::BearsLoad));
            step
        };
        let steps = deeds.iter().map(step).collect();
        CardOnPaper { title: "Work".into(), system: System::Brakes, helper: false, steps }
    }

    fn places(deeds: &[&str]) -> Vec<usize> {
        let card = card(deeds);
        leaving(&card, &compile(&card)).iter().map(|place| place.after).collect()
    }

    #[test]
    fn a_car_is_left_on_its_stands_and_never_on_a_jack() {
        let deeds = [
            "chock corner rear end",
            "raise corner front end",
            "support corner front end",
            "measure part front linings",
            "lower corner front end",
            "note none findings",
        ];
        assert_eq!(places(&deeds), [0, 2, 3, 4]);
        let card = card(&deeds);
        assert_eq!(leaving(&card, &compile(&card))[1].words(), "with the front end on stands");
    }

    #[test]
    fn what_looks_tight_and_is_not_is_never_left() {
        // Loose while the wheel stands on the ground, off with the wheel, nipped up before the car is down.
        let deeds = [
            "chock corner rear end",
            "loosen fastener front wheel nuts",
            "raise corner front end",
            "support corner front end",
            "remove fastener front wheel nuts !",
            "remove part front wheels",
            "fit part front wheels",
            "fit fastener front wheel nuts",
            "lower corner front end",
            "tighten fastener front wheel nuts",
            "note none findings",
        ];
        // With the nuts off and the wheel still on its hub, nothing holds it.
        assert_eq!(places(&deeds), [0, 5, 9]);
    }

    #[test]
    fn brakes_steering_fuel_and_what_carries_weight_are_not_left_undone() {
        for (deeds, free) in [
            (["disconnect connection brake hose", "connect connection brake hose", "note none end"], &[][..]),
            (["open fluid brake fluid", "bleed fluid brake fluid", "note none end"], &[]),
            (["disconnect connection fuel hose", "connect connection fuel hose", "note none end"], &[1]),
            (["disconnect connection track rod end", "connect connection track rod end", "note none end"], &[1]),
            (["remove fastener lower arm bolt !", "tighten fastener lower arm bolt", "note none end"], &[1]),
            (["prop prop exhaust strap", "free prop exhaust strap", "note none end"], &[1]),
            (["loosen part alternator", "fit part alternator", "note none end"], &[1]),
            (["fit left-inside rag in the inlet", "remove left-inside rag in the inlet", "note none end"], &[1]),
            (["drain fluid coolant", "fill fluid coolant", "note none end"], &[0, 1]),
            (["remove part radiator", "fit part radiator", "note none end"], &[0, 1]),
            (["disconnect connection top hose", "connect connection top hose", "note none end"], &[0, 1]),
            (["open opening filler cap", "close opening filler cap", "note none end"], &[1]),
        ] {
            assert_eq!(places(&deeds), free, "{deeds:?}");
        }
    }

    #[test]
    fn what_stops_is_said() {
        let card = card(&["prop prop exhaust strap", "note none end"]);
        let state = &states(&card, &compile(&card))[0];
        assert_eq!(against_leaving(state).as_deref(), Some("a prop holds something up: exhaust strap"));
        assert_eq!(against_leaving(&State::default()), None);
    }

    #[test]
    fn only_places_between_pieces_worth_an_evening_cut_the_work() {
        let place = |after| Leaving { after, state: State::default() };
        let minutes = |likely| Minutes::new([1, likely, likely]).unwrap();
        let work = [minutes(10), minutes(25), minutes(10), minutes(40), minutes(5)];
        let places: Vec<Leaving> = (0..4).map(place).collect();
        assert_eq!(worth_stopping(&places, &work, 30), [1]);
        assert_eq!(worth_stopping(&places, &work, 5), [0, 1, 2, 3]);
        assert_eq!(worth_stopping(&places, &work, 100), Vec::<usize>::new());
        assert_eq!(worth_stopping(&[], &work, 5), Vec::<usize>::new());
    }
}
