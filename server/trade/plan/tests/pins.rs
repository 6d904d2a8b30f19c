//! Jobs kept to an evening.

use super::made::{evening, garage, job};
use super::search::keeps_the_rules;
use crate::trade::plan::{Effort, Evening, Minutes, Pin, WhatIf, plan_with, what_if_with};

fn pin(job: &str, evening: usize) -> Pin {
    Pin { job: job.into(), evening }
}

#[test]
fn a_pinned_job_stays_in_its_evening_and_the_rest_is_planned_around_it() {
    let garage = garage(vec![job("wiper", 60), job("lamp", 60)], vec![], vec![evening(0, 60), evening(1, 60)]);
    for (first, second) in [("wiper", "lamp"), ("lamp", "wiper")] {
        let made = plan_with(&garage, &[pin(first, 0)], Effort::QUICK).unwrap();
        keeps_the_rules(&garage, &made.plan);
        assert!(made.broken.is_empty());
        assert_eq!(made.plan.evening_of(&first.into()).unwrap().evening, 0);
        assert_eq!(made.plan.evening_of(&second.into()).unwrap().evening, 1);
    }
}

#[test]
fn a_pin_that_cannot_be_kept_gives_way_and_says_why() {
    let mut held = garage(vec![job("wiper", 60), job("lamp", 60)], vec![], vec![evening(-1, 60), evening(1, 120)]);
    held.jobs[1].helper = true;
    held.evenings.push(Evening { helper: true, minutes: Minutes(60), ..evening(2, 60) });
    let made = plan_with(&held, &[pin("wiper", 0), pin("lamp", 1), pin("door", 1), pin("wiper", 9)], Effort::QUICK);
    let made = made.unwrap();
    keeps_the_rules(&held, &made.plan);
    let why: Vec<&str> = made.broken.iter().map(|(_, why)| why.as_str()).collect();
    assert_eq!(why.len(), 4, "{why:#?}");
    assert!(why[0].contains("past") && why[1].contains("takes a helper") && why[2].contains("no longer in the plan"));
    assert_eq!(made.plan.objective.left_over, Minutes(0));
}

#[test]
fn two_pins_that_do_not_fit_together_push_no_work_out() {
    let garage = garage(vec![job("wiper", 60), job("lamp", 60)], vec![], vec![evening(0, 60), evening(1, 60)]);
    let made = plan_with(&garage, &[pin("wiper", 0), pin("lamp", 0)], Effort::QUICK).unwrap();
    keeps_the_rules(&garage, &made.plan);
    assert_eq!(made.plan.objective.left_over, Minutes(0));
    assert_eq!(made.broken, [(pin("lamp", 0), "It would leave 1 h of work without an evening.".to_owned())]);
}

#[test]
fn what_is_asked_of_a_move_heeds_the_other_pins() {
    let garage = garage(vec![job("wiper", 60), job("lamp", 60)], vec![], vec![evening(0, 60), evening(1, 60)]);
    let made = plan_with(&garage, &[pin("wiper", 0)], Effort::QUICK).unwrap();
    let asked = what_if_with(&garage, &[pin("wiper", 0)], &made.plan, &"lamp".into(), 0, Effort::QUICK).unwrap();
    assert!(matches!(asked, WhatIf::Cannot(_)), "{asked:?}");
}
