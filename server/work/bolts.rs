//! Which bolts of a step are tight, read off the operations.

use super::model::CarState;
use super::store::StandingOp;
use crate::jobs::model::Step;
use crate::specs::bolts::BoltsView;
use crate::sync::wire::{Act, Tight};
use crate::trade::bolt_order::Count;
use std::collections::HashSet;

/// A step that tightens by a picture: the picture, and how far it has come.
#[derive(Debug, Clone, PartialEq)]
pub struct StepBolts {
    pub view: BoltsView,
    pub count: Count,
    /// Stage and bolt of those that are tight.
    pub tight: HashSet<(usize, usize)>,
}

impl StepBolts {
    /// None where the step tightens nothing, or no spec of it has a picture.
    pub fn of(state: &CarState, step: &Step) -> Option<StepBolts> {
        if !step.facts.verb.tightens() {
            return None;
        }
        let attached = step.attached.specs.iter().filter_map(|id| state.specs.iter().find(|spec| spec.id == *id));
        let view = BoltsView::of_step(attached, &step.facts.object)?;
        let tight = tight(&state.standing, &step.id.to_string());
        let count = view.counted.count(|stage, bolt| tight.contains(&(stage, bolt)));
        Some(StepBolts { view, count, tight })
    }

    /// `Stage 2 of 3: 7 of 10 tight`, for each stage that was begun.
    pub fn so_far(&self) -> String {
        let bolts = self.view.counted.bolts();
        let stage = |(index, tight): (usize, &usize)| match self.view.counted.stages {
            1 => format!("{tight} of {bolts} tight"),
            all => format!("stage {} of {all}: {tight} of {bolts} tight", index + 1),
        };
        let begun = self.count.by_stage.iter().enumerate().filter(|(_, tight)| **tight > 0);
        begun.map(stage).collect::<Vec<_>>().join("; ")
    }
}

/// Stage and bolt of what is tight at a step: the latest press counts.
fn tight(standing: &[StandingOp], step: &str) -> HashSet<(usize, usize)> {
    let press = |op: &StandingOp| match &op.act {
        Act::Bolt(body) if op.subject_id == step && body.state == Tight::Done => Some((body.stage, body.bolt)),
        _ => None,
    };
    standing.iter().filter_map(press).collect()
}
