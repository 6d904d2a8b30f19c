//! A car's cards as the card checker reads them.

use super::model::{Card, Step, StepEffect};
use crate::ids::{CardId, PartId, SpecId};
use crate::shelf::store::Part;
use crate::specs::model::Spec;
use crate::trade::checker::{CardOnPaper, SpecOnPaper, StepOnPaper, compile};
use crate::trade::quantity::Dimension;
use crate::trade::spec::{Kind, Value};
use std::collections::HashMap;

/// What steps refer to.
pub struct Shelves<'a> {
    specs: HashMap<SpecId, &'a Spec>,
    parts: HashMap<PartId, &'a Part>,
}

impl<'a> Shelves<'a> {
    pub fn of(specs: &'a [Spec], parts: &'a [Part]) -> Shelves<'a> {
        Shelves {
            specs: specs.iter().map(|spec| (spec.id, spec)).collect(),
            parts: parts.iter().map(|part| (part.id, part)).collect(),
        }
    }

    pub fn card(&self, card: &Card, steps: &[Step]) -> CardOnPaper {
        CardOnPaper {
            title: card.facts.title.clone(),
            system: card.facts.system,
            helper: card.facts.helper,
            steps: steps.iter().map(|step| self.step(step)).collect(),
        }
    }

    fn step(&self, step: &Step) -> StepOnPaper {
        let (facts, attached) = (&step.facts, &step.attached);
        let part = |id: &PartId| self.parts.get(id).map(|part| part.facts.name.clone());
        StepOnPaper {
            marks: facts.marks.clone(),
            specs: attached.specs.iter().filter_map(|id| self.specs.get(id)).map(|spec| on_paper(spec)).collect(),
            parts: attached.parts.iter().filter_map(|used| part(&used.part)).collect(),
            tools: attached.tools.clone(),
            cautions: attached.cautions.clone(),
            ..StepOnPaper::new(facts.verb, facts.object_kind, &facts.object)
        }
    }
}

fn on_paper(spec: &Spec) -> SpecOnPaper {
    let (trust, shown) = spec.trust();
    SpecOnPaper {
        kind: spec.facts.kind,
        trust,
        written: shown.map(|says| says.facts.written.clone()).unwrap_or_default(),
        head: spec.facts.fastener.as_ref().map(|fastener| fastener.head.clone()).unwrap_or_default(),
        used_once: spec.facts.fastener.as_ref().is_some_and(|fastener| fastener.single_use),
        by_angle: spec.facts.stages.iter().any(|stage| is_angle(stage)),
        not_ours: spec.not_ours().map(str::to_owned),
    }
}

fn is_angle(stage: &str) -> bool {
    matches!(Value::parse(Kind::Angle, stage), Ok(Value::Measured(turn)) if turn.unit().dimension() == Dimension::Angle)
}

/// Compiles the steps that stand on cards with all that hangs on them: a rule may look at the whole card.
pub fn complete(effects: &mut [StepEffect], cards: &[(CardId, CardOnPaper, &[Step])]) {
    let mut programs = HashMap::new();
    for (_, card, steps) in cards {
        programs.extend(steps.iter().map(|step| step.id).zip(compile(card)));
    }
    for effect in effects {
        if let Some(program) = programs.remove(&effect.step) {
            effect.compiled = program;
        }
    }
}
