//! Jacks, stands, chocks and props.
//!
//! Sources: HSE, Motor vehicle repair, working under vehicles (never rely on a jack alone; chock the wheels that stay on
//! the ground; stands on firm level ground); HSG261. The maker's manual names the points to lift and support at.

use super::paper::{CardOnPaper, StepOnPaper};
use super::rule::Rule;
use super::step::Need;
use crate::trade::marks::Mark;
use crate::trade::nature::Nature;
use crate::trade::steps::{ObjectKind, Verb};

/// The half of the car that a name speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Half {
    Front,
    Rear,
    /// Both, one side, or not said.
    Other,
}

impl Half {
    pub(super) fn of(name: &str) -> Half {
        match (name.contains("front"), name.contains("rear")) {
            (true, false) => Half::Front,
            (false, true) => Half::Rear,
            _ => Half::Other,
        }
    }

    /// How names of things in this half begin.
    pub(super) fn word(self) -> &'static str {
        match self {
            Half::Front => "front",
            Half::Rear => "rear",
            Half::Other => "",
        }
    }

    fn across(self) -> Half {
        match self {
            Half::Front => Half::Rear,
            Half::Rear => Half::Front,
            Half::Other => Half::Other,
        }
    }
}

pub(super) fn needs(card: &CardOnPaper, at: usize, needs: &mut Vec<Need>) {
    let step = &card.steps[at];
    if step.has(Mark::UnderCar) {
        needs.push(not_on_a_jack());
        needs.extend(stands_it_counts_on(&card.steps[..at]));
    }
    match (step.kind, step.verb) {
        (ObjectKind::Corner, Verb::Raise) => needs.push(chocked(&step.name())),
        (ObjectKind::Corner, Verb::Lower) => needs.extend(let_down(&step.name())),
        _ => {}
    }
}

fn chocked(name: &str) -> Need {
    let across = Half::of(name).across();
    let (stay, which) = match across {
        Half::Other => ("wheels that stay on the ground", "those wheels".to_owned()),
        Half::Front | Half::Rear => ("wheels at the other end", format!("the {} wheels", across.word())),
    };
    let need = Need::new(
        Rule::RaisedUnchocked,
        format!(
            "The {name} goes up while nothing keeps the {stay} from rolling, and a car that rolls pushes the jack over."
        ),
        format!("Put a step before this one: chock {which}, before and behind."),
    )
    .unless(format!("chocked:{}*", across.word()));
    match across {
        Half::Other => need,
        // An end on stands rolls nowhere.
        Half::Front | Half::Rear => need.unless(format!("stands:{}*", across.word())),
    }
}

fn not_on_a_jack() -> Need {
    Need::new(
        Rule::UnderOnJack,
        "Only a jack holds the {what}: when it slips or sinks, the car comes down on whoever lies there.",
        "Set stands, let the car down on them and shake it before anybody goes underneath.",
    )
    .when("jacked:*")
}

/// What lies under the car counts on the stands that its own card has set, also when another card lowers meanwhile.
fn stands_it_counts_on(before: &[StepOnPaper]) -> Vec<Need> {
    let mut ends: Vec<String> = Vec::new();
    for step in before.iter().filter(|step| step.kind == ObjectKind::Corner) {
        let name = step.name();
        match step.verb {
            Verb::Support if !ends.contains(&name) => ends.push(name),
            Verb::Lower => ends.retain(|end| *end != name),
            _ => {}
        }
    }
    let need = |end: String| {
        Need::new(
            Rule::StandsGone,
            format!("This is done lying under the car, and the {end} is not on its stands any more."),
            format!("Raise the {end} and set the stands again first."),
        )
        .unless(format!("stands:{end}"))
    };
    ends.into_iter().map(need).collect()
}

fn let_down(name: &str) -> Vec<Need> {
    let half = Half::of(name).word();
    vec![
        Need::new(
            Rule::LoweredOnProp,
            format!("The {name} comes down while something is still propped: {{what}}. The prop tips, or is driven through what it holds."),
            "Take the prop away before the car comes down.",
        )
        .when("prop:*"),
        Need::new(
            Rule::LoweredLoadOff,
            format!("The {name} comes down while what carries its weight is undone: {{what}}."),
            "Fit it and pull it at least hand-tight before the car comes down.",
        )
        .when("load:*"),
        Need::new(
            Rule::LoweredWheelOff,
            format!("The {name} comes down with a wheel off: {{what}}."),
            "Fit the wheel first.",
        )
        .when(format!("wheel-off:{half}*")),
    ]
}

/// Which half of the car hangs, as the facts that say so.
pub(super) fn hanging(name: &str) -> [String; 2] {
    let half = Half::of(name).word();
    [format!("stands:{half}*"), format!("jacked:{half}*")]
}

/// Pulled up in the air a wheel turns, sits crooked on its cone, and feels tight too soon.
pub(super) fn wheel_on_the_ground(step: &StepOnPaper) -> Vec<Need> {
    if !(step.is(Nature::WheelFixings) && step.verb.tightens()) {
        return Vec::new();
    }
    let need = |fact: String| {
        Need::new(
            Rule::WheelInTheAir,
            format!(
                "The {} are pulled to their torque while the {{what}} is up: the wheel turns and seats crooked.",
                step.name()
            ),
            "Snug them by hand in the air, lower the car, then tighten to the figure on the ground.",
        )
        .when(fact)
    };
    hanging(&step.name()).into_iter().map(need).collect()
}
