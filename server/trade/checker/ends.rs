//! What a card may not leave behind when its last step is done, and what only shows in the card as a whole.

use super::electrics::timing_unproven;
use super::hydraulics::{pedal_not_pumped, pedal_unproven};
use super::paper::{CardOnPaper, StepOnPaper};
use super::rule::Rule;
use super::state::State;
use super::step::StepProgram;
use super::{Finding, fasteners};
use crate::trade::nature::Nature;
use crate::trade::steps::Verb;

/// Findings about the end of the card: what it opened and nobody closes. What was open before it began is not its own.
pub(super) fn left(card: &CardOnPaper, programs: &[StepProgram], start: &State, end: &State) -> Vec<Finding> {
    let mut findings = loose_ends(programs, start, end);
    findings.extend(unproven(start, end));
    findings.extend(opened_twice(programs));
    findings.extend(wheels_not_repeated(card));
    findings
}

fn loose_ends(programs: &[StepProgram], start: &State, end: &State) -> Vec<Finding> {
    let mut seen: Vec<&str> = Vec::new();
    let mut findings = Vec::new();
    for (at, program) in programs.iter().enumerate().rev() {
        for opened in &program.opens {
            if seen.contains(&opened.key.as_str()) || start.holds(&opened.key) || !end.holds(&opened.key) {
                continue;
            }
            seen.push(&opened.key);
            findings.extend(loose_end(&opened.key, &opened.words, at));
        }
    }
    findings
}

fn loose_end(key: &str, words: &str, at: usize) -> Option<Finding> {
    let (family, _) = key.split_once(':')?;
    let (rule, then, mend) = match family {
        "fastener" => {
            (Rule::NeverTightened, "no step brings it to its torque", "Add the step that tightens it, with its figure.")
        }
        "fluid" => (Rule::LeftDry, "no step fills it", "Add the step that fills it, with fluid and quantity."),
        "air" => (
            Rule::NeverBled,
            "no step lets the air out",
            "Add the step that bleeds it, and one that proves the result.",
        ),
        "inside" => {
            (Rule::LeftInside, "no step takes it out", "Add the step that takes it out, before the last cover goes on.")
        }
        "corner" => (
            Rule::LeftUp,
            "no step lowers it",
            "Add the step that lowers the car, or say in its words why it stays up.",
        ),
        "part" => (
            Rule::LeftOff,
            "no step fits it",
            "Add the step that fits it again, or its replacement under the same name.",
        ),
        "opening" => (Rule::LeftOpen, "no step shuts it", "Add the step that shuts it."),
        "connection" => (Rule::LeftParted, "no step joins it", "Add the step that joins it."),
        "prop" => (Rule::LeftPropped, "no step takes it away", "Add the step that frees it."),
        _ => return None,
    };
    Some(Finding { rule, step: Some(at), say: format!("From here on the {words}, and {then}."), mend: mend.to_owned() })
}

/// A pedal nobody tried, or a mark nobody looked at, is a loose end that no eye can see.
fn unproven(start: &State, end: &State) -> Vec<Finding> {
    let mut findings = Vec::new();
    for need in [pedal_unproven(), pedal_not_pumped(), timing_unproven()] {
        if need.broken(start).is_some() {
            continue;
        }
        let finding = need.broken(end).map(|say| Finding { rule: need.rule, step: None, say, mend: need.mend.clone() });
        findings.extend(finding);
    }
    findings
}

/// The same end raised, the same part off, the same fluid out a second time on one card.
fn opened_twice(programs: &[StepProgram]) -> Vec<Finding> {
    let mut closed: Vec<&str> = Vec::new();
    let mut open: Vec<&str> = Vec::new();
    let mut findings = Vec::new();
    for (at, program) in programs.iter().enumerate() {
        for key in &program.closes {
            if open.contains(&key.as_str()) {
                open.retain(|known| known != key);
                closed.push(key);
            }
        }
        for opened in &program.opens {
            let key = opened.key.as_str();
            let costs_time = ["corner:", "part:", "fluid:"].iter().any(|family| key.starts_with(family));
            if costs_time && closed.contains(&key) && !open.contains(&key) {
                findings.push(twice(key, at));
            }
            open.push(key);
        }
    }
    findings
}

fn twice(key: &str, at: usize) -> Finding {
    Finding {
        rule: Rule::OpenedTwice,
        step: Some(at),
        say: format!(
            "The {} was undone and put back already on this card, and is undone again here.",
            super::thing(key)
        ),
        mend: "See whether what is done here can be done the first time.".to_owned(),
    }
}

fn wheels_not_repeated(card: &CardOnPaper) -> Option<Finding> {
    let is_wheels = |step: &StepOnPaper| step.is(Nature::WheelFixings);
    let tightened = card.steps.iter().position(|step| is_wheels(step) && fasteners::tightens(step))?;
    let drive = tightened + card.steps[tightened..].iter().position(|step| step.verb == Verb::Drive)?;
    let again = |step: &StepOnPaper| {
        is_wheels(step) && matches!(step.verb, Verb::Tighten | Verb::FinalTighten | Verb::Measure | Verb::Inspect)
    };
    if card.steps[drive..].iter().any(again) {
        return None;
    }
    Some(Finding {
        rule: Rule::WheelsNotRepeated,
        step: Some(drive),
        say: "Wheel fixings settle in their cones on the first drive, and no step tightens them again after it."
            .to_owned(),
        mend: "Add that step after the drive; the road check asks for it in any case.".to_owned(),
    })
}
