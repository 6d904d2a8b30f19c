//! All that the chosen jobs want, from wherever it is known: the parts of the list, the bottles of the bottle plan, and the
//! tools that the chest lacks.

use super::list::{Need, needs};
use super::store::Part;
use crate::chest::tools::asked::AskedTool;
use crate::fluids::bottles::{Doubt, Kept, KeptFacts, Size, planned_beside};
use crate::ids::{CardId, PartId, ShelfFluidId, StepId};
use crate::sync::wire::Tick;
use crate::trade::buying::{Currency, Many, Money, Sort, Stage, Want, rest};
use crate::trade::calendar::Date;
use crate::trade::condition::Condition;
use crate::trade::fluid::Purchase;
use crate::trade::quantity::Volume;
use crate::trade::spec::System;
use crate::work::model::{CarState, CardState};
use std::collections::{BTreeSet, HashMap, HashSet};

/// Between the class of a fluid and its bottles, in the name of a can.
const BOTTLES: &str = " · ";

/// Which jobs are bought for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Chosen {
    /// All that are still to be done, and what no job asks for.
    All,
    /// These, and what no job asks for where that is wanted too.
    Some { cards: Vec<CardId>, rest: bool },
}

impl Chosen {
    pub fn has(&self, card: &CardState, put_off: &BTreeSet<CardId>) -> bool {
        match self {
            Chosen::All => card.condition != Condition::Proven && !put_off.contains(&card.card.id),
            Chosen::Some { cards, .. } => cards.contains(&card.card.id),
        }
    }

    fn has_part(&self, part: &Part, needs: &[Need], put_off: &BTreeSet<CardId>) -> bool {
        match self {
            // What was ordered, or came, stays in sight although its job is put off.
            Chosen::All if part.facts.state != Stage::Wanted || needs.is_empty() => true,
            Chosen::All => needs.iter().any(|need| !put_off.contains(&need.card)),
            Chosen::Some { rest, .. } if needs.is_empty() => *rest,
            Chosen::Some { cards, .. } => needs.iter().any(|need| cards.contains(&need.card)),
        }
    }
}

/// What wants are made from.
pub struct Sources<'a> {
    pub on_car: &'a CarState,
    pub sizes: &'a [Size],
    pub shelf: &'a [Kept],
    /// The last days for ordering, where a plan knows them.
    pub order_by: &'a HashMap<PartId, Date>,
    /// Jobs that are put off: not among all that are to be done.
    pub put_off: &'a BTreeSet<CardId>,
}

/// A job that asks for something.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asking {
    pub card: CardId,
    pub step: Option<StepId>,
    /// `Change the axle oil, step 3 (2 l)`
    pub words: String,
    pub title: String,
    pub area: System,
    /// How many it asks for.
    pub many: Many,
    /// The card is begun and stands open.
    pub apart: bool,
}

/// Something wanted, and what it was read from.
pub struct Item<'a> {
    pub want: Want,
    /// `None` for a bottle of the plan and for a tool that the chest lacks: they become parts when they are ordered.
    pub part: Option<&'a Part>,
    pub jobs: Vec<Asking>,
    /// What else to know, in a line.
    pub more: String,
}

impl Item<'_> {
    /// How a form names it: of a part its id and the revision that was shown.
    pub fn key(&self) -> String {
        self.part.map_or_else(|| self.want.id.clone(), |part| format!("{}:{}", part.id, part.rev))
    }
}

/// Everything, and what could not be counted of the fluids.
pub struct Wants<'a> {
    pub items: Vec<Item<'a>>,
    pub doubts: Vec<Doubt>,
}

impl<'a> Wants<'a> {
    pub fn of(sources: &Sources<'a>, chosen: &Chosen) -> Wants<'a> {
        let mut items = parts(sources, chosen);
        let bottles = bottles(sources, chosen);
        items.extend(bottles.0);
        items.extend(tools(sources, chosen));
        Wants { items, doubts: bottles.1 }
    }

    pub fn wants(&self) -> Vec<Want> {
        self.items.iter().map(|item| item.want.clone()).collect()
    }

    pub fn item(&self, id: &str) -> Option<&Item<'a>> {
        self.items.iter().find(|item| item.want.id == id)
    }
}

fn parts<'a>(sources: &Sources<'a>, chosen: &Chosen) -> Vec<Item<'a>> {
    let on_car = sources.on_car;
    let item = |part: &'a Part| {
        let needs = needs(on_car, part.id);
        chosen.has_part(part, &needs, sources.put_off).then(|| {
            let jobs = needs.into_iter().filter_map(|need| asking(on_car, need)).collect();
            item_of(part, jobs, sources.order_by.get(&part.id).copied())
        })
    };
    on_car.parts.iter().filter_map(item).collect()
}

fn asking(on_car: &CarState, need: Need) -> Option<Asking> {
    Some(Asking {
        card: need.card,
        step: Some(need.step),
        words: format!("{}, step {} ({})", need.title, need.number, need.quantity),
        area: on_car.card(need.card)?.card.facts.system,
        title: need.title,
        many: Many::parse(&need.quantity),
        apart: need.apart,
    })
}

pub(super) fn item_of<'a>(part: &'a Part, jobs: Vec<Asking>, planned: Option<Date>) -> Item<'a> {
    let facts = &part.facts;
    let many = match facts.state {
        // What came of it is not ordered again.
        Stage::Wanted => rest(&part.many(), part.standing.partly_here.as_ref()),
        Stage::Ordered | Stage::Here | Stage::Fitted | Stage::SentBack => part.many(),
    };
    let want = Want {
        id: part.id.to_string(),
        sort: facts.sort,
        name: facts.name.clone(),
        number: facts.number.clone(),
        supplier: facts.supplier.clone(),
        many,
        stage: facts.state,
        price: price(part),
        job: titles(&jobs).join("; "),
        area: jobs.first().map(|job| job.area),
        order_by: planned.or_else(|| order_by(part)),
    };
    Item { want, part: Some(part), jobs, more: facts.note.clone() }
}

/// Titles of jobs, each once.
pub fn titles(jobs: &[Asking]) -> Vec<String> {
    let mut titles: Vec<String> = Vec::new();
    for job in jobs {
        if !titles.contains(&job.title) {
            titles.push(job.title.clone());
        }
    }
    titles
}

pub fn price(part: &Part) -> Option<Money> {
    Money::from_hundredths(part.facts.price_minor?, Currency::parse(&part.facts.currency).ok()?).ok()
}

/// Without a plan: so many days before the day on which it is wanted as delivery takes at most.
fn order_by(part: &Part) -> Option<Date> {
    if part.facts.state != Stage::Wanted {
        return None;
    }
    let wanted: jiff::civil::Date = part.facts.expected_on.as_deref()?.parse().ok()?;
    let days = part.facts.delivery.map_or(0, |days| i64::from(days.high()));
    let day = wanted.checked_sub(jiff::Span::new().try_days(days).ok()?).ok()?;
    Date::parse(&day.to_string()).ok()
}

/// What the bottle plan would buy. A step with a can of its own attached is served by it; a can that no step asks for, and
/// whose name begins with its class, counts as standing on the shelf.
fn bottles<'a>(sources: &Sources<'a>, chosen: &Chosen) -> (Vec<Item<'a>>, Vec<Doubt>) {
    let on_car = sources.on_car;
    let cards: Vec<CardId> =
        on_car.cards.iter().filter(|card| chosen.has(card, sources.put_off)).map(|card| card.card.id).collect();
    let shelf: Vec<Kept> = sources.shelf.iter().cloned().chain(cans(on_car)).collect();
    let plan = planned_beside(on_car, &cards, sources.sizes, &shelf, &served(on_car));
    let currency = sources.sizes.first().and_then(|size| Currency::parse(&size.facts.currency).ok());
    let bought = plan.purchases.iter().filter(|purchase| !purchase.bottles.is_empty());
    let items = bought.map(|purchase| bottle(on_car, &cards, purchase, currency)).collect();
    (items, plan.doubts)
}

fn served(on_car: &CarState) -> HashSet<StepId> {
    let cans = on_car.parts.iter().filter(|part| part.facts.sort == Sort::Fluid && part.facts.state != Stage::SentBack);
    let cans: HashSet<PartId> = cans.map(|part| part.id).collect();
    let steps = on_car.cards.iter().flat_map(|card| &card.steps);
    steps
        .filter(|step| step.attached.parts.iter().any(|asked| cans.contains(&asked.part)))
        .map(|step| step.id)
        .collect()
}

fn cans(on_car: &CarState) -> Vec<Kept> {
    let counts = |part: &&Part| {
        let is_bought = match part.facts.state {
            Stage::Wanted | Stage::Ordered | Stage::Here => true,
            Stage::Fitted | Stage::SentBack => false,
        };
        part.facts.sort == Sort::Fluid && is_bought && needs(on_car, part.id).is_empty()
    };
    let can = |part: &Part| {
        let fluid = part.facts.name.split(BOTTLES).next().unwrap_or_default().to_owned();
        let facts = KeptFacts { fluid, volume: part.facts.quantity.clone(), opened: false, since: String::new() };
        facts.on_shelf().is_some().then(|| Kept { id: ShelfFluidId::new(), facts })
    };
    on_car.parts.iter().filter(counts).filter_map(can).collect()
}

fn bottle<'a>(on_car: &CarState, cards: &[CardId], purchase: &Purchase, currency: Option<Currency>) -> Item<'a> {
    let each: Vec<String> = purchase
        .bottles
        .iter()
        .map(|(count, bottle)| format!("{count} × {}", bottle.holds().in_unit(bottle.holds().unit())))
        .collect();
    let minor = i64::try_from(purchase.price).ok();
    let jobs = jobs_called(on_car, cards, purchase);
    let want = Want {
        id: format!("fluid:{}", purchase.bought),
        sort: Sort::Fluid,
        name: format!("{}{BOTTLES}{}", purchase.bought, each.join(" and ")),
        number: String::new(),
        supplier: String::new(),
        many: together(purchase),
        stage: Stage::Wanted,
        price: minor.zip(currency).and_then(|(minor, currency)| Money::from_hundredths(minor, currency).ok()),
        job: titles(&jobs).join("; "),
        area: jobs.first().map(|job| job.area),
        order_by: None,
    };
    let more = format!(
        "From the bottle plan: {} needed. {}",
        purchase.needed.in_unit(purchase.needed.unit()),
        purchase.says.join(" ")
    );
    Item { want, part: None, jobs, more: more.trim_end().to_owned() }
}

/// What the bottles hold together, where they are measured in one unit; else in words.
fn together(purchase: &Purchase) -> Many {
    let each = purchase.bottles.iter().map(|(count, bottle)| Many::parse(&volume_text(bottle.holds())).times(*count));
    let sum = each.map(Some).reduce(|sum, more| sum?.and(&more?)).flatten();
    sum.unwrap_or_else(|| Many::Words("as named".into()))
}

fn volume_text(volume: &Volume) -> String {
    volume.in_unit(volume.unit()).to_string()
}

fn jobs_called(on_car: &CarState, cards: &[CardId], purchase: &Purchase) -> Vec<Asking> {
    let called = on_car
        .cards
        .iter()
        .filter(|card| cards.contains(&card.card.id) && purchase.jobs.contains(&card.card.facts.title));
    called.map(|card| whole_card(card, Many::Words(String::new()))).collect()
}

fn whole_card(card: &CardState, many: Many) -> Asking {
    let facts = &card.card.facts;
    Asking {
        card: card.card.id,
        step: None,
        words: facts.title.clone(),
        title: facts.title.clone(),
        area: facts.system,
        many,
        apart: card.condition == Condition::Apart,
    }
}

/// Tools that a step still to be done asks for and that the chest lacks, unless one of that name is on the list already.
fn tools<'a>(sources: &Sources<'a>, chosen: &Chosen) -> Vec<Item<'a>> {
    let on_car = sources.on_car;
    let mut found: Vec<Item<'a>> = Vec::new();
    for card in on_car.cards.iter().filter(|card| chosen.has(card, sources.put_off)) {
        let open = card.steps.iter().filter(|step| card.tick(step.id) == Tick::Open);
        for line in open.flat_map(|step| &step.attached.tools) {
            let asked = AskedTool::of(line, &on_car.tools);
            if !asked.is_missing() || is_listed(on_car, line) {
                continue;
            }
            let job = whole_card(card, Many::parse("1"));
            match found.iter_mut().find(|item| plain(&item.want.name) == plain(line)) {
                Some(known) if known.jobs.iter().any(|one| one.card == job.card) => {}
                Some(known) => known.jobs.push(job),
                None => found.push(tool(line, job, asked.say)),
            }
        }
    }
    for item in &mut found {
        item.want.job = titles(&item.jobs).join("; ");
    }
    found
}

fn is_listed(on_car: &CarState, line: &str) -> bool {
    let is_it = |part: &&Part| {
        part.facts.sort == Sort::Tool && part.facts.state != Stage::SentBack && plain(&part.facts.name) == plain(line)
    };
    on_car.parts.iter().any(|part| is_it(&part))
}

fn tool<'a>(line: &str, job: Asking, say: String) -> Item<'a> {
    let want = Want {
        id: format!("tool:{}", plain(line)),
        sort: Sort::Tool,
        name: line.to_owned(),
        number: String::new(),
        supplier: String::new(),
        many: Many::parse("1"),
        stage: Stage::Wanted,
        price: None,
        job: String::new(),
        area: Some(job.area),
        order_by: None,
    };
    Item { want, part: None, jobs: vec![job], more: crate::web::words::capital(&say) }
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}
