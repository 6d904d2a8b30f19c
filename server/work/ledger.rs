//! Turns ticks and hand-made entries into the events that `trade::ledger` folds.

use super::store::{ByHand, StandingOp};
use crate::jobs::model::StepEffect;
use crate::sync::wire::{Act, Tick};
use crate::trade::ledger::Event;
use std::collections::HashMap;

/// What was done to the car, in the one total order. `steps` are those of `jobs::store::effects_of_car`, so that what a
/// deleted step left loose stays in the ledger.
pub fn events<'a>(
    steps: impl IntoIterator<Item = &'a StepEffect>,
    standing: &'a [StandingOp],
    by_hand: &'a [ByHand],
) -> Vec<Event<'a>> {
    let programs: HashMap<String, _> =
        steps.into_iter().map(|effect| (effect.step.to_string(), &effect.compiled)).collect();
    let mut events: Vec<((&str, &str, &str), Event)> = Vec::new();
    for op in standing {
        let Act::Tick(body) = &op.act else { continue };
        let Some(program) = programs.get(&op.subject_id) else {
            continue;
        };
        if body.state == Tick::Done {
            events.push((op.order(), Event::Done { step: &op.subject_id, at: &op.hlc, program }));
        }
    }
    for op in by_hand {
        events.push((op.order(), op.event()));
    }
    events.sort_by(|a, b| a.0.cmp(&b.0));
    events.into_iter().map(|(_, event)| event).collect()
}
