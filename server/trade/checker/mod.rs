//! The card checker: a job card read as a program over the state of the car.
//!
//! [`compile`] turns each step into sets: what it opens and closes, what it makes true, and what must hold before it.
//! [`check`] works a card over those sets on paper and says what would go wrong. The phone works the same sets while the
//! card is worked on the car, and guards each step: the rules stand here only.
//!
//! Where no source is named beside a rule it is common practice.
//!
//! - `rule`: the names of the rules and what each weighs
//! - `lifting`, `fasteners`, `fluids`, `fluid_class`, `hydraulics`, `heat`, `electrics`, `people`, `tool_size`, `variant`: what
//!   must hold before a step
//! - `ends`: what may not be left when a card is done
//! - `evening`: several cards worked in one evening
//! - `facts`, `state`, `step`, `paper`: what the rules are made of

mod electrics;
mod ends;
pub mod evening;
mod facts;
mod fasteners;
mod fluid_class;
mod fluids;
mod heat;
mod hydraulics;
mod lifting;
mod paper;
mod people;
mod rule;
mod state;
mod step;
#[cfg(test)]
mod tests;
mod tool_size;
mod variant;

pub use paper::{CardOnPaper, SpecOnPaper, StepOnPaper};
pub use rule::{Rule, Weight};
pub use state::{State, thing};
pub use step::{Need, StepProgram};

/// Something that would go wrong, or would be left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    pub rule: Rule,
    /// Index of the step; `None` where it is about the card as a whole.
    pub step: Option<usize>,
    /// Why, in one plain sentence.
    pub say: String,
    /// How to mend it.
    pub mend: String,
}

impl Finding {
    pub fn weight(&self) -> Weight {
        self.rule.weight()
    }
}

/// Compiles every step of a card.
pub fn compile(card: &CardOnPaper) -> Vec<StepProgram> {
    card.steps.iter().enumerate().map(|(at, step)| compile_step(card, at, step)).collect()
}

/// What a step does to the state, without what must hold before it: for that its card has to be known.
pub fn effects(step: &StepOnPaper) -> StepProgram {
    let mut program = StepProgram::from(step.compiled());
    facts::add(step, &mut program);
    program
}

fn compile_step(card: &CardOnPaper, at: usize, step: &StepOnPaper) -> StepProgram {
    let mut program = effects(step);
    lifting::needs(card, at, &mut program.needs);
    fasteners::needs(card, at, &mut program.needs);
    fluids::needs(card, at, &mut program.needs);
    fluid_class::needs(card, at, &mut program.needs);
    hydraulics::needs(card, at, &mut program.needs);
    heat::needs(card, at, &mut program.needs);
    electrics::needs(card, at, &mut program.needs);
    people::needs(card, at, &mut program.needs);
    tool_size::needs(&card.steps[at], &mut program.needs);
    variant::needs(card, at, &mut program.needs);
    program
}

/// Works the card in order from this state of the car, and says what would go wrong: the weightiest first, then in the
/// order of the steps.
pub fn check(card: &CardOnPaper, start: &State) -> Vec<Finding> {
    check_compiled(card, &compile(card), start)
}

/// The same of a card that is compiled already.
pub fn check_compiled(card: &CardOnPaper, programs: &[StepProgram], start: &State) -> Vec<Finding> {
    let mut state = start.clone();
    let mut findings = Vec::new();
    for (at, program) in programs.iter().enumerate() {
        findings.extend(broken(program, at, &state));
        state.apply(program);
    }
    findings.extend(ends::left(card, programs, start, &state));
    findings.sort_by_key(|finding| (finding.weight(), finding.step.unwrap_or(usize::MAX)));
    findings
}

/// The needs of a step that this state breaks.
pub fn broken<'a>(program: &'a StepProgram, at: usize, state: &'a State) -> impl Iterator<Item = Finding> + 'a {
    let finding = move |need: &Need| {
        let say = need.broken(state)?;
        Some(Finding { rule: need.rule, step: Some(at), say, mend: need.mend.clone() })
    };
    program.needs.iter().filter_map(finding)
}
