//! Several cards laid side by side for one evening: where they disagree about the car, and what they share.

use super::checked::{Compiled, ShownFinding, left_by_others, shown_findings};
use super::evening_views::EveningPage;
use crate::app::ReaderState;
use crate::error::AppError;
use crate::ids::{CarId, CardId, StepId};
use crate::sync::wire::Tick;
use crate::trade::checker::evening::{Clash, side_by_side};
use crate::trade::checker::{Finding, Rule, State as Car, StepProgram, Weight};
use crate::web::extract::{Lists, Path};
use crate::web::page::{Page, show};
use crate::work::model::{CarState, CardState};
use axum::extract::State;
use axum::response::Response;
use serde::Deserialize;

/// More cards than this are no evening.
const MOST_CARDS: usize = 12;

/// The cards asked for.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    #[serde(default)]
    card: Vec<String>,
}

/// `GET /cars/{car}/evening?card=…&card=…`
pub async fn evening(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
    Lists(asked): Lists<Asked>,
) -> Result<Response, AppError> {
    let whole = state.cars.get(&state.read, car).await?;
    let chosen = asked.chosen(&whole.state)?;
    show(&EveningPage::new(page, &whole, &chosen))
}

impl Asked {
    /// The cards, each once, in the car's order. Errors where the car has no such card, or too many are asked for.
    fn chosen(&self, on_car: &CarState) -> Result<Vec<CardId>, AppError> {
        let wanted: Vec<CardId> = self
            .card
            .iter()
            .map(|text| text.parse().map_err(|_| AppError::NotFound("such job card")))
            .collect::<Result<_, _>>()?;
        if wanted.iter().any(|card| on_car.card(*card).is_none()) {
            return Err(AppError::NotFound("such job card"));
        }
        let chosen: Vec<CardId> =
            on_car.cards.iter().map(|state| state.card.id).filter(|card| wanted.contains(card)).collect();
        if chosen.len() > MOST_CARDS {
            return Err(AppError::Invalid("malformed", format!("Lay at most {MOST_CARDS} cards side by side.")));
        }
        Ok(chosen)
    }
}

/// A card of the evening.
pub struct Laid<'a> {
    pub card: &'a CardState,
    pub compiled: Compiled,
    /// What would stop it by itself, at steps that are still to do.
    pub stops: Vec<ShownFinding>,
}

impl Laid<'_> {
    pub fn title(&self) -> &str {
        &self.compiled.paper.title
    }
}

/// Steps that must wait while another card has the car in a certain state.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// Indices of the cards, and of the steps of the first that must wait.
    pub waits: usize,
    pub steps: Vec<usize>,
    pub other: usize,
    pub from: usize,
    pub until: Option<usize>,
    pub rule: Rule,
    /// Why, each reason a sentence.
    pub say: Vec<String>,
    /// The other card has the car so now.
    pub now: bool,
}

/// What came out of laying the cards side by side.
pub struct Evening<'a> {
    pub laid: Vec<Laid<'a>>,
    pub told: Vec<Told>,
    /// In sentences.
    pub shared: Vec<String>,
    /// What comes on top where the cards are worked whole, one after the other in this order: index of the card and finding.
    pub in_turn: Vec<(usize, ShownFinding)>,
}

/// Lays the cards side by side, from the car as everything else has left it. What is done already clashes with nothing.
pub fn lay<'a>(on_car: &'a CarState, chosen: &[CardId]) -> Evening<'a> {
    let start = left_by_others(on_car, chosen);
    let laid: Vec<Laid> = chosen
        .iter()
        .filter_map(|card| on_car.card(*card))
        .map(|card| {
            let compiled = Compiled::of(on_car, card);
            let findings = compiled.check(&left_by_others(on_car, &[card.card.id]));
            let open = |at: Option<usize>| at.is_none_or(|at| is_open(card, at));
            let stops: Vec<_> =
                findings.into_iter().filter(|finding| finding.weight() == Weight::Stop && open(finding.step)).collect();
            Laid { stops: shown_findings(&stops, card), card, compiled }
        })
        .collect();
    let programs: Vec<&[StepProgram]> = laid.iter().map(|laid| laid.compiled.programs.as_slice()).collect();
    let evening = side_by_side(&programs, &start);
    let shared = evening.shared.iter();
    let shared = shared.map(|shared| {
        let title = |at: usize| laid[at].title();
        share_words(title(shared.cards.0), title(shared.cards.1), &shared.family, &shared.thing)
    });
    Evening { told: tell(&laid, evening.clashes), shared: shared.collect(), in_turn: in_turn(&laid, &start), laid }
}

fn in_turn(laid: &[Laid<'_>], start: &Car) -> Vec<(usize, ShownFinding)> {
    let mut state = start.clone();
    let mut found = Vec::new();
    for (at, laid) in laid.iter().enumerate() {
        let alone = laid.compiled.check(start);
        let mut more = laid.compiled.check(&state);
        let is_known = |finding: &Finding| alone.iter().any(|one| (one.rule, one.step) == (finding.rule, finding.step));
        more.retain(|finding| !is_known(finding) && finding.step.is_none_or(|step| is_open(laid.card, step)));
        found.extend(shown_findings(&more, laid.card).into_iter().map(|finding| (at, finding)));
        laid.compiled.programs.iter().for_each(|program| state.apply(program));
    }
    found
}

fn is_open(card: &CardState, at: usize) -> bool {
    card.steps.get(at).is_some_and(|step| card.tick(step.id) == Tick::Open)
}

fn is_done(card: &CardState, at: usize) -> bool {
    card.steps.get(at).is_some_and(|step| card.tick(step.id) == Tick::Done)
}

/// Clashes of what is still to do. Spans that overlap are told as one, and so are steps that wait for the same span.
fn tell(laid: &[Laid<'_>], clashes: Vec<Clash>) -> Vec<Told> {
    let mut by_step: Vec<Told> = Vec::new();
    for clash in clashes {
        let (waits, other) = (laid[clash.waits].card, laid[clash.other].card);
        let is_over = clash.until.is_some_and(|until| is_done(other, until));
        if is_open(waits, clash.step) && !is_over {
            by_step.push(Told {
                waits: clash.waits,
                steps: vec![clash.step],
                other: clash.other,
                from: clash.from,
                until: clash.until,
                rule: clash.rule,
                say: vec![clash.say],
                now: is_done(other, clash.from),
            });
        }
    }
    by_step.sort_by_key(|told| told.from);
    let mut told: Vec<Told> = Vec::new();
    for one in by_step {
        match told.iter_mut().find(|known| known.steps == one.steps && known.meets(&one)) {
            Some(known) => known.widen(one),
            None => told.push(one),
        }
    }
    told.sort_by_key(|told| told.steps[0]);
    let mut grouped: Vec<Told> = Vec::new();
    for one in told {
        match grouped.iter_mut().find(|known| known.is_same_span(&one)) {
            Some(known) => known.join(one),
            None => grouped.push(one),
        }
    }
    grouped.sort_by_key(|told| (told.waits, told.other, told.rule.weight(), told.steps[0]));
    grouped
}

impl Told {
    fn is_between_the_same(&self, other: &Told) -> bool {
        (self.waits, self.other, self.rule) == (other.waits, other.other, other.rule)
    }

    /// Whether a span that begins no earlier begins before this one ends.
    fn meets(&self, later: &Told) -> bool {
        self.is_between_the_same(later) && self.until.is_none_or(|until| later.from <= until)
    }

    fn widen(&mut self, later: Told) {
        self.until = self.until.zip(later.until).map(|(mine, theirs)| mine.max(theirs));
        self.now |= later.now;
        self.add_reasons(later.say);
    }

    fn is_same_span(&self, other: &Told) -> bool {
        self.is_between_the_same(other) && (self.from, self.until) == (other.from, other.until)
    }

    fn join(&mut self, other: Told) {
        self.steps.extend(other.steps);
        self.add_reasons(other.say);
    }

    fn add_reasons(&mut self, say: Vec<String>) {
        for reason in say {
            if !self.say.contains(&reason) {
                self.say.push(reason);
            }
        }
    }
}

/// `Both ‘…’ and ‘…’ raise the rear end: once for both.`
fn share_words(one: &str, other: &str, family: &str, thing: &str) -> String {
    let does = match family {
        "corner" => format!("raise the {thing}"),
        "part" => format!("take off the {thing}"),
        "fluid" => format!("drain the {thing}"),
        _ => format!("part the {thing}"),
    };
    format!("‘{one}’ and ‘{other}’ both {does}: once for both.")
}

/// `Step 7`, `Steps 7, 8 and 12`
pub fn steps_words(steps: &[usize]) -> String {
    let mut numbers: Vec<String> = steps.iter().map(|at| (at + 1).to_string()).collect();
    match numbers.pop() {
        Some(last) if numbers.is_empty() => format!("Step {last}"),
        Some(last) => format!("Steps {} and {last}", numbers.join(", ")),
        None => String::new(),
    }
}

impl Told {
    /// `Step 7 of ‘A’ must not be done while ‘B’ is between its steps 4 and 12.`
    pub fn sentence(&self, title: impl Fn(usize) -> String) -> String {
        let (steps, waits, other) = (steps_words(&self.steps), title(self.waits), title(self.other));
        let from = self.from + 1;
        let span = match self.until {
            Some(until) => format!("while ‘{other}’ is between its steps {from} and {}", until + 1),
            None => format!("once ‘{other}’ has done its step {from}, which it leaves so"),
        };
        let now = if self.now { " It has come that far." } else { "" };
        format!("{steps} of ‘{waits}’ must not be done {span}.{now}")
    }

    pub fn mend(&self, title: impl Fn(usize) -> String) -> String {
        let (it, other, from) = (if self.steps.len() == 1 { "it" } else { "them" }, title(self.other), self.from + 1);
        match (self.until, self.now) {
            (Some(until), true) => format!("Do {it} after step {} of ‘{other}’.", until + 1),
            (Some(until), false) => {
                format!("Do {it} before step {from} of ‘{other}’, or after its step {}.", until + 1)
            }
            (None, true) => format!("Bring that back to rest first: ‘{other}’ has no step that does."),
            (None, false) => format!("Do {it} before step {from} of ‘{other}’."),
        }
    }
}

/// The step that a page links to.
pub fn step_id(card: &CardState, at: usize) -> Option<StepId> {
    card.steps.get(at).map(|step| step.id)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(steps: &[usize], from: usize, until: Option<usize>, now: bool) -> Told {
        let rule = Rule::UnderOnJack;
        Told { waits: 0, steps: steps.to_vec(), other: 1, from, until, rule, say: vec![format!("Reason {from}.")], now }
    }

    #[test]
    fn a_clash_is_told_with_its_span_and_the_way_out() {
        let title = |at: usize| ["A", "B"][at].to_owned();
        let one = told(&[6], 3, Some(11), false);
        assert_eq!(one.sentence(title), "Step 7 of ‘A’ must not be done while ‘B’ is between its steps 4 and 12.");
        assert_eq!(one.mend(title), "Do it before step 4 of ‘B’, or after its step 12.");
        let left = told(&[6, 7, 9], 3, None, true);
        assert!(
            left.sentence(title).starts_with("Steps 7, 8 and 10 of ‘A’ must not be done once ‘B’ has done its step 4")
        );
        assert_eq!(left.mend(title), "Bring that back to rest first: ‘B’ has no step that does.");
    }

    #[test]
    fn spans_that_meet_are_one_and_one_that_is_never_ended_has_no_end() {
        let mut wide = told(&[6], 3, Some(11), false);
        assert!(wide.meets(&told(&[6], 11, Some(14), false)) && !wide.meets(&told(&[6], 12, Some(14), false)));
        wide.widen(told(&[6], 5, Some(9), false));
        assert_eq!((wide.from, wide.until, wide.say.len()), (3, Some(11), 2));
        wide.widen(told(&[6], 5, None, true));
        assert_eq!((wide.until, wide.say.len(), wide.now), (None, 2, true));
    }
}
