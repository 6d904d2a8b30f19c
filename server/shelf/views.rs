//! What a part's page shows, and the words that pages of the buy list share.

use super::around::Shelf;
use super::form::PartForm;
use super::list::{Need, moves_of, needs};
use super::store::{Moved, Part};
use crate::clock::Moment;
use crate::ids::{CarId, PartId};
use crate::logbook::evening::{evening_of, short_day};
use crate::sync::hlc::Hlc;
use crate::sync::wire::Act;
use crate::trade::buying::{Sort, Stage};
use crate::web::form::{Choice, Differs, Slips};
use crate::web::page::{Page, Place};
use crate::web::words;
use crate::work::model::CarState;
use askama::Template;
use jiff::civil::Date;

/// The shape beside a state, and its style's name.
pub fn mark(state: Stage) -> &'static str {
    match state {
        Stage::Wanted => "short",
        Stage::Ordered => "waiting",
        Stage::SentBack => "prev",
        Stage::Here => "done",
        Stage::Fitted => "closed",
    }
}

pub struct ShownNeed {
    pub href: String,
    pub words: String,
    pub apart: bool,
}

/// The day an ordered part is expected on, and whether that day has passed.
pub fn expected(part: &Part, today: Date) -> (String, bool) {
    let day = |text: &Option<String>| text.as_deref().and_then(|day| day.parse::<Date>().ok());
    let (first, latest) = (day(&part.facts.expected_on), day(&part.facts.expected_latest));
    let Some(last) = latest.or(first) else { return (String::new(), false) };
    let words = match first.filter(|first| *first < last) {
        Some(first) => format!("between {} and {}", short_day(first, today), short_day(last, today)),
        None => format!("on {}", short_day(last, today)),
    };
    match part.facts.state {
        Stage::Ordered if last < today => (format!("was expected {words}"), true),
        Stage::Ordered => (format!("expected {words}"), false),
        Stage::Wanted => (format!("wanted {words}"), false),
        Stage::SentBack | Stage::Here | Stage::Fitted => (String::new(), false),
    }
}

/// `2 of 4 here`; empty where all or nothing is.
pub fn partly(part: &Part) -> String {
    let of = |some: &crate::trade::buying::Many, word: &str| {
        let all = part.many();
        let all = if all.unit_name().is_empty() { all.written() } else { all.to_string() };
        format!("{} of {all} {word}", some.number().map(|number| number.normalize().to_string()).unwrap_or_default())
    };
    let standing = &part.standing;
    let here = standing.partly_here.as_ref().map(|some| of(some, "here"));
    here.or_else(|| standing.partly_fitted.as_ref().map(|some| of(some, "fitted"))).unwrap_or_default()
}

fn shown_needs(shelf: &Shelf, part: PartId) -> Vec<ShownNeed> {
    needs(&shelf.state, part).into_iter().map(|need| shown_need(need, shelf.car.id)).collect()
}

fn shown_need(need: Need, car: CarId) -> ShownNeed {
    ShownNeed {
        href: format!("/cars/{car}/cards/{}#step-{}", need.card, need.step),
        words: format!("{}, step {} ({})", need.title, need.number, need.quantity),
        apart: need.apart,
    }
}

pub fn shown_moves(shelf: &Shelf, part: PartId) -> Vec<String> {
    moves_of(&shelf.moves, part).into_iter().filter_map(|moved| move_in_words(moved, shelf.today)).collect()
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
    pub partly: String,
    /// Suppliers on the list already, offered while typing.
    pub suppliers: Vec<String>,
}

impl PartPage {
    /// A form with what belongs beside it. `part`: as it is stored, if it is.
    pub fn new(page: Page, shelf: &Shelf, part: Option<&Part>, form: PartForm, slips: Slips) -> PartPage {
        let id = part.map(|part| part.id);
        let differs = part.filter(|part| slips.is_empty() && part.rev != form.rev).map(|part| form.differing(part));
        let form = match part {
            // Whoever saves after having been told puts theirs in its place.
            Some(part) if slips.is_empty() => {
                PartForm { rev: part.rev, was: part.facts.state.name().to_owned(), ..form }
            }
            _ => form,
        };
        PartPage {
            page: page.at_desk(shelf.car.id, &shelf.car.name, Place::BuyList),
            car: shelf.car.id,
            part: id,
            called: part.map(|part| part.facts.name.clone()).unwrap_or_default(),
            differs,
            needs: id.map(|id| shown_needs(shelf, id)).unwrap_or_default(),
            moves: id.map(|id| shown_moves(shelf, id)).unwrap_or_default(),
            partly: part.map(partly).unwrap_or_default(),
            suppliers: suppliers(&shelf.state),
            form,
            slips,
        }
    }

    pub fn states(&self) -> Vec<(&'static str, &'static str, &'static str)> {
        Stage::ALL.iter().map(|state| (state.name(), state.label(), mark(*state))).collect()
    }

    /// Guesses of the days of delivery: field, label and what is typed.
    pub fn days(&self) -> [(&'static str, &'static str, &str); 3] {
        let PartForm { days_low, days_likely, days_high, .. } = &self.form;
        [
            ("days_low", "at least", days_low),
            ("days_likely", "likely", days_likely),
            ("days_high", "at most", days_high),
        ]
    }

    pub fn sorts(&self) -> Vec<Choice> {
        let chosen = |sort: &Sort| *sort == Sort::from_name(&self.form.sort).unwrap_or(Sort::Part);
        Sort::ALL.iter().map(|sort| Choice::new(sort.name(), words::capital(sort.label()), chosen(sort))).collect()
    }
}

pub fn suppliers(state: &CarState) -> Vec<String> {
    let named: std::collections::BTreeSet<&str> =
        state.parts.iter().map(|part| part.facts.supplier.as_str()).filter(|name| !name.is_empty()).collect();
    named.into_iter().map(str::to_owned).collect()
}
