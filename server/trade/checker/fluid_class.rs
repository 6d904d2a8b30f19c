//! Which fluid goes in: by its published class, as far as spec and bottle name one. What names none is not judged.
//!
//! The rules of what suits and what may meet, with their sources, stand in `trade/fluid/`.

use super::paper::{CardOnPaper, StepOnPaper};
use super::rule::Rule;
use super::step::Need;
use crate::trade::fluid::{Fluid, Verdict, mixes, suits};
use crate::trade::spec::Kind;
use crate::trade::steps::{ObjectKind, Verb};

pub(super) fn needs(card: &CardOnPaper, at: usize, needs: &mut Vec<Need>) {
    let step = &card.steps[at];
    if step.kind != ObjectKind::Fluid || !matches!(step.verb, Verb::Fill | Verb::Bleed) {
        return;
    }
    let poured = named(step.parts.iter());
    let asked = named(step.specs_of(Kind::Fluid).map(|spec| &spec.written));
    let unsuited: Vec<Need> = pairs(&asked, &poured).filter_map(|(asked, poured)| suit(step, asked, poured)).collect();
    if unsuited.is_empty() {
        needs.extend(meeting(step, &poured));
    }
    needs.extend(unsuited);
}

/// A text that names a fluid, and the fluid.
type Named<'a> = (&'a str, Fluid);

fn named<'a>(texts: impl Iterator<Item = &'a String>) -> Vec<Named<'a>> {
    texts.filter_map(|text| Some((text.as_str(), Fluid::parse(text).ok()?))).collect()
}

fn pairs<'a>(ones: &'a [Named<'a>], others: &'a [Named<'a>]) -> impl Iterator<Item = (&'a Named<'a>, &'a Named<'a>)> {
    ones.iter().flat_map(move |one| others.iter().map(move |other| (one, other)))
}

fn suit(step: &StepOnPaper, asked: &Named<'_>, poured: &Named<'_>) -> Option<Need> {
    let answer = suits(&asked.1, &poured.1);
    (answer.verdict == Verdict::No).then(|| {
        Need::new(
            Rule::FluidUnsuited,
            format!("The {} asks for {}, and ‘{}’ is on the list. {}", step.name(), asked.0, poured.0, answer.says),
            "Put the right fluid on the buy list and attach it here instead.",
        )
    })
}

/// Two bottles for one fill.
fn meeting(step: &StepOnPaper, poured: &[Named<'_>]) -> Option<Need> {
    let two = poured.iter().enumerate().flat_map(|(at, one)| poured[at + 1..].iter().map(move |other| (one, other)));
    let answers = two.map(|(one, other)| (one, other, mixes(&one.1, &other.1)));
    let (one, other, answer) = answers.into_iter().find(|(_, _, answer)| answer.verdict == Verdict::No)?;
    Some(Need::new(
        Rule::FluidsMixed,
        format!("Into the {} go ‘{}’ and ‘{}’. {}", step.name(), one.0, other.0, answer.says),
        "Keep to one of them, and take the other off this step.",
    ))
}
