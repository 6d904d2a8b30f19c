//! The car as it stands on paper after each step of a card: as a picture and in words.

use crate::trade::checker::{CardOnPaper, State, StepProgram, compile};
use crate::trade::ledger::LooseEnd;
use crate::web::car_picture::CarPicture;
use crate::web::words;

/// The car after one step, when the card is worked in order from rest.
pub struct After {
    pub picture: CarPicture,
    /// What is not at rest, each in words: `Rear end is on stands`.
    pub away: Vec<String>,
}

/// The car after each step, in order.
pub fn after_each(card: &CardOnPaper) -> Vec<After> {
    let mut state = State::default();
    let mut away: Vec<LooseEnd> = Vec::new();
    let one = |program: &StepProgram| {
        state.apply(program);
        away.retain(|end| !program.closes.contains(&end.key));
        for opened in &program.opens {
            match away.iter_mut().find(|end| end.key == opened.key) {
                Some(end) => end.words.clone_from(&opened.words),
                None => away.push(on_paper(&opened.key, &opened.words)),
            }
        }
        After {
            picture: CarPicture::of(&away, &state),
            away: away.iter().map(|end| words::capital(&end.words)).collect(),
        }
    };
    compile(card).iter().map(one).collect()
}

/// A loose end that nobody has made yet.
fn on_paper(key: &str, words: &str) -> LooseEnd {
    LooseEnd { key: key.into(), words: words.into(), place: String::new(), step: None, since: String::new() }
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
        let after: Vec<String> = after_each(&card).iter().map(|after| after.away.join(" · ")).collect();
        let expected = [
            "Rear end is up on the jack",
            "Rear end is on stands",
            "Rear end is on stands · Rear wheels are off",
            "Rear wheels are off",
        ];
        assert_eq!(after, expected);
    }
}
