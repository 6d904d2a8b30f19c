//! What the page of a car's money shows.

use super::chart::Chart;
use super::form::LimitsForm;
use super::store::Limits;
use super::sums::{in_currency, over_time, spending, thousandths};
use crate::ids::CarId;
use crate::shelf::around::Shelf;
use crate::shelf::wants::{Chosen, Item};
use crate::trade::buying::{
    Currency, Purse, SHARED_OUT, Spending, Sums, against_budget, against_worth, rows as csv_table,
};
use crate::web::form::Slips;
use crate::web::page::{Page, Place};
use askama::Template;
use rust_decimal::Decimal;
use std::collections::BTreeSet;

/// What no job asks for, in words.
const NOBODYS: &str = "no job";

#[derive(Template)]
#[template(path = "shelf/money.html")]
pub struct MoneyPage {
    page: Page,
    car: CarId,
    /// A sentence or two each: against the budget, against the worth.
    says: Vec<String>,
    parts: Vec<InCurrency>,
    coming_back: String,
    unpriced: usize,
    undated: String,
    shared_out: &'static str,
    is_changed: bool,
    form: LimitsForm,
    slips: Slips,
}

/// The money in one currency.
struct InCurrency {
    code: String,
    figures: Vec<Figure>,
    whole: Bar,
    chart: Option<Chart>,
    by_job: Vec<Bar>,
    by_area: Vec<Bar>,
}

struct Figure {
    word: &'static str,
    what: &'static str,
    code: &'static str,
    sum: String,
}

/// Spent, ordered and planned side by side, in thousandths of the longest bar of its list.
struct Bar {
    name: String,
    total: String,
    spent: String,
    ordered: String,
    planned: String,
    lengths: [u32; 3],
    /// Where the budget lies; none where it is no bar of the whole.
    budget: Option<u32>,
}

impl Bar {
    fn of(name: String, sums: &Sums, currency: Currency, longest: Decimal) -> Bar {
        let [spent, ordered, planned] = [&sums.spent, &sums.committed, &sums.planned].map(|purse| purse.of(currency));
        Bar {
            name,
            total: format!("{:.2}", spent + ordered + planned),
            spent: format!("{spent:.2}"),
            ordered: format!("{ordered:.2}"),
            planned: format!("{planned:.2}"),
            lengths: [spent, ordered, planned].map(|part| thousandths(part, longest)),
            budget: None,
        }
    }

    /// Where each length begins.
    fn places(&self) -> [(u32, u32, &'static str); 3] {
        let [spent, ordered, planned] = self.lengths;
        [(0, spent, "spent"), (spent, ordered, "ordered"), (spent + ordered, planned, "planned")]
    }
}

impl MoneyPage {
    pub fn new(page: Page, shelf: &Shelf, limits: &Limits, form: LimitsForm, slips: Slips) -> MoneyPage {
        let wants = shelf.wants(&Chosen::All);
        let spending = spending(&wants.items);
        let whole = &spending.whole;
        let worth = limits.worth().map(|worth| against_worth(whole, worth));
        let says = limits.budget().map(|budget| against_budget(whole, budget)).into_iter().chain(worth).collect();
        let (_, without) = over_time(&wants.items);
        MoneyPage {
            page: page.at_desk(shelf.car.id, &shelf.car.name, Place::BuyList),
            car: shelf.car.id,
            says,
            parts: currencies(whole)
                .into_iter()
                .map(|code| in_one(code, &spending, &wants.items, shelf, limits))
                .collect(),
            coming_back: in_words(&whole.coming_back),
            unpriced: whole.unpriced,
            undated: in_words(&without),
            shared_out: SHARED_OUT,
            is_changed: false,
            form,
            slips,
        }
    }

    /// Somebody else changed what the form was about.
    pub fn changed(self) -> MoneyPage {
        MoneyPage { is_changed: true, ..self }
    }
}

fn in_words(purse: &Purse) -> String {
    if purse.is_empty() { String::new() } else { purse.to_string() }
}

fn currencies(whole: &Sums) -> BTreeSet<Currency> {
    whole.whole().sums().map(|(currency, _)| currency).collect()
}

fn in_one(currency: Currency, spending: &Spending, items: &[Item<'_>], shelf: &Shelf, limits: &Limits) -> InCurrency {
    let whole = &spending.whole;
    let figure =
        |word, what, code, purse: &Purse| Figure { word, what, code, sum: format!("{:.2}", purse.of(currency)) };
    let (sum, budget) = in_currency(&whole.whole(), limits.budget(), currency);
    let longest = budget.unwrap_or_default().max(sum);
    let mut bar = Bar::of("All of it".into(), whole, currency, longest);
    bar.budget = budget.map(|budget| thousandths(budget, longest));
    let spent = over_time(items).0;
    let days = spent.get(&currency).map_or(&[][..], Vec::as_slice);
    InCurrency {
        code: currency.to_string(),
        figures: vec![
            figure("Spent", "here or on the car", "spent", &whole.spent),
            figure("Ordered", "not here yet", "ordered", &whole.committed),
            figure("Planned", "wanted, not ordered", "planned", &whole.planned),
        ],
        whole: bar,
        chart: Chart::of(days, shelf.today, sum, budget, &currency.to_string()),
        by_job: bars(spending.by_job.iter().map(|(job, sums)| (job_name(job), sums)), currency),
        by_area: bars(
            spending.by_area.iter().map(|(area, sums)| (area.map_or(NOBODYS, |area| area.label()).to_owned(), sums)),
            currency,
        ),
    }
}

fn job_name(job: &str) -> String {
    if job.is_empty() { NOBODYS.to_owned() } else { job.to_owned() }
}

/// The dearest first; what costs nothing in this currency is left out.
fn bars<'a>(named: impl Iterator<Item = (String, &'a Sums)>, currency: Currency) -> Vec<Bar> {
    let mut sums: Vec<(Decimal, String, &Sums)> =
        named.map(|(name, sums)| (sums.whole().of(currency), name, sums)).filter(|(sum, ..)| !sum.is_zero()).collect();
    sums.sort_by(|one, other| other.0.cmp(&one.0).then_with(|| one.1.cmp(&other.1)));
    let longest = sums.first().map(|(sum, ..)| *sum).unwrap_or_default();
    sums.into_iter().map(|(_, name, sums)| Bar::of(name, sums, currency, longest)).collect()
}

/// Rows by job and by area, a row for each currency.
pub fn csv_rows(spending: &Spending) -> String {
    let head = ["by", "name", "currency", "spent", "ordered", "planned", "coming back"].map(str::to_owned);
    let jobs = spending.by_job.iter().map(|(job, sums)| ("job", job_name(job), sums));
    let areas = spending
        .by_area
        .iter()
        .map(|(area, sums)| ("area", area.map_or(NOBODYS, |area| area.label()).to_owned(), sums));
    let whole = std::iter::once(("all", String::new(), &spending.whole));
    let rows = whole.chain(jobs).chain(areas).flat_map(|(by, name, sums)| {
        let all = sums.whole().and(&sums.coming_back);
        let row = |(currency, _): (Currency, Decimal)| {
            let sum = |purse: &Purse| format!("{:.2}", purse.of(currency));
            let [spent, ordered, planned] = [&sums.spent, &sums.committed, &sums.planned].map(sum);
            let back = sum(&sums.coming_back);
            [by.to_owned(), name.clone(), currency.to_string(), spent, ordered, planned, back]
        };
        all.sums().map(row).collect::<Vec<_>>()
    });
    csv_table(std::iter::once(head).chain(rows))
}
