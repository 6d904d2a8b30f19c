//! Chances of dates, against closed forms and against a sum over a fine grid.
//!
//! The distribution of one triangular figure, and of a sum of uniform ones (Irwin 1927, Hall 1927), are textbook formulas: a
//! symmetric triangular figure is the sum of two uniform ones, so two of them are four. Many of them are nearly normal.

use super::made::{TODAY, evening, garage, job};
use crate::trade::limits::Day;
use crate::trade::plan::{
    Arrival, Dates, Effort, Garage, Minutes, Part, PartNeed, Spread, dates, order_by, plan, slipped,
};

const RUNS: u32 = 20_000;
/// Three and a half standard errors of a share near one half.
const NEAR: f64 = 3.5 * 0.5 / 141.4;

/// Short evenings, one a day, in which the figure that is asked for is read off; and a last one that holds all.
fn short_evenings(spreads: &[(u32, u32, u32)], minutes: u32, days: i32) -> Garage {
    let named = |(at, (low, likely, high)): (usize, &(u32, u32, u32))| {
        let mut job = job(&format!("j{at}"), 0);
        job.pieces = vec![Spread::new(*low, *likely, *high).unwrap()];
        job
    };
    let short = (0..days).map(|day| evening(day, minutes));
    garage(spreads.iter().enumerate().map(named).collect(), vec![], short.chain([evening(days, 5_000)]).collect())
}

/// Everything is planned for the first evening on which it can be begun, as if that one held it: so all that follow are open to it.
fn run(garage: &Garage) -> Dates {
    let mut long = garage.clone();
    long.evenings.iter_mut().for_each(|evening| evening.minutes = Minutes(5_000));
    dates(garage, &plan(&long, Effort::QUICK).unwrap(), 1, RUNS).unwrap()
}

#[test]
fn evenings_that_the_plan_leaves_empty_are_for_what_is_late() {
    // The second of two jobs fits no evening before the last; the first two evenings would hold it if it ran ahead.
    let mut garage = short_evenings(&[(20, 20, 20), (30, 30, 30)], 25, 3);
    let ahead = run(&garage);
    assert_eq!(ahead.bins, [(Day(TODAY.0 + 1), RUNS)], "planned for the first evening, it goes on in the second");
    garage.evenings[1].minutes = Minutes(24);
    let kept = plan(&garage, Effort::QUICK).unwrap();
    assert_eq!(kept.evenings.last().map(|evening| evening.evening), Some(3));
    assert_eq!(dates(&garage, &kept, 1, RUNS).unwrap().bins, [(Day(TODAY.0 + 3), RUNS)]);
}

fn triangular(x: f64, low: f64, likely: f64, high: f64) -> f64 {
    match x {
        x if x <= low => 0.0,
        x if x >= high => 1.0,
        x if x <= likely => (x - low).powi(2) / ((high - low) * (likely - low)),
        x => 1.0 - (high - x).powi(2) / ((high - low) * (high - likely)),
    }
}

#[test]
fn one_job_ends_by_the_triangular_distribution() {
    let dates = run(&short_evenings(&[(10, 40, 100)], 8, 12));
    for day in 0..12 {
        let chance = dates.chance_by(Day(TODAY.0 + day));
        let exact = triangular(f64::from(day + 1) * 8.0, 10.0, 40.0, 100.0);
        assert!((chance - exact).abs() < NEAR, "day {day}: {chance} for {exact}");
    }
    assert_eq!(dates.beyond, 0);
    assert_eq!(dates.bins.iter().map(|(_, runs)| runs).sum::<u32>(), RUNS);
}

#[test]
fn two_symmetric_jobs_end_by_the_sum_of_four_uniform_figures() {
    let irwin_hall = |x: f64| {
        let term = |k: i32| [1.0, -4.0, 6.0, -4.0, 1.0][k as usize] * (x - f64::from(k)).max(0.0).powi(4);
        (0..=4).map(term).sum::<f64>() / 24.0
    };
    let dates = run(&short_evenings(&[(0, 50, 100); 2], 10, 19));
    for day in 0..19 {
        let chance = dates.chance_by(Day(TODAY.0 + day));
        let exact = irwin_hall(f64::from(day + 1) * 10.0 / 50.0);
        assert!((chance - exact).abs() < NEAR, "day {day}: {chance} for {exact}");
    }
}

#[test]
fn many_jobs_end_nearly_by_the_normal_distribution() {
    // Mean 12 × 50 minutes, variance 12 × 100² ÷ 24. The normal distribution at whole deviations, from any table.
    let deviation = (12.0 * 100.0_f64.powi(2) / 24.0).sqrt();
    for (deviations, share) in [(-2.0, 0.0228), (-1.0, 0.1587), (0.0, 0.5), (1.0, 0.8413), (2.0, 0.9772)] {
        let first = (600.0 + deviations * deviation).round() as u32;
        let chance = run(&short_evenings(&[(0, 50, 100); 12], first, 1)).chance_by(TODAY);
        assert!((chance - share).abs() < NEAR + 0.005, "{deviations}: {chance} for {share}");
    }
}

#[test]
fn lopsided_jobs_agree_with_a_sum_over_a_fine_grid() {
    let (one, other) = ((10, 20, 90), (5, 60, 70));
    let cells = |(low, likely, high): (u32, u32, u32)| {
        let (low, likely, high) = (f64::from(low), f64::from(likely), f64::from(high));
        let cell = move |at: i32| {
            let at = f64::from(at) / 4.0;
            (at + 0.125, triangular(at + 0.25, low, likely, high) - triangular(at, low, likely, high))
        };
        (0..400).map(cell).collect::<Vec<_>>()
    };
    let (ones, others) = (cells(one), cells(other));
    let dates = run(&short_evenings(&[one, other], 20, 8));
    for day in 0..8 {
        let until = f64::from(day + 1) * 20.0;
        let pairs = ones.iter().flat_map(|one| others.iter().map(move |other| (one, other)));
        let exact: f64 =
            pairs.filter(|(one, other)| one.0 + other.0 <= until).map(|(one, other)| one.1 * other.1).sum();
        let chance = dates.chance_by(Day(TODAY.0 + day));
        assert!((chance - exact).abs() < NEAR + 0.003, "day {day}: {chance} for {exact}");
    }
}

#[test]
fn a_delivery_moves_the_end_by_its_own_distribution() {
    let mut seal = job("seal", 10);
    seal.parts.push(PartNeed { part: "seal".into(), words: "one seal".to_owned() });
    let mut garage = garage(vec![seal], vec![], (0..8).map(|day| evening(day, 30)).collect());
    garage.parts.push(Part { id: "seal".into(), arrival: Arrival::Ordered(Spread::new(1, 2, 6).unwrap()) });
    let dates = run(&garage);
    for day in 0..8 {
        let chance = dates.chance_by(Day(TODAY.0 + day));
        assert!((chance - triangular(f64::from(day), 1.0, 2.0, 6.0)).abs() < NEAR, "day {day}: {chance}");
    }
}

#[test]
fn quantiles_bins_and_the_wanted_date_say_the_same() {
    let mut garage = short_evenings(&[(10, 40, 100)], 8, 12);
    garage.wanted = Some(Day(TODAY.0 + 6));
    let dates = run(&garage);
    let middle = dates.quantile(0.5).unwrap();
    assert!(dates.chance_by(middle) >= 0.5 && dates.chance_by(Day(middle.0 - 1)) < 0.5);
    assert_eq!(dates.chance_of_wanted(), Some(dates.chance_by(Day(TODAY.0 + 6))));
    let said = dates.sentence();
    assert!(
        said.starts_with(
            "Finished by 2026-11-30 as likely as not, and by 2026-12-04 in nine cases of ten; by 2026-12-01 in 6"
        ),
        "{said}"
    );
    assert_eq!(dates, run(&garage), "one seed, one answer");
}

#[test]
fn a_part_is_ordered_early_enough_for_its_evening() {
    let mut seal = job("seal", 10);
    seal.parts.push(PartNeed { part: "seal".into(), words: "one seal".to_owned() });
    let mut garage = garage(vec![seal], vec![], vec![evening(0, 30), evening(10, 30)]);
    garage.parts.push(Part { id: "seal".into(), arrival: Arrival::ToOrder(Spread::new(2, 3, 7).unwrap()) });
    let by = order_by(&garage, &plan(&garage, Effort::QUICK).unwrap());
    assert_eq!((by[0].needed.0, by[0].likely.0, by[0].safe.0), (TODAY.0 + 10, TODAY.0 + 7, TODAY.0 + 3));
}

#[test]
fn a_lost_evening_moves_the_end_as_far_as_its_work() {
    let jobs = (0..3).map(|at| job(&format!("j{at}"), 30)).collect();
    let mut garage = garage(jobs, vec![], (0..6).map(|at| evening(at * 3, 30)).collect());
    garage.wanted = Some(Day(TODAY.0 + 6));
    let plan = plan(&garage, Effort::QUICK).unwrap();
    let slip = slipped(&garage, &plan, 1, 1, 100).unwrap().unwrap();
    assert_eq!(slip.days(), Some(3));
    let said = slip.sentence();
    assert_eq!(
        said,
        "Losing the evening of 2026-11-28 moves the likely end by 3 days, and takes the chance of the wanted date from 100 to 0 of a hundred."
    );
    assert_eq!(slipped(&garage, &plan, 5, 1, 100).unwrap().unwrap().days(), Some(0));
    assert_eq!(slipped(&garage, &plan, 99, 1, 100).unwrap(), None);
}
