//! What the planner says of a plan, as sentences with links to where each is mended.

use super::made::{Known, Made};
use super::words;
use crate::ids::CarId;
use crate::trade::plan::{Dates, Fault, Minutes, Note, Waits};
use crate::web::words::capital;

/// A sentence, and where what it says is mended. Without a place `href` is empty.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    pub say: String,
    pub href: String,
    pub link: &'static str,
}

impl Told {
    pub fn new(say: impl Into<String>, href: impl Into<String>, link: &'static str) -> Told {
        Told { say: say.into(), href: href.into(), link }
    }
}

fn evenings(car: CarId) -> String {
    format!("/cars/{car}/plan/evenings")
}

/// Why no plan can be made.
pub fn fault(fault: &Fault, known: &Known, car: CarId) -> Told {
    let say = words::said(&fault.to_string(), known.today());
    let card = |title: &str| match known.garage.jobs.iter().find(|job| job.title == title) {
        Some(job) => format!("/cars/{car}/cards/{}/edit", job.id),
        None => format!("/cars/{car}#cards"),
    };
    match fault {
        Fault::NoEvenings(_) => Told::new(say, evenings(car), "Enter evenings"),
        Fault::Ring(titles) => {
            Told::new(say, card(titles.first().map_or("", String::as_str)), "Change what the first waits for")
        }
        Fault::UnknownJob { job, .. } | Fault::Contradicts { job, .. } | Fault::MoreDoneThanThere { job, .. } => {
            Told::new(say, card(job), "Open the card")
        }
        Fault::OpenTogether(..) => Told::new(say, format!("/cars/{car}#loose-ends"), "Look at the loose ends"),
        Fault::Twice(_) | Fault::UnknownAccess(_) | Fault::TooMany { .. } => {
            Told::new(say, format!("/cars/{car}#cards"), "Look at the cards")
        }
        Fault::NoSuchDay(_) => Told::new(say, evenings(car), "Look at the evenings"),
    }
}

/// Jobs that wait and why, then the rest of the notes.
pub fn notes(made: &Made, car: CarId) -> (Vec<Told>, Vec<Told>) {
    let left_out = made.known.left_out.iter();
    let mut waits: Vec<Told> = left_out
        .map(|(job, say)| Told::new(say.as_str(), format!("/cars/{car}/cards/{job}"), "Open the card"))
        .collect();
    let mut others = Vec::new();
    for note in &made.plan.notes {
        let say = words::said(&note.to_string(), made.known.today());
        match note {
            Note::Waits { job, title, why } => {
                let say = words::said(
                    &format!("{}: {why}.", capital(title.trim_start_matches('‘').trim_end_matches('’'))),
                    made.known.today(),
                );
                waits.push(waiting(say, made.known.garage.jobs.get(*job).map(|job| job.id.0.as_str()), why, car));
            }
            Note::WantedInThePast(_) => others.push(Told::new(say, format!("/cars/{car}/edit"), "Choose a later day")),
            Note::EveningsGone(_) => {}
            Note::NothingLeft => {
                others.push(Told::new(say, format!("/cars/{car}/cards/new"), "Write a new job card"));
            }
        }
    }
    (waits, others)
}

fn waiting(say: String, job: Option<&str>, why: &Waits, car: CarId) -> Told {
    let card = job.map_or(format!("/cars/{car}#cards"), |job| format!("/cars/{car}/cards/{job}"));
    match why {
        Waits::NoTimes => Told::new(say, format!("{card}/edit"), "Give it a time"),
        Waits::Tool { .. } => Told::new(say, "/chest", "Open the tool chest"),
        Waits::PartUnknown { .. } => Told::new(say, format!("/cars/{car}/buy-list"), "Open the buy list"),
        Waits::PartTooLate { .. } | Waits::NoHelper | Waits::NoRoom => {
            Told::new(say, evenings(car), "Change the evenings")
        }
        Waits::TooLong { .. } | Waits::After { .. } => Told::new(say, card, "Open the card"),
    }
}

/// How good the plan is, as far as that is known.
pub fn proof(made: &Made) -> String {
    let plan = &made.plan;
    let pinned = if made.known.pins.is_empty() { "" } else { " with what you keep to its evening" };
    let time = plan.objective.time;
    let over = time - plan.least_time;
    if plan.proven {
        return format!("Every order of this work was looked at: none is better{pinned}.");
    }
    if plan.objective.left_over > Minutes(0) {
        return "The evenings do not hold all of the work, so nothing is said of how good the rest lies.".to_owned();
    }
    if over == Minutes(0) {
        return format!("No order of this work takes less time{pinned}; whether one ends earlier was not proven.");
    }
    // Rounded up: it claims no more than is so.
    let share = (u64::from(over.0) * 100).div_ceil(u64::from(plan.least_time.0.max(1)));
    format!(
        "The best that was found{pinned}. No order can take less than {}; this one takes {} more at the most, {share} in a hundred.",
        words::minutes(plan.least_time),
        words::minutes(over)
    )
}

/// When it will be ready, in a sentence. `waiting` jobs are not in the plan.
pub fn when(dates: &Dates, known: &Known) -> String {
    let by = |share| dates.quantile(share).map(|day| words::short(day, known.today()));
    match (by(0.5), by(0.95)) {
        (Some(half), Some(sure)) if half == sure => format!("Nearly sure to be done by {sure}."),
        (Some(half), Some(sure)) => format!("As likely as not done by {half}, nearly sure by {sure}."),
        (Some(half), None) => {
            format!("As likely as not done by {half}; to be nearly sure, more evenings are needed than there are.")
        }
        (None, _) => "More often than not the evenings there are do not suffice: add some.".to_owned(),
    }
}

/// What waits and is not counted, as a clause; empty where nothing does.
pub fn without(waits: usize) -> String {
    match waits {
        0 => String::new(),
        1 => "Without 1 job that waits and is not in the plan.".to_owned(),
        many => format!("Without {many} jobs that wait and are not in the plan."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::pages::sample;
    use crate::trade::plan::{Effort, plan};

    #[test]
    fn every_job_that_waits_says_why_with_a_link() {
        let mut known = sample::known(
            vec![sample::job("paint", &[300], &[]), sample::job("wash", &[], &[])],
            vec![sample::evening(1, 60)],
        );
        known.garage.jobs[1].after.push("paint".into());
        let made = Made::now(crate::clock::Moment(0), known, Effort::QUICK).unwrap();
        let car = CarId::new();
        let (waits, others) = notes(&made, car);
        assert_eq!(waits.len(), 2);
        assert!(waits[0].say.starts_with("The paint: a piece of it takes 5 h"), "{waits:?}");
        assert_eq!((waits[1].link, waits[1].href.ends_with("/cards/wash/edit")), ("Give it a time", true));
        assert_eq!(others.len(), 1, "nothing is left that can be planned");
    }

    #[test]
    fn a_ring_is_told_with_a_link_to_one_of_its_cards() {
        let mut known = sample::known(
            vec![sample::job("a", &[10], &[]), sample::job("b", &[10], &[])],
            vec![sample::evening(1, 60)],
        );
        known.garage.jobs[0].after.push("b".into());
        known.garage.jobs[1].after.push("a".into());
        let faults = plan(&known.garage, Effort::QUICK).unwrap_err();
        let told = fault(&faults[0], &known, CarId::new());
        assert!(told.say.contains("the a") && told.say.contains("the b"), "{told:?}");
        assert!(told.href.ends_with("/edit"), "{told:?}");
    }

    #[test]
    fn what_is_not_proven_is_said_to_be_so() {
        let mut made = sample::made();
        assert!(proof(&made).starts_with("Every order"), "{:?}", made.plan.objective);
        made.plan.proven = false;
        made.plan.least_time = made.plan.objective.time - Minutes(1);
        assert!(proof(&made).contains("1 min more at the most"), "{}", proof(&made));
        assert!(without(0).is_empty());
        assert_eq!(without(1), "Without 1 job that waits and is not in the plan.");
        assert_eq!(without(2), "Without 2 jobs that wait and are not in the plan.");
    }
}
