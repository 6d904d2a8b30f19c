//! By when it is ready, by when each part must be ordered, and what a lost evening does.

use super::histogram::{self, Histogram};
use super::made::{Known, Made};
use super::standing::Standing;
use super::tell;
use super::told::{self, KeptPlan};
use super::views::{SEED, chances, runs};
use super::words;
use crate::ids::CarId;
use crate::plan::model::Kept;
use crate::trade::calendar;
use crate::trade::limits::Day;
use crate::trade::plan::{Arrival, Dates, OrderBy, PartId, order_by, slipped};
use crate::web::page::{Page, Place};
use crate::web::words::{capital, day_and_time};
use askama::Template;
use std::collections::HashMap;

/// Evenings whose loss is worked out.
const MOST_SLIPS: usize = 24;

#[derive(Template)]
#[template(path = "plan/dates.html")]
pub struct DatesPage {
    pub page: Page,
    pub car: CarId,
    /// When the plan was made, and that it is older than the facts, if so.
    pub age: String,
    pub stale: bool,
    pub when: String,
    pub without: String,
    /// How sure, and by which day.
    pub quantiles: Vec<(String, String)>,
    pub histogram: Option<Histogram>,
    pub orders: Vec<OrderRow>,
    pub guesses: Vec<String>,
    pub slips: Vec<String>,
    pub more_slips: usize,
    pub runs: u32,
}

pub struct OrderRow {
    pub words: String,
    /// What waits for it, and when.
    pub needed: String,
    pub safe: String,
    pub likely: String,
    /// Neither day can be met any more, or only one.
    pub late: &'static str,
}

impl DatesPage {
    pub fn of(page: Page, standing: &Standing) -> DatesPage {
        let page = page.at_desk(standing.car.id, &standing.car.name, Place::Plan);
        let found = standing.made.as_ref().and_then(|made| Some((made, chances(made)?)));
        let Some((made, dates)) = found else { return DatesPage::empty(page, standing) };
        let today = made.known.today();
        let waits = tell::notes(made, standing.car.id).0.len();
        let evenings: Vec<usize> = made
            .plan
            .evenings
            .iter()
            .filter(|evening| evening.day >= standing.known.today())
            .map(|evening| evening.evening)
            .collect();
        let at = day_and_time(made.at);
        DatesPage {
            age: format!("By the plan made on {at}."),
            stale: !standing.stale.is_empty(),
            when: tell::when(&dates, &made.known),
            without: tell::without(waits),
            quantiles: quantiles(&dates, today),
            histogram: histogram::drawn(&dates, made.known.garage.wanted, today),
            orders: orders(made, standing.known.today()),
            guesses: made.known.guesses.clone(),
            slips: evenings.iter().take(MOST_SLIPS).filter_map(|at| slip(made, *at)).collect(),
            more_slips: evenings.len().saturating_sub(MOST_SLIPS),
            runs: runs(made),
            ..DatesPage::empty(page, standing)
        }
    }

    fn empty(page: Page, standing: &Standing) -> DatesPage {
        DatesPage {
            page,
            car: standing.car.id,
            age: String::new(),
            stale: false,
            when: String::new(),
            without: String::new(),
            quantiles: Vec::new(),
            histogram: None,
            orders: Vec::new(),
            guesses: Vec::new(),
            slips: Vec::new(),
            more_slips: 0,
            runs: 0,
        }
    }
}

fn quantiles(dates: &Dates, today: Day) -> Vec<(String, String)> {
    let by = |share| {
        dates
            .quantile(share)
            .map_or("not with these evenings".to_owned(), |day| format!("by {}", words::short(day, today)))
    };
    vec![
        ("As likely as not, 50 of 100".to_owned(), by(0.5)),
        ("Likely, 80 of 100".to_owned(), by(0.8)),
        ("Nearly sure, 95 of 100".to_owned(), by(0.95)),
    ]
}

fn slip(made: &Made, evening: usize) -> Option<String> {
    // A quarter of the runs: one question for each evening.
    let slip = slipped(&made.known.garage, &made.plan, evening, SEED, runs(made) / 4).ok()??;
    Some(words::said(&slip.sentence(), made.known.today()))
}

/// The last day on which ordering each part is early enough for a kept plan, also where delivery is slow.
pub fn order_days(kept: &Kept) -> HashMap<crate::ids::PartId, calendar::Date> {
    let Some(KeptPlan { made, .. }) = told::kept(kept) else { return HashMap::new() };
    let day = |order: OrderBy| {
        let day = words::date(order.safe)?.to_string();
        Some((order.part.0.parse().ok()?, calendar::Date::parse(&day).ok()?))
    };
    order_by(&made.known.garage, &made.plan).into_iter().filter_map(day).collect()
}

fn orders(made: &Made, today: Day) -> Vec<OrderRow> {
    let mut orders = order_by(&made.known.garage, &made.plan);
    orders.sort_by_key(|order| (order.safe, order.likely, order.part.clone()));
    orders.iter().map(|order| row(&made.known, order, today)).collect()
}

fn row(known: &Known, order: &OrderBy, today: Day) -> OrderRow {
    let users: Vec<String> = known
        .garage
        .jobs
        .iter()
        .filter(|job| job.parts.iter().any(|need| need.part == order.part))
        .map(|job| known.title(&job.id).to_owned())
        .collect();
    OrderRow {
        words: capital(&called(known, &order.part)),
        needed: format!("{} on {}", words::listed(&users), words::short(order.needed, today)),
        safe: words::short(order.safe, today),
        likely: words::short(order.likely, today),
        late: match (order.likely < today, order.safe < today) {
            (true, _) => "Likely too late already",
            (false, true) => "Order now: a slow delivery comes too late",
            (false, false) if order.safe == today => "Order today",
            (false, false) => "",
        },
    }
}

/// The words by which the jobs call a part, with the days that it takes.
fn called(known: &Known, part: &PartId) -> String {
    let mut needs = known.garage.jobs.iter().flat_map(|job| &job.parts);
    let name = needs.find(|need| need.part == *part).map_or(String::new(), |need| need.words.clone());
    match known.garage.parts.iter().find(|known| known.id == *part).map(|known| known.arrival) {
        Some(Arrival::ToOrder(days)) => format!("{name}, {} to {} days on its way", days.low(), days.high()),
        Some(Arrival::OnTheShelf | Arrival::Ordered(_) | Arrival::Unknown) | None => name,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::pages::sample;

    #[test]
    fn a_part_is_ordered_so_long_before_its_evening_as_its_delivery_takes() {
        let made = sample::made();
        let rows = orders(&made, made.known.today());
        assert_eq!(rows.len(), 1);
        let needed = made.plan.evening_of(&"exhaust hanger".into()).unwrap().day;
        assert_eq!(rows[0].safe, words::short(Day(needed.0 - 6), made.known.today()));
        assert_eq!(rows[0].likely, words::short(Day(needed.0 - 4), made.known.today()));
        assert!(rows[0].words.starts_with("One rubber ring, 2 to 6 days"), "{}", rows[0].words);
        let late = orders(&made, needed);
        assert_eq!(late[0].late, "Likely too late already");
    }

    #[test]
    fn losing_an_evening_is_told_for_each_that_is_planned() {
        let made = sample::made();
        for planned in &made.plan.evenings {
            let say = slip(&made, planned.evening).unwrap();
            assert!(say.starts_with("Losing the evening of ") && !say.contains("2026-"), "{say}");
        }
        assert!(slip(&made, 99).is_none());
    }
}
