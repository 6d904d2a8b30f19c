//! Heat, fire and gas.
//!
//! Sources: HSE, Motor vehicle repair: petrol and exhaust gas (fuel away from any spark or flame; run engines only where the
//! gas is led away). Coolant under pressure boils above 100 °C: common practice.

use super::facts;
use super::paper::{CardOnPaper, StepOnPaper};
use super::rule::Rule;
use super::step::Need;
use crate::trade::cautions::Caution;
use crate::trade::marks::Mark;
use crate::trade::nature::Nature;
use crate::trade::steps::Verb;

pub(super) fn needs(card: &CardOnPaper, at: usize, needs: &mut Vec<Need>) {
    let step = &card.steps[at];
    if step.undoes() && step.is(Nature::Coolant) && !step.has(Mark::WhenCold) {
        needs.push(coolant_cold(step));
    }
    if step.undoes() && step.is(Nature::Fuel) {
        needs.extend([fuel_cold(step), fuel_without_spark(step)]);
    }
    if step.verb == Verb::Run && !gas_is_thought_of(step) {
        needs.push(gas_led_out());
    }
}

fn coolant_cold(step: &StepOnPaper) -> Need {
    Need::new(
        Rule::OpenedHot,
        format!("No step before this one waits until the engine is cold: opened warm, the {} lets out scalding water and steam.", step.name()),
        "Put a step before it that waits until a hand can stay on the radiator, and mark it ‘only once cold’.",
    )
    .unless(facts::COLD)
}

fn fuel_cold(step: &StepOnPaper) -> Need {
    Need::new(
        Rule::FuelOnHot,
        format!(
            "Fuel from the {} runs or breathes onto an engine and exhaust that were run: that is how cars burn.",
            step.name()
        ),
        "Wait until engine and exhaust are cold, and mark that step ‘only once cold’.",
    )
    .when(facts::HOT)
}

fn fuel_without_spark(step: &StepOnPaper) -> Need {
    Need::new(
        Rule::FuelBySpark,
        format!("The {} is opened with the battery joined: one slip of a spanner, or a pump that runs, and the vapour lights.", step.name()),
        "Part the battery's earth lead first; no flame, no lamp with a hot bulb, doors open.",
    )
    .unless("battery-parted:*")
}

fn gas_is_thought_of(step: &StepOnPaper) -> bool {
    step.has(Mark::GasLedOut) || step.cautions.iter().any(|name| name == Caution::RunningIndoorsCarbonMonoxide.name())
}

fn gas_led_out() -> Need {
    Need::new(
        Rule::GasIndoors,
        "The engine runs, and nothing says where its exhaust gas goes: in a garage it kills without being smelt.",
        "Outside, or with the gas led out and the door open; mark the step so, or attach the caution.",
    )
}
