//! What a step makes true and what it ends, beyond the ledger's loose ends.

use super::lifting::Half;
use super::paper::StepOnPaper;
use super::step::StepProgram;
use crate::trade::marks::Mark;
use crate::trade::nature::Nature;
use crate::trade::steps::{ObjectKind, Verb};

/// Engine and exhaust are cold, because a step waited for it.
pub const COLD: &str = "cold";
/// The engine was run or the car driven since.
pub const HOT: &str = "hot";
/// Timing marks were looked at, made, or pinned.
pub const TIMING_MARKED: &str = "timing-marked";
/// The timing drive was fitted, and nobody has looked since whether the marks came back.
pub const TIMING_UNPROVEN: &str = "timing-unproven";
/// Pads, shoes or pistons were moved: the first strokes of the pedal do nothing.
pub const PADS_BACK: &str = "pads-back";
/// The suspension stands as it does on its wheels, measured.
pub const RIDE_HEIGHT: &str = "ride-height";

/// Adds what the step sets and clears.
pub fn add(step: &StepOnPaper, program: &mut StepProgram) {
    lifting(step, program);
    fasteners(step, program);
    fluids(step, program);
    hydraulics(step, program);
    heat(step, program);
    electrics_and_timing(step, program);
}

fn lifting(step: &StepOnPaper, program: &mut StepProgram) {
    let name = step.name();
    let mut sets = |word: &str| program.sets.push(format!("{word}:{name}"));
    match (step.kind, step.verb) {
        (ObjectKind::Corner, Verb::Chock) => sets("chocked"),
        (ObjectKind::Corner, Verb::Raise) => sets("jacked"),
        (ObjectKind::Corner, Verb::Support) => sets("stands"),
        (ObjectKind::Part, Verb::Remove) if step.is(Nature::Wheel) => sets("wheel-off"),
        _ => {}
    }
    let mut clears = |fact: String| program.clears.push(fact);
    match (step.kind, step.verb) {
        (ObjectKind::Corner, Verb::Raise) => {
            // Its own wheels leave the ground, and with them whatever was measured on them and stood against them.
            clears(RIDE_HEIGHT.into());
            if let half @ (Half::Front | Half::Rear) = Half::of(&name) {
                clears(format!("chocked:{}*", half.word()));
            }
        }
        (ObjectKind::Corner, Verb::Support) => clears(format!("jacked:{name}")),
        (ObjectKind::Corner, Verb::Lower) => {
            clears(format!("jacked:{name}"));
            clears(format!("stands:{name}"));
            clears(RIDE_HEIGHT.into());
        }
        (ObjectKind::Part, Verb::Fit) if step.is(Nature::Wheel) => clears(format!("wheel-off:{name}")),
        (ObjectKind::Prop, Verb::Free) => clears(RIDE_HEIGHT.into()),
        (_, Verb::Drive) => clears("chocked:*".into()),
        _ => {}
    }
    if matches!(step.verb, Verb::Measure | Verb::Inspect) && is_ride_height(&name) {
        program.sets.push(RIDE_HEIGHT.into());
    }
}

fn is_ride_height(name: &str) -> bool {
    name.contains("ride height") || name.contains("sill height")
}

fn fasteners(step: &StepOnPaper, program: &mut StepProgram) {
    if step.kind != ObjectKind::Fastener {
        return;
    }
    let (name, bears) = (step.name(), step.has(Mark::BearsLoad));
    match step.verb {
        Verb::Loosen if bears => program.sets.push(format!("load:{name}")),
        Verb::Remove => {
            program.sets.push(format!("off:{name}"));
            if bears {
                program.sets.push(format!("load:{name}"));
            }
        }
        Verb::Fit | Verb::Tighten | Verb::FinalTighten => {
            program.clears.extend([format!("off:{name}"), format!("load:{name}")]);
        }
        _ => {}
    }
}

fn fluids(step: &StepOnPaper, program: &mut StepProgram) {
    let name = step.name();
    match (step.kind, step.verb) {
        (ObjectKind::Opening, Verb::Open | Verb::Loosen) => program.sets.push(format!("proven:{name}")),
        (ObjectKind::Fluid, Verb::Drain) => {
            program.sets.extend(step.nature().map(|nature| format!("dry-{}:{name}", nature.name())));
        }
        (ObjectKind::Fluid, Verb::Fill) => {
            program.clears.extend(step.nature().map(|nature| format!("dry-{}:{name}", nature.name())));
        }
        _ => {}
    }
}

fn hydraulics(step: &StepOnPaper, program: &mut StepProgram) {
    match step.nature() {
        Some(nature)
            if nature.is_hydraulic() && (step.undoes() || step.verb == Verb::Connect)
            // A reservoir's cap or a bleed screw lets no air in by itself; what is undone at a joint does.
            && step.kind != ObjectKind::Opening =>
        {
            program.sets.push(format!("pedal-unproven:{}", nature.label()));
        }
        Some(Nature::BrakeParts) if step.kind == ObjectKind::Part && matches!(step.verb, Verb::Fit | Verb::Remove) => {
            program.sets.push(PADS_BACK.into());
        }
        Some(Nature::BrakePedal) => {
            if proves(step.verb) || step.verb == Verb::Prepare {
                program.clears.push(PADS_BACK.into());
            }
            if proves(step.verb) {
                program.clears.push(format!("pedal-unproven:{}", Nature::BrakeHydraulics.label()));
            }
        }
        Some(Nature::ClutchPedal) if proves(step.verb) => {
            program.clears.push(format!("pedal-unproven:{}", Nature::ClutchHydraulics.label()));
        }
        _ => {}
    }
}

/// Whether a step looks at a thing; propping or cleaning a pedal says nothing about its pressure.
fn proves(verb: Verb) -> bool {
    matches!(verb, Verb::Inspect | Verb::Measure)
}

fn heat(step: &StepOnPaper, program: &mut StepProgram) {
    if step.has(Mark::WhenCold) {
        program.sets.push(COLD.into());
        program.clears.push(HOT.into());
    }
    if matches!(step.verb, Verb::Run | Verb::Drive) {
        program.sets.push(HOT.into());
        program.clears.push(COLD.into());
    }
}

fn electrics_and_timing(step: &StepOnPaper, program: &mut StepProgram) {
    let name = step.name();
    match (step.nature(), step.verb) {
        (Some(Nature::Battery), Verb::Disconnect) => program.sets.push(format!("battery-parted:{name}")),
        (Some(Nature::Battery), Verb::Connect) => program.clears.push(format!("battery-parted:{name}")),
        (Some(Nature::TimingMarks), Verb::Prepare | Verb::Inspect | Verb::Measure | Verb::Fit | Verb::Note) => {
            program.sets.push(TIMING_MARKED.into());
            if proves(step.verb) {
                program.clears.push(TIMING_UNPROVEN.into());
            }
        }
        (Some(Nature::TimingDrive), Verb::Fit) => program.sets.push(TIMING_UNPROVEN.into()),
        _ => {}
    }
}
