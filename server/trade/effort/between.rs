//! Which cards must not be worked while something stays open: what the checker says of two cards of one evening, asked only of
//! states that last.
//!
//! Work is done one piece after another, and opening or closing up is never broken off. So of all that two cards could do to
//! each other in between, only what stays open from one piece to another counts: an end on its stands, a system drained.

use super::super::checker::{State, StepProgram, Weight};
use std::collections::HashMap;

/// At most as many as a set of bits holds.
pub const MOST_OPEN: usize = 64;

/// States that last, each with what is true while it does.
pub struct Lasting<'a> {
    states: &'a [State],
    /// For a fact that was asked for: in which of the states it holds.
    holding: HashMap<String, u64>,
}

impl<'a> Lasting<'a> {
    /// Of more than [`MOST_OPEN`] states the rest is not looked at.
    pub fn new(states: &'a [State]) -> Lasting<'a> {
        Lasting { states: &states[..states.len().min(MOST_OPEN)], holding: HashMap::new() }
    }

    fn holding(&mut self, fact: &str) -> u64 {
        if let Some(known) = self.holding.get(fact) {
            return *known;
        }
        let bits = self.states.iter().enumerate().filter(|(_, state)| state.holds(fact));
        let set = bits.fold(0, |set, (bit, _)| set | 1 << bit);
        self.holding.insert(fact.to_owned(), set);
        set
    }

    /// Which of the states break a need of a card's steps that holds while the card is worked alone, as bits. Only of the
    /// steps still `to_do`; notes are no reason.
    pub fn against(&mut self, programs: &[StepProgram], to_do: impl Fn(usize) -> bool) -> u64 {
        let (mut alone, mut against) = (State::default(), 0);
        for (at, program) in programs.iter().enumerate() {
            if to_do(at) {
                for need in program.needs.iter().filter(|need| need.rule.weight() != Weight::Note) {
                    against |= self.breaking(&need.when, &need.unless, &alone);
                }
            }
            alone.apply(program);
        }
        against
    }

    /// The states that, on top of this one, make all of `when` true and none of `unless`; none where it is so already.
    fn breaking(&mut self, when: &[String], unless: &[String], alone: &State) -> u64 {
        if unless.iter().any(|fact| alone.holds(fact)) {
            return 0;
        }
        let missing: Vec<&String> = when.iter().filter(|fact| !alone.holds(fact)).collect();
        if missing.is_empty() {
            return 0;
        }
        let all = missing.into_iter().fold(u64::MAX, |set, fact| set & self.holding(fact));
        unless.iter().fold(all, |set, fact| set & !self.holding(fact))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::checker::evening::side_by_side;
    use crate::trade::checker::{CardOnPaper, StepOnPaper, compile};
    use crate::trade::spec::System;
    use crate::trade::steps::{ObjectKind, Verb};

    fn programs(deeds: &[(Verb, ObjectKind, &str)]) -> Vec<StepProgram> {
        let steps = deeds.iter().map(|(verb, kind, object)| StepOnPaper::new(*verb, *kind, object)).collect();
        compile(&CardOnPaper { title: "Work".into(), system: System::Cooling, helper: false, steps })
    }

    #[test]
    fn nothing_is_driven_while_something_is_open_as_the_checker_has_it() {
        let drive = programs(&[(Verb::Drive, ObjectKind::Nothing, "short drive")]);
        let look = programs(&[(Verb::Inspect, ObjectKind::Part, "door seal")]);
        let drained =
            programs(&[(Verb::Drain, ObjectKind::Fluid, "coolant"), (Verb::Fill, ObjectKind::Fluid, "coolant")]);
        let states: [State; 2] = [["fluid:coolant"].into_iter().collect(), ["chocked:front end"].into_iter().collect()];
        let mut lasting = Lasting::new(&states);
        assert_eq!(lasting.against(&drive, |_| true), 0b01);
        assert_eq!(lasting.against(&drive, |_| false), 0, "what is done already is barred by nothing");
        assert_eq!(lasting.against(&look, |_| true), 0);
        // The same two cards laid side by side: the checker says so too.
        let evening = side_by_side(&[&drive, &drained], &State::default());
        assert!(evening.clashes.iter().any(|clash| (clash.waits, clash.other) == (0, 1)));
        assert!(side_by_side(&[&look, &drained], &State::default()).clashes.is_empty());
    }

    #[test]
    fn a_need_that_its_own_card_breaks_bars_nothing() {
        let own = programs(&[(Verb::Drain, ObjectKind::Fluid, "coolant"), (Verb::Drive, ObjectKind::Nothing, "drive")]);
        let states: [State; 1] = [["fluid:coolant"].into_iter().collect()];
        assert_eq!(Lasting::new(&states).against(&own, |_| true), 0);
    }
}
