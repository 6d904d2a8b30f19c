//! The road check: what to look at before the car rolls and after it has, made from what was touched.
//!
//! It is the usual care after work and never a statement that a car is safe or legal: that is for the driver, local rules
//! and licensed practice. Sources of single items stand beside them; the rest is common practice, no source.

use super::checker::StepOnPaper;
use super::closed_set::closed_set;
use super::marks::Mark;
use super::nature::Nature;
use super::spec::System;
use super::steps::{ObjectKind, Verb};
use serde::Serialize;
use std::collections::BTreeMap;

closed_set! {
    /// When an item is looked at.
    pub enum Phase {
        BeforeRolling = "before-rolling", "Before it rolls";
        FirstHundred = "first-hundred", "The first hundred metres";
        AfterFirstDrive = "after-first-drive", "After the first drive";
        AfterFifty = "after-fifty", "After 50 to 100 km";
    }
}

/// Something to look at.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Item {
    pub phase: Phase,
    /// The same for the same look at the same thing, whichever step asks for it.
    pub key: String,
    pub say: String,
}

fn item(phase: Phase, key: &str, say: impl Into<String>) -> Item {
    Item { phase, key: format!("{}:{key}", phase.name()), say: say.into() }
}

/// What a step that was done asks to be looked at. Empty where it changed nothing.
pub fn asked_by(step: &StepOnPaper, system: System) -> Vec<Item> {
    if !changes_something(step) {
        return Vec::new();
    }
    let mut items = always();
    items.extend(by_nature(step));
    items.extend(by_fluid(step));
    items.extend(by_fastener(step));
    items.extend(by_system(system));
    items.sort();
    items.dedup();
    items
}

/// Of every item that is asked for, whether it is due: by the latest tick that asks for it and the standing answer, each with
/// its place in the total order. Only an answer that it holds settles it, and only until a later tick asks again.
///
/// The phone runs the same rule in `static/js/work/road.js`; both run `tests/vectors/road.json`.
pub fn due<'a, Order: Ord + Copy>(
    asked: impl IntoIterator<Item = (Order, &'a str)>,
    holds: impl Fn(&str) -> Option<Order>,
) -> BTreeMap<&'a str, bool> {
    let mut latest: BTreeMap<&str, Order> = BTreeMap::new();
    for (order, key) in asked {
        let known = latest.entry(key).or_insert(order);
        *known = (*known).max(order);
    }
    latest.into_iter().map(|(key, asked)| (key, holds(key).is_none_or(|holds| holds < asked))).collect()
}

fn changes_something(step: &StepOnPaper) -> bool {
    match step.verb {
        Verb::Inspect | Verb::Measure | Verb::Note | Verb::Chock | Verb::Clean | Verb::Prepare => false,
        Verb::Raise
        | Verb::Support
        | Verb::Lower
        | Verb::Open
        | Verb::Close
        | Verb::Loosen
        | Verb::Remove
        | Verb::Disconnect
        | Verb::Drain
        | Verb::Prop
        | Verb::Fit
        | Verb::Connect
        | Verb::Fill
        | Verb::Bleed
        | Verb::Tighten
        | Verb::FinalTighten
        | Verb::Free
        | Verb::Run
        | Verb::Drive => true,
    }
}

/// Asked after any work.
fn always() -> Vec<Item> {
    use Phase::{AfterFifty, AfterFirstDrive, BeforeRolling, FirstHundred};
    vec![
        item(BeforeRolling, "clear", "Nothing is under or against the car: stands, jack, chocks, tools, hands."),
        item(
            BeforeRolling,
            "bonnet",
            "Bonnet and doors are shut and latched; no rag or tool is left in the engine bay.",
        ),
        item(BeforeRolling, "lamps", "Lamps, indicators and brake lamps answer."),
        item(
            FirstHundred,
            "walking-pace",
            "Start at walking pace with nobody in the way: it goes, steers and stops as it should.",
        ),
        item(FirstHundred, "new-noise", "No new noise, smell, warning lamp or smoke; if there is one, stop and look."),
        item(AfterFirstDrive, "drips", "Wait for the heat to go, then look below: no new drop where the car stood."),
        item(AfterFirstDrive, "smell", "No smell of fuel, hot rubber, coolant or burning."),
        item(AfterFifty, "look-again", "Look once more at everything that was touched."),
    ]
}

fn by_nature(step: &StepOnPaper) -> Vec<Item> {
    use Phase::{AfterFifty, AfterFirstDrive, BeforeRolling, FirstHundred};
    match step.nature() {
        Some(Nature::BrakeHydraulics | Nature::BrakeParts | Nature::BrakePedal) => vec![
            item(
                BeforeRolling,
                "pedal",
                "The brake pedal is high and firm, and does not sink while it is held hard for half a minute.",
            ),
            item(BeforeRolling, "brake-level", "Brake fluid stands between its marks, and its cap is on."),
            item(BeforeRolling, "handbrake", "The handbrake holds."),
            item(
                FirstHundred,
                "brakes-pull",
                "Brake gently from walking pace, then harder: it stops straight, pedal unchanged.",
            ),
            item(
                AfterFirstDrive,
                "brake-heat",
                "No wheel is much hotter than its partner across the car; hold a hand near, do not touch.",
            ),
            item(AfterFirstDrive, "brake-joints", "Every brake joint that was open is dry."),
            item(AfterFifty, "brake-level", "Brake fluid stands where it stood; joints are dry."),
        ],
        Some(Nature::WheelFixings | Nature::Wheel) => vec![
            item(BeforeRolling, "wheels", "Wheel fixings are at their torque, pulled on the ground."),
            item(AfterFirstDrive, "wheels", "Wheel fixings again at their torque: they settle."),
            item(AfterFifty, "wheels", "Wheel fixings once more at their torque."),
        ],
        Some(Nature::Steering) => vec![
            item(BeforeRolling, "steering", "The steering turns from lock to lock; nothing binds, twists or touches."),
            runs_straight(),
            item(AfterFirstDrive, "steering", "Split pins and lock nuts of the steering are as they were fitted."),
        ],
        Some(Nature::Fuel) => vec![
            item(
                BeforeRolling,
                "fuel",
                "With pump and engine running, every fuel joint that was open is dry and nothing smells.",
            ),
            item(AfterFirstDrive, "fuel", "Fuel joints are dry while hot; no smell in the car or the garage."),
            item(AfterFifty, "fuel", "Fuel joints are dry."),
        ],
        Some(Nature::Coolant) => vec![
            item(BeforeRolling, "coolant", "Coolant is at its level, cold, and its cap is on."),
            item(FirstHundred, "temperature", "The temperature rises and stays; the heater blows warm."),
            item(AfterFirstDrive, "coolant", "Once it is cold: the level is right and every hose joint is dry."),
            item(AfterFifty, "coolant", "Cold: the level is where it was."),
        ],
        Some(Nature::Exhaust) => vec![
            item(BeforeRolling, "exhaust", "The exhaust touches nothing and does not blow at its joints."),
            item(AfterFirstDrive, "exhaust", "Exhaust mountings hold; nothing near it is scorched."),
        ],
        Some(Nature::Battery | Nature::Starter | Nature::Alternator) => vec![
            item(BeforeRolling, "charging", "The engine starts, and the charging lamp goes out."),
            item(AfterFirstDrive, "charging", "Battery clamps are tight; no lead is warm."),
        ],
        Some(Nature::TimingDrive | Nature::TimingMarks) => vec![
            item(
                BeforeRolling,
                "timing",
                "The engine was turned two full turns by hand, and every timing mark came back.",
            ),
            item(AfterFirstDrive, "timing", "No rubbing or whine from the timing drive."),
        ],
        Some(Nature::ClutchHydraulics | Nature::ClutchPedal) => vec![
            item(BeforeRolling, "clutch", "The clutch parts fully: reverse goes in without a crunch."),
            item(AfterFirstDrive, "clutch", "Clutch joints are dry, fluid at its level."),
        ],
        Some(Nature::AirBag) => {
            vec![item(BeforeRolling, "air-bag", "The air bag lamp goes out; if not, a licensed workshop looks.")]
        }
        Some(Nature::AutomaticFluid | Nature::EngineOil | Nature::GearOil | Nature::SteeringFluid) | None => Vec::new(),
    }
}

/// Asked by a steering joint, and by any work on the steering.
fn runs_straight() -> Item {
    item(Phase::FirstHundred, "steering", "It runs straight, and the wheel comes back by itself.")
}

/// Levels and leaks of every fluid that was let out, let in or opened.
fn by_fluid(step: &StepOnPaper) -> Vec<Item> {
    let brakes = step.nature().is_some_and(Nature::is_hydraulic);
    if step.kind != ObjectKind::Fluid || brakes || step.is(Nature::Coolant) || step.is(Nature::Fuel) {
        return Vec::new();
    }
    let name = step.name();
    vec![
        item(
            Phase::BeforeRolling,
            &format!("level/{name}"),
            format!("The level of the {name} is right, read as its maker’s manual says."),
        ),
        item(
            Phase::AfterFirstDrive,
            &format!("leak/{name}"),
            format!("No {name} at the plugs and joints that were open."),
        ),
        item(Phase::AfterFifty, &format!("level/{name}"), format!("The level of the {name} is where it was.")),
    ]
}

fn by_fastener(step: &StepOnPaper) -> Vec<Item> {
    let carries = step.has(Mark::BearsLoad) || step.has(Mark::RubberBush);
    if step.kind != ObjectKind::Fastener || !step.verb.tightens() || !carries {
        return Vec::new();
    }
    let name = step.name();
    vec![
        item(
            Phase::AfterFirstDrive,
            &format!("bolt/{name}"),
            format!("The {name}: nothing moved against its paint mark."),
        ),
        item(
            Phase::AfterFifty,
            &format!("bolt/{name}"),
            format!("The {name} again at their torque, where the maker’s manual does not forbid it."),
        ),
    ]
}

fn by_system(system: System) -> Vec<Item> {
    use Phase::{AfterFirstDrive, FirstHundred};
    match system {
        System::Driveline => {
            vec![item(FirstHundred, "driveline", "No clonk when the load changes, no hum that grows with speed.")]
        }
        System::Suspension => {
            vec![item(FirstHundred, "suspension", "No knock over a kerb stone; the car stands level.")]
        }
        System::Steering => {
            vec![runs_straight()]
        }
        System::Wheels => vec![item(AfterFirstDrive, "tyres", "Tyres hold their pressure, read cold the next day.")],
        System::Body
        | System::Brakes
        | System::Cooling
        | System::Electrics
        | System::Engine
        | System::Exhaust
        | System::Fuel => Vec::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keys(verb: Verb, kind: ObjectKind, object: &str) -> Vec<String> {
        let step = StepOnPaper::new(verb, kind, object);
        asked_by(&step, System::Brakes).into_iter().map(|item| item.key).collect()
    }

    #[test]
    fn looking_at_something_asks_for_no_road_check() {
        assert_eq!(keys(Verb::Inspect, ObjectKind::Part, "front brake pads"), [] as [&str; 0]);
    }

    #[test]
    fn brake_work_asks_for_the_pedal_before_rolling_and_for_heat_after() {
        let keys = keys(Verb::Fit, ObjectKind::Part, "front brake pads");
        for wanted in ["before-rolling:pedal", "before-rolling:clear", "after-first-drive:brake-heat"] {
            assert!(keys.iter().any(|key| key == wanted), "{keys:?}");
        }
    }

    #[test]
    fn wheel_fixings_are_asked_for_three_times() {
        let keys = keys(Verb::Tighten, ObjectKind::Fastener, "rear wheel nuts");
        assert_eq!(keys.iter().filter(|key| key.ends_with(":wheels")).count(), 3);
    }

    #[test]
    fn a_fluid_asks_for_its_level_and_for_leaks_by_its_own_name() {
        let keys = keys(Verb::Fill, ObjectKind::Fluid, "Rear axle oil");
        assert!(keys.contains(&"after-first-drive:leak/rear axle oil".to_owned()), "{keys:?}");
    }

    #[test]
    fn every_item_is_a_sentence_and_claims_no_safety() {
        let objects = [
            "brake fluid",
            "wheel nuts",
            "track rod",
            "fuel hose",
            "coolant",
            "exhaust",
            "battery lead",
            "timing belt",
        ];
        for object in objects {
            for item in asked_by(&StepOnPaper::new(Verb::Fit, ObjectKind::Part, object), System::Driveline) {
                assert!(item.say.ends_with('.') && !item.say.contains("safe"), "{}", item.say);
            }
        }
    }
}
