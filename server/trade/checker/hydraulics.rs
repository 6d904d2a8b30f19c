//! Brakes and clutch: what a pedal does by pressure.

use super::facts;
use super::paper::CardOnPaper;
use super::rule::Rule;
use super::step::Need;
use crate::trade::steps::Verb;

pub(super) fn needs(card: &CardOnPaper, at: usize, needs: &mut Vec<Need>) {
    if card.steps[at].verb != Verb::Drive {
        return;
    }
    needs.extend([pedal_unproven(), pedal_not_pumped()]);
}

pub(super) fn pedal_unproven() -> Need {
    Need::new(
        Rule::PedalUnproven,
        "The hydraulics were opened ({what}), and no step since has proved a pedal that is high, firm and does not sink.",
        "After bleeding, put a step: inspect the pedal, held hard for half a minute, and look at every joint.",
    )
    .when("pedal-unproven:*")
}

pub(super) fn pedal_not_pumped() -> Need {
    Need::new(
        Rule::PedalNotPumped,
        "The brakes were apart: the first strokes of the pedal only bring the pads or shoes back, and the car does not stop.",
        "Before the car moves, put a step: pump the brake pedal until it is firm, and look at the fluid again.",
    )
    .when(facts::PADS_BACK)
}
