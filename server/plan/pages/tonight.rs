//! What this evening is good for: the best start, the next best, and what is in the way of the job that is wanted.

use super::made::Known;
use super::told::Now;
use super::words;
use crate::ids::CarId;
use crate::trade::plan::{Advice, Arrival, JobId, Minutes, Start, Tonight, tonight};
use crate::web::form::{Choice, Slips};
use crate::web::page::{Page, Place};
use crate::web::words::{capital, count};
use askama::Template;
use serde::{Deserialize, Serialize};

/// The longest evening, in minutes.
const LONGEST: u32 = 24 * 60;
/// Minutes offered where no evening is entered for today.
const USUAL: u32 = 120;

/// Minutes for which a phone has the answer without asking.
const LENGTHS: [u32; 6] = [30, 60, 90, 120, 180, 240];
/// Pieces of work up to which these are worked out.
const MOST_PIECES: usize = 200;

/// In the way of a card of which nothing can be planned.
const NOTHING_LEFT: &str = "nothing of that card is left to plan: it is done, put off, or waits for one that is";

/// What is asked of tonight.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    #[serde(default)]
    minutes: String,
    /// Anything: a helper is there.
    #[serde(default)]
    helper: String,
    #[serde(default)]
    wanted: String,
}

#[derive(Template)]
#[template(path = "plan/tonight.html")]
pub struct TonightPage {
    pub page: Page,
    pub car: CarId,
    pub minutes: String,
    pub helper: bool,
    pub jobs: Vec<Choice>,
    pub slips: Slips,
    pub answer: Option<Answer>,
    pub nothing_left: bool,
}

/// What came out of it, for a page.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Answer {
    /// `2 h`
    pub length: String,
    pub helper: bool,
    /// `2 h, alone`
    pub evening: String,
    pub best: Option<ShownStart>,
    pub next: Option<ShownStart>,
    /// The wanted job by its title; empty where none is.
    pub wanted: String,
    pub wanted_id: String,
    pub in_the_way: Vec<String>,
    /// Why nothing can be said, in sentences.
    pub faults: Vec<String>,
}

/// A job to begin with.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ShownStart {
    pub title: String,
    pub job: String,
    /// The jobs that follow it, id and title.
    pub then: Vec<(String, String)>,
    /// `1 h 30 min of work, 25 min to open and close, 5 min to spare`
    pub say: String,
}

impl TonightPage {
    pub fn of(page: Page, now: &Now, asked: Asked) -> TonightPage {
        let known = &now.known;
        let mut slips = Slips::default();
        let (minutes, helper) = evening(known, &asked, &mut slips);
        let wanted = Some(asked.wanted.trim()).filter(|wanted| !wanted.is_empty()).map(JobId::from);
        let answer = slips.is_empty().then(|| answer(known, minutes, helper, wanted.clone()));
        TonightPage {
            page: page.at_desk(now.car.id, &now.car.name, Place::Plan),
            car: now.car.id,
            minutes: if asked.minutes.trim().is_empty() { minutes.0.to_string() } else { asked.minutes },
            helper,
            jobs: jobs(known, wanted.as_ref()),
            nothing_left: known.garage.jobs.is_empty(),
            answer,
            slips,
        }
    }
}

/// How long, and with whom: as asked, or as the evening of today was entered.
fn evening(known: &Known, asked: &Asked, slips: &mut Slips) -> (Minutes, bool) {
    let typed = asked.minutes.trim();
    let helper = !asked.helper.is_empty();
    if typed.is_empty() {
        let today = known.garage.evenings.iter().find(|evening| evening.day == known.today());
        return today.map_or((Minutes(USUAL), helper), |evening| (evening.minutes, helper || evening.helper));
    }
    match typed.parse::<u32>() {
        Ok(minutes) if (1..=LONGEST).contains(&minutes) => (Minutes(minutes), helper),
        Ok(_) | Err(_) => {
            slips.say(
                "minutes",
                format!("‘{typed}’ is no length of an evening: write whole minutes, from 1 to {LONGEST}."),
            );
            (Minutes(USUAL), helper)
        }
    }
}

fn jobs(known: &Known, wanted: Option<&JobId>) -> Vec<Choice> {
    let none = Choice::new("", "nothing in particular", wanted.is_none());
    let choice = |job: &crate::trade::plan::Job| {
        Choice::new(job.id.0.clone(), capital(known.title(&job.id)), wanted == Some(&job.id))
    };
    [none].into_iter().chain(known.garage.jobs.iter().map(choice)).collect()
}

/// For a phone without signal: the lengths that evenings have, alone and with a helper. None where there are so many jobs that
/// the answers would take long.
pub fn for_the_phone(known: &Known) -> Vec<Answer> {
    let pieces: usize = known.garage.jobs.iter().map(|job| job.pieces.len()).sum();
    if pieces > MOST_PIECES {
        return Vec::new();
    }
    let lengths = LENGTHS.into_iter().map(Minutes);
    lengths.flat_map(|minutes| [false, true].map(|helper| answer(known, minutes, helper, None))).collect()
}

/// The evening that lies before somebody, by what is known now.
pub fn answer(known: &Known, minutes: Minutes, helper: bool, wanted: Option<JobId>) -> Answer {
    let here = |part: &&crate::trade::plan::Part| part.arrival == Arrival::OnTheShelf;
    let evening = Tonight {
        minutes,
        helper,
        on_the_shelf: known.garage.parts.iter().filter(here).map(|part| part.id.clone()).collect(),
        open: known.garage.access.iter().filter(|access| access.open).map(|access| access.id.clone()).collect(),
        wanted: wanted.clone(),
    };
    let with = if helper { "with a helper" } else { "alone" };
    let (advice, faults) = match tonight(&known.garage, &evening) {
        Ok(advice) => (advice, Vec::new()),
        Err(faults) => {
            let none = Advice { best: None, next: None, in_the_way: Vec::new(), say: String::new() };
            (none, faults.iter().map(|fault| words::said(&fault.to_string(), known.today())).collect())
        }
    };
    let gone = wanted.as_ref().is_some_and(|job| known.job(job).is_none());
    let in_the_way = if gone { vec![NOTHING_LEFT.to_owned()] } else { advice.in_the_way };
    let start = |start: &Start| shown(known, start, minutes);
    Answer {
        length: words::minutes(minutes),
        helper,
        evening: format!("{}, {with}", words::minutes(minutes)),
        best: advice.best.as_ref().map(start),
        next: advice.next.as_ref().map(start),
        wanted: wanted.as_ref().map_or(String::new(), |job| capital(known.title(job))),
        wanted_id: wanted.filter(|job| known.job(job).is_some()).map(|job| job.0).unwrap_or_default(),
        in_the_way: in_the_way.iter().map(|way| words::said(&capital(way), known.today())).collect(),
        faults,
    }
}

fn shown(known: &Known, start: &Start, minutes: Minutes) -> ShownStart {
    let title = |job: &JobId| capital(known.title(job));
    let access = match start.access {
        Minutes(0) => String::new(),
        access => format!(", {} to open up and close again", words::minutes(access)),
    };
    let spare = words::minutes(minutes - start.work - start.access);
    ShownStart {
        title: title(&start.job),
        job: start.job.0.clone(),
        then: start.jobs.iter().skip(1).map(|job| (job.0.clone(), title(job))).collect(),
        say: format!("{} of work{access}, {spare} to spare.", words::minutes(start.work)),
    }
}

impl ShownStart {
    /// `then 2 jobs more`
    pub fn then_words(&self) -> String {
        count(self.then.len(), "job more", "jobs more")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::pages::sample;
    use crate::trade::plan::{Part, PartNeed};

    #[test]
    fn what_is_in_the_way_of_the_wanted_job_is_named_as_a_person_would() {
        let mut known =
            sample::known(vec![sample::job("axle oil", &[40], &["rear"]), sample::job("wiper", &[30], &[])], vec![]);
        known.garage.jobs[0].parts.push(PartNeed { part: "w".into(), words: "two crush washers".to_owned() });
        known.garage.parts.push(Part { id: "w".into(), arrival: Arrival::Unknown });
        let found = answer(&known, Minutes(120), false, Some("axle oil".into()));
        assert_eq!(found.in_the_way, ["Two crush washers"]);
        assert_eq!(found.best.unwrap().title, "The wiper");
        known.garage.parts[0].arrival = Arrival::OnTheShelf;
        let found = answer(&known, Minutes(120), false, Some("axle oil".into()));
        assert!(found.in_the_way.is_empty() && found.faults.is_empty());
        let best = found.best.unwrap();
        assert_eq!(best.then.len(), 1);
        assert_eq!(best.say, "1 h 10 min of work, 25 min to open up and close again, 25 min to spare.");
    }

    #[test]
    fn a_length_that_is_none_is_refused_and_today_s_evening_is_offered() {
        let mut known = sample::known(vec![], vec![sample::evening(0, 95)]);
        known.garage.evenings[0].helper = true;
        let ask = |minutes: &str| {
            let mut slips = Slips::default();
            let asked = Asked { minutes: minutes.to_owned(), ..Asked::default() };
            (evening(&known, &asked, &mut slips), slips.of("minutes").to_owned())
        };
        assert_eq!(ask(""), ((Minutes(95), true), String::new()));
        assert_eq!(ask(" 30 "), ((Minutes(30), false), String::new()));
        for odd in ["0", "-5", "1441", "two", "1e3", "99999999999", "9\u{0}"] {
            assert!(ask(odd).1.contains("is no length of an evening"), "{odd}");
        }
    }
}
