//! What the buy list and a part's page show.

use super::form::PartForm;
use super::list::{Lot, Need, lots, moves_of, needs};
use super::store::{Moved, Part, PartState};
use crate::clock::Moment;
use crate::ids::{CarId, PartId};
use crate::logbook::evening::{evening_of, short_day};
use crate::specs::model::Spec;
use crate::specs::views::Link;
use crate::sync::hlc::Hlc;
use crate::sync::wire::Act;
use crate::trade::spec::Kind;
use crate::trade::trust::Trust;
use crate::web::form::{Differs, Slips};
use crate::web::page::{Page, Place};
use crate::web::words;
use crate::work::model::CarState;
use askama::Template;
use jiff::civil::Date;

#[derive(Template)]
#[template(path = "shelf/list.html")]
pub struct BuyListPage {
    pub page: Page,
    pub car: CarId,
    pub lots: Vec<ShownLot>,
    /// Fluids, and how much of them, about which sources disagree: what is bought by either may be wrong.
    pub open_fluids: Vec<Link>,
}

pub struct ShownLot {
    pub code: &'static str,
    pub mark: &'static str,
    pub label: String,
    /// One for each currency.
    pub sums: Vec<String>,
    /// How many parts have no price; empty where all have.
    pub unpriced: String,
    pub suppliers: Vec<ShownSupplier>,
}

pub struct ShownSupplier {
    pub called: String,
    pub parts: Vec<ShownPart>,
}

pub struct ShownPart {
    pub href: String,
    pub called: String,
    pub number: String,
    pub quantity: String,
    pub price: String,
    pub expected: String,
    pub late: bool,
    pub note: String,
    pub needs: Vec<ShownNeed>,
    pub moves: Vec<String>,
}

pub struct ShownNeed {
    pub href: String,
    pub words: String,
    pub apart: bool,
}

/// The shape beside a state, and its style's name.
fn mark(state: PartState) -> &'static str {
    match state {
        PartState::Wanted => "short",
        PartState::Ordered => "waiting",
        PartState::SentBack => "prev",
        PartState::Here => "done",
        PartState::Fitted => "closed",
    }
}

/// What a lot is called at the head of its table.
fn heading(state: PartState) -> &'static str {
    match state {
        PartState::Wanted => "To buy",
        PartState::Ordered => "Ordered",
        PartState::SentBack => "Sent back",
        PartState::Here => "On the shelf",
        PartState::Fitted => "Fitted",
    }
}

/// Everything the list is made from.
pub struct Told<'a> {
    pub car: CarId,
    pub called: &'a str,
    pub state: &'a CarState,
    pub moves: &'a [Moved],
    pub today: Date,
}

impl BuyListPage {
    pub fn new(page: Page, told: &Told<'_>) -> BuyListPage {
        BuyListPage {
            page: page.at_desk(told.car, told.called, Place::BuyList),
            car: told.car,
            lots: lots(&told.state.parts).iter().map(|lot| shown_lot(lot, told)).collect(),
            open_fluids: told
                .state
                .specs
                .iter()
                .filter(|spec| is_open_fluid(spec))
                .map(|spec| to_spec(told.car, spec))
                .collect(),
        }
    }
}

fn is_open_fluid(spec: &Spec) -> bool {
    matches!(spec.facts.kind, Kind::Fluid | Kind::Volume) && spec.trust().0 == Trust::Open
}

fn to_spec(car: CarId, spec: &Spec) -> Link {
    Link { href: format!("/cars/{car}/specs/{}", spec.id), words: spec.facts.item.clone() }
}

fn shown_lot(lot: &Lot<'_>, told: &Told<'_>) -> ShownLot {
    ShownLot {
        code: lot.state.name(),
        mark: mark(lot.state),
        label: heading(lot.state).to_owned(),
        sums: lot.sums.iter().map(|(currency, minor)| words::money(*minor, currency)).collect(),
        unpriced: if lot.unpriced == 0 { String::new() } else { format!("{} without a price", lot.unpriced) },
        suppliers: lot
            .suppliers
            .iter()
            .map(|(supplier, parts)| ShownSupplier {
                called: if supplier.is_empty() { "No supplier yet".to_owned() } else { supplier.clone() },
                parts: parts.iter().map(|part| shown_part(part, told)).collect(),
            })
            .collect(),
    }
}

fn shown_part(part: &Part, told: &Told<'_>) -> ShownPart {
    let facts = &part.facts;
    let (expected, late) = expected(part, told.today);
    ShownPart {
        href: format!("/cars/{}/parts/{}", told.car, part.id),
        called: facts.name.clone(),
        number: facts.number.clone(),
        quantity: facts.quantity.clone(),
        price: facts.price_minor.map(|minor| words::money(minor, &facts.currency)).unwrap_or_default(),
        expected,
        late,
        note: facts.note.clone(),
        needs: shown_needs(told, part.id),
        moves: shown_moves(told, part.id),
    }
}

/// The day an ordered part is expected on, and whether that day has passed.
fn expected(part: &Part, today: Date) -> (String, bool) {
    let day = part.facts.expected_on.as_deref().and_then(|day| day.parse::<Date>().ok());
    match (part.facts.state, day) {
        (PartState::Ordered, Some(day)) if day < today => (format!("was expected on {}", short_day(day, today)), true),
        (PartState::Wanted | PartState::Ordered, Some(day)) => {
            (format!("expected on {}", short_day(day, today)), false)
        }
        _ => (String::new(), false),
    }
}

fn shown_needs(told: &Told<'_>, part: PartId) -> Vec<ShownNeed> {
    needs(told.state, part).into_iter().map(|need| shown_need(need, told.car)).collect()
}

fn shown_need(need: Need, car: CarId) -> ShownNeed {
    ShownNeed {
        href: format!("/cars/{car}/cards/{}#step-{}", need.card, need.step),
        words: format!("{}, step {} ({})", need.title, need.number, need.quantity),
        apart: need.apart,
    }
}

fn shown_moves(told: &Told<'_>, part: PartId) -> Vec<String> {
    moves_of(told.moves, part).into_iter().filter_map(|moved| move_in_words(moved, told.today)).collect()
}

/// `2 l arrived on 13 Nov (phone)`
fn move_in_words(moved: &Moved, today: Date) -> Option<String> {
    let (quantity, word) = match &moved.act {
        Act::Arrival(body) => (&body.quantity, "arrived"),
        Act::PartUsed(body) => (&body.quantity, "used"),
        _ => return None,
    };
    let at: Moment = moved.hlc.parse::<Hlc>().ok()?.moment();
    let who = moved.device_name.as_deref().map(|name| format!(" ({name})")).unwrap_or_default();
    Some(format!("{quantity} {word} on {}{who}", short_day(evening_of(at), today)))
}

#[derive(Template)]
#[template(path = "shelf/part.html")]
pub struct PartPage {
    pub page: Page,
    pub car: CarId,
    /// `None` for a part that is not on the list yet.
    pub part: Option<PartId>,
    pub called: String,
    pub form: PartForm,
    pub slips: Slips,
    /// Somebody else changed the part since the form was opened.
    pub differs: Option<Vec<Differs>>,
    pub needs: Vec<ShownNeed>,
    pub moves: Vec<String>,
    /// Suppliers on the list already, offered while typing.
    pub suppliers: Vec<String>,
}

impl PartPage {
    /// A form with what belongs beside it. `part`: as it is stored, if it is.
    pub fn new(page: Page, told: &Told<'_>, part: Option<&Part>, form: PartForm, slips: Slips) -> PartPage {
        let id = part.map(|part| part.id);
        PartPage {
            page: page.at_desk(told.car, told.called, Place::BuyList),
            car: told.car,
            part: id,
            called: part.map(|part| part.facts.name.clone()).unwrap_or_default(),
            differs: part.filter(|part| slips.is_empty() && part.rev != form.rev).map(|part| form.differing(part)),
            needs: id.map(|id| shown_needs(told, id)).unwrap_or_default(),
            moves: id.map(|id| shown_moves(told, id)).unwrap_or_default(),
            suppliers: suppliers(told.state),
            form: match part {
                // Whoever saves after having been told puts theirs in its place.
                Some(part) if slips.is_empty() => PartForm { rev: part.rev, ..form },
                _ => form,
            },
            slips,
        }
    }

    pub fn states(&self) -> Vec<(&'static str, &'static str, &'static str)> {
        PartState::ALL.iter().map(|state| (state.name(), state.label(), mark(*state))).collect()
    }
}

fn suppliers(state: &CarState) -> Vec<String> {
    let named: std::collections::BTreeSet<&str> =
        state.parts.iter().map(|part| part.facts.supplier.as_str()).filter(|name| !name.is_empty()).collect();
    named.into_iter().map(str::to_owned).collect()
}
