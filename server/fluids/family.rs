//! Which specs, steps and readings of a car speak of one fluid: its class, how much of it, where it is drained.
//!
//! A quantity belongs to a fluid where a step has both, or where both are called the same but for words such as
//! ‘quantity’ and ‘with filter’.

use super::kind::kind_of;
use crate::ids::SpecId;
use crate::jobs::model::Step;
use crate::specs::model::Spec;
use crate::trade::fluid::FluidKind;
use crate::trade::quantity::Volume;
use crate::trade::spec::Kind;
use crate::trade::steps::{ObjectKind, Verb};
use crate::trade::trust::Trust;
use crate::work::model::CarState;

/// Words that tell how much or when, and not which fluid.
const FILLERS: [&str; 20] = [
    "quantity",
    "capacity",
    "amount",
    "volume",
    "with",
    "without",
    "filter",
    "heater",
    "including",
    "and",
    "of",
    "the",
    "service",
    "dry",
    "fill",
    "change",
    "overhaul",
    "for",
    "bleeding",
    "system",
];

/// A fluid of the car with everything in the book that speaks of it.
pub struct Family<'a> {
    /// The spec that says which fluid it is; none where only a quantity is known.
    pub fluid: Option<&'a Spec>,
    pub volumes: Vec<&'a Spec>,
    pub kind: Option<FluidKind>,
}

impl<'a> Family<'a> {
    /// That of a spec; `None` for a spec that is neither a fluid nor a quantity of one.
    pub fn of(on_car: &'a CarState, spec: &'a Spec) -> Option<Family<'a>> {
        let fluid = match spec.facts.kind {
            Kind::Fluid => Some(spec),
            Kind::Volume => fluid_of(on_car, spec),
            Kind::Torque | Kind::Pressure | Kind::Length | Kind::Temperature => return None,
            Kind::Angle | Kind::Voltage | Kind::Text => return None,
        };
        let of_fluid = |volume: &&Spec| {
            volume.id == spec.id || fluid.is_some_and(|fluid| belongs(on_car, volume) == Some(fluid.id))
        };
        let volumes: Vec<&Spec> =
            on_car.specs.iter().filter(|one| one.facts.kind == Kind::Volume).filter(of_fluid).collect();
        let kind = fluid.or(Some(spec)).and_then(kind_of);
        Some(Family { fluid, volumes, kind })
    }

    fn specs(&self) -> impl Iterator<Item = &'a Spec> {
        self.fluid.into_iter().chain(self.volumes.iter().copied())
    }

    pub fn has(&self, spec: &str) -> bool {
        self.specs().any(|one| one.id.to_string() == spec)
    }

    /// Whether a step is done to this fluid: it has one of the specs, or names the fluid.
    pub fn is_at(&self, step: &Step) -> bool {
        step.facts.object_kind == ObjectKind::Fluid && self.specs().any(|spec| is_of(spec, step))
    }

    /// The quantity that a step means: one attached to it, else the one whose name is nearest.
    pub fn volume_at(&self, step: &Step) -> Option<&'a Spec> {
        let attached = self.volumes.iter().find(|volume| step.attached.specs.contains(&volume.id));
        attached.or_else(|| self.nearest(&step.facts.object)).copied()
    }

    fn nearest(&self, name: &str) -> Option<&&'a Spec> {
        let wanted = words(name);
        let service = self.volumes.iter().filter(|volume| !is_dry(volume));
        service.min_by_key(|volume| {
            let has = words(&volume.facts.item);
            let missing = wanted.iter().filter(|word| !has.contains(word)).count();
            (missing, has.len())
        })
    }

    /// The dry fill of the same system as a service fill.
    pub fn dry_beside(&self, service: &Spec) -> Option<&'a Spec> {
        let wanted = words(&service.facts.item);
        self.volumes.iter().find(|volume| is_dry(volume) && words(&volume.facts.item) == wanted).copied()
    }
}

/// Whether a quantity is for clean, empty parts.
pub fn is_dry(volume: &Spec) -> bool {
    let facts = &volume.facts;
    let told = format!("{} {} {}", facts.item, facts.place, facts.variant).to_lowercase();
    told.split(|letter: char| !letter.is_alphanumeric()).any(|word| matches!(word, "dry" | "overhaul"))
}

/// The quantity to go by. Errors, as a sentence, where sources disagree or give no single figure.
pub fn volume_of(spec: &Spec) -> Result<Volume, String> {
    let (trust, shown) = spec.trust();
    if trust == Trust::Open {
        return Err("The sources disagree: settle on one of them first.".into());
    }
    let says = shown.ok_or_else(|| "No source gives a figure yet.".to_owned())?;
    Volume::parse(&says.facts.written).map_err(|why| why.to_string())
}

/// The first known fluid that a step is done to, by itself or by a quantity of it: see [`Family::is_at`]. Looks only at what
/// the step has or names.
pub fn fluid_at<'a>(on_car: &'a CarState, step: &Step) -> Option<&'a Spec> {
    let here = on_car.specs.iter().filter(|spec| is_of(spec, step));
    let fluids: Vec<SpecId> = here
        .filter_map(|spec| match spec.facts.kind {
            Kind::Fluid => Some(spec.id),
            Kind::Volume => belongs(on_car, spec),
            Kind::Torque | Kind::Pressure | Kind::Length | Kind::Temperature => None,
            Kind::Angle | Kind::Voltage | Kind::Text => None,
        })
        .collect();
    on_car.specs.iter().find(|spec| fluids.contains(&spec.id) && kind_of(spec).is_some())
}

/// Whether a step has a spec, or names it.
fn is_of(spec: &Spec, step: &Step) -> bool {
    step.attached.specs.contains(&spec.id) || same_words(&step.facts.object, &spec.facts.item)
}

/// The fluid a quantity is of.
pub fn fluid_of<'a>(on_car: &'a CarState, volume: &Spec) -> Option<&'a Spec> {
    let fluid = belongs(on_car, volume)?;
    on_car.specs.iter().find(|spec| spec.id == fluid)
}

fn belongs(on_car: &CarState, volume: &Spec) -> Option<SpecId> {
    let fluids = || on_car.specs.iter().filter(|spec| spec.facts.kind == Kind::Fluid);
    let steps = on_car.cards.iter().flat_map(|card| &card.steps);
    let on_step = |step: &Step| {
        let attached = &step.attached.specs;
        let mut both = fluids().filter(|fluid| attached.contains(&fluid.id) && attached.contains(&volume.id));
        // Of two fluids on one step nobody knows which is meant.
        both.next().filter(|_| both.next().is_none()).map(|fluid| fluid.id)
    };
    let named = || {
        let same = |fluid: &&Spec| {
            fluid.facts.system == volume.facts.system && same_words(&fluid.facts.item, &volume.facts.item)
        };
        fluids().filter(same).max_by_key(|fluid| words(&fluid.facts.item).len()).map(|fluid| fluid.id)
    };
    steps.filter(|step| fills(step)).find_map(on_step).or_else(named)
}

/// Whether a step takes new fluid.
pub fn fills(step: &Step) -> bool {
    matches!(step.facts.verb, Verb::Fill | Verb::Bleed)
}

/// Whether one name says nothing that the other does not.
fn same_words(one: &str, other: &str) -> bool {
    let (one, other) = (words(one), words(other));
    let within = |few: &[String], many: &[String]| !few.is_empty() && few.iter().all(|word| many.contains(word));
    within(&one, &other) || within(&other, &one)
}

fn words(name: &str) -> Vec<String> {
    let name = name.to_lowercase();
    let all = name.split(|letter: char| !letter.is_alphanumeric()).filter(|word| !word.is_empty());
    all.filter(|word| !FILLERS.contains(word)).map(str::to_owned).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quantity_is_called_as_its_fluid_but_for_filling_words() {
        for (quantity, fluid, same) in [
            ("Engine oil with filter", "Engine oil", true),
            ("Gearbox oil, quantity", "Gearbox and transfer gearbox oil", true),
            ("Coolant with heater", "Coolant", true),
            ("Front axle oil, quantity", "Rear axle oil", false),
            ("Rear axle oil, quantity", "Axle oil", true),
            ("Quantity", "Coolant", false),
        ] {
            assert_eq!(same_words(quantity, fluid), same, "{quantity} / {fluid}");
        }
    }
}
