//! Why each piece stands where it does, in a sentence: the first reason of these that holds.
//!
//! It goes on where it was left; it shares access with what was worked just before; it uses what stayed open; it waited for a
//! part, for a helper, for a predecessor; or it had room here.

use super::check::expected;
use super::input::{AccessId, Garage, Job, JobId};
use super::solve::{Act, Plan};
use super::time::written;
use crate::trade::grammar::said_of;
use crate::trade::limits::Day;

pub(super) fn explain(garage: &Garage, plan: &mut Plan) {
    let mut kept: Vec<AccessId> =
        garage.access.iter().filter(|access| access.open).map(|access| access.id.clone()).collect();
    let mut earlier: Option<Day> = None;
    for at in 0..plan.evenings.len() {
        let mut worked: Vec<JobId> = Vec::new();
        let (day, evening) = (plan.evenings[at].day, plan.evenings[at].evening);
        for act in &mut plan.evenings[at].acts {
            let Act::Work { job, piece, why, .. } = act else { continue };
            let Some(known) = garage.jobs.iter().find(|known| known.id == *job) else { continue };
            let here = Here { garage, worked: &worked, kept: &kept, earlier, evening };
            *why = here.why(known, *piece);
            worked.push(job.clone());
        }
        kept.clone_from(&plan.evenings[at].open);
        earlier = Some(day);
    }
}

struct Here<'a> {
    garage: &'a Garage,
    /// Worked before it in this evening.
    worked: &'a [JobId],
    kept: &'a [AccessId],
    /// The evening worked before this one.
    earlier: Option<Day>,
    evening: usize,
}

impl Here<'_> {
    fn why(&self, job: &Job, piece: usize) -> String {
        let reasons = [
            self.goes_on(job, piece),
            self.shares(job),
            self.stayed_open(job),
            self.part(job),
            self.helper(job),
            self.follows(job),
        ];
        reasons.into_iter().flatten().next().unwrap_or_else(|| self.has_room(job))
    }

    fn job(&self, id: &JobId) -> Option<&Job> {
        self.garage.jobs.iter().find(|job| job.id == *id)
    }

    fn access(&self, id: &AccessId) -> &str {
        self.garage.access.iter().find(|access| access.id == *id).map_or("", |access| &access.title)
    }

    fn goes_on(&self, job: &Job, piece: usize) -> Option<String> {
        let here = self.worked.last() == Some(&job.id);
        let whole = if here { "straight on with the same job" } else { "it goes on where it was left" };
        (piece > 0).then(|| whole.to_owned())
    }

    fn shares(&self, job: &Job) -> Option<String> {
        let shared = |other: &JobId| {
            let other = self.job(other)?;
            let shared: Vec<&str> =
                job.needs.iter().filter(|access| other.needs.contains(access)).map(|id| self.access(id)).collect();
            (!shared.is_empty()).then(|| format!("after {} because both need {}", other.title, listed(&shared)))
        };
        self.worked.iter().rev().filter_map(shared).next()
    }

    fn stayed_open(&self, job: &Job) -> Option<String> {
        let kept: Vec<&str> =
            job.needs.iter().filter(|access| self.kept.contains(access)).map(|id| self.access(id)).collect();
        (!kept.is_empty()).then(|| match self.earlier {
            Some(day) => format!("because {} stayed so from {}", listed(&kept), written(day)),
            None => format!("because {} is so already", listed(&kept)),
        })
    }

    fn part(&self, job: &Job) -> Option<String> {
        let day = |part| expected(self.garage, part);
        let last = job.parts.iter().max_by_key(|need| day(&need.part))?;
        let arrives = day(&last.part)?;
        let waited = arrives > self.garage.today && self.earlier.is_none_or(|earlier| earlier < arrives);
        waited.then(|| format!("not earlier, because {} on {}", said_of(&last.words, "is expected"), written(arrives)))
    }

    fn helper(&self, job: &Job) -> Option<String> {
        let evenings = &self.garage.evenings;
        let here = evenings.get(self.evening)?;
        let alone =
            evenings.iter().any(|other| other.day >= self.garage.today && other.day < here.day && !other.helper);
        (job.helper && alone).then(|| "in this evening because it takes the helper".to_owned())
    }

    fn follows(&self, job: &Job) -> Option<String> {
        let here = |id: &&JobId| self.worked.contains(id);
        let before = job.after.iter().rev().find(here).or(job.after.last())?;
        self.job(before).map(|before| format!("after {} because that comes first", before.title))
    }

    fn has_room(&self, job: &Job) -> String {
        let needs: Vec<&str> = job.needs.iter().map(|id| self.access(id)).collect();
        match (self.worked.is_empty(), needs.is_empty()) {
            (true, false) => format!("first, with {} for it and for what follows", listed(&needs)),
            (true, true) => "first, because nothing has to be opened for it".to_owned(),
            (false, false) => format!("because the evening has room for it and for {}", listed(&needs)),
            (false, true) => "because the evening has room for it, and nothing has to be opened".to_owned(),
        }
    }
}

/// 'a', 'a and b', 'a, b and c'.
pub(super) fn listed(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}
