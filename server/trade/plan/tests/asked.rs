//! Tonight, what if, and the reasons given.

use std::collections::BTreeSet;

use super::made::{access, after, evening, garage, job, needs};
use super::search::keeps_the_rules;
use crate::trade::plan::{
    Act, Effort, Evening, Garage, Minutes, Part, PartNeed, Tonight, WhatIf, plan, tonight, what_if,
};

fn rear_work() -> Garage {
    let mut oil = needs(job("axle oil", 40), &["rear"]);
    oil.parts.push(PartNeed { part: "washer".into(), words: "two crush washers".to_owned() });
    let jobs = vec![
        oil,
        needs(job("exhaust hanger", 30), &["rear"]),
        job("wiper", 10),
        after(job("road check", 20), &["axle oil"]),
    ];
    let mut garage =
        garage(jobs, vec![access("rear", 15, Some(5))], vec![evening(0, 120), evening(2, 120), evening(3, 120)]);
    garage.parts.push(Part { id: "washer".into(), arrival: crate::trade::plan::Arrival::OnTheShelf });
    garage
}

fn evening_of(minutes: u32, shelf: &[&str]) -> Tonight {
    Tonight {
        minutes: Minutes(minutes),
        helper: false,
        on_the_shelf: shelf.iter().map(|id| (*id).into()).collect(),
        open: BTreeSet::new(),
        wanted: Some("axle oil".into()),
    }
}

fn reasons(garage: &Garage) -> Vec<String> {
    let plan = plan(garage, Effort::QUICK).unwrap();
    keeps_the_rules(garage, &plan);
    let acts = plan.evenings.iter().flat_map(|evening| &evening.acts);
    acts.filter_map(|act| if let Act::Work { job, why, .. } = act { Some(format!("{job}: {why}")) } else { None })
        .collect()
}

#[test]
fn a_placement_says_which_access_it_shares() {
    let said = reasons(&rear_work());
    let shared = [
        "exhaust hanger: after the axle oil because both need the rear up",
        "axle oil: after the exhaust hanger because both need the rear up",
    ];
    assert!(said.iter().any(|line| shared.contains(&line.as_str())), "{said:#?}");
}

#[test]
fn a_placement_says_what_it_waited_for() {
    let mut late = rear_work();
    late.parts[0].arrival = crate::trade::plan::Arrival::Ordered(super::super::Spread::sure(2).unwrap());
    late.jobs.remove(1);
    let said = reasons(&late);
    assert!(
        said.contains(&"axle oil: not earlier, because two crush washers are expected on 2026-11-27".to_owned()),
        "{said:#?}"
    );
    assert!(said.contains(&"road check: after the axle oil because that comes first".to_owned()), "{said:#?}");
}

#[test]
fn tonight_names_the_two_crush_washers_that_are_missing() {
    let advice = tonight(&rear_work(), &evening_of(120, &[])).unwrap();
    assert_eq!(advice.in_the_way, ["two crush washers"]);
    assert_eq!(advice.say.split_once("In the way of ").unwrap().1, "the axle oil: two crush washers.");
    assert_eq!(advice.best.unwrap().jobs, ["exhaust hanger".into(), "wiper".into()]);
    let advice = tonight(&rear_work(), &evening_of(120, &["washer"])).unwrap();
    assert!(advice.in_the_way.is_empty());
    let best = advice.best.unwrap();
    assert!(best.jobs.contains(&"axle oil".into()) && best.jobs.contains(&"exhaust hanger".into()));
    assert_eq!((best.work, best.access), (Minutes(90), Minutes(30)));
    assert!(advice.next.is_some());
}

#[test]
fn tonight_heeds_its_minutes_who_is_there_and_what_is_open() {
    let short = tonight(&rear_work(), &evening_of(60, &["washer"])).unwrap();
    assert_eq!(short.in_the_way, ["time: it takes 1 h 10 min with its access, and tonight has 1 h"]);
    let open = Tonight { open: ["rear".into()].into(), ..evening_of(60, &["washer"]) };
    let advice = tonight(&rear_work(), &open).unwrap();
    assert_eq!(advice.in_the_way, Vec::<String>::new(), "with the rear up already it fits");
    let mut helped = rear_work();
    helped.jobs[0].helper = true;
    assert_eq!(tonight(&helped, &evening_of(120, &["washer"])).unwrap().in_the_way, ["a helper"]);
    let nothing = tonight(&rear_work(), &evening_of(0, &[])).unwrap();
    assert!(nothing.best.is_none() && nothing.say.starts_with("Nothing that is left fits"));
    let unknown = Tonight { wanted: Some("gearbox".into()), ..evening_of(60, &[]) };
    assert_eq!(tonight(&rear_work(), &unknown).unwrap().in_the_way, ["no job is called ‘gearbox’"]);
}

#[test]
fn moving_a_job_away_from_its_like_costs_the_access_again() {
    let garage = rear_work();
    let plan = plan(&garage, Effort::QUICK).unwrap();
    let WhatIf::Moved(moved) = what_if(&garage, &plan, &"road check".into(), 2, Effort::QUICK).unwrap() else {
        panic!()
    };
    assert_eq!((moved.time, moved.nights_apart), (0, 0));
    keeps_the_rules(&garage, &moved.plan);
    assert_eq!(moved.plan.evening_of(&"road check".into()).unwrap().evening, 2);
    let mut tight = garage.clone();
    tight.jobs[1] = after(tight.jobs[1].clone(), &["road check"]);
    tight.evenings = vec![evening(0, 140), evening(1, 100)];
    let plan = super::super::plan(&tight, Effort::QUICK).unwrap();
    let WhatIf::Moved(moved) = what_if(&tight, &plan, &"exhaust hanger".into(), 1, Effort::QUICK).unwrap() else {
        panic!()
    };
    assert_eq!((moved.time, moved.finish, moved.nights_apart), (5, 1, 1), "{}", moved.say);
    assert_eq!(
        moved.say,
        "Doing the exhaust hanger on 2026-11-26 means 5 minutes more work, a day later finished and one night more apart."
    );
}

#[test]
fn what_cannot_be_moved_says_why() {
    let mut garage = rear_work();
    garage.jobs[2].helper = true;
    garage.evenings.push(Evening { helper: true, ..evening(4, 120) });
    garage.parts[0].arrival = crate::trade::plan::Arrival::Ordered(super::super::Spread::sure(2).unwrap());
    let plan = plan(&garage, Effort::QUICK).unwrap();
    let ask = |job: &str, evening| match what_if(&garage, &plan, &job.into(), evening, Effort::QUICK).unwrap() {
        WhatIf::Cannot(why) => why,
        WhatIf::Moved(moved) => moved.say,
    };
    assert_eq!(ask("wiper", 0), "the wiper cannot be done on 2026-11-25: it takes a helper, and none is there.");
    assert_eq!(
        ask("axle oil", 0),
        "the axle oil cannot be done on 2026-11-25: two crush washers will not be there yet."
    );
    assert!(ask("road check", 0).contains("leaves") && ask("gearbox", 0).contains("No job is called"));
    assert!(ask("wiper", 77).contains("never entered"));
}
