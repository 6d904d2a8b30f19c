//! Nuts, bolts, and what serves once only.

use super::facts;
use super::lifting::{hanging, wheel_on_the_ground};
use super::paper::{CardOnPaper, StepOnPaper};
use super::rule::Rule;
use super::step::Need;
use crate::trade::marks::Mark;
use crate::trade::spec::Kind;
use crate::trade::steps::{ObjectKind, Verb};
use crate::trade::trust::Trust;

pub(super) fn needs(card: &CardOnPaper, at: usize, needs: &mut Vec<Need>) {
    let step = &card.steps[at];
    if step.verb.tightens() {
        needs.extend(figure(step));
        needs.extend(bush_on_its_wheels(step));
        needs.extend(wheel_on_the_ground(step));
        needs.extend(partners_in(card, step));
    }
    needs.extend(new_each_time(card, step));
}

/// How far to tighten is known, and known well enough to lie under.
fn figure(step: &StepOnPaper) -> Option<Need> {
    let name = step.name();
    let worst = step.specs_of(Kind::Torque).map(|spec| spec.trust).max_by_key(|trust| doubt(*trust));
    let (rule, say, mend) = match worst {
        None | Some(Trust::Missing) => (
            Rule::NoFigure,
            format!("Nothing says how far to tighten the {name}: too little comes loose, too much breaks."),
            "Attach a torque from the spec book, or add one with its source.",
        ),
        Some(Trust::Guessed) => (
            Rule::FigureGuessed,
            format!("The torque of the {name} is a guess, and nobody else says anything."),
            "Find a better source before the spanner comes out.",
        ),
        Some(Trust::Open) => (
            Rule::FigureOpen,
            format!("Sources disagree about the torque of the {name}, and nobody has decided."),
            "Settle it in the spec book, with the reason.",
        ),
        Some(Trust::Single(_) | Trust::Agreeing(..) | Trust::Settled(_)) => return None,
    };
    Some(Need::new(rule, say, mend))
}

fn doubt(trust: Trust) -> u8 {
    match trust {
        Trust::Open => 3,
        Trust::Missing => 2,
        Trust::Guessed => 1,
        Trust::Single(_) | Trust::Agreeing(..) | Trust::Settled(_) => 0,
    }
}

/// A rubber bush is wound up by every degree between where it was clamped and where it works.
fn bush_on_its_wheels(step: &StepOnPaper) -> Vec<Need> {
    if !step.has(Mark::RubberBush) {
        return Vec::new();
    }
    let need = |fact: String| {
        Need::new(
            Rule::BushHanging,
            format!(
                "The {} clamp a rubber bush, and the {{what}} hangs: on its wheels the bush stays wound up and tears.",
                step.name()
            ),
            "Nip it up now; tighten to the figure on its wheels, or with the suspension at a measured ride height.",
        )
        .when(fact)
        .unless(facts::RIDE_HEIGHT)
    };
    hanging(&step.name()).into_iter().map(need).collect()
}

fn partners_in(card: &CardOnPaper, step: &StepOnPaper) -> Vec<Need> {
    let set = step.marks.set.trim().to_lowercase();
    if set.is_empty() {
        return Vec::new();
    }
    let mut partners: Vec<String> = Vec::new();
    for other in card.steps.iter().filter(|other| other.marks.set.trim().to_lowercase() == set) {
        let name = other.name();
        if name != step.name() && !partners.contains(&name) {
            partners.push(name);
        }
    }
    let need = |partner: String| {
        Need::new(
            Rule::PartnerOut,
            format!(
                "The {} are pulled tight while the {partner} are still out: then those do not line up.",
                step.name()
            ),
            format!(
                "Start every member of ‘{}’ by hand first, then tighten one after the other.",
                step.marks.set.trim()
            ),
        )
        .when(format!("off:{partner}"))
    };
    partners.into_iter().map(need).collect()
}

/// What is stretched, crushed or bent once holds once. Looked for on every step that puts the same thing back.
fn new_each_time(card: &CardOnPaper, step: &StepOnPaper) -> Option<Need> {
    let puts_back = matches!(step.verb, Verb::Fit | Verb::Tighten | Verb::FinalTighten | Verb::Connect | Verb::Close);
    let was_off = |name: &str| card.steps.iter().any(|other| other.name() == *name && other.undoes());
    let name = step.name();
    if !puts_back || has_new_part(card, &name) || !was_off(&name) || !is_last_to_put_back(card, step) {
        return None;
    }
    let used_once = step.has(Mark::UsedOnce) || step.specs.iter().any(|spec| spec.used_once);
    let by_angle = step.has(Mark::ByAngle) || step.specs.iter().any(|spec| spec.by_angle);
    if used_once {
        return Some(Need::new(
            Rule::UsedOnceAgain,
            format!("At the {name} something serves once only, and no new one is on the buy list for this card."),
            "Add the part to the buy list and attach it to the step that fits it.",
        ));
    }
    by_angle.then(|| {
        Need::new(
            Rule::AngleBoltAgain,
            format!(
                "The {name} are tightened by an angle, which stretches them for good, and no new ones are attached."
            ),
            "Attach new ones, or note on the step where the maker's manual allows them to be used again.",
        )
    })
}

fn has_new_part(card: &CardOnPaper, name: &str) -> bool {
    let puts_back = |step: &&StepOnPaper| !step.undoes() && step.name() == *name;
    card.steps.iter().filter(puts_back).any(|step| !step.parts.is_empty())
}

/// Said once for each thing: at the last step that puts it back.
fn is_last_to_put_back(card: &CardOnPaper, step: &StepOnPaper) -> bool {
    let same = |other: &&StepOnPaper| {
        other.name() == step.name()
            && other.kind == step.kind
            && matches!(other.verb, Verb::Fit | Verb::Tighten | Verb::FinalTighten | Verb::Connect | Verb::Close)
    };
    card.steps.iter().rfind(same).is_some_and(|last| std::ptr::eq(last, step))
}

/// Fasteners that a card brings to their torque, for rules about the card as a whole.
pub(super) fn tightens(step: &StepOnPaper) -> bool {
    step.kind == ObjectKind::Fastener && step.verb.tightens()
}
