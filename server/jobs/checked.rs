//! What the card checker says of a car's cards, from rest and as the car stands.

use super::paper::Shelves;
use crate::ids::{CardId, StepId};
use crate::trade::checker::{CardOnPaper, Finding, State, StepProgram, Weight, check, check_compiled, compile};
use crate::trade::ledger::Ledger;
use crate::web::words;
use crate::work::ledger;
use crate::work::model::{CarState, CardState};

/// A finding as pages show it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ShownFinding {
    /// `stop`, `warn` or `note`, as the style sheets know it.
    pub code: &'static str,
    pub weight: &'static str,
    pub headline: &'static str,
    /// Why, in a sentence or several.
    pub say: String,
    pub mend: String,
    /// Its step and the step's number, from 1; `None` where it is about the card as a whole.
    pub step: Option<(StepId, usize)>,
}

impl ShownFinding {
    fn of(finding: &Finding, card: &CardState) -> ShownFinding {
        let step = finding.step.and_then(|at| Some((card.steps.get(at)?.id, at + 1)));
        ShownFinding {
            code: finding.weight().name(),
            weight: finding.weight().label(),
            headline: finding.rule.label(),
            say: words::capital(&finding.say),
            mend: finding.mend.clone(),
            step,
        }
    }

    /// The shape of its weight.
    pub fn mark(&self) -> &'static str {
        if self.code == Weight::Warn.name() { "act" } else { self.code }
    }

    /// The same rule at the same step, whatever things break it.
    fn is_like(&self, other: &ShownFinding) -> bool {
        (self.headline, self.step) == (other.headline, other.step)
    }

    fn is_of(&self, step: StepId) -> bool {
        self.step.is_some_and(|(id, _)| id == step)
    }
}

/// A card read by the checker.
#[derive(Debug, Default)]
pub struct Checked {
    /// From a car at rest: the weightiest first, then in the order of the steps.
    pub from_rest: Vec<ShownFinding>,
    /// What comes on top as other cards and hands have left the car. Empty where nothing of the card is left to do.
    pub more_now: Vec<ShownFinding>,
    /// What does not arise as other cards and hands have left the car.
    pub not_now: Vec<ShownFinding>,
}

impl Checked {
    pub fn of(card: &CardState, on_car: &CarState, compiled: &Compiled) -> Checked {
        let shown = |start: &State| shown_findings(&compiled.check(start), card);
        let from_rest = shown(&State::default());
        let start = left_by_others(on_car, &[card.card.id]);
        if start == State::default() || card.facts.settled_steps == card.facts.steps {
            return Checked { from_rest, ..Checked::default() };
        }
        let now = shown(&start);
        let mut more_now = now.clone();
        more_now.retain(|finding| !from_rest.contains(finding));
        let mut not_now = from_rest.clone();
        not_now.retain(|finding| !now.iter().any(|one| one.is_like(finding)));
        Checked { more_now: told_once(more_now), not_now, from_rest }
    }

    /// `Checked: 2 stops, 1 warning`
    pub fn line(&self) -> String {
        match counts(self.from_rest.iter().map(|finding| finding.code)) {
            counts if counts.is_empty() => "Checked: nothing to say".into(),
            counts => format!("Checked: {counts}"),
        }
    }

    pub fn is_silent(&self) -> bool {
        self.from_rest.is_empty()
    }

    /// Those of one step.
    pub fn of_step(&self, step: StepId) -> Vec<ShownFinding> {
        self.from_rest.iter().filter(|finding| finding.is_of(step)).cloned().collect()
    }

    /// Those about the card as a whole.
    pub fn of_card(&self) -> Vec<&ShownFinding> {
        self.from_rest.iter().filter(|finding| finding.step.is_none()).collect()
    }

    /// Those that stand beside a step further down.
    pub fn of_steps(&self) -> Vec<&ShownFinding> {
        self.from_rest.iter().filter(|finding| finding.step.is_some()).collect()
    }
}

/// Findings of one rule at one step, one after the other, told as one: a car that is driven apart is so in many ways.
fn told_once(findings: Vec<ShownFinding>) -> Vec<ShownFinding> {
    let mut told: Vec<ShownFinding> = Vec::new();
    for finding in findings {
        match told.last_mut().filter(|last| last.is_like(&finding)) {
            Some(last) => last.say = format!("{} {}", last.say, finding.say),
            None => told.push(finding),
        }
    }
    told
}

/// A card's findings as pages show them.
pub fn shown_findings(findings: &[Finding], card: &CardState) -> Vec<ShownFinding> {
    findings.iter().map(|finding| ShownFinding::of(finding, card)).collect()
}

/// `2 stops, 1 warning, 1 note`; empty where there is nothing.
pub fn counts(codes: impl Iterator<Item = &'static str> + Clone) -> String {
    let said = |weight: Weight| {
        let (one, many) = match weight {
            Weight::Stop => ("stop", "stops"),
            Weight::Warn => ("warning", "warnings"),
            Weight::Note => ("note", "notes"),
        };
        let n = codes.clone().filter(|code| *code == weight.name()).count();
        (n > 0).then(|| words::count(n, one, many))
    };
    Weight::ALL.iter().filter_map(|weight| said(*weight)).collect::<Vec<_>>().join(", ")
}

/// How many stops a card has from rest; none where nothing of it is left to do.
pub fn stops(card: &CardState, shelves: &Shelves<'_>) -> usize {
    if card.facts.settled_steps == card.facts.steps {
        return 0;
    }
    let findings = check(&shelves.card(&card.card, &card.steps), &State::default());
    findings.iter().filter(|finding| finding.weight() == Weight::Stop).count()
}

/// A card as the checker reads it, compiled once for all that is asked of it.
pub struct Compiled {
    pub paper: CardOnPaper,
    pub programs: Vec<StepProgram>,
}

impl Compiled {
    pub fn of(on_car: &CarState, card: &CardState) -> Compiled {
        let paper = Shelves::of(&on_car.specs, &on_car.parts).card(&card.card, &card.steps);
        Compiled { programs: compile(&paper), paper }
    }

    pub fn check(&self, start: &State) -> Vec<Finding> {
        check_compiled(&self.paper, &self.programs, start)
    }
}

/// What is so on the car, and would be so without what was done on these cards.
pub fn left_by_others(on_car: &CarState, cards: &[CardId]) -> State {
    let others = on_car.effects.iter().filter(|effect| !cards.contains(&effect.card));
    let without = Ledger::of(&ledger::events(others, &on_car.standing, &[]));
    let mut state: State = without.state.facts().filter(|fact| on_car.true_now.holds(fact)).collect();
    for end in on_car.loose_ends.iter().filter(|end| end.step.is_none()) {
        state.open_by_hand(&end.key, &end.words);
    }
    state
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn findings_are_counted_by_weight_the_weightiest_first() {
        assert_eq!(counts(["warn", "stop", "stop", "note"].into_iter()), "2 stops, 1 warning, 1 note");
        assert_eq!(counts([].into_iter()), "");
    }
}
