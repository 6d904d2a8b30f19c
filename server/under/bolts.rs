//! The bolt picture on a step under the car: the next bolt lit, a press for each, and what is asked when the step is ticked
//! before all are tight. Scripts do the same offline in `static/js/ui/bolts.js`.

use super::guard::GuardView;
use crate::error::AppError;
use crate::ids::StepId;
use crate::sync::wire::{Act, BoltBody, Tight};
use crate::trade::bolt_order::At;
use crate::trade::checker::Rule;
use crate::web::words::count;
use crate::work::bolts::StepBolts;
use crate::work::whole::WholeCar;

/// What a template says of the bolt that is next, or of the whole when none is.
#[derive(Debug, Clone, PartialEq)]
pub struct BoltsPanel {
    pub bolts: StepBolts,
    pub bolt: String,
    pub stage: String,
    pub say: String,
    pub joint: String,
}

impl BoltsPanel {
    pub fn of(bolts: StepBolts) -> BoltsPanel {
        let counted = &bolts.view.counted;
        let Some(at) = bolts.count.next else {
            let bolt = format!("All {} tight", counted.bolts());
            let stage = if counted.stages > 1 { format!("in {} stages", counted.stages) } else { String::new() };
            return BoltsPanel { bolt, stage, say: String::new(), joint: String::new(), bolts };
        };
        let of_more = |what: &str, number: usize, all: usize| match all {
            1 => String::new(),
            all => format!("{what} {number} of {all}"),
        };
        BoltsPanel {
            bolt: format!("{} {} of {}", bolts.view.word(), at.turn, counted.order.len()),
            stage: of_more("stage", at.stage, counted.stages),
            say: bolts.view.stages.get(at.stage - 1).map(|stage| stage.say.clone()).unwrap_or_default(),
            joint: of_more(bolts.view.joint_word(), at.joint, counted.joints),
            bolts,
        }
    }

    /// How a bolt of the picture stands: `done`, `next` or `todo`.
    pub fn state(&self, place: &usize) -> &'static str {
        let counted = &self.bolts.view.counted;
        let Some(next) = self.bolts.count.next else { return "done" };
        let bolt = (next.joint - 1) * counted.order.len() + place;
        if bolt == next.bolt {
            return "next";
        }
        if self.bolts.tight.contains(&(next.stage, bolt)) { "done" } else { "todo" }
    }

    /// `7 of 10 tight`, of a stage from 1.
    pub fn of_stage(&self, stage: &usize) -> String {
        let tight = stage.checked_sub(1).and_then(|index| self.bolts.count.by_stage.get(index));
        format!("{} of {} tight", tight.copied().unwrap_or_default(), self.bolts.view.counted.bolts())
    }

    pub fn orders(&self) -> String {
        self.bolts.view.counted.order.iter().map(usize::to_string).collect::<Vec<_>>().join(" ")
    }

    pub fn next(&self) -> Option<At> {
        self.bolts.count.next
    }

    pub fn back(&self) -> Option<At> {
        self.bolts.count.back
    }
}

fn of_step(under: &WholeCar, step: StepId) -> Option<StepBolts> {
    let steps = || under.state.cards.iter().flat_map(|card| &card.steps);
    let step = steps().find(|one| one.id == step)?;
    StepBolts::of(&under.state, step)
}

/// What stands in the way of a tick while bolts are left.
pub fn left(under: &WholeCar, step: StepId) -> Option<GuardView> {
    let bolts = of_step(under, step)?;
    let next = bolts.count.next?;
    let stages = bolts.view.counted.stages;
    let (left, word) = (bolts.count.left(), bolts.view.word().to_lowercase());
    let turn = format!("{word} {}", next.turn);
    let at = if stages > 1 { format!("stage {} of {stages}, {turn}", next.stage) } else { turn };
    let is = if left == 1 { "is" } else { "are" };
    let rule = Rule::BoltsLeft;
    Some(GuardView {
        rule,
        code: rule.weight().name(),
        word: rule.weight().label(),
        headline: rule.label(),
        say: format!("{} {is} left of {}: next is {at}.", count(left, &word, &format!("{word}s")), bolts.count.all),
        mend: "Go back and tighten them in the order of the picture.".into(),
        passed: false,
    })
}

/// A press of the counter. Errors: the step counts no such bolt.
pub fn press(under: &WholeCar, step: StepId, stage: &str, bolt: &str, state: &str) -> Result<Act, AppError> {
    let invalid = || AppError::Invalid("malformed", "This step counts no such bolt now.".into());
    let bolts = of_step(under, step).ok_or_else(invalid)?;
    let number = |text: &str| text.parse::<usize>().map_err(|_| invalid());
    let (stage, bolt) = (number(stage)?, number(bolt)?);
    if !bolts.view.counted.has(stage, bolt) {
        return Err(invalid());
    }
    Ok(Act::Bolt(BoltBody {
        stage,
        bolt,
        state: Tight::from_name(state).ok_or_else(invalid)?,
        of: bolts.view.counted.bolts(),
        say: bolts.view.stage_name(stage),
    }))
}
