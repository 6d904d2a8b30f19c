//! Draining, filling, levels, and running without.

use super::facts;
use super::lifting::Half;
use super::paper::{CardOnPaper, StepOnPaper};
use super::rule::Rule;
use super::step::Need;
use crate::trade::marks::Mark;
use crate::trade::nature::Nature;
use crate::trade::quantity::{Dimension, Quantity, Unit, VolumeUnit};
use crate::trade::spec::Kind;
use crate::trade::steps::{ObjectKind, Verb, thing_name};
use std::cmp::Ordering;

pub(super) fn needs(card: &CardOnPaper, at: usize, needs: &mut Vec<Need>) {
    let step = &card.steps[at];
    if step.kind == ObjectKind::Fluid && step.verb == Verb::Drain {
        needs.extend(filler_proven(card, step));
        needs.extend(something_to_catch_it(card, at));
    }
    if reads_a_level(step) {
        needs.extend(level(step));
    }
    match step.verb {
        Verb::Run => needs.extend(Nature::NEEDED_TO_RUN.map(wet)),
        Verb::Drive => needs.extend(nothing_undone()),
        _ => {}
    }
    if matches!(step.verb, Verb::Run | Verb::Drive) {
        needs.push(nothing_inside());
    }
}

/// Emptied first and the filler seized afterwards is a car that cannot be moved.
fn filler_proven(card: &CardOnPaper, step: &StepOnPaper) -> Option<Need> {
    // What is bled or pumped out is filled through a reservoir in plain sight; a tank has its cap.
    if step.nature().is_some_and(|nature| nature.is_hydraulic() || nature == Nature::Fuel) {
        return None;
    }
    let name = step.name();
    Some(match filler_of(card, step) {
        Some(filler) => Need::new(
            Rule::FillerUnproven,
            format!(
                "The {name} runs out before anybody knows that the {filler} opens: if it is seized, the car stands dry."
            ),
            format!("Open the {filler} first, in a step before this one."),
        )
        .unless(format!("proven:{filler}")),
        None => Need::new(
            Rule::FillerUnproven,
            format!(
                "The {name} runs out, and no step says where it is filled again: if that plug is seized, the car stands dry."
            ),
            "Put a step before this one that opens the filler, and name that filler on this step.",
        ),
    })
}

/// The opening through which a drained fluid goes in again: as said on the step, else the filler on this card that shares its
/// nature or the most words with it.
pub(super) fn filler_of(card: &CardOnPaper, drain: &StepOnPaper) -> Option<String> {
    let said = thing_name(&drain.marks.filler);
    if !said.is_empty() {
        return Some(said);
    }
    let fluid = drain.name();
    let shared = |name: &str| {
        fluid.split_whitespace().filter(|word| name.split_whitespace().any(|other| other == *word)).count()
    };
    card.steps
        .iter()
        .filter(|step| step.kind == ObjectKind::Opening && is_filler(&step.name()))
        .filter(|step| step.nature() == drain.nature() || shared(&step.name()) > 0)
        .map(StepOnPaper::name)
        .max_by_key(|name| shared(name))
}

fn is_filler(name: &str) -> bool {
    name.contains("fill") || name.contains("level") || (name.contains("cap") && !name.contains("drain"))
}

/// A pan is named among the tools, and where its size and the quantity are known it is large enough.
fn something_to_catch_it(card: &CardOnPaper, at: usize) -> Option<Need> {
    let step = &card.steps[at];
    let name = step.name();
    let pans: Vec<&String> =
        card.steps[..=at].iter().flat_map(|step| &step.tools).filter(|tool| is_pan(tool)).collect();
    if pans.is_empty() {
        return Some(Need::new(
            Rule::NothingToCatch,
            format!("The {name} runs out, and no pan is among the tools."),
            "Name the pan on this step, with what it holds: ‘drain pan, 8 l’.",
        ));
    }
    let holds = pans.iter().filter_map(|tool| size_of(tool)).max_by(compare)?;
    let comes = quantity_of(card, &name)?;
    (compare(&holds, &comes) == Ordering::Less).then(|| {
        Need::new(
            Rule::CatchTooSmall,
            format!(
                "The {name} is {}, and the pan holds {}: the rest runs over the floor and over you.",
                comes.written(),
                holds.written()
            ),
            "Take a larger pan, or two, and say so on this step.",
        )
    })
}

fn is_pan(tool: &str) -> bool {
    const WORDS: [&str; 9] = ["pan", "tray", "bowl", "bucket", "basin", "jar", "bottle", "can", "tub"];
    let tool = tool.to_lowercase();
    tool.split(|letter: char| !letter.is_alphabetic()).any(|word| WORDS.contains(&word))
}

/// `drain pan, 8 l` holds 8 litres.
fn size_of(tool: &str) -> Option<Quantity> {
    tool.split([',', '(', ')']).find_map(|piece| Quantity::parse(Dimension::Volume, piece.trim()).ok())
}

/// How much of the fluid there is: a quantity attached to any step of this card about it.
fn quantity_of(card: &CardOnPaper, fluid: &str) -> Option<Quantity> {
    let about = card.steps.iter().filter(|step| step.kind == ObjectKind::Fluid && step.name() == *fluid);
    about
        .flat_map(|step| step.specs_of(Kind::Volume))
        .filter_map(|spec| Quantity::parse(Dimension::Volume, &spec.written).ok())
        .max_by(compare)
}

/// By the larger end where a quantity is a range. Volumes only, so they share a unit.
fn compare(a: &Quantity, b: &Quantity) -> Ordering {
    let litres = |quantity: &Quantity| quantity.to(Unit::Volume(VolumeUnit::Litre)).map(|(_, high)| high);
    litres(a).cmp(&litres(b))
}

fn reads_a_level(step: &StepOnPaper) -> bool {
    if step.kind != ObjectKind::Fluid || step.nature().is_some_and(Nature::is_hydraulic) {
        return false;
    }
    let set_by_its_plug = matches!(step.nature(), Some(Nature::GearOil | Nature::AutomaticFluid));
    matches!(step.verb, Verb::Measure | Verb::Inspect) || (step.verb == Verb::Fill && set_by_its_plug)
}

/// Level means the car's floor level: on its wheels, or both ends up alike.
fn level(step: &StepOnPaper) -> Vec<Need> {
    let name = step.name();
    let tilted = |up: Half, down: Half| {
        Need::new(
            Rule::LevelTilted,
            format!("The level of the {name} is read with only the {} up: on a slope it stands wrong.", up.word()),
            "Read it on its wheels on level ground, or with both ends on stands at the same height.",
        )
        .when(format!("stands:{}*", up.word()))
        .unless(format!("stands:{}*", down.word()))
    };
    let mut needs = vec![tilted(Half::Front, Half::Rear), tilted(Half::Rear, Half::Front)];
    if step.has(Mark::WhenWarm) {
        needs.push(
            Need::new(
                Rule::LevelCold,
                format!("The level of the {name} is to be read warm, and no step before has run the engine."),
                "Run the engine to working temperature in a step before this one.",
            )
            .unless(facts::HOT),
        );
    }
    if step.is(Nature::Coolant) && !step.has(Mark::WhenWarm) && !step.has(Mark::WhenCold) {
        needs.push(
            Need::new(
                Rule::LevelHot,
                format!("The level of the {name} is read after the engine was run: hot it stands higher than it is, and its cap spits."),
                "Wait until it is cold, in this step or one before, and mark that step ‘only once cold’.",
            )
            .when(facts::HOT),
        );
    }
    needs.extend(level_with_engine(step));
    needs
}

/// A pump that turns holds oil up out of the sump; an automatic gearbox is full only while its pump turns.
fn level_with_engine(step: &StepOnPaper) -> Option<Need> {
    let name = step.name();
    let running = step.has(Mark::EngineRunning);
    if running && step.is(Nature::EngineOil) {
        return Some(Need::new(
            Rule::LevelEngine,
            format!(
                "The level of the {name} is read with the engine running: the pump holds oil up, and it seems too low."
            ),
            "Switch off, wait for the oil to run down, then read it.",
        ));
    }
    running.then(|| {
        Need::new(
            Rule::LevelEngine,
            format!(
                "The level of the {name} is to be read with the engine running, and no step before has started it."
            ),
            "Put a step before it that starts the engine, with the gas led out.",
        )
        .unless(facts::HOT)
    })
}

fn wet(nature: Nature) -> Need {
    Need::new(
        Rule::RunDry,
        format!("The engine runs with no {} in: {{what}} is drained. Minutes of that ruin it.", nature.label()),
        "Fill it first, or turn the engine by hand only.",
    )
    .when(format!("dry-{}:*", nature.name()))
}

/// The families of loose ends that a car must not be driven with, and what each is called.
const UNDONE: [(&str, &str); 9] = [
    ("fluid", "drained"),
    ("air", "holding air"),
    ("corner", "up"),
    ("fastener", "not at its torque"),
    ("part", "off or hanging"),
    ("prop", "propped"),
    ("connection", "parted"),
    ("opening", "open"),
    ("hand", "noted as undone"),
];

fn nothing_undone() -> impl Iterator<Item = Need> {
    UNDONE.iter().map(|(family, is)| {
        Need::new(
            Rule::DrivenApart,
            format!("The car is driven with something {is}: {{what}}."),
            "Close it first, then drive.",
        )
        .when(format!("{family}:*"))
    })
}

fn nothing_inside() -> Need {
    Need::new(
        Rule::LeftInside,
        "The engine turns or the car moves with something left inside: {what}.",
        "Take it out first.",
    )
    .when("inside:*")
}
