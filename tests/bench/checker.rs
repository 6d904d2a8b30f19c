//! What checking costs, against writing down what was checked.

use std::hint::black_box;
use std::time::{Duration, Instant};
use underlamp::patterns::library::Library;
use underlamp::trade::checker::{CardOnPaper, State, check, compile};

const CARDS: usize = 200;
const STEPS: usize = 60;
const ROUNDS: usize = 5;

/// Times checking a full garage of cards, and writing the same cards' compiled steps as JSON, as the pack does.
pub fn cards_checked() {
    let cards = cards();
    let checking = best(|| cards.iter().map(|card| check(card, &State::default()).len()).sum());
    let compiled: Vec<_> = cards.iter().map(compile).collect();
    let writing = best(|| compiled.iter().map(|card| serde_json::to_string(card).map_or(0, |text| text.len())).sum());
    println!("cards checked   {:>9.1} ms for {CARDS} cards of {STEPS} steps", millis(checking));
    println!("the same, JSON  {:>9.1} ms to write what the phone is given of them", millis(writing));
    println!("ratio           {:>9.3}", checking.as_secs_f64() / writing.as_secs_f64());
}

/// Cards made of the program's own patterns, one after the other until they are long enough, each beginning elsewhere.
fn cards() -> Vec<CardOnPaper> {
    let patterns = &Library::embedded().patterns;
    let filled: Vec<CardOnPaper> =
        patterns.values().map(|kept| kept.pattern.fill(&kept.pattern.ways()[0]).on_paper()).collect();
    let card = |from: usize| {
        let steps = filled.iter().cycle().skip(from % filled.len()).flat_map(|card| card.steps.clone());
        CardOnPaper { steps: steps.take(STEPS).collect(), ..filled[from % filled.len()].clone() }
    };
    (0..CARDS).map(card).collect()
}

fn best(mut work: impl FnMut() -> usize) -> Duration {
    let mut time = || {
        let began = Instant::now();
        black_box(work());
        began.elapsed()
    };
    (0..ROUNDS).map(|_| time()).min().unwrap_or_default()
}

fn millis(time: Duration) -> f64 {
    time.as_secs_f64() * 1000.0
}
