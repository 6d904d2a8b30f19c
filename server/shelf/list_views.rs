//! What the buy list and an order show.

use super::around::Shelf;
use super::list::{Lot, lots};
use super::press::PressForm;
use super::store::Part;
use super::views::{ShownNeed, expected, mark, partly, shown_moves, suppliers};
use super::wants::{Chosen, Item, Wants};
use crate::fluids::bottles::Doubt;
use crate::ids::CarId;
use crate::logbook::evening::short_day;
use crate::readings::views::in_query;
use crate::specs::model::Spec;
use crate::specs::views::Link;
use crate::trade::buying::{Line, Purse, Sort, Stage, Supplier, order_text, to_buy};
use crate::trade::calendar;
use crate::trade::condition::Condition;
use crate::trade::spec::Kind;
use crate::trade::trust::Trust;
use crate::web::form::{Choice, Slips};
use crate::web::page::{Page, Place};
use askama::Template;
use jiff::civil::Date;

#[derive(Template)]
#[template(path = "shelf/list.html")]
pub struct BuyListPage {
    page: Page,
    car: CarId,
    tally: Vec<ShownTally>,
    to_buy: Vec<ShownSupplier>,
    lots: Vec<ShownLot>,
    /// Fluids, and how much of them, about which sources disagree: what is bought by either may be wrong.
    open_fluids: Vec<Link>,
    /// Fluids that could not be counted.
    doubts: Vec<Doubt>,
    jobs: Vec<Choice>,
    choice: Choosing,
    suppliers: Vec<String>,
    form: PressForm,
    slips: Slips,
}

/// What was chosen, for forms and addresses to carry on.
pub struct Choosing {
    pub tail: String,
    pub ids: String,
    pub rest: bool,
    pub all: bool,
}

impl Choosing {
    pub fn of(chosen: &Chosen) -> Choosing {
        Choosing { tail: chosen.tail(), ids: chosen.ids(), rest: chosen.has_rest(), all: chosen.is_all() }
    }

    /// The address of something with the same choice; `more` stands behind it.
    pub fn with(&self, more: &str) -> String {
        if self.tail.is_empty() { format!("?{more}") } else { format!("{}&{more}", self.tail) }
    }
}

pub struct ShownTally {
    pub code: &'static str,
    pub label: &'static str,
    /// One for each currency.
    pub sums: Vec<String>,
    /// How many have no price; empty where all have.
    pub unpriced: String,
}

/// What one supplier is to be asked for.
pub struct ShownSupplier {
    pub name: String,
    pub called: String,
    /// Where its order can be copied; empty where no supplier is known.
    pub order_href: String,
    pub order_by: String,
    pub sum: String,
    pub rows: Vec<ShownRow>,
}

pub struct ShownLot {
    pub code: &'static str,
    pub mark: &'static str,
    pub label: &'static str,
    pub sum: String,
    pub suppliers: Vec<(String, Vec<ShownRow>)>,
    /// Where all that is ticked can go.
    pub next: Vec<(&'static str, &'static str)>,
    pub is_ordering: bool,
}

/// One thing, or several that are the same.
pub struct ShownRow {
    /// How a form names it.
    pub key: String,
    pub href: String,
    pub called: String,
    /// Empty for a part.
    pub sort: &'static str,
    pub number: String,
    pub quantity: String,
    /// `2 of 4 here`
    pub partly: String,
    pub price: String,
    pub expected: String,
    pub late: bool,
    pub order_by: String,
    pub note: String,
    pub needs: Vec<ShownNeed>,
    pub moves: Vec<String>,
    pub next: Vec<(&'static str, &'static str)>,
}

impl ShownRow {
    pub fn is_picked(&self, form: &PressForm) -> bool {
        form.thing.contains(&self.key)
    }
}

/// What a lot is called at its head.
fn heading(state: Stage) -> &'static str {
    match state {
        Stage::Wanted => "To buy",
        Stage::Ordered => "Ordered",
        Stage::SentBack => "Sent back",
        Stage::Here => "On the shelf",
        Stage::Fitted => "Fitted",
    }
}

/// Where something can go, with the word on the button.
fn deeds(from: Stage) -> Vec<(&'static str, &'static str)> {
    let word = |to: Stage| match (from, to) {
        (Stage::SentBack, Stage::Ordered) => "Ordered again",
        (Stage::Ordered, Stage::Wanted) => "Order called off",
        (Stage::SentBack, Stage::Wanted) => "Want another",
        (Stage::Fitted, Stage::Here) => "Off again",
        (_, Stage::Ordered) => "Ordered",
        (_, Stage::Here) => "Here",
        (_, Stage::Fitted) => "Fitted",
        (_, Stage::SentBack) => "Sent back",
        (_, Stage::Wanted) => "Wanted",
    };
    from.next().into_iter().map(|to| (to.name(), word(to))).collect()
}

fn unpriced(count: usize) -> String {
    if count == 0 { String::new() } else { format!("{count} without a price") }
}

fn sums(purse: &Purse) -> Vec<String> {
    purse.sums().map(|(currency, sum)| format!("{sum:.2} {currency}")).collect()
}

/// In words, or nothing where there is nothing to say.
fn sum(purse: &Purse) -> String {
    if purse.is_empty() { String::new() } else { purse.to_string() }
}

impl BuyListPage {
    pub fn new(page: Page, shelf: &Shelf, chosen: &Chosen, form: PressForm, slips: Slips) -> BuyListPage {
        let wants = shelf.wants(chosen);
        let all = lots(&wants.items);
        let shown = Showing { shelf, wants: &wants };
        let choice = Choosing::of(chosen);
        let base = format!("/cars/{}/buy-list", shelf.car.id);
        let asking = to_buy(&wants.wants(), &[]);
        BuyListPage {
            page: page.at_desk(shelf.car.id, &shelf.car.name, Place::BuyList),
            car: shelf.car.id,
            tally: all.iter().map(tally).collect(),
            to_buy: asking.iter().map(|supplier| shown.supplier(supplier, &choice, &base)).collect(),
            lots: all.iter().filter(|lot| lot.state != Stage::Wanted).map(|lot| shown.lot(lot)).collect(),
            open_fluids: open_fluids(shelf),
            doubts: wants.doubts.clone(),
            jobs: jobs(shelf, chosen),
            suppliers: suppliers(&shelf.state),
            choice,
            form,
            slips,
        }
    }
}

fn tally(lot: &Lot<'_, '_>) -> ShownTally {
    ShownTally {
        code: lot.state.name(),
        label: heading(lot.state),
        sums: sums(&lot.sum),
        unpriced: unpriced(lot.unpriced),
    }
}

fn open_fluids(shelf: &Shelf) -> Vec<Link> {
    let car = shelf.car.id;
    let is_open = |spec: &&Spec| matches!(spec.facts.kind, Kind::Fluid | Kind::Volume) && spec.trust().0 == Trust::Open;
    let link = |spec: &Spec| Link { href: format!("/cars/{car}/specs/{}", spec.id), words: spec.facts.item.clone() };
    shelf.state.specs.iter().filter(is_open).map(link).collect()
}

fn jobs(shelf: &Shelf, chosen: &Chosen) -> Vec<Choice> {
    let open = shelf.state.cards.iter().filter(|card| card.condition != Condition::Proven);
    let choice = |card: &crate::work::model::CardState| {
        Choice::new(card.card.id.to_string(), card.card.facts.title.clone(), chosen.has(card, &shelf.put_off))
    };
    open.map(choice).collect()
}

struct Showing<'a> {
    shelf: &'a Shelf,
    wants: &'a Wants<'a>,
}

impl Showing<'_> {
    fn supplier(&self, supplier: &Supplier, choice: &Choosing, base: &str) -> ShownSupplier {
        let asked = format!("supplier={}", in_query(&supplier.name));
        ShownSupplier {
            name: supplier.name.clone(),
            called: if supplier.name.is_empty() { "No supplier yet".to_owned() } else { supplier.name.clone() },
            order_href: format!("{base}/order{}", choice.with(&asked)),
            order_by: supplier.order_by.map(|day| self.day(day)).unwrap_or_default(),
            sum: sum(&supplier.price),
            rows: supplier.lines.iter().filter_map(|line| self.line(line)).collect(),
        }
    }

    fn day(&self, day: calendar::Date) -> String {
        let day = day.to_string();
        day.parse::<Date>().map_or(day, |day| short_day(day, self.shelf.today))
    }

    /// Things that are the same, as one row.
    fn line(&self, line: &Line) -> Option<ShownRow> {
        let items: Vec<&Item<'_>> = line.wants.iter().filter_map(|id| self.wants.item(id)).collect();
        let mut rows = items.iter().map(|item| self.row(item));
        let first = rows.next()?;
        let mut row = rows.fold(first, |mut row, more| {
            row.key = format!("{} {}", row.key, more.key);
            row.needs.extend(more.needs);
            row.moves.extend(more.moves);
            row
        });
        row.quantity = quantity(&line.how_many());
        row.price = sum(&line.price);
        row.order_by = line.order_by.map(|day| self.day(day)).unwrap_or_default();
        Some(row)
    }

    fn lot(&self, lot: &Lot<'_, '_>) -> ShownLot {
        let named = |name: &String| if name.is_empty() { "No supplier yet".to_owned() } else { name.clone() };
        ShownLot {
            code: lot.state.name(),
            mark: mark(lot.state),
            label: heading(lot.state),
            sum: sum(&lot.sum),
            suppliers: lot
                .suppliers
                .iter()
                .map(|(name, items)| (named(name), items.iter().map(|item| self.row(item)).collect()))
                .collect(),
            next: deeds(lot.state),
            is_ordering: lot.state == Stage::SentBack,
        }
    }

    fn row(&self, item: &Item<'_>) -> ShownRow {
        let want = &item.want;
        let (expected, late) = item.part.map(|part| expected(part, self.shelf.today)).unwrap_or_default();
        ShownRow {
            key: item.key(),
            href: item.part.map(|part| self.to_part(part)).unwrap_or_default(),
            called: want.name.clone(),
            sort: if want.sort == Sort::Part { "" } else { want.sort.label() },
            number: want.number.clone(),
            quantity: quantity(&want.many.to_string()),
            partly: item.part.map(partly).unwrap_or_default(),
            price: want.price.map(|price| price.to_string()).unwrap_or_default(),
            expected,
            late,
            order_by: String::new(),
            note: item.more.clone(),
            needs: item.jobs.iter().map(|job| self.need(job)).collect(),
            moves: item.part.map(|part| shown_moves(self.shelf, part.id)).unwrap_or_default(),
            next: deeds(want.stage),
        }
    }

    fn to_part(&self, part: &Part) -> String {
        format!("/cars/{}/parts/{}", self.shelf.car.id, part.id)
    }

    fn need(&self, job: &super::wants::Asking) -> ShownNeed {
        let step = job.step.map(|step| format!("#step-{step}")).unwrap_or_default();
        ShownNeed {
            href: format!("/cars/{}/cards/{}{step}", self.shelf.car.id, job.card),
            words: job.words.clone(),
            apart: job.apart,
        }
    }
}

/// A bare number stands for pieces.
fn quantity(shown: &str) -> String {
    shown.strip_suffix(" ×").unwrap_or(shown).to_owned()
}

#[derive(Template)]
#[template(path = "shelf/order.html")]
pub struct OrderPage {
    page: Page,
    back: String,
    supplier: String,
    text: String,
    lines: usize,
}

impl OrderPage {
    pub fn new(page: Page, shelf: &Shelf, chosen: &Chosen, supplier: &Supplier) -> OrderPage {
        let car = &shelf.car;
        let called = [car.make.clone(), car.model.clone(), car.year.map(|year| year.to_string()).unwrap_or_default()];
        let called: Vec<String> = called.into_iter().filter(|part| !part.is_empty()).collect();
        let text = order_text(supplier, &called.join(" "));
        OrderPage {
            page: page.script("order").at_desk(car.id, &car.name, Place::BuyList),
            back: format!("/cars/{}/buy-list{}", car.id, chosen.tail()),
            supplier: supplier.name.clone(),
            lines: text.lines().count() + 1,
            text,
        }
    }
}
