//! Garages made up for the tests, the same ones every time.

use std::collections::BTreeSet;

use crate::trade::limits::Day;
use crate::trade::plan::chance::Chance;
use crate::trade::plan::{
    Access, AccessId, Arrival, Evening, Garage, Job, JobId, Minutes, Part, PartId, PartNeed, Spread,
};

pub const TODAY: Day = Day(20_782);

pub fn job(id: &str, minutes: u32) -> Job {
    Job {
        id: id.into(),
        title: format!("the {id}"),
        pieces: vec![Spread::sure(minutes).unwrap()],
        done: 0,
        after: Vec::new(),
        parts: Vec::new(),
        tools: Vec::new(),
        helper: false,
        needs: Vec::new(),
        blocked_by: Vec::new(),
    }
}

pub fn access(id: &str, minutes: u32, keep: Option<u32>) -> Access {
    Access {
        id: id.into(),
        title: format!("the {id} up"),
        to_open: Minutes(minutes),
        to_close: Minutes(minutes),
        to_keep: keep.map(Minutes),
        open: false,
    }
}

pub fn evening(in_days: i32, minutes: u32) -> Evening {
    Evening { day: Day(TODAY.0 + in_days), minutes: Minutes(minutes), helper: false }
}

pub fn garage(jobs: Vec<Job>, access: Vec<Access>, evenings: Vec<Evening>) -> Garage {
    Garage { jobs, access, evenings, ..Garage::empty(TODAY) }
}

pub fn needs(mut job: Job, access: &[&str]) -> Job {
    job.needs = access.iter().map(|id| AccessId::from(*id)).collect();
    job
}

pub fn after(mut job: Job, before: &[&str]) -> Job {
    job.after = before.iter().map(|id| JobId::from(*id)).collect();
    job
}

/// How large a made-up garage is.
pub struct Size {
    pub jobs: usize,
    pub access: usize,
    pub evenings: usize,
    /// Whether pieces are short against the evenings.
    pub roomy: bool,
}

/// A garage by chance, with everything in it that a plan has to heed.
pub fn by_chance(seed: u64, size: &Size) -> Garage {
    let mut chance = Chance::new(seed);
    let mut some = |most: usize| chance.below(most);
    let open: Vec<u32> = (0..size.access).map(|_| 5 + 5 * some(4) as u32).collect();
    let access = (0..size.access).map(|at| {
        let keep = if some(4) == 0 { None } else { Some(Minutes(some(12) as u32)) };
        Access {
            to_close: Minutes(5 + 5 * some(3) as u32),
            to_keep: keep,
            open: some(6) == 0,
            ..self::access(&format!("a{at}"), open[at], None)
        }
    });
    let mut garage = Garage { access: access.collect(), ..Garage::empty(TODAY) };
    if size.access > 1 && some(2) == 0 && !(garage.access[0].open && garage.access[1].open) {
        garage.conflicts.push(("a0".into(), "a1".into()));
    }
    garage.parts.push(Part { id: PartId::from("late"), arrival: Arrival::Ordered(Spread::new(1, 2, 5).unwrap()) });
    garage.tools = BTreeSet::from(["13 mm socket".to_owned()]);
    for at in 0..size.jobs {
        let mut job = job(&format!("j{at}"), 0);
        let pieces = 1 + usize::from(some(4) == 0);
        let longest = if size.roomy { 6 } else { 12 };
        job.pieces = (0..pieces).map(|_| Spread::sure(10 + 5 * some(longest) as u32).unwrap()).collect();
        job.done = usize::from(pieces == 2 && some(5) == 0);
        if size.access > 0 && some(4) > 0 {
            job.needs.push(format!("a{}", some(size.access)).as_str().into());
        }
        let other = AccessId::from(format!("a{}", some(size.access.max(1))).as_str());
        let clash = |one: &str, two: &AccessId| {
            job.needs.contains(&one.into()) && two.0 != one && ["a0", "a1"].contains(&two.0.as_str())
        };
        if size.access > 0 && !job.needs.contains(&other) && !clash("a0", &other) && !clash("a1", &other) {
            match some(4) {
                0 => job.needs.push(other),
                1 => job.blocked_by.push(other),
                _ => {}
            }
        }
        if at > 0 && some(3) == 0 {
            job.after.push(format!("j{}", some(at)).as_str().into());
        }
        if some(5) == 0 {
            job.parts.push(PartNeed { part: "late".into(), words: "two crush washers".to_owned() });
        }
        job.helper = some(6) == 0;
        job.tools.push("13 mm socket".to_owned());
        garage.jobs.push(job);
    }
    let mut day = 0;
    for _ in 0..size.evenings {
        day += some(3) as i32;
        garage.evenings.push(Evening { helper: some(2) == 0, ..evening(day, 80 + 20 * some(5) as u32) });
    }
    garage
}
