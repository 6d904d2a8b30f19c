//! What became otherwise since a plan was made, in sentences.

use super::made::{Known, Made};
use super::words;
use crate::trade::limits::Day;
use crate::trade::plan::{Arrival, Garage, Job, PartId};
use crate::web::words::{capital, count};

/// More sentences than this are counted and not told.
const MOST: usize = 12;

/// What a plan does not know yet, first the car, then parts and evenings; empty where it still holds.
pub fn since(made: &Made, now: &Known) -> Vec<String> {
    let (old, new) = (&made.known, now);
    let mut all = Vec::new();
    all.extend(past(made, new.today()));
    all.extend(jobs(&old.garage, &new.garage));
    all.extend(open(&old.garage, &new.garage));
    all.extend(parts(&old.garage, &new.garage));
    all.extend(evenings(old, new));
    if old.garage.tools != new.garage.tools {
        all.push("The tools in the chest changed.".to_owned());
    }
    if old.garage.conflicts != new.garage.conflicts {
        all.push("The checker finds other clashes between the cards.".to_owned());
    }
    if old.garage.wanted != new.garage.wanted {
        all.push("The wanted day changed.".to_owned());
    }
    if old.pins != new.pins {
        all.push("What is kept to an evening changed.".to_owned());
    }
    if old.correction != new.correction {
        all.push(format!("Your own records say otherwise: {}", or_none(&new.correction)));
    }
    shortened(all)
}

fn or_none(correction: &str) -> &str {
    if correction.is_empty() { "too few of them are left." } else { correction }
}

fn shortened(mut all: Vec<String>) -> Vec<String> {
    if all.len() > MOST {
        let more = all.len() - (MOST - 1);
        all.truncate(MOST - 1);
        all.push(format!("And {more} things more."));
    }
    all
}

/// Evenings of the plan that are over.
fn past(made: &Made, today: Day) -> Option<String> {
    let over: Vec<String> = made
        .plan
        .evenings
        .iter()
        .filter(|evening| evening.day < today)
        .map(|evening| words::short(evening.day, today))
        .collect();
    match over.as_slice() {
        [] => None,
        [one] => Some(format!("The evening of {one} is over.")),
        many => Some(format!("{} of its evenings are over.", many.len())),
    }
}

fn jobs(old: &Garage, new: &Garage) -> Vec<String> {
    let find = |garage: &'_ Garage, job: &Job| garage.jobs.iter().find(|known| known.id == job.id).cloned();
    let mut all: Vec<String> = Vec::new();
    for job in &new.jobs {
        let title = capital(&job.title);
        match find(old, job) {
            None => all.push(format!("{title} was added.")),
            Some(known) => all.extend(changed(&known, job).map(|how| format!("{title}: {how}."))),
        }
    }
    let gone = old.jobs.iter().filter(|job| find(new, job).is_none());
    all.extend(gone.map(|job| format!("{} is no longer in the plan.", capital(&job.title))));
    all
}

/// How a job changed, said after its title.
fn changed(old: &Job, new: &Job) -> Option<String> {
    if new.done > old.done {
        let all = !new.pieces.is_empty() && new.done >= new.pieces.len();
        return Some(if all { "it was done".to_owned() } else { "more of it was done".to_owned() });
    }
    if new.done < old.done {
        return Some("something of it was undone".to_owned());
    }
    let differs = [
        (old.pieces != new.pieces, "its time"),
        (old.after != new.after, "what comes before it"),
        (old.parts != new.parts, "its parts"),
        (old.tools != new.tools, "its tools"),
        (old.helper != new.helper, "whether it takes a helper"),
        (old.needs != new.needs || old.blocked_by != new.blocked_by, "what has to be opened for it"),
        (old.title != new.title, "its title"),
    ];
    let differs: Vec<String> =
        differs.into_iter().filter(|(differs, _)| *differs).map(|(_, what)| what.to_owned()).collect();
    (!differs.is_empty()).then(|| format!("{} changed", words::listed(&differs)))
}

fn open(old: &Garage, new: &Garage) -> Vec<String> {
    let was = |access: &crate::trade::plan::Access| old.access.iter().find(|known| known.id == access.id).cloned();
    let mut all = Vec::new();
    for access in &new.access {
        let before = was(access).is_some_and(|known| known.open);
        if access.open && !before {
            all.push(format!("Open now: {}.", access.title));
        }
        if !access.open && before {
            all.push(format!("Closed again: {}.", access.title));
        }
        let other_minutes = was(access).is_some_and(|known| {
            (known.to_open, known.to_close, known.to_keep) != (access.to_open, access.to_close, access.to_keep)
        });
        if other_minutes {
            all.push(format!("The time for {} changed.", access.title));
        }
    }
    all
}

/// The words by which the jobs call a part.
fn called(garage: &Garage, part: &PartId) -> String {
    let needs = garage.jobs.iter().flat_map(|job| &job.parts);
    needs.filter(|need| need.part == *part).map(|need| need.words.clone()).next().unwrap_or_default()
}

fn parts(old: &Garage, new: &Garage) -> Vec<String> {
    let mut all = Vec::new();
    for part in &new.parts {
        let words = called(new, &part.id);
        let Some(before) = old.parts.iter().find(|known| known.id == part.id) else { continue };
        if words.is_empty() {
            continue;
        }
        let arrival = match (before.arrival, part.arrival) {
            (Arrival::OnTheShelf, Arrival::OnTheShelf) | (Arrival::Unknown, Arrival::Unknown) => continue,
            (_, Arrival::OnTheShelf) => "here now",
            // Days from today: the same figure on a later day is a later day.
            (Arrival::Ordered(was), Arrival::Ordered(is)) if expected(old, was.likely()) == expected(new, is.likely()) => continue,
            (_, Arrival::Ordered(_)) => "expected on another day",
            (Arrival::ToOrder(was), Arrival::ToOrder(is)) if was == is && old.today == new.today => continue,
            (Arrival::ToOrder(was), Arrival::ToOrder(is)) if was == is => "still not ordered",
            (_, Arrival::ToOrder(_)) => "to be ordered",
            (_, Arrival::Unknown) => "no longer expected on any day",
        };
        all.push(format!("{}: {arrival}.", capital(&words)));
    }
    all
}

fn expected(garage: &Garage, days: u32) -> i32 {
    garage.today.0.saturating_add_unsigned(days)
}

fn evenings(old: &Known, new: &Known) -> Vec<String> {
    let day = |known: &Known, at: usize| known.garage.evenings.get(at).map(|evening| evening.day);
    // What is over is told by itself.
    let ahead = |known: &Known, at: usize| day(known, at).is_some_and(|day| day >= new.today());
    let count_of = |one: &Known, other: &Known| {
        let ids = one.evenings.iter().enumerate().filter(|(at, _)| ahead(one, *at));
        ids.filter(|(_, evening)| other.evening_at(&evening.id).is_none()).count()
    };
    let (added, gone) = (count_of(new, old), count_of(old, new));
    let differs = |(at, evening): (usize, &super::made::EveningFacts)| {
        let Some(before) = old.evening_at(&evening.id) else { return false };
        let same = old.garage.evenings.get(before) == new.garage.evenings.get(at);
        ahead(new, at) && !(same && old.evenings[before].starts == evening.starts)
    };
    let changed = new.evenings.iter().enumerate().filter(|one| differs(*one)).count();
    [(added, "added"), (gone, "taken away"), (changed, "changed")]
        .into_iter()
        .filter(|(many, _)| *many > 0)
        .map(|(many, how)| format!("{} {how}.", count(many, "evening was", "evenings were")))
        .collect()
}
