//! Who has to be there.

use super::paper::{CardOnPaper, StepOnPaper};
use super::rule::Rule;
use super::step::Need;
use crate::trade::marks::Mark;

pub(super) fn needs(card: &CardOnPaper, at: usize, needs: &mut Vec<Need>) {
    if card.helper || !takes_two(&card.steps[at]) || card.steps[..at].iter().any(takes_two) {
        return;
    }
    needs.push(Need::new(
        Rule::HelperUnplanned,
        "This step takes a second person, and the card does not ask for one.",
        "Tick ‘a helper is asked’ on the card, and say when.",
    ));
}

fn takes_two(step: &StepOnPaper) -> bool {
    step.has(Mark::TwoPeople) || step.tools.iter().any(|tool| tool.trim().to_lowercase().contains("helper"))
}
