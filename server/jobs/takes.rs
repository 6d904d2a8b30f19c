//! What a card takes: its time, what it opens and closes again, where it may be left, a second person, and what it waits for.

use super::model::Minutes;
use crate::ids::CardId;
use crate::jobs::paper::Shelves;
use crate::plan::access::title;
use crate::plan::job::{Job, is_finished, records};
use crate::plan::model::Planning;
use crate::sync::wire::Act;
use crate::trade::effort::{self, correction};
use crate::web::words;
use crate::work::model::CardState;
use crate::work::whole::WholeCar;

/// More places than this are folded away.
const SHOWN_PLACES: usize = 3;

/// What it takes, in words.
#[derive(Default)]
pub struct Takes {
    /// `Likely 1 h 30 min, from 1 h to 2 h.`; empty where nobody guessed.
    pub time: String,
    /// What own records make of it; empty where there are too few.
    pub corrected: String,
    /// What was worked so far, against the guess; empty where nothing was noted.
    pub worked: String,
    pub access: Vec<String>,
    pub places: Vec<String>,
    pub helper: String,
    /// Address and title of each card that it waits for, and how far that is.
    pub after: Vec<(String, String, &'static str)>,
    pub put_off: bool,
    /// What was typed as the time it took, and what was wrong with that.
    pub typed: (String, String),
    has_steps: bool,
}

impl Takes {
    pub fn of(whole: &WholeCar, planning: &Planning, card: &CardState) -> Takes {
        let on_car = &whole.state;
        let correction = correction(&records(&on_car.cards, &whole.done));
        let job = Job::of(card, &Shelves::of(&on_car.specs, &on_car.parts), None);
        let guess = job.as_ref().map(|job| job.effort.whole);
        let corrected = guess.zip(correction).map(|(guess, correction)| {
            let likely = words::minutes(correction.applied(guess).likely().into());
            format!("{correction} That makes this one likely {likely}.")
        });
        Takes {
            time: card.card.facts.minutes.map(said).unwrap_or_default(),
            corrected: corrected.unwrap_or_default(),
            worked: worked(whole, card),
            access: job.iter().flat_map(|job| &job.effort.access).map(access_words).collect(),
            places: job.as_ref().map(places).unwrap_or_default(),
            helper: job.as_ref().map(helper).unwrap_or_default(),
            after: planning.after(card.card.id).iter().filter_map(|id| waits(whole, planning, *id)).collect(),
            put_off: planning.put_off.contains(&card.card.id),
            typed: Default::default(),
            has_steps: !card.steps.is_empty(),
        }
    }

    /// The places that are shown at once, and those that are folded away.
    pub fn places_in_two(&self) -> (&[String], &[String]) {
        self.places.split_at(self.places.len().min(SHOWN_PLACES))
    }

    /// Whether it has to be finished in one go.
    pub fn in_one_go(&self) -> bool {
        self.has_steps && self.places.is_empty() && !self.time.is_empty()
    }
}

fn said(minutes: Minutes) -> String {
    let [low, likely, high] = [minutes.low, minutes.likely, minutes.high].map(words::minutes);
    format!("Likely {likely}, from {low} to {high}.")
}

/// `the rear end up: likely 12 min to open, 8 min to close`
fn access_words(access: &effort::Access) -> String {
    let likely = |minutes: effort::Minutes| words::minutes(minutes.likely().into());
    let closes = if access.closed_by.is_empty() {
        "and no step here closes it".to_owned()
    } else {
        format!("{} to close", likely(access.closes))
    };
    format!("{}: likely {} to open, {closes}", words::capital(&title(&access.key)), likely(access.opens))
}

/// Places that follow each other and leave the car alike are told as one. Before anything is opened there is nothing to tell.
fn places(job: &Job<'_>) -> Vec<String> {
    let mut told: Vec<(Vec<String>, String)> = Vec::new();
    let begun = job.places.iter().skip_while(|place| place.is_untouched());
    for (number, words) in begun.map(|place| ((place.after + 1).to_string(), place.words())) {
        match told.last_mut().filter(|(_, last)| *last == words) {
            Some((numbers, _)) => numbers.push(number),
            None => told.push((vec![number], words)),
        }
    }
    told.into_iter().map(|(numbers, words)| format!("After step {}, {words}", either(numbers))).collect()
}

/// `3`, `3 or 4`, `3, 4 or 5`
fn either(mut numbers: Vec<String>) -> String {
    match numbers.pop() {
        Some(last) if numbers.is_empty() => last,
        Some(last) => format!("{} or {last}", numbers.join(", ")),
        None => String::new(),
    }
}

fn helper(job: &Job<'_>) -> String {
    let steps: Vec<String> = job.effort.with_helper.iter().map(|at| (at + 1).to_string()).collect();
    match (steps.is_empty(), job.effort.helper) {
        (false, _) => format!("A second person, at step {}.", steps.join(", ")),
        (true, true) => "A second person.".into(),
        (true, false) => String::new(),
    }
}

/// All that was noted, against the likely time.
fn worked(whole: &WholeCar, card: &CardState) -> String {
    let of_card = whole.done.iter().filter(|done| done.card == Some(card.card.id));
    let minutes: i64 = of_card.map(|done| if let Act::Time(body) = &done.act { body.minutes } else { 0 }).sum();
    if minutes == 0 {
        return String::new();
    }
    let (took, so_far) = (words::minutes(minutes), if is_finished(card) { "It took" } else { "Worked so far:" });
    match card.card.facts.minutes {
        Some(guess) => format!("{so_far} {took}, against a likely {}.", words::minutes(guess.likely)),
        None => format!("{so_far} {took}."),
    }
}

fn waits(whole: &WholeCar, planning: &Planning, id: CardId) -> Option<(String, String, &'static str)> {
    let first = whole.state.card(id)?;
    let state = match (is_finished(first), planning.put_off.contains(&id)) {
        (true, _) => "finished",
        (false, true) => "put off: so this one waits",
        (false, false) => "not finished yet",
    };
    Some((format!("/cars/{}/cards/{id}", whole.car.id), first.card.facts.title.clone(), state))
}
