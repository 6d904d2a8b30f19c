//! What it costs to do a job in another evening, before anything is changed.

use super::made::{Known, Made};
use super::standing::Standing;
use super::views::chances;
use super::words;
use crate::ids::{CarId, CardId};
use crate::plan::garage::job_id;
use crate::trade::plan::{Effort, JobId, Moved, Pin, Plan, WhatIf, what_if_with};
use crate::web::page::{Page, Place};
use crate::web::words::capital;
use askama::Template;

/// Evenings offered at once, around where the job stands.
const MOST_OFFERED: usize = 60;

#[derive(Template)]
#[template(path = "plan/move.html")]
pub struct MovePage {
    pub page: Page,
    pub car: CarId,
    pub card: CardId,
    pub title: String,
    /// Where it stands now, in a sentence.
    pub stands: String,
    pub earlier: Option<Offer>,
    pub later: Option<Offer>,
    pub offers: Vec<Offer>,
    /// The evening that was asked for.
    pub to: String,
    pub to_words: String,
    /// Why it cannot be done there, or why nothing can be asked.
    pub cannot: String,
    pub cost: Option<Cost>,
}

/// An evening to choose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    pub id: String,
    pub day: String,
    pub facts: String,
    pub here: bool,
    pub chosen: bool,
}

/// Both plans side by side.
pub struct Cost {
    pub say: String,
    /// What, as it is, as it would be.
    pub rows: Vec<[String; 3]>,
}

impl MovePage {
    pub fn of(page: Page, standing: &Standing, card: CardId, to: &str, effort: Effort) -> MovePage {
        let car = standing.car.id;
        let job = job_id(card);
        let known = &standing.known;
        let here = standing.made.as_ref().and_then(|made| made.plan.evening_of(&job)).map(|evening| evening.evening);
        let offers = offers(known, here, to);
        let beside = |step: isize| offers.iter().position(|offer| offer.here)?.checked_add_signed(step);
        let (cost, cannot) = match (to.is_empty(), answer(standing, card, to, effort)) {
            (true, Ok(_)) => (None, String::new()),
            (true, Err(_)) if known.job(&job).is_some() && standing.made.is_some() => (None, String::new()),
            (false, Ok(moved)) => (standing.made.as_ref().map(|made| cost(made, &moved, &job)), String::new()),
            (_, Err(why)) => (None, why),
        };
        let chosen = offers.iter().find(|offer| offer.chosen);
        MovePage {
            page: page.at_desk(car, &standing.car.name, Place::Plan),
            car,
            card,
            title: capital(known.title(&job)),
            stands: stands(known, here),
            earlier: beside(-1).and_then(|at| offers.get(at).cloned()),
            later: beside(1).and_then(|at| offers.get(at).cloned()),
            to: to.to_owned(),
            to_words: chosen.map_or(String::new(), |offer| offer.day.clone()),
            offers,
            cannot,
            cost,
        }
    }
}

fn stands(known: &Known, here: Option<usize>) -> String {
    match here.and_then(|at| known.garage.evenings.get(at)) {
        Some(evening) => format!("It stands on {} now.", words::long(evening.day, known.today())),
        None => "It stands in no evening now.".to_owned(),
    }
}

/// The evenings from today on; where there are many, those around where the job stands.
fn offers(known: &Known, here: Option<usize>, to: &str) -> Vec<Offer> {
    let mut order: Vec<usize> = (0..known.garage.evenings.len()).collect();
    order.sort_by_key(|&at| known.garage.evenings[at].day);
    order.retain(|&at| known.garage.evenings[at].day >= known.today());
    let place = here.and_then(|here| order.iter().position(|&at| at == here)).unwrap_or(0);
    let first = place.saturating_sub(MOST_OFFERED / 2);
    order.into_iter().skip(first).take(MOST_OFFERED).map(|at| offer(known, at, here, to)).collect()
}

fn offer(known: &Known, at: usize, here: Option<usize>, to: &str) -> Offer {
    let (evening, facts) = (&known.garage.evenings[at], known.evening(at));
    let with = if evening.helper { "with the helper" } else { "alone" };
    Offer {
        day: words::short(evening.day, known.today()),
        facts: format!("{}, {}, {with}", facts.clock(0), words::minutes(evening.minutes)),
        here: here == Some(at),
        chosen: facts.id == to,
        id: facts.id,
    }
}

/// What comes of moving all that is left of a card to an evening, or why that cannot be.
pub fn answer(standing: &Standing, card: CardId, to: &str, effort: Effort) -> Result<Moved, String> {
    let known = &standing.known;
    let Some(made) = &standing.made else {
        return Err("No plan can be made yet, so nothing can be moved in it: look at the plan’s page first.".to_owned());
    };
    let job = job_id(card);
    if known.job(&job).is_none() {
        return Err("Nothing of this card is left to plan: it is done, put off, or waits for one that is.".to_owned());
    }
    let Some(evening) = known.evening_at(to) else {
        return Err("That evening is past, or was never entered: choose another one.".to_owned());
    };
    let kept = |pin: &&Pin| pin.job != job && !made.broken.iter().any(|(broken, _)| broken == *pin);
    let others: Vec<Pin> = known.pins.iter().filter(kept).cloned().collect();
    match what_if_with(&known.garage, &others, &made.plan, &job, evening, effort) {
        Ok(WhatIf::Moved(moved)) => Ok(moved),
        Ok(WhatIf::Cannot(why)) => Err(words::said(&capital(&why), known.today())),
        Err(faults) => Err(faults.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")),
    }
}

fn cost(made: &Made, moved: &Moved, job: &JobId) -> Cost {
    let new = Made { plan: moved.plan.clone(), ..made.clone() };
    let today = made.known.today();
    let (was, is) = (made.plan.objective, moved.plan.objective);
    let on = |plan: &Plan| {
        let evening = plan.evening_of(job);
        evening.map_or("no evening".to_owned(), |evening| words::short(evening.day, today))
    };
    let row = |what: &str, was: String, is: String| [what.to_owned(), was, is];
    let mut rows = vec![
        row("This job", on(&made.plan), on(&moved.plan)),
        row("Work and access", words::minutes(was.time), words::minutes(is.time)),
        row("Last evening", words::short(was.finish, today), words::short(is.finish, today)),
        row("Nights apart", was.nights_apart.to_string(), is.nights_apart.to_string()),
        row("Evenings", made.plan.evenings.len().to_string(), moved.plan.evenings.len().to_string()),
    ];
    if let (Some(before), Some(after)) = (chances(made), chances(&new))
        && let (Some(before), Some(after)) = (before.chance_of_wanted(), after.chance_of_wanted())
    {
        let of = |share| format!("{} of 100", words::of_hundred(share));
        rows.push(row("Chance of the wanted day", of(before), of(after)));
    }
    Cost { say: words::said(&moved.say, today), rows }
}
