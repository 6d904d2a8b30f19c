//! Several cards worked in one evening, in any interleaving: where they disagree about the car, and what they share.

use super::{Rule, State, StepProgram, thing};

/// While one card has the car in a certain state, a step of the other must not be done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clash {
    /// The card whose step must wait, and the step.
    pub waits: usize,
    pub step: usize,
    /// The card that has the car otherwise, from which of its steps (done) on …
    pub other: usize,
    pub from: usize,
    /// … until which one is done; `None`: it leaves the car so.
    pub until: Option<usize>,
    pub rule: Rule,
    pub say: String,
}

/// The same access opened by two cards: open it once for both.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shared {
    pub cards: (usize, usize),
    pub thing: String,
    pub family: String,
}

/// What came out of laying cards side by side.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Evening {
    pub clashes: Vec<Clash>,
    pub shared: Vec<Shared>,
}

/// Lays compiled cards side by side, each pair both ways, from this state of the car.
///
/// A step clashes where its need holds in its own card alone, and is broken once the other card has done some of its steps,
/// whichever of the two was worked first.
pub fn side_by_side(cards: &[&[StepProgram]], start: &State) -> Evening {
    let mut evening = Evening::default();
    for one in 0..cards.len() {
        for other in 0..cards.len() {
            if one == other {
                continue;
            }
            evening.clashes.extend(clashes(cards, (one, other), start));
            if one < other {
                evening.shared.extend(shared(cards, (one, other)));
            }
        }
    }
    evening
}

fn clashes(cards: &[&[StepProgram]], (waits, other): (usize, usize), start: &State) -> Vec<Clash> {
    let (mine, others) = (cards[waits], cards[other]);
    let mut alone = start.clone();
    // By how many of its steps the other card has done: the car where those came first, before my step.
    let mut theirs_first = states(others, start);
    let mut clashes = Vec::new();
    for (step, program) in mine.iter().enumerate() {
        let mine_first = states(others, &alone);
        let either = || mine_first.iter().zip(&theirs_first);
        for need in program.needs.iter().filter(|need| need.broken(&alone).is_none()) {
            let broken: Vec<_> =
                either().map(|(mine, theirs)| need.broken(mine).or_else(|| need.broken(theirs))).collect();
            clashes.extend(spans(&broken).into_iter().map(|(from, until, say)| Clash {
                waits,
                step,
                other,
                from,
                until: until.filter(|until| *until < others.len()),
                rule: need.rule,
                say,
            }));
        }
        alone.apply(program);
        theirs_first.iter_mut().for_each(|state| state.apply(program));
    }
    clashes
}

/// The state before each step, and after the last.
fn states(programs: &[StepProgram], start: &State) -> Vec<State> {
    let mut states = vec![start.clone()];
    let mut state = start.clone();
    for program in programs {
        state.apply(program);
        states.push(state.clone());
    }
    states
}

/// Runs of broken counts: index of the step that breaks it, and of the one that mends it.
fn spans(broken: &[Option<String>]) -> Vec<(usize, Option<usize>, String)> {
    let mut spans: Vec<(usize, Option<usize>, String)> = Vec::new();
    let mut began: Option<(usize, &String)> = None;
    for (done, reason) in broken.iter().enumerate() {
        match (reason, began) {
            (Some(say), None) => began = Some((done, say)),
            (None, Some((from, say))) => {
                spans.push((from.saturating_sub(1), Some(done.saturating_sub(1)), say.clone()));
                began = None;
            }
            _ => {}
        }
    }
    if let Some((from, say)) = began {
        spans.push((from.saturating_sub(1), None, say.clone()));
    }
    spans
}

fn shared(cards: &[&[StepProgram]], (one, other): (usize, usize)) -> Vec<Shared> {
    let opens = |programs: &[StepProgram]| {
        let mut keys: Vec<String> = Vec::new();
        for key in programs.iter().flat_map(|program| &program.opens).map(|opened| &opened.key) {
            let costs_time = ["corner:", "part:", "fluid:", "connection:"].iter().any(|family| key.starts_with(family));
            if costs_time && !keys.contains(key) {
                keys.push(key.clone());
            }
        }
        keys
    };
    let theirs = opens(cards[other]);
    opens(cards[one])
        .into_iter()
        .filter(|key| theirs.contains(key))
        .map(|key| Shared {
            cards: (one, other),
            thing: thing(&key).to_owned(),
            family: key.split_once(':').map_or("", |(family, _)| family).to_owned(),
        })
        .collect()
}
