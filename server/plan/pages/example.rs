//! An invented garage in which everything occurs that the timeline draws: for the page of components.

use super::made::{EveningFacts, Known, Made};
use super::timeline::{Night, nights};
use crate::clock::Moment;
use crate::trade::limits::Day;
use crate::trade::plan::{Access, Effort, Evening, Garage, Job, JobId, Minutes, Spread};

/// 2026-11-25: the page looks the same on every day.
const TODAY: Day = Day(20_782);

/// A long job over two evenings with the rear up meanwhile, and two that share it.
pub fn evenings() -> Vec<Night> {
    let jobs = vec![
        job("a", "‘Renew the rear axle oil’", &[70], &["rear"]),
        job("b", "‘Rear shoes and cylinders’", &[60, 75], &["rear", "wheels"]),
        job("c", "‘Wiper linkage’", &[30], &[]),
    ];
    let evening = |days: i32| Evening { day: Day(TODAY.0 + days), minutes: Minutes(180), helper: days == 3 };
    let facts = |id: &str| EveningFacts { id: id.to_owned(), starts: 19 * 60, ..EveningFacts::default() };
    let known = Known {
        garage: Garage {
            jobs,
            access: vec![access("rear", "the rear end up", 20), access("wheels", "the rear wheels off", 10)],
            evenings: vec![evening(1), evening(3)],
            ..Garage::empty(TODAY)
        },
        evenings: vec![facts("one"), facts("two")],
        pins: Vec::new(),
        over_pins: Vec::new(),
        left_out: Vec::new(),
        guesses: Vec::new(),
        correction: String::new(),
    };
    // Nothing in it is at fault; without a plan the page would only show no evenings.
    let made = Made::now(Moment(0), known, Effort::QUICK);
    let mut shown = made.map_or_else(|_| Vec::new(), |made| nights(&made.known, &made.plan));
    // There are no cards behind them to link to.
    shown.iter_mut().flat_map(|night| &mut night.deeds).for_each(|deed| deed.job.clear());
    shown
}

fn job(id: &str, title: &str, pieces: &[u32], needs: &[&str]) -> Job {
    Job {
        id: JobId::from(id),
        title: title.to_owned(),
        pieces: pieces.iter().filter_map(|minutes| Spread::sure(*minutes).ok()).collect(),
        done: 0,
        after: Vec::new(),
        parts: Vec::new(),
        tools: Vec::new(),
        helper: false,
        needs: needs.iter().map(|id| (*id).into()).collect(),
        blocked_by: Vec::new(),
    }
}

fn access(id: &str, title: &str, minutes: u32) -> Access {
    Access {
        id: id.into(),
        title: title.to_owned(),
        to_open: Minutes(minutes),
        to_close: Minutes(minutes),
        to_keep: Some(Minutes(5)),
        open: false,
    }
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_page_of_components_has_evenings_to_show() {
        let shown = super::evenings();
        assert_eq!(shown.len(), 2);
        assert!(shown.iter().any(|night| night.rails.iter().any(|rail| rail.state == "from")), "{shown:#?}");
    }
}
