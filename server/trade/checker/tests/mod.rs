//! Each rule fires on a card that breaks it, and is silent on the same card mended.

mod composed;
mod evenings;
mod rules;
mod tool_size;

use super::*;
use crate::trade::marks::Mark;
use crate::trade::spec::{Kind, SourceKind, System};
use crate::trade::steps::{ObjectKind, Verb};
use crate::trade::trust::Trust;

/// A step from a line such as `raise corner front end`: verb, kind, object.
fn step(line: &str) -> StepOnPaper {
    let mut words = line.splitn(3, ' ');
    let mut next = || words.next().unwrap_or_else(|| panic!("‘{line}’ has no verb, kind and object"));
    let (verb, kind, object) = (next(), next(), next());
    let verb = Verb::from_name(verb).unwrap_or_else(|| panic!("no verb ‘{verb}’"));
    let kind = ObjectKind::from_name(kind).unwrap_or_else(|| panic!("no kind ‘{kind}’"));
    StepOnPaper::new(verb, kind, object)
}

/// What hangs on a step, in the order in which a test says it.
trait With {
    fn mark(self, mark: Mark) -> StepOnPaper;
    fn set(self, set: &str) -> StepOnPaper;
    fn filler(self, filler: &str) -> StepOnPaper;
    fn tool(self, tool: &str) -> StepOnPaper;
    fn part(self, part: &str) -> StepOnPaper;
    fn spec(self, kind: Kind, written: &str, trust: Trust) -> StepOnPaper;
    fn torque(self) -> StepOnPaper;
    fn caution(self, name: &str) -> StepOnPaper;
}

impl With for StepOnPaper {
    fn mark(mut self, mark: Mark) -> StepOnPaper {
        self.marks.marks.push(mark);
        self
    }
    fn set(mut self, set: &str) -> StepOnPaper {
        self.marks.set = set.into();
        self
    }
    fn filler(mut self, filler: &str) -> StepOnPaper {
        self.marks.filler = filler.into();
        self
    }
    fn tool(mut self, tool: &str) -> StepOnPaper {
        self.tools.push(tool.into());
        self
    }
    fn part(mut self, part: &str) -> StepOnPaper {
        self.parts.push(part.into());
        self
    }
    fn spec(mut self, kind: Kind, written: &str, trust: Trust) -> StepOnPaper {
        let written = written.to_owned();
        self.specs.push(SpecOnPaper {
            kind,
            trust,
            written,
            head: String::new(),
            used_once: false,
            by_angle: false,
            not_ours: None,
        });
        self
    }
    fn torque(self) -> StepOnPaper {
        self.spec(Kind::Torque, "45 Nm", Trust::Single(SourceKind::MakersManual))
    }
    fn caution(mut self, name: &str) -> StepOnPaper {
        self.cautions.push(name.into());
        self
    }
}

fn card(steps: Vec<StepOnPaper>) -> CardOnPaper {
    CardOnPaper { title: "a card".into(), system: System::Driveline, helper: false, steps }
}

fn check_fresh(steps: Vec<StepOnPaper>) -> Vec<Finding> {
    check(&card(steps), &State::default())
}

fn rules_of(findings: &[Finding]) -> Vec<Rule> {
    findings.iter().map(|finding| finding.rule).collect()
}
