//! What the bottle plan shows.

use super::bottle_routes::Around;
use super::bottles::{Doubt, KeptForm, Plan, SizeForm, planned, takes_fluid};
use crate::ids::{BottleId, CarId, CardId, ShelfFluidId};
use crate::trade::fluid::{FluidKind, Purchase};
use crate::trade::quantity::{Shown, Volume, VolumeUnit};
use crate::web::form::{Choice, Slips};
use crate::web::page::Page;
use crate::web::words;
use askama::Template;

/// The currency of a first price, where none was used before.
const CURRENCY: &str = "EUR";

/// What to buy of one fluid.
pub struct Buy {
    pub wanted: String,
    pub bought: String,
    /// `2 × 1 l and 1 × 500 ml`; empty where the shelf has enough.
    pub bottles: String,
    pub price: String,
    pub needed: String,
    pub from_shelf: String,
    pub left_over: String,
    pub jobs: String,
    pub says: Vec<String>,
}

pub struct SizeRow {
    id: BottleId,
    fluid: String,
    holds: String,
    price: String,
}

pub struct KeptRow {
    id: ShelfFluidId,
    fluid: String,
    volume: String,
    opened: bool,
    since: String,
    /// Opened brake fluid.
    not_counted: bool,
}

#[derive(Template)]
#[template(path = "fluids/bottles.html")]
pub struct BottlesPage {
    page: Page,
    car: CarId,
    base: String,
    /// The cards that take fluid.
    cards: Vec<Choice>,
    /// The chosen ones, for forms to come back to.
    chosen: String,
    total: Option<(String, String)>,
    buys: Vec<Buy>,
    doubts: Vec<Doubt>,
    sizes: Vec<SizeRow>,
    kept: Vec<KeptRow>,
    size_form: SizeForm,
    kept_form: KeptForm,
    slips: Slips,
}

impl BottlesPage {
    pub fn new(
        page: Page,
        around: &Around,
        chosen: &[CardId],
        size_form: SizeForm,
        kept_form: KeptForm,
        slips: Slips,
    ) -> BottlesPage {
        let car = around.under.car.id;
        let Plan { purchases, doubts } = planned(&around.under.state, chosen, &around.sizes, &around.shelf);
        let currency = around.currency().unwrap_or(CURRENCY);
        let offered = around.under.state.cards.iter().filter(|card| takes_fluid(card));
        let ids: Vec<String> = chosen.iter().map(ToString::to_string).collect();
        BottlesPage {
            page,
            car,
            base: format!("/cars/{car}/buy-list/bottles"),
            cards: offered
                .map(|card| {
                    let id = card.card.id;
                    Choice::new(id.to_string(), card.card.facts.title.clone(), chosen.contains(&id))
                })
                .collect(),
            chosen: ids.join(" "),
            total: total(&purchases, currency),
            buys: purchases.iter().map(|purchase| buy(purchase, currency)).collect(),
            doubts,
            sizes: sizes(around),
            kept: kept(around),
            size_form: with_currency(size_form, currency),
            kept_form,
            slips,
        }
    }
}

fn with_currency(form: SizeForm, currency: &str) -> SizeForm {
    if form.currency.is_empty() { SizeForm { currency: currency.to_owned(), ..form } } else { form }
}

/// The sum and its currency; none where nothing is planned.
fn total(purchases: &[Purchase], currency: &str) -> Option<(String, String)> {
    let sum = purchases.iter().fold(0_u64, |sum, purchase| sum.saturating_add(purchase.price));
    (!purchases.is_empty()).then(|| (money(sum, ""), currency.to_owned()))
}

fn money(minor: u64, currency: &str) -> String {
    words::money(i64::try_from(minor).unwrap_or(i64::MAX), currency)
}

/// Worked out volumes in litres, or millilitres below one.
fn jug(volume: &Volume) -> Shown {
    let litres = volume.in_unit(VolumeUnit::Litre);
    if volume.to(VolumeUnit::Litre) < rust_decimal::Decimal::ONE && !volume.number().is_zero() {
        return volume.in_unit(VolumeUnit::Millilitre);
    }
    litres
}

fn buy(purchase: &Purchase, currency: &str) -> Buy {
    let each: Vec<String> = purchase
        .bottles
        .iter()
        .map(|(count, bottle)| format!("{count} × {}", bottle.holds().in_unit(bottle.holds().unit())))
        .collect();
    Buy {
        wanted: purchase.wanted.to_string(),
        bought: purchase.bought.to_string(),
        bottles: each.join(" and "),
        price: money(purchase.price, currency),
        needed: jug(&purchase.needed).to_string(),
        from_shelf: if purchase.from_shelf.number().is_zero() {
            String::new()
        } else {
            jug(&purchase.from_shelf).to_string()
        },
        left_over: jug(&purchase.left_over).to_string(),
        jobs: each_once(&purchase.jobs),
        says: purchase.says.clone(),
    }
}

fn each_once(jobs: &[String]) -> String {
    let mut once: Vec<&str> = Vec::new();
    for job in jobs {
        if !once.contains(&job.as_str()) {
            once.push(job);
        }
    }
    once.join(", ")
}

fn sizes(around: &Around) -> Vec<SizeRow> {
    let row = |size: &super::bottles::Size| SizeRow {
        id: size.id,
        fluid: size.facts.fluid.clone(),
        holds: size.facts.holds.clone(),
        price: words::money(size.facts.price_minor, &size.facts.currency),
    };
    around.sizes.iter().map(row).collect()
}

fn kept(around: &Around) -> Vec<KeptRow> {
    let row = |kept: &super::bottles::Kept| {
        let read = kept.facts.on_shelf();
        let is_brake = read.is_some_and(|read| read.fluid.kind() == FluidKind::Brake);
        KeptRow {
            id: kept.id,
            fluid: kept.facts.fluid.clone(),
            volume: kept.facts.volume.clone(),
            opened: kept.facts.opened,
            since: kept.facts.since.clone(),
            not_counted: is_brake && kept.facts.opened,
        }
    };
    around.shelf.iter().map(row).collect()
}
