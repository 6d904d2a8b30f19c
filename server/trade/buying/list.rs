//! What is still to be ordered: wants that are the same thing as one line, by supplier.

use super::many::Many;
use super::money::Purse;
use super::{Sort, Stage, Want};
use crate::trade::calendar::Date;

/// The same thing, wanted by one job or several.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    pub sort: Sort,
    pub name: String,
    pub number: String,
    /// What cannot be added stands side by side.
    pub many: Vec<Many>,
    /// Titles of the jobs, each once.
    pub jobs: Vec<String>,
    /// The earliest of its wants' last days.
    pub order_by: Option<Date>,
    pub price: Purse,
    /// Wants without a price: the line costs more than its price says.
    pub unpriced: usize,
    /// The wants it was made of.
    pub wants: Vec<String>,
}

impl Line {
    /// `4 ×`, `5 l and 2 US qt`
    pub fn how_many(&self) -> String {
        self.many.iter().map(ToString::to_string).collect::<Vec<_>>().join(" and ")
    }
}

/// All that one supplier is asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Supplier {
    /// Empty where none is chosen yet.
    pub name: String,
    pub lines: Vec<Line>,
    /// The earliest of its lines.
    pub order_by: Option<Date>,
    pub price: Purse,
    pub unpriced: usize,
}

/// Merges what is wanted and not ordered yet. `owned`: tools in the chest, by name, which nobody buys again.
///
/// The same supplier, sort and number (the same name where neither has a number) are one thing, whatever the case of their
/// letters. Parts, fluids and consumables add up; of a tool the greatest number is bought, since it is still there after.
/// Suppliers and lines with the earliest day come first, those without a day last; then by name, so that the list hangs on no
/// other order.
pub fn to_buy(wants: &[Want], owned: &[String]) -> Vec<Supplier> {
    let mut wanted: Vec<&Want> =
        wants.iter().filter(|want| want.stage == Stage::Wanted && !is_owned(want, owned)).collect();
    wanted.sort_by(|one, other| one.id.cmp(&other.id));
    let mut suppliers: Vec<Supplier> = Vec::new();
    for want in wanted {
        let place =
            suppliers.iter().position(|known| plain(&known.name) == plain(&want.supplier)).unwrap_or_else(|| {
                suppliers.push(Supplier {
                    name: want.supplier.trim().to_owned(),
                    lines: Vec::new(),
                    order_by: None,
                    price: Purse::default(),
                    unpriced: 0,
                });
                suppliers.len() - 1
            });
        put(&mut suppliers[place], want);
    }
    for supplier in &mut suppliers {
        supplier.lines.sort_by_key(|line| (day(line.order_by), line.sort, plain(&line.name), plain(&line.number)));
    }
    suppliers.sort_by_key(|supplier| (day(supplier.order_by), supplier.name.is_empty(), plain(&supplier.name)));
    suppliers
}

fn put(supplier: &mut Supplier, want: &Want) {
    let place = supplier.lines.iter().position(|line| is_same(line, want)).unwrap_or_else(|| {
        supplier.lines.push(Line {
            sort: want.sort,
            name: want.name.trim().to_owned(),
            number: want.number.trim().to_owned(),
            many: Vec::new(),
            jobs: Vec::new(),
            order_by: None,
            price: Purse::default(),
            unpriced: 0,
            wants: Vec::new(),
        });
        supplier.lines.len() - 1
    });
    let line = &mut supplier.lines[place];
    add(&mut line.many, &want.many, want.sort);
    if !want.job.is_empty() && !line.jobs.contains(&want.job) {
        line.jobs.push(want.job.clone());
    }
    line.order_by = earlier(line.order_by, want.order_by);
    line.wants.push(want.id.clone());
    supplier.order_by = earlier(supplier.order_by, want.order_by);
    match want.price {
        Some(price) => {
            line.price.add(price);
            supplier.price.add(price);
        }
        None => {
            line.unpriced += 1;
            supplier.unpriced += 1;
        }
    }
}

fn add(known: &mut Vec<Many>, more: &Many, sort: Sort) {
    let together = |one: &Many| match sort {
        Sort::Tool => one.or(more),
        Sort::Part | Sort::Fluid | Sort::Consumable => one.and(more),
    };
    for one in known.iter_mut() {
        if let Some(both) = together(one) {
            *one = both;
            return;
        }
    }
    known.push(more.clone());
}

fn is_same(line: &Line, want: &Want) -> bool {
    let (number, other) = (plain(&line.number), plain(&want.number));
    let same =
        if number.is_empty() && other.is_empty() { plain(&line.name) == plain(&want.name) } else { number == other };
    line.sort == want.sort && same
}

fn is_owned(want: &Want, owned: &[String]) -> bool {
    want.sort == Sort::Tool && owned.iter().any(|tool| plain(tool) == plain(&want.name))
}

/// Without case, and with single blanks.
fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

fn earlier(one: Option<Date>, other: Option<Date>) -> Option<Date> {
    match (one, other) {
        (Some(one), Some(other)) => Some(one.min(other)),
        (one, other) => one.or(other),
    }
}

/// Without a day: after all that have one.
fn day(date: Option<Date>) -> (bool, Option<Date>) {
    (date.is_none(), date)
}
