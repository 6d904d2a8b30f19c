//! What the logbook's page shows.

use super::book::{Asked, Book, EVENINGS_A_PAGE, Evening, Group, UNKNOWN_CARD};
use super::evening::{short_day, weekday};
use super::find::{Hit, Piece, Sought, plain};
use super::store::{Thing, Things};
use super::words::{Entry, Picture};
use crate::ids::{CarId, CardId, OpId};
use crate::jobs::model::Card;
use crate::sync::wire::Weight;
use crate::web::page::Page;
use crate::web::words;
use askama::Template;
use jiff::civil::Date;
use std::collections::HashMap;

#[derive(Template)]
#[template(path = "logbook/logbook.html")]
pub struct LogbookPage {
    pub page: Page,
    pub car: CarId,
    pub find: String,
    pub sought: Sought,
    pub cards: Vec<Choice>,
    /// `3 evenings`, or `7 entries on 3 evenings` where something was looked for.
    pub counted: String,
    /// How many entries were looked through; 0 where nothing was looked for.
    pub lines: usize,
    pub evenings: Vec<ShownEvening>,
    pub newer: String,
    pub older: String,
    /// Where all of it stands on one page; empty where it does already.
    pub whole: String,
    /// Something was looked for, so that an empty page means that it was not found.
    pub looked: bool,
    pub written: WrittenView,
}

/// One card among those that can be chosen.
pub struct Choice {
    pub id: String,
    pub title: String,
    pub chosen: bool,
}

pub struct ShownEvening {
    pub day: String,
    pub weekday: String,
    pub length: String,
    pub tonight: bool,
    pub groups: Vec<ShownGroup>,
}

pub struct ShownGroup {
    pub title: Vec<Piece>,
    /// Empty where there is nothing to go to.
    pub href: String,
    pub gone: bool,
    pub entries: Vec<ShownEntry>,
    pub pictures: Vec<Picture>,
}

pub struct ShownEntry {
    pub op: OpId,
    pub mark: &'static str,
    pub what: Vec<Piece>,
    pub time: String,
    /// The short remarks, the name of the device last.
    pub more: Vec<Vec<Piece>>,
    pub since: Vec<Piece>,
    pub weight: Option<Weight>,
    pub is_tick: bool,
}

/// What stands in the forms beside the book, with what was wrong with it.
#[derive(Default)]
pub struct WrittenView {
    pub note: TextForm,
    pub finding: TextForm,
    pub odometer: OdometerForm,
}

#[derive(Default)]
pub struct TextForm {
    pub text: String,
    pub place: String,
    pub weight: String,
    pub card: String,
    pub error: String,
    pub weight_error: String,
}

#[derive(Default)]
pub struct OdometerForm {
    pub number: String,
    pub unit: String,
    pub error: String,
}

impl WrittenView {
    pub fn weights(&self) -> &'static [Weight] {
        Weight::ALL
    }
}

/// Everything the page is made from.
pub struct Told<'a> {
    pub car: CarId,
    pub book: Book,
    pub asked: &'a Asked,
    pub things: &'a Things,
    pub cards: &'a [Card],
    pub today: Date,
    pub sought: Sought,
    /// What was found, by its operation.
    pub hits: &'a HashMap<OpId, Hit>,
    /// How many entries were looked through.
    pub lines: usize,
}

impl LogbookPage {
    /// Whether only what was done for one card is asked for.
    fn is_of_one_card(&self) -> bool {
        self.cards.iter().any(|choice| choice.chosen)
    }

    pub fn new(page: Page, told: Told<'_>, written: WrittenView) -> LogbookPage {
        let Told { car, book, asked, things, cards, today, sought, hits, lines } = told;
        let here = format!("/cars/{car}/logbook");
        let shown = asked.page.saturating_add(1).saturating_mul(EVENINGS_A_PAGE);
        let older = if !asked.all && shown < book.total { leaf(&here, asked, asked.page + 1) } else { String::new() };
        let newer = if !asked.all && asked.page > 0 { leaf(&here, asked, asked.page - 1) } else { String::new() };
        let whole =
            if asked.all || book.total == 0 { String::new() } else { format!("{here}?{}", query(asked, "all=yes")) };
        LogbookPage {
            page,
            car,
            find: asked.find.clone(),
            sought,
            lines,
            cards: cards
                .iter()
                .map(|card| Choice {
                    id: card.id.to_string(),
                    title: card.facts.title.clone(),
                    chosen: asked.card == Some(card.id),
                })
                .collect(),
            counted: counted(&book, asked),
            evenings: book.evenings.iter().map(|evening| shown_evening(evening, (car, today), things, hits)).collect(),
            newer,
            older,
            whole,
            looked: !asked.find.is_empty() || asked.card.is_some(),
            written,
        }
    }
}

/// The address of another page of the same book.
fn leaf(here: &str, asked: &Asked, page: usize) -> String {
    format!("{here}?{}", query(asked, &format!("page={}", page + 1)))
}

fn query(asked: &Asked, last: &str) -> String {
    let card = asked.card.map(|card| card.to_string()).unwrap_or_default();
    let find: String = asked.find.bytes().map(percent).collect();
    format!("q={find}&card={card}&{last}")
}

/// RFC 3986: letters and digits stand for themselves in a query.
fn percent(byte: u8) -> String {
    if byte.is_ascii_alphanumeric() { char::from(byte).to_string() } else { format!("%{byte:02X}") }
}

fn counted(book: &Book, asked: &Asked) -> String {
    let evenings = words::count(book.total, "evening", "evenings");
    if asked.only.is_none() {
        evenings
    } else {
        format!("{} on {evenings}", words::count(book.entries, "entry", "entries"))
    }
}

fn shown_evening(
    evening: &Evening,
    (car, today): (CarId, Date),
    things: &Things,
    hits: &HashMap<OpId, Hit>,
) -> ShownEvening {
    ShownEvening {
        day: short_day(evening.day, today),
        weekday: weekday(evening.day),
        length: length(evening),
        tonight: evening.day == today,
        groups: evening.groups.iter().map(|group| shown_group(group, car, things, hits)).collect(),
    }
}

/// `19:05 to 21:25, 2 h 15 min worked`
fn length(evening: &Evening) -> String {
    let (from, to) = (words::time(evening.from), words::time(evening.to));
    let span = if from == to { from } else { format!("{from} to {to}") };
    if evening.minutes == 0 { span } else { format!("{span}, {} worked", words::minutes(evening.minutes)) }
}

fn shown_group(group: &Group, car: CarId, things: &Things, hits: &HashMap<OpId, Hit>) -> ShownGroup {
    let (title, href, gone) = match group.card {
        None => ("On the car".to_owned(), String::new(), false),
        Some(card) => titled(card, things.get(&card.to_string()), car),
    };
    let hit = group.entries.iter().find_map(|entry| hits.get(&entry.op)).filter(|hit| !hit.card.is_empty());
    ShownGroup {
        title: hit.map_or_else(|| plain(&title), |hit| hit.card.clone()),
        href,
        gone,
        pictures: group.entries.iter().filter_map(|entry| entry.picture.clone()).collect(),
        entries: group
            .entries
            .iter()
            .filter(|entry| !is_plain_picture(entry, hits))
            .map(|entry| shown_entry(entry, hits.get(&entry.op)))
            .collect(),
    }
}

/// A picture stands under the lines of its card, unless something is to be said of it there or it was looked for.
fn is_plain_picture(entry: &Entry, hits: &HashMap<OpId, Hit>) -> bool {
    entry.picture.is_some() && entry.since.is_none() && !hits.contains_key(&entry.op)
}

fn titled(card: CardId, thing: Option<&Thing>, car: CarId) -> (String, String, bool) {
    match thing {
        Some(thing) if !thing.gone => (thing.name.clone(), format!("/cars/{car}/cards/{card}"), false),
        Some(thing) => (thing.name.clone(), String::new(), true),
        None => (UNKNOWN_CARD.to_owned(), String::new(), true),
    }
}

/// `hit`: the same line with what was found marked.
pub(super) fn shown_entry(entry: &Entry, hit: Option<&Hit>) -> ShownEntry {
    let (what, more, since) = match hit {
        Some(hit) => (hit.what.clone(), hit.more.clone(), hit.since.clone()),
        None => (
            plain(&entry.what),
            entry.more.iter().chain([&entry.who]).map(|part| plain(part)).collect(),
            plain(entry.since.as_deref().unwrap_or_default()),
        ),
    };
    ShownEntry {
        op: entry.op,
        mark: entry.mark,
        what,
        time: words::time(entry.at),
        more,
        since,
        weight: entry.weight,
        is_tick: matches!(entry.mark, "done" | "skip" | "todo"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_looked_for_goes_along_to_the_next_page() {
        let asked = Asked { find: "oil & 5 l".into(), ..Asked::default() };
        assert_eq!(leaf("/l", &asked, 1), "/l?q=oil%20%26%205%20l&card=&page=2");
    }

    #[test]
    fn an_evening_says_how_long_it_was() {
        let at = |minutes| crate::clock::Moment(1_800_000_000_000).plus_minutes(minutes);
        let evening =
            Evening { day: jiff::civil::date(2027, 1, 15), from: at(0), to: at(0), minutes: 0, groups: vec![] };
        assert!(!length(&evening).contains("to"));
        let longer = Evening { to: at(95), minutes: 75, ..evening };
        assert!(length(&longer).ends_with(", 1 h 15 min worked"), "{}", length(&longer));
    }
}
