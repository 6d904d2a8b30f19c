//! What the pages of upkeep show.

use super::book::{Book, KeptUp};
use super::form::{DoneForm, ItemForm};
use super::model::{Item, ItemFacts};
use super::offered;
use crate::ids::{CarId, CardId, UpkeepItemId};
use crate::logbook::evening::short_day;
use crate::specs::shown::source_code;
use crate::sync::hlc::Hlc;
use crate::sync::wire::Act;
use crate::trade::calendar::Date;
use crate::trade::condition::Condition;
use crate::trade::spec::SourceKind;
use crate::trade::upkeep::{Band, COMING_DAYS, Cause, DUE_DAYS, DistanceUnit, Stay, Usage, said_day, time_span};
use crate::web::form::{Choice, Differs, Slips};
use crate::web::page::Page;
use crate::web::words::{capital, count};
use crate::work::whole::WholeCar;
use askama::Template;

/// A day as pages show it, such as `3 Mar 2027`; the year only where it is another one.
pub(super) fn day_words(day: Date, today: Date) -> String {
    let civil = |day: Date| day.to_string().parse::<jiff::civil::Date>();
    match (civil(day), civil(today)) {
        (Ok(day), Ok(today)) => short_day(day, today),
        // Days of both kinds run from 1900 to 2199.
        (Err(_), _) | (_, Err(_)) => day.to_string(),
    }
}

/// The shape beside a band, as the style sheets know it.
fn band_code(band: Band) -> &'static str {
    match band {
        Band::Overdue => "act",
        Band::Nobody => "unknown",
        Band::Due => "warn",
        Band::Coming => "watch",
        Band::InHand => "fine",
    }
}

/// `maker's manual, workshop manual, page 12`
pub(super) fn source_words(facts: &ItemFacts) -> String {
    let page = if facts.page.is_empty() { String::new() } else { format!("page {}", facts.page) };
    let label = capital(facts.source.label());
    let parts = [label, facts.citation.clone(), page];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", ")
}

/// An item in a list.
pub struct Row {
    pub href: String,
    pub what: String,
    /// The figure: `3 Mar 2027`, or `overdue by 3 weeks`.
    pub when: String,
    /// Its range in words; empty where there is none.
    pub range: String,
    pub says: String,
    pub every: String,
    pub source: String,
    pub source_code: &'static str,
    pub code: &'static str,
    pub word: String,
}

impl Row {
    fn of(car: CarId, kept: &KeptUp, today: Date) -> Row {
        let facts = &kept.item.facts;
        Row {
            href: format!("/cars/{car}/upkeep/{}", kept.item.id),
            what: facts.what.clone(),
            when: when_words(kept, today),
            range: range_words(kept, today),
            says: kept.due.says.clone(),
            every: capital(&kept.interval.to_string()),
            source: source_words(facts),
            source_code: source_code(facts.source),
            code: band_code(kept.due.band),
            word: band_words(kept),
        }
    }
}

/// `overdue by 3 weeks`
fn band_words(kept: &KeptUp) -> String {
    format!("{} {}", kept.due.band, kept.due.over).trim_end().to_owned()
}

fn when_words(kept: &KeptUp, today: Date) -> String {
    match (kept.due.day, kept.due.cause) {
        (None, _) => "no day".to_owned(),
        (Some(day), Cause::Distance) => format!("about {}", day_words(day, today)),
        (Some(day), Cause::Time | Cause::Neither) => day_words(day, today),
    }
}

fn range_words(kept: &KeptUp, today: Date) -> String {
    match kept.due.range {
        None => String::new(),
        Some((earliest, Some(latest))) => {
            format!("between {} and {}", day_words(earliest, today), day_words(latest, today))
        }
        Some((earliest, None)) => format!("not before {}", day_words(earliest, today)),
    }
}

/// What is due soon, for the phone: `Engine oil: due about 3 Mar 2027`.
pub fn soon(book: &Book) -> Vec<String> {
    const MOST: usize = 3;
    let mut lines: Vec<String> = book
        .pressing()
        .map(|kept| {
            let (what, when) = (&kept.item.facts.what, when_words(kept, book.today));
            match kept.due.band {
                Band::Overdue => format!("{what}: {}", band_words(kept)),
                Band::Nobody | Band::Due | Band::Coming | Band::InHand => format!("{what}: due {when}"),
            }
        })
        .collect();
    let more = lines.len().saturating_sub(MOST);
    lines.truncate(MOST);
    if more > 0 {
        lines.push(format!("{more} more at the desk, under Upkeep"));
    }
    lines
}

/// Upkeep to come, for the record of the car: what it is; when, how often and by what source.
pub fn to_come(book: &Book) -> impl Iterator<Item = (String, String)> {
    book.items.iter().map(|kept| {
        let said = [when_words(kept, book.today), kept.interval.to_string(), source_words(&kept.item.facts)];
        (kept.item.facts.what.clone(), capital(&said.join(" · ")))
    })
}

pub struct Group {
    pub title: String,
    pub meaning: &'static str,
    pub rows: Vec<Row>,
}

/// A card that was proven and is not kept up yet.
pub struct Proven {
    pub card: CardId,
    pub title: String,
    /// What is offered for it; empty where nothing is.
    pub every: String,
}

/// Lists for a car that stands.
pub struct List {
    pub href: String,
    pub words: String,
}

#[derive(Template)]
#[template(path = "upkeep/list.html")]
pub struct ListPage {
    page: Page,
    car: CarId,
    groups: Vec<Group>,
    proven: Vec<Proven>,
    usage: String,
    odometer: String,
    /// Readings that do not count until they are explained; empty where all do.
    aside: String,
    thresholds: String,
    stands: String,
    away: Vec<List>,
    back: Vec<List>,
    day: String,
    slips: Slips,
}

impl ListPage {
    /// `day` and `slips` are of the form by which the car is put away or fetched out.
    pub fn new(page: Page, whole: &WholeCar, day: String, slips: Slips) -> ListPage {
        let (book, car) = (&whole.upkeep, whole.car.id);
        let group = |band: &Band| Group {
            title: capital(band.label()),
            meaning: band.meaning(),
            rows: book
                .items
                .iter()
                .filter(|kept| kept.due.band == *band)
                .map(|kept| Row::of(car, kept, book.today))
                .collect(),
        };
        let (away, back) = lists(book, car);
        ListPage {
            page,
            car,
            groups: Band::ALL.iter().map(group).filter(|group| !group.rows.is_empty()).collect(),
            proven: proven(whole),
            usage: usage_words(&book.usage, book.unit()),
            odometer: book.history.last().map(|last| last.shown.to_string()).unwrap_or_default(),
            aside: aside_words(book),
            thresholds: format!(
                "Due: within {DUE_DAYS} days, or once the earliest day of its range is here. Coming up: within \
                 {COMING_DAYS} days. Common practice, no source."
            ),
            stands: stands_words(book),
            away,
            back,
            day: if day.is_empty() { book.today.to_string() } else { day },
            slips,
        }
    }

    fn day_label(&self) -> &'static str {
        if self.stands.is_empty() { "Put away on" } else { "Runs again since" }
    }
}

fn aside_words(book: &Book) -> String {
    let unexplained =
        book.history.aside().iter().filter(|aside| aside.why != crate::trade::upkeep::Why::Misread).count();
    match unexplained {
        0 => String::new(),
        n => count(n, "reading does not count until it is explained", "readings do not count until they are explained"),
    }
}

/// `420 km a month, by 5 readings from … to …; between 380 and 460 km`
pub(super) fn usage_words(usage: &Usage, unit: DistanceUnit) -> String {
    match usage {
        Usage::Unknown { says } => (*says).to_owned(),
        Usage::Known(known) => {
            let range = match known.range_per_month() {
                Some((slow, quick)) => format!("between {} and {} (90 %)", unit.say(slow), unit.say(quick)),
                None => "two readings give no range".to_owned(),
            };
            let (month, days) = (unit.say(known.per_month()), known.days);
            format!(
                "{month} a month, {range}; by {days} readings from {} to {}.",
                said_day(known.from),
                said_day(known.to)
            )
        }
    }
}

fn stands_words(book: &Book) -> String {
    book.stands_since
        .map(|since| {
            let days = book.today.number() - since.number();
            format!("Stands since {}, {}.", day_words(since, book.today), time_span(days))
        })
        .unwrap_or_default()
}

/// The cards for putting it away, and for fetching it out by how long it has stood.
fn lists(book: &Book, car: CarId) -> (Vec<List>, Vec<List>) {
    let list = |pattern: &str, words: String| List { href: format!("/cars/{car}/patterns/{pattern}"), words };
    let away = Stay::ALL.iter().map(|stay| list(stay.putting_away(), format!("Put it away for {stay}")));
    let back = match book.stands_since {
        Some(since) => vec![Stay::between(since, book.today)],
        None => Vec::new(),
    };
    let back = back.into_iter().map(|stay| list(stay.fetching_out(), format!("Fetch it out after {stay}")));
    (away.collect(), back.collect())
}

/// The day on which a card was looked at again and so proven, by the restorer's clock.
pub(super) fn proven_on(whole: &WholeCar, card: CardId) -> Option<Date> {
    let proved =
        |op: &&crate::work::store::StandingOp| matches!(op.act, Act::Recheck(_)) && op.subject_id == card.to_string();
    let hlc: Hlc = whole.state.standing.iter().find(proved)?.hlc.parse().ok()?;
    Date::parse(&hlc.moment().local().date().to_string()).ok()
}

fn proven(whole: &WholeCar) -> Vec<Proven> {
    let kept = |card: CardId| whole.upkeep.items.iter().any(|kept| kept.item.facts.card == Some(card));
    let cards = whole.state.cards.iter().filter(|state| state.condition == Condition::Proven);
    let cards = cards.filter(|state| !kept(state.card.id));
    cards
        .map(|state| Proven {
            card: state.card.id,
            title: state.card.facts.title.clone(),
            every: every_offered(&state.card.facts.title, &state.card.facts.why),
        })
        .collect()
}

/// `every 10 000 km or 12 months, whichever is first`; empty where nothing is offered.
pub fn every_offered(title: &str, why: &str) -> String {
    offered::for_card(title, why).map(|one| one.every.to_string()).unwrap_or_default()
}

/// An interval that is offered.
pub struct Offer {
    pub href: String,
    pub item: String,
    pub every: String,
    pub why: String,
}

#[derive(Template)]
#[template(path = "upkeep/new.html")]
pub struct NewPage {
    page: Page,
    car: CarId,
    form: ItemForm,
    slips: Slips,
    fields: Fields,
    offers: Vec<Offer>,
}

impl NewPage {
    pub fn new(page: Page, whole: &WholeCar, form: ItemForm, slips: Slips) -> NewPage {
        let car = whole.car.id;
        let taken = |item: &str| whole.upkeep.items.iter().any(|kept| kept.item.facts.what == item);
        let offer = |one: &crate::trade::upkeep::Suggestion| Offer {
            href: format!("/cars/{car}/upkeep/new?offer={}", one.item.replace(' ', "%20").replace(',', "%2C")),
            item: one.item.clone(),
            every: one.every.to_string(),
            why: one.why.clone(),
        };
        let offers = offered::all().iter().filter(|one| !taken(&one.item)).map(offer).collect();
        NewPage { page, car, fields: Fields::of(whole, &form), form, slips, offers }
    }
}

/// The choices of the form of an item.
pub struct Fields {
    pub units: Vec<Choice>,
    pub sources: Vec<Choice>,
    pub cards: Vec<Choice>,
}

impl Fields {
    fn of(whole: &WholeCar, form: &ItemForm) -> Fields {
        let source = |kind: &SourceKind| Choice::new(kind.name(), capital(kind.label()), form.source == kind.name());
        let cards = whole.state.cards.iter().map(|state| {
            let id = state.card.id.to_string();
            let chosen = form.card == id;
            Choice::new(id, state.card.facts.title.clone(), chosen)
        });
        Fields {
            units: units(&form.unit),
            sources: SourceKind::ALL.iter().map(source).collect(),
            cards: cards.collect(),
        }
    }
}

pub(super) fn units(chosen: &str) -> Vec<Choice> {
    DistanceUnit::ALL.iter().map(|unit| Choice::new(unit.name(), unit.label(), chosen == unit.name())).collect()
}

/// A time that it was done.
pub struct Once {
    pub day: String,
    /// As it is sent back.
    pub iso: String,
    pub more: String,
}

#[derive(Template)]
#[template(path = "upkeep/item.html")]
pub struct ItemPage {
    page: Page,
    car: CarId,
    item: UpkeepItemId,
    row: Row,
    times: Vec<Once>,
    card: Option<(String, String)>,
    form: ItemForm,
    fields: Fields,
    done: DoneForm,
    units: Vec<Choice>,
    slips: Slips,
    differs: Option<Vec<Differs>>,
    /// The form about the item is open.
    editing: bool,
}

impl ItemPage {
    pub fn new(page: Page, whole: &WholeCar, kept: &KeptUp) -> ItemPage {
        let (book, car) = (&whole.upkeep, whole.car.id);
        let form = ItemForm::of(&kept.item);
        let card = kept.item.facts.card.and_then(|card| whole.state.card(card));
        let done = done_form(whole, kept);
        let once = |one: &super::book::ServedOn| Once {
            day: day_words(one.day, book.today),
            iso: one.body.day.clone(),
            more: once_words(&one.body),
        };
        ItemPage {
            page,
            car,
            item: kept.item.id,
            row: Row::of(car, kept, book.today),
            times: kept.done.iter().map(once).collect(),
            card: card.map(|state| (format!("/cars/{car}/cards/{}", state.card.id), state.card.facts.title.clone())),
            fields: Fields::of(whole, &form),
            form,
            units: units(&done.unit),
            done,
            slips: Slips::default(),
            differs: None,
            editing: false,
        }
    }

    pub fn with_item(mut self, typed: ItemForm, slips: Slips) -> ItemPage {
        for (choices, chosen) in [
            (&mut self.fields.units, &typed.unit),
            (&mut self.fields.sources, &typed.source),
            (&mut self.fields.cards, &typed.card),
        ] {
            choices.iter_mut().for_each(|choice| choice.chosen = choice.value == *chosen);
        }
        ItemPage { form: typed, slips, editing: true, ..self }
    }

    pub fn with_done(self, typed: DoneForm, slips: Slips) -> ItemPage {
        ItemPage { units: units(&typed.unit), done: typed, slips, ..self }
    }

    pub fn collided(self, now: &Item, typed: ItemForm) -> ItemPage {
        let differs = Some(typed.differing(now));
        let typed = ItemForm { rev: now.rev, ..typed };
        ItemPage { differs, ..self.with_item(typed, Slips::default()) }
    }
}

/// Filled in with the card that was proven since it was done last, or with today.
fn done_form(whole: &WholeCar, kept: &KeptUp) -> DoneForm {
    let book = &whole.upkeep;
    let last = kept.done.first().map(|one| one.day);
    let card = kept.item.facts.card.and_then(|card| whole.state.card(card));
    let proved = card.and_then(|state| Some((proven_on(whole, state.card.id)?, state.card.facts.title.clone())));
    let proved = proved.filter(|(day, _)| last.is_none_or(|last| *day > last));
    let unit = book.unit().name().to_owned();
    match proved {
        Some((day, by)) => DoneForm { day: day.to_string(), unit, by, ..DoneForm::default() },
        None => DoneForm { day: book.today.to_string(), unit, ..DoneForm::default() },
    }
}

fn once_words(body: &crate::sync::wire::ServicedBody) -> String {
    let number = if body.number.is_empty() { String::new() } else { format!("at {} {}", body.number, body.unit) };
    let by = if body.by.is_empty() { String::new() } else { format!("by {}", body.by) };
    [number, by, body.note.clone()].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" · ")
}
