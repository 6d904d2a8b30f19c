//! The car as it stands on paper after each step of a card, in words.

use crate::trade::checker::{CardOnPaper, State, StepProgram, compile};
use crate::web::words;

/// The car after one step, when the card is worked in order from rest.
pub struct After {
    pub state: State,
    /// What is not at rest, each in words: `Rear end is on stands`.
    pub away: Vec<String>,
}

impl After {
    /// `the car is at rest`, or everything that is not.
    pub fn words(&self) -> String {
        if self.away.is_empty() { "nothing is loose, open or up".into() } else { self.away.join(" · ") }
    }
}

/// The car after each step, in order.
pub fn after_each(card: &CardOnPaper) -> Vec<After> {
    let mut state = State::default();
    let mut away: Vec<(String, String)> = Vec::new();
    let one = |program: &StepProgram| {
        state.apply(program);
        away.retain(|(key, _)| !program.closes.contains(key));
        for opened in &program.opens {
            match away.iter_mut().find(|(key, _)| *key == opened.key) {
                Some((_, words)) => words.clone_from(&opened.words),
                None => away.push((opened.key.clone(), opened.words.clone())),
            }
        }
        After { state: state.clone(), away: away.iter().map(|(_, said)| words::capital(said)).collect() }
    };
    compile(card).iter().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::checker::StepOnPaper;
    use crate::trade::spec::System;
    use crate::trade::steps::{ObjectKind, Verb};

    #[test]
    fn the_car_after_each_step_is_told_in_the_newest_words() {
        let step = |verb, kind, object| StepOnPaper::new(verb, kind, object);
        let steps = vec![
            step(Verb::Raise, ObjectKind::Corner, "rear end"),
            step(Verb::Support, ObjectKind::Corner, "rear end"),
            step(Verb::Remove, ObjectKind::Part, "rear wheels"),
            step(Verb::Lower, ObjectKind::Corner, "rear end"),
        ];
        let card = CardOnPaper { title: String::new(), system: System::Wheels, helper: false, steps };
        let after: Vec<String> = after_each(&card).iter().map(After::words).collect();
        let expected = [
            "Rear end is up on the jack",
            "Rear end is on stands",
            "Rear end is on stands · Rear wheels are off",
            "Rear wheels are off",
        ];
        assert_eq!(after, expected);
    }
}
