//! What is said of input that cannot be planned.

use super::made::{TODAY, access, after, evening, garage, job, needs};
use crate::trade::limits::Day;
use crate::trade::plan::{Arrival, Effort, Garage, Minutes, Part, PartNeed, Plan, Spread, plan};

fn said(garage: &Garage) -> String {
    match plan(garage, Effort::QUICK) {
        Ok(plan) => plan.notes.iter().map(|note| note.to_string()).collect::<Vec<_>>().join("\n"),
        Err(faults) => faults.iter().map(|fault| fault.to_string()).collect::<Vec<_>>().join("\n"),
    }
}

fn planned(garage: &Garage) -> Plan {
    plan(garage, Effort::QUICK).unwrap()
}

#[test]
fn a_ring_of_predecessors_names_all_its_members_and_nobody_else() {
    let ring = vec![
        after(job("a", 10), &["c"]),
        after(job("b", 10), &["a"]),
        after(job("c", 10), &["b"]),
        after(job("d", 10), &["c"]),
    ];
    let said = said(&garage(ring, vec![], vec![evening(0, 60)]));
    assert!(
        said.contains("in a ring") && ["the a", "the b", "the c"].iter().all(|title| said.contains(title)),
        "{said}"
    );
    assert!(!said.contains("the d"), "{said}");
    let alone = super::input::said(&garage(vec![after(job("a", 10), &["a"])], vec![], vec![evening(0, 60)]));
    assert!(alone.contains("in a ring"), "{alone}");
}

#[test]
fn no_evenings_is_said_and_so_are_evenings_that_are_past() {
    assert!(
        said(&garage(vec![job("a", 10)], vec![], vec![])).contains("There is no evening to work in from 2026-11-25 on")
    );
    let past = garage(vec![job("a", 10)], vec![], vec![evening(-1, 60), evening(0, 60)]);
    assert!(said(&past).contains("One evening lies in the past"));
    assert_eq!(planned(&past).evenings[0].evening, 1);
}

#[test]
fn a_job_longer_than_any_evening_is_told_to_say_where_it_may_be_left() {
    let mut long = job("gearbox", 200);
    let with = |job| garage(vec![job], vec![access("rear", 10, Some(5))], vec![evening(0, 130), evening(1, 130)]);
    let text = said(&with(long.clone()));
    assert!(
        text.contains("‘the gearbox’ is not in the plan") && text.contains("where in it the car may be left"),
        "{text}"
    );
    long.pieces = vec![Spread::sure(100).unwrap(); 2];
    let plan = planned(&with(long));
    assert_eq!(plan.evenings.len(), 2);
    assert_eq!(plan.evenings[0].half_done, ["gearbox".into()]);
    assert_eq!(plan.objective.nights_apart, 1);
}

#[test]
fn a_part_that_nobody_has_looked_for_keeps_its_job_and_what_follows_out() {
    let mut plug = job("drain plug", 20);
    plug.parts.push(PartNeed { part: "washer".into(), words: "two crush washers".to_owned() });
    let mut garage =
        garage(vec![plug, after(job("oil", 10), &["drain plug"]), job("wiper", 5)], vec![], vec![evening(3, 60)]);
    let text = said(&garage);
    assert!(text.contains("not known when two crush washers will be there"), "{text}");
    assert!(text.contains("‘the oil’ is not in the plan: it comes after ‘the drain plug’"), "{text}");
    assert_eq!(planned(&garage).evenings[0].acts.len(), 1);
    garage.parts.push(Part { id: "washer".into(), arrival: Arrival::ToOrder(Spread::new(2, 3, 9).unwrap()) });
    assert_eq!(said(&garage), "");
    garage.parts[0].arrival = Arrival::Ordered(Spread::new(2, 4, 9).unwrap());
    assert!(said(&garage).contains("two crush washers are expected on 2026-11-29, after the last evening"));
}

#[test]
fn a_tool_or_a_helper_that_is_not_there_is_named() {
    let mut bearing = job("bearing", 20);
    bearing.tools.push("32 mm socket".to_owned());
    let mut pedal = job("pedal", 20);
    pedal.helper = true;
    let text = said(&garage(vec![bearing, pedal], vec![], vec![evening(0, 60)]));
    assert!(
        text.contains("the tool ‘32 mm socket’ is not in the chest") && text.contains("no evening in time has one"),
        "{text}"
    );
}

#[test]
fn a_wanted_date_that_is_past_is_said() {
    let garage = Garage { wanted: Some(Day(TODAY.0 - 3)), ..garage(vec![job("a", 10)], vec![], vec![evening(0, 60)]) };
    assert!(said(&garage).contains("The wanted date 2026-11-22 is past"));
}

#[test]
fn contradictions_and_unknown_names_are_refused_by_name() {
    let evenings = || vec![evening(0, 60)];
    let mut both = needs(job("a", 10), &["front", "rear"]);
    let doors = || vec![access("front", 5, None), access("rear", 5, None)];
    let conflicts = vec![("front".into(), "rear".into())];
    let clash = Garage { conflicts: conflicts.clone(), ..garage(vec![both.clone()], doors(), evenings()) };
    assert!(said(&clash).contains("needs ‘the front up’ and cannot be done with ‘the rear up’"), "{}", said(&clash));
    both.blocked_by.push("rear".into());
    assert!(said(&garage(vec![both], doors(), evenings())).contains("cannot be done with ‘the rear up’"));
    let mut open = Garage { conflicts, ..garage(vec![job("a", 10)], doors(), evenings()) };
    open.access.iter_mut().for_each(|access| access.open = true);
    assert!(said(&open).contains("are both open now"));
    assert!(said(&garage(vec![after(job("a", 10), &["b"])], vec![], evenings())).contains("‘b’, which is on no list"));
    assert!(
        said(&garage(vec![needs(job("a", 10), &["x"])], vec![], evenings())).contains("‘x’ is asked for as access")
    );
    assert!(said(&garage(vec![job("a", 10), job("a", 10)], vec![], evenings())).contains("‘a’ is listed twice"));
}

#[test]
fn nothing_absurd_makes_it_fall_over() {
    let far = garage(vec![job("a", 10)], vec![], vec![evening(0, 60), super::made::evening(i32::MAX - 30_000, 60)]);
    assert!(said(&far).contains("outside every calendar"));
    let mut endless = access("rear", 0, Some(u32::MAX));
    endless.to_open = Minutes(u32::MAX);
    let text = said(&garage(vec![needs(job("a", 10), &["rear"])], vec![endless], vec![evening(0, u32::MAX)]));
    assert_eq!(text, "", "an evening without an end holds it");
    let mut empty = job("a", 10);
    empty.pieces.clear();
    assert!(said(&garage(vec![empty], vec![], vec![evening(0, 60)])).contains("give it three figures"));
    let mut over = job("a", 10);
    over.done = 2;
    assert!(said(&garage(vec![over], vec![], vec![evening(0, 60)])).contains("2 pieces done and only 1 in all"));
    assert!(said(&garage(vec![], vec![], vec![evening(0, 0)])).contains("Nothing is left to plan"));
    let many = (0..70).map(|at| access(&format!("a{at}"), 1, None)).collect();
    assert!(said(&garage(vec![], many, vec![evening(0, 60)])).contains("more than the 64"));
}

#[test]
fn what_finds_no_room_is_left_out_whole_and_said() {
    let jobs = (0..5).map(|at| job(&format!("j{at}"), 50)).collect();
    let plan = planned(&garage(jobs, vec![], vec![evening(0, 60), evening(1, 110)]));
    assert_eq!(plan.objective.left_over, Minutes(100));
    assert_eq!(plan.notes.iter().filter(|note| note.to_string().contains("the evenings are full")).count(), 2);
}

#[test]
fn work_that_is_done_is_not_planned_again_and_half_done_goes_on() {
    let mut brakes = job("brakes", 40);
    brakes.pieces.push(Spread::sure(30).unwrap());
    brakes.done = 1;
    let mut oil = job("oil", 40);
    oil.done = 1;
    let plan = planned(&garage(vec![after(brakes, &["oil"]), oil], vec![], vec![evening(2, 60)]));
    let [act] = &plan.evenings[0].acts[..] else { panic!("{plan:#?}") };
    assert_eq!(act.minutes(), Minutes(30));
    assert_eq!(plan.objective.nights_apart, 2, "it was apart before");
}

#[test]
fn an_evening_of_hundreds_of_tiny_jobs_is_planned_too() {
    let mut jobs: Vec<_> = (0..400).map(|at| job(&format!("j{at}"), 1)).collect();
    for (at, job) in jobs.iter_mut().enumerate().take(200).skip(1) {
        job.after.push(format!("j{}", at - 1).as_str().into());
    }
    jobs[0].blocked_by.push("rear".into());
    jobs[300] = needs(jobs[300].clone(), &["rear"]);
    let effort = Effort { moves: 0, partial_plans: 0 };
    let garage = garage(jobs, vec![access("rear", 5, None)], vec![evening(0, 2_000), evening(1, 60)]);
    assert_eq!(plan(&garage, effort).unwrap().objective.time, Minutes(410));
    let mut stuck = garage;
    stuck.jobs[0].tools.push("32 mm socket".to_owned());
    assert_eq!(plan(&stuck, effort).unwrap().notes.len(), 200, "a chain waits to its end");
}
