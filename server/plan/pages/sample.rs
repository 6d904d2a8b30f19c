//! A garage made up for the tests of the plan's pages.

use super::made::{EveningFacts, Known, Made};
use crate::clock::Moment;
use crate::trade::limits::Day;
use crate::trade::plan::{Access, Arrival, Effort, Evening, Garage, Job, Minutes, Part, PartNeed, Spread};

/// 2026-11-25
pub const TODAY: Day = Day(20_782);

pub fn job(id: &str, pieces: &[u32], needs: &[&str]) -> Job {
    Job {
        id: id.into(),
        title: format!("the {id}"),
        pieces: pieces.iter().map(|minutes| Spread::new(minutes / 2, *minutes, minutes * 2).unwrap()).collect(),
        done: 0,
        after: Vec::new(),
        parts: Vec::new(),
        tools: Vec::new(),
        helper: false,
        needs: needs.iter().map(|id| (*id).into()).collect(),
        blocked_by: Vec::new(),
    }
}

pub fn evening(in_days: i32, minutes: u32) -> Evening {
    Evening { day: Day(TODAY.0 + in_days), minutes: Minutes(minutes), helper: false }
}

pub fn known(jobs: Vec<Job>, evenings: Vec<Evening>) -> Known {
    let rear = Access {
        id: "rear".into(),
        title: "the rear up".to_owned(),
        to_open: Minutes(15),
        to_close: Minutes(10),
        to_keep: Some(Minutes(5)),
        open: false,
    };
    let facts = |at: usize| EveningFacts { id: format!("e{at}"), starts: 19 * 60, ..EveningFacts::default() };
    Known {
        evenings: (0..evenings.len()).map(facts).collect(),
        garage: Garage { jobs, access: vec![rear], evenings, ..Garage::empty(TODAY) },
        pins: Vec::new(),
        over_pins: Vec::new(),
        left_out: Vec::new(),
        guesses: Vec::new(),
        correction: String::new(),
    }
}

/// Two jobs that share the rear, one that needs nothing, and a part to order.
pub fn made() -> Made {
    let mut hanger = job("exhaust hanger", &[30], &["rear"]);
    hanger.parts.push(PartNeed { part: "rubber".into(), words: "one rubber ring".to_owned() });
    let jobs = vec![job("axle oil", &[40], &["rear"]), hanger, job("wiper", &[60], &[])];
    let mut known = known(jobs, vec![evening(1, 90), evening(8, 120)]);
    let arrival = Arrival::ToOrder(Spread::new(2, 4, 6).unwrap());
    known.garage.parts.push(Part { id: "rubber".into(), arrival });
    known.garage.wanted = Some(Day(TODAY.0 + 9));
    Made::now(Moment(1_795_629_600_000), known, Effort::QUICK).unwrap()
}

/// One long job that stays open for a night.
pub fn kept_open() -> Made {
    let known = known(vec![job("axle", &[60, 70], &["rear"])], vec![evening(1, 90), evening(2, 120)]);
    Made::now(Moment(1_795_629_600_000), known, Effort::QUICK).unwrap()
}
