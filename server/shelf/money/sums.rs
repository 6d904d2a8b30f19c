//! Where the money of a car stands: what is shared by several jobs counts once, and by its shares for each of them.

use crate::clock::Moment;
use crate::shelf::wants::{Asking, Item};
use crate::trade::buying::{Currency, Many, Money, Purse, Spending, Stage, Want, shared_out};
use crate::trade::spec::System;
use jiff::civil::Date;
use rust_decimal::Decimal;
use std::collections::BTreeMap;

/// The whole from each thing once; by job and by area from what each job has a share of.
pub fn spending(items: &[Item<'_>]) -> Spending {
    let once: Vec<Want> = items.iter().map(|item| item.want.clone()).collect();
    let shares: Vec<Want> = items.iter().flat_map(shares).collect();
    let split = Spending::of(&shares);
    Spending { whole: Spending::of(&once).whole, ..split }
}

/// A job that asks for a thing, once, with all that it asks for.
struct Share {
    title: String,
    area: System,
    many: Many,
}

fn jobs(asked: &[Asking]) -> Vec<Share> {
    let mut jobs: Vec<(crate::ids::CardId, Share)> = Vec::new();
    for one in asked {
        match jobs.iter_mut().find(|(card, _)| *card == one.card) {
            Some((_, known)) => {
                if let Some(both) = known.many.and(&one.many) {
                    known.many = both;
                }
            }
            None => {
                let share = Share { title: one.title.clone(), area: one.area, many: one.many.clone() };
                jobs.push((one.card, share));
            }
        }
    }
    jobs.into_iter().map(|(_, share)| share).collect()
}

fn shares(item: &Item<'_>) -> Vec<Want> {
    let jobs = jobs(&item.jobs);
    if jobs.is_empty() {
        return vec![Want { job: String::new(), area: None, ..item.want.clone() }];
    }
    let asks: Vec<Many> = jobs.iter().map(|job| job.many.clone()).collect();
    let prices = item.want.price.map(|price| shared_out(price, &asks));
    let share = |(at, job): (usize, Share)| Want {
        job: job.title,
        area: Some(job.area),
        price: prices.as_ref().and_then(|prices| prices.get(at).copied()),
        ..item.want.clone()
    };
    jobs.into_iter().enumerate().map(share).collect()
}

/// What was spent by the end of a day, in one currency.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spent {
    pub day: Date,
    pub sum: Decimal,
}

/// What was spent over time, by currency; and what has no day.
pub fn over_time(items: &[Item<'_>]) -> (BTreeMap<Currency, Vec<Spent>>, Purse) {
    let mut by_day: BTreeMap<Currency, BTreeMap<Date, Decimal>> = BTreeMap::new();
    let mut without = Purse::default();
    for item in items.iter().filter(|item| matches!(item.want.stage, Stage::Here | Stage::Fitted)) {
        let Some(price) = item.want.price else { continue };
        match day(item) {
            Some(day) => *by_day.entry(price.currency()).or_default().entry(day).or_default() += price.amount(),
            None => without.add(price),
        }
    }
    let summed = by_day.into_iter().map(|(currency, days)| (currency, summed(days)));
    (summed.collect(), without)
}

fn summed(days: BTreeMap<Date, Decimal>) -> Vec<Spent> {
    let mut sum = Decimal::ZERO;
    let mut add = |(day, more): (Date, Decimal)| {
        sum += more;
        Spent { day, sum }
    };
    days.into_iter().map(&mut add).collect()
}

/// The day on which it came; where it was not noted as come, on which it was said to be here.
fn day(item: &Item<'_>) -> Option<Date> {
    let part = item.part?;
    let at: Option<Moment> = part.moved_at.or(part.said.at);
    at.map(|at| at.local().date())
}

/// What stands at the side of a bar, and how long it is: in thousandths of the longest.
pub fn thousandths(part: Decimal, whole: Decimal) -> u32 {
    if whole.is_zero() {
        return 0;
    }
    let share = (part * Decimal::ONE_THOUSAND / whole).round();
    u32::try_from(share).unwrap_or(1000).min(1000)
}

/// What a limit of money is set against, in its own currency.
pub fn in_currency(purse: &Purse, limit: Option<Money>, currency: Currency) -> (Decimal, Option<Decimal>) {
    (purse.of(currency), limit.filter(|limit| limit.currency() == currency).map(Money::amount))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::{CardId, PartId};
    use crate::shelf::store::{Part, PartFacts};
    use crate::shelf::wants::item_of;

    fn asking(card: CardId, title: &str, area: System, many: &str) -> Asking {
        let many = Many::parse(many);
        Asking { card, step: None, words: title.into(), title: title.into(), area, many, apart: false }
    }

    fn part(state: Stage, price: Option<i64>) -> Part {
        let facts = PartFacts { state, price_minor: price, currency: "EUR".into(), ..PartFacts::wanted("Washers") };
        Part::new(PartId::new(), facts)
    }

    #[test]
    fn what_two_jobs_share_is_counted_once_and_shared_out_by_how_much_each_asks_for() {
        let (one, two) = (CardId::new(), CardId::new());
        let jobs = vec![
            asking(one, "Gearbox", System::Driveline, "1"),
            asking(one, "Gearbox", System::Driveline, "1"),
            asking(two, "Sump", System::Engine, "1"),
        ];
        let part = part(Stage::Ordered, Some(1000));
        let spending = spending(&[item_of(&part, jobs, None)]);
        assert_eq!(spending.whole.committed.to_string(), "10.00 EUR");
        // Two thirds and one third of ten: the hundredth left over goes to the first.
        assert_eq!(spending.by_job["Gearbox"].committed.to_string(), "6.67 EUR");
        assert_eq!(spending.by_job["Sump"].committed.to_string(), "3.33 EUR");
        assert_eq!(spending.by_area[&Some(System::Engine)].committed.to_string(), "3.33 EUR");
    }

    #[test]
    fn what_no_job_asks_for_has_no_job_and_no_area_and_a_missing_price_counts_once() {
        let part = part(Stage::Wanted, None);
        let jobs = vec![
            asking(CardId::new(), "Gearbox", System::Driveline, "1"),
            asking(CardId::new(), "Sump", System::Engine, "2 l"),
        ];
        let spending_of = |jobs| spending(&[item_of(&part, jobs, None)]);
        assert_eq!(spending_of(jobs).whole.unpriced, 1);
        let nobodys = spending_of(Vec::new());
        assert_eq!(nobodys.by_job.keys().collect::<Vec<_>>(), [""]);
        assert_eq!(nobodys.by_area.keys().collect::<Vec<_>>(), [&None]);
    }

    #[test]
    fn what_was_spent_grows_from_day_to_day() {
        let at = |day: i64| Some(Moment(1_795_629_600_000).plus_days(day));
        let mut parts = [part(Stage::Here, Some(150)), part(Stage::Fitted, Some(50)), part(Stage::Here, Some(7))];
        parts[0].said.at = at(-3);
        parts[1].moved_at = at(-1);
        let items: Vec<Item<'_>> = parts.iter().map(|part| item_of(part, Vec::new(), None)).collect();
        let (by_currency, without) = over_time(&items);
        let sums: Vec<String> =
            by_currency.values().flatten().map(|spent| format!("{} {}", spent.day, spent.sum)).collect();
        assert_eq!(sums, ["2026-11-22 1.50", "2026-11-24 2.00"]);
        assert_eq!(without.to_string(), "0.07 EUR");
    }
}
