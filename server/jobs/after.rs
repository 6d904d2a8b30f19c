//! The car as it stands on paper after each step of a card: as a picture and in words.

use crate::trade::checker::StepProgram;
use crate::trade::ledger::{Event, Ledger};
use crate::web::car_picture::CarPicture;
use crate::web::words;

/// The car after one step, when the card is worked in order from rest.
pub struct After {
    pub picture: CarPicture,
    /// What is not at rest, each in words: `Rear end is on stands`.
    pub away: Vec<String>,
}

/// The car after each step, in order.
pub fn after_each(card: &[StepProgram]) -> Vec<After> {
    let mut ledger = Ledger::default();
    let one = |program: &StepProgram| {
        ledger.take(&Event::Done { step: "", at: "", program });
        After {
            picture: CarPicture::of(&ledger.ends, &ledger.state),
            away: ledger.ends.iter().map(|end| words::capital(&end.words)).collect(),
        }
    };
    card.iter().map(one).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::checker::{CardOnPaper, StepOnPaper, compile};
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
        let after: Vec<String> = after_each(&compile(&card)).iter().map(|after| after.away.join(" · ")).collect();
        let expected = [
            "Rear end is up on the jack",
            "Rear end is on stands",
            "Rear end is on stands · Rear wheels are off",
            "Rear wheels are off",
        ];
        assert_eq!(after, expected);
    }
}
