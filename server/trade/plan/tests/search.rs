//! What the planner finds, against exhaustive search and against what must hold of every plan.

use std::collections::BTreeSet;

use super::brute;
use super::made::{Size, by_chance};
use crate::trade::plan::check::check;
use crate::trade::plan::{Act, Effort, Garage, Plan, bound, exact, plan};

/// Pieces of which every way to work them is tried.
const TRIED: usize = 4;

#[test]
fn a_plan_of_few_jobs_is_worth_what_trying_everything_finds() {
    let (mut planned, mut impossible) = (0, 0);
    for seed in 0..220 {
        let size =
            Size { jobs: 2 + seed as usize % 3, access: 1 + seed as usize % 2, evenings: 3, roomy: seed % 2 == 0 };
        let garage = by_chance(seed, &size);
        let problem = check(&garage).unwrap().problem;
        if problem.pieces.is_empty() || problem.pieces.len() > TRIED {
            continue;
        }
        let found = plan(&garage, Effort { moves: 300, partial_plans: 300_000 }).unwrap();
        match brute::best(&problem) {
            Some(best) => {
                assert_eq!(found.objective, best, "garage {seed}");
                assert!(found.proven, "garage {seed}");
                assert!(found.least_time <= best.time, "garage {seed}");
                planned += 1;
            }
            None => {
                assert!(found.objective.left_over.0 > 0, "garage {seed}");
                impossible += 1;
            }
        }
    }
    assert!(planned > 120 && impossible > 1, "{planned} and {impossible}");
}

#[test]
fn the_exact_search_alone_finds_what_trying_everything_finds() {
    for seed in 1_000..1_080 {
        let size = Size { jobs: 2 + seed as usize % 3, access: 1 + seed as usize % 2, evenings: 3, roomy: true };
        let problem = check(&by_chance(seed, &size)).unwrap().problem;
        if problem.pieces.is_empty() || problem.pieces.len() > TRIED {
            continue;
        }
        let (found, complete) = exact::better(&problem, None, 1_000_000);
        assert!(complete);
        let worth = found.map(|solution| solution.worth(&problem).expect("an exact plan keeps the rules"));
        assert_eq!(worth, brute::best(&problem), "garage {seed}");
    }
}

#[test]
fn every_plan_keeps_every_rule() {
    for seed in 0..60 {
        let size =
            Size { jobs: 4 + seed as usize % 20, access: 1 + seed as usize % 5, evenings: 24, roomy: seed % 3 > 0 };
        let garage = by_chance(seed, &size);
        let found = plan(&garage, Effort { moves: 1_500, partial_plans: 500 }).unwrap();
        keeps_the_rules(&garage, &found);
        assert!(found.objective.left_over.0 > 0 || found.least_time <= found.objective.time);
    }
}

#[test]
fn the_same_garage_gets_the_same_plan() {
    let garage = by_chance(7, &Size { jobs: 30, access: 4, evenings: 30, roomy: true });
    let effort = Effort { moves: 2_000, partial_plans: 2_000 };
    assert_eq!(plan(&garage, effort), plan(&garage, effort));
}

#[test]
fn the_least_time_is_never_more_than_the_best_plan_takes() {
    for seed in 300..360 {
        let size = Size { jobs: 4, access: 2, evenings: 4, roomy: true };
        let problem = check(&by_chance(seed, &size)).unwrap().problem;
        let (found, complete) = exact::better(&problem, None, 1_000_000);
        if let Some(worth) = found.and_then(|solution| solution.worth(&problem)).filter(|_| complete) {
            assert!(bound::least_time(&problem) <= worth.time.0, "garage {seed}");
        }
    }
}

/// Works a plan act by act, knowing nothing of how it was made.
pub fn keeps_the_rules(garage: &Garage, plan: &Plan) {
    let mut open: BTreeSet<_> =
        garage.access.iter().filter(|access| access.open).map(|access| access.id.clone()).collect();
    let mut done: Vec<usize> = garage.jobs.iter().map(|job| job.done).collect();
    let mut total = 0;
    for planned in &plan.evenings {
        let evening = garage.evenings[planned.evening];
        let mut used = 0;
        for act in &planned.acts {
            used += act.minutes().0;
            match act {
                Act::LookOver { access, .. } => assert!(open.contains(access)),
                Act::Open { access, .. } => assert!(open.insert(access.clone())),
                Act::Close { access, .. } => assert!(open.remove(access)),
                Act::Work { job, piece, why, .. } => {
                    let at = garage.jobs.iter().position(|known| known.id == *job).unwrap();
                    let job = &garage.jobs[at];
                    assert_eq!(done[at], *piece, "pieces come in their order");
                    done[at] += 1;
                    for before in &job.after {
                        let before = garage.jobs.iter().position(|known| known.id == *before).unwrap();
                        assert_eq!(done[before], garage.jobs[before].pieces.len(), "a predecessor is finished first");
                    }
                    assert!(job.needs.iter().all(|access| open.contains(access)), "what is needed is open");
                    assert!(!job.blocked_by.iter().any(|access| open.contains(access)), "what blocks is shut");
                    assert!(!job.helper || evening.helper, "a helper is there");
                    let late = job.parts.iter().any(|need| need.part.0 == "late");
                    assert!(!late || evening.day.0 >= garage.today.0 + 2, "parts are there");
                    assert!(!why.is_empty() && !why.ends_with('.'), "it is explained");
                }
            }
            for (one, other) in &garage.conflicts {
                assert!(!(open.contains(one) && open.contains(other)), "{one} and {other} are open together");
            }
        }
        assert!(used <= evening.minutes.0, "no evening is overfull");
        assert_eq!(used, planned.used.0);
        assert_eq!(open, planned.open.iter().cloned().collect(), "it sleeps as it says");
        let kept = |access: &&_| open.contains(access);
        let ids = garage.access.iter().filter(|access| kept(&&access.id));
        assert!(ids.into_iter().all(|access| access.to_keep.is_some()), "nothing sleeps open that must not");
        total += used;
    }
    assert_eq!(total, plan.objective.time.0);
    if plan.objective.left_over.0 == 0 && !plan.evenings.is_empty() {
        assert!(open.is_empty(), "the car is together in the end");
    }
}
