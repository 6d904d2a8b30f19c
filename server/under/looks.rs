//! A look at a fluid, noted under the car: the fluids of the car to choose from, and the pictures.

use crate::fluids::family::fluid_at;
use crate::fluids::kind::{kind_named, kind_of};
use crate::jobs::model::Step;
use crate::specs::model::Spec;
use crate::trade::fluid::{Colour, FluidKind, Particles, Smell};
use crate::trade::spec::Kind;
use crate::trade::steps::{ObjectKind, Verb};
use crate::web::words::capital;
use crate::work::model::CarState;
use serde_json::json;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// What the form offers. A fluid is named by its kind, with the id of its spec behind a blank where it has one.
pub struct LooksForm {
    pub in_book: Vec<(String, String)>,
    pub others: Vec<(&'static str, String)>,
    pub colours: &'static [Colour],
    pub smells: &'static [Smell],
    pub particles: &'static [Particles],
}

impl LooksForm {
    pub fn of(specs: &[Spec]) -> LooksForm {
        let in_book = |spec: &Spec| {
            let kind = kind_of(spec).filter(|_| spec.facts.kind == Kind::Fluid)?;
            Some((format!("{} {}", kind.name(), spec.id), spec.facts.item.clone()))
        };
        // The gas of an air conditioner is never let out to be looked at.
        let others = FluidKind::ALL.iter().filter(|kind| **kind != FluidKind::Refrigerant);
        LooksForm {
            in_book: specs.iter().filter_map(in_book).collect(),
            others: others.map(|kind| (kind.name(), capital(kind.label()))).collect(),
            colours: Colour::ALL,
            smells: Smell::ALL,
            particles: Particles::ALL,
        }
    }
}

/// The fluid that a step lets one see, as the page Note it takes it behind `#look-`; empty where it shows none.
pub fn at_step(on_car: &CarState, step: &Step) -> String {
    let shows = matches!(step.facts.verb, Verb::Drain | Verb::Inspect | Verb::Measure);
    if !shows || step.facts.object_kind != ObjectKind::Fluid {
        return String::new();
    }
    let here = fluid_at(on_car, step);
    let kind = || kind_named(&step.facts.object).filter(|kind| *kind != FluidKind::Refrigerant);
    here.map(|fluid| fluid.id.to_string()).or_else(|| Some(kind()?.name().to_owned())).unwrap_or_default()
}

/// `data-json="looks"`: the words of every name in a look at a fluid, by set and name.
pub static NAMES: LazyLock<String> = LazyLock::new(|| names().to_string());

fn names() -> serde_json::Value {
    fn set<T: Copy>(all: &[T], name: fn(T) -> &'static str, label: fn(T) -> &'static str) -> serde_json::Value {
        json!(all.iter().map(|one| (name(*one), label(*one))).collect::<BTreeMap<_, _>>())
    }
    json!({
        "fluid": set(FluidKind::ALL, FluidKind::name, FluidKind::label),
        "colour": set(Colour::ALL, Colour::name, Colour::label),
        "smell": set(Smell::ALL, Smell::name, Smell::label),
        "particles": set(Particles::ALL, Particles::name, Particles::label),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sync::wire::FluidLookBody;
    use serde_json::Value;

    /// The scripts put the same looks into the same words.
    #[test]
    fn looks_are_told_in_the_words_of_the_vectors() {
        let vectors: Value = serde_json::from_str(include_str!("../../tests/vectors/looks.json")).unwrap();
        assert_eq!(vectors["looks"], names());
        for case in vectors["cases"].as_array().unwrap() {
            let body: FluidLookBody = serde_json::from_value(case["given"].clone()).unwrap();
            assert_eq!(body.words(), case["expect"], "{case}");
        }
    }
}
