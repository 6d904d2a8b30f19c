//! What a spec says of a fluid: its class as far as that can be read, and at least its kind.

use crate::specs::model::Spec;
use crate::trade::fluid::{Fluid, FluidKind, Unread};
use crate::trade::spec::Kind;
use crate::trade::trust::Trust;

/// The class to go by. Errors, as a sentence, where no source gives one, they disagree, or it cannot be read.
pub fn class_of(spec: &Spec) -> Result<Fluid, String> {
    let (trust, shown) = spec.trust();
    if trust == Trust::Open {
        return Err("The sources disagree about it: settle on one of them first.".into());
    }
    let says = shown.filter(|_| spec.facts.kind == Kind::Fluid);
    let says = says.ok_or_else(|| "No source says which fluid it is.".to_owned())?;
    Fluid::parse(&says.facts.written).map_err(|why| why.to_string())
}

/// The kind, by its class, else by what the spec is called. `None` where neither tells.
pub fn kind_of(spec: &Spec) -> Option<FluidKind> {
    class_of(spec).ok().map(|class| class.kind()).or_else(|| kind_named(&spec.facts.item))
}

/// The kind that a name such as `rear axle oil` or `brake fluid` tells.
pub fn kind_named(name: &str) -> Option<FluidKind> {
    match Fluid::parse(name) {
        Ok(fluid) => Some(fluid.kind()),
        Err(Unread::WhichBrakeFluid(_) | Unread::Several { .. } | Unread::SiliconeOrNot(_)) => Some(FluidKind::Brake),
        Err(Unread::Empty | Unread::NotKnown(_) | Unread::WhichHydraulic(_) | Unread::EngineOrGear(_))
        | Err(Unread::NoSuchGrade { .. }) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_kind_is_told_by_the_name_alone() {
        for (name, kind) in [
            ("Engine oil", Some(FluidKind::EngineOil)),
            ("Rear axle oil", Some(FluidKind::GearOil)),
            ("Brake fluid", Some(FluidKind::Brake)),
            ("Power steering fluid, quantity", Some(FluidKind::PowerSteering)),
            ("Coolant with heater", Some(FluidKind::Coolant)),
            ("Brew", None),
        ] {
            assert_eq!(kind_named(name), kind, "{name}");
        }
    }
}
