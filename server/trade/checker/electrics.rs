//! The battery, and the timing drive.

use super::facts;
use super::paper::{CardOnPaper, StepOnPaper};
use super::rule::Rule;
use super::step::Need;
use crate::trade::nature::Nature;
use crate::trade::steps::{ObjectKind, Verb};

pub(super) fn needs(card: &CardOnPaper, at: usize, needs: &mut Vec<Need>) {
    let step = &card.steps[at];
    match step.nature() {
        Some(Nature::Starter | Nature::Alternator | Nature::AirBag) if touches(step) => {
            needs.push(battery_parted(step))
        }
        Some(Nature::TimingDrive) if opens_the_drive(step) => needs.push(timing_marked(step)),
        _ => {}
    }
    if matches!(step.verb, Verb::Run | Verb::Drive) {
        needs.push(timing_unproven());
    }
}

pub(super) fn timing_unproven() -> Need {
    Need::new(
        Rule::TimingUnproven,
        "The timing drive was fitted, and no step since turned the engine twice by hand and looked at the marks: a tooth out, and valves meet pistons.",
        "Put a step after fitting: turn the crankshaft two full turns by hand and inspect the timing marks.",
    )
    .when(facts::TIMING_UNPROVEN)
}

fn touches(step: &StepOnPaper) -> bool {
    step.undoes() || matches!(step.verb, Verb::Connect | Verb::Fit)
}

fn battery_parted(step: &StepOnPaper) -> Need {
    let name = step.name();
    let say = match step.nature() {
        Some(Nature::AirBag) => format!("With the battery joined the {name} can go off in your face."),
        _ => format!(
            "The thick lead at the {name} comes straight from the battery: a spanner across it glows and burns."
        ),
    };
    Need::new(Rule::BatteryLive, say, "Part the battery's earth lead first, and join it last.")
        .unless("battery-parted:*")
}

fn opens_the_drive(step: &StepOnPaper) -> bool {
    matches!(step.kind, ObjectKind::Part | ObjectKind::Fastener) && matches!(step.verb, Verb::Loosen | Verb::Remove)
}

fn timing_marked(step: &StepOnPaper) -> Need {
    Need::new(
        Rule::TimingUnmarked,
        format!(
            "The {} comes off, and nothing was marked or pinned: a tooth out, and valves meet pistons.",
            step.name()
        ),
        "Turn the engine to its timing marks, mark or pin them, and take a photo, in a step before this one.",
    )
    .unless(facts::TIMING_MARKED)
}
