//! What is typed of a part, checked field by field.

use super::price;
use super::store::{Part, PartFacts};
use crate::trade::buying::{Sort, Stage};
use crate::trade::plan::Spread;
use crate::web::form::{Differs, Slips, differing};
use serde::Deserialize;

const LONGEST_NAME: usize = 120;
const LONGEST_WORD: usize = 60;
const LONGEST_NOTE: usize = 2000;
/// Two years: whoever waits longer looks elsewhere.
const MOST_DAYS: u32 = 730;

#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartForm {
    pub name: String,
    pub number: String,
    pub supplier: String,
    pub quantity: String,
    pub state: String,
    pub price: String,
    pub currency: String,
    pub expected_on: String,
    pub note: String,
    /// A part where it is left out.
    #[serde(default)]
    pub sort: String,
    #[serde(default)]
    pub barcode: String,
    #[serde(default)]
    pub expected_latest: String,
    /// How many days delivery takes: all three, the likely one alone, or none.
    #[serde(default)]
    pub days_low: String,
    #[serde(default)]
    pub days_likely: String,
    #[serde(default)]
    pub days_high: String,
    /// The state that the form was opened with: where it is sent back, nothing was said of it.
    #[serde(default)]
    pub was: String,
    /// What the part was when the form was opened; nothing for a new one.
    #[serde(default)]
    pub rev: i64,
}

impl PartForm {
    /// An empty form: one of it, wanted, in the currency used before.
    pub fn blank(currency: &str) -> PartForm {
        PartForm {
            quantity: "1".into(),
            state: Stage::Wanted.name().into(),
            sort: Sort::Part.name().into(),
            currency: currency.to_owned(),
            ..PartForm::default()
        }
    }

    pub fn of(part: &Part) -> PartForm {
        let facts = part.facts.clone();
        let days = |of: fn(Spread) -> u32| facts.delivery.map(|days| of(days).to_string()).unwrap_or_default();
        PartForm {
            sort: facts.sort.name().to_owned(),
            days_low: days(Spread::low),
            days_likely: days(Spread::likely),
            days_high: days(Spread::high),
            was: facts.state.name().to_owned(),
            barcode: facts.barcode,
            expected_latest: facts.expected_latest.unwrap_or_default(),
            name: facts.name,
            number: facts.number,
            supplier: facts.supplier,
            quantity: facts.quantity,
            state: facts.state.name().to_owned(),
            price: facts.price_minor.map(price::typed).unwrap_or_default(),
            currency: facts.currency,
            expected_on: facts.expected_on.unwrap_or_default(),
            note: facts.note,
            rev: part.rev,
        }
    }

    /// The facts, unless something cannot be taken; the slips say what.
    pub fn read(&self, slips: &mut Slips) -> Option<PartFacts> {
        let no_name = "Say what it is, as you would ask for it over the counter.";
        let state = Stage::from_name(&self.state);
        if state.is_none() {
            slips.say("state", "Say where it is.");
        }
        let price_minor = minor(&self.price, slips);
        let expected_on = slips.day("expected_on", &self.expected_on);
        let expected_latest = latest(&self.expected_latest, expected_on.as_deref(), slips);
        let facts = PartFacts {
            sort: sort(&self.sort, slips),
            barcode: slips.line("barcode", &self.barcode, LONGEST_WORD),
            name: slips.needed("name", &self.name, LONGEST_NAME, no_name),
            number: slips.line("number", &self.number, LONGEST_WORD),
            supplier: slips.line("supplier", &self.supplier, LONGEST_WORD),
            quantity: quantity(&self.quantity, slips),
            state: state.unwrap_or(Stage::Wanted),
            price_minor,
            currency: currency(&self.currency, price_minor.is_some(), slips),
            expected_on,
            expected_latest,
            delivery: delivery([&self.days_low, &self.days_likely, &self.days_high], slips),
            note: slips.text("note", &self.note, LONGEST_NOTE),
        };
        slips.is_empty().then_some(facts)
    }

    /// What is said of where it is, unless the form leaves it as it was.
    pub fn said(&self) -> Option<Stage> {
        Stage::from_name(&self.state).filter(|_| self.state != self.was)
    }

    /// Where what is there now differs from what was typed.
    pub fn differing(&self, now: &Part) -> Vec<Differs> {
        differing(PartForm::of(now).fields(), self.fields())
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        let PartForm { name, number, supplier, quantity, state, price, currency, expected_on, note, .. } = self.clone();
        let PartForm { sort, barcode, expected_latest, days_low, days_likely, days_high, .. } = self.clone();
        let sort = Sort::from_name(&sort).unwrap_or(Sort::Part).label().to_owned();
        let days = [days_low, days_likely, days_high].join(" ").trim().to_owned();
        let state = Stage::from_name(&state).map(|state| state.label().to_owned()).unwrap_or(state);
        vec![
            ("What it is", name),
            ("How many", quantity),
            ("What kind of thing", sort),
            ("Part number", number),
            ("Number under its bars", barcode),
            ("Where it is", state),
            ("Supplier", supplier),
            ("Expected on", expected_on),
            ("At the latest", expected_latest),
            ("Days of delivery", days),
            ("Price", price.replace(',', ".")),
            ("Currency", currency),
            ("Note", note.replace("\r\n", "\n")),
        ]
    }
}

fn minor(typed: &str, slips: &mut Slips) -> Option<i64> {
    if typed.trim().is_empty() {
        return None;
    }
    price::parse(typed).map_err(|cause| slips.say("price", cause.to_string())).ok()
}

fn sort(typed: &str, slips: &mut Slips) -> Sort {
    if typed.is_empty() {
        return Sort::Part;
    }
    Sort::from_name(typed).unwrap_or_else(|| {
        slips.say("sort", "Say what kind of thing it is.");
        Sort::Part
    })
}

/// Something is wanted: what begins like a number is above zero.
fn quantity(typed: &str, slips: &mut Slips) -> String {
    let line = slips.needed("quantity", typed, LONGEST_WORD, "How many, or how much: 1, 2, 5 l.");
    let is_figure = line.starts_with(|letter: char| letter.is_ascii_digit() || letter == '-');
    let has_one = line.chars().any(|letter| ('1'..='9').contains(&letter));
    if line.starts_with('-') || is_figure && !has_one {
        slips.say("quantity", "None of it is nothing to buy: write how many, or take it off the list.");
    }
    line
}

/// The latest day, which is no earlier than the first.
pub fn latest(typed: &str, first: Option<&str>, slips: &mut Slips) -> Option<String> {
    let day = slips.day("expected_latest", typed)?;
    // Both are ISO 8601, so that they compare as text.
    if first.is_some_and(|first| day.as_str() < first) {
        slips.say("expected_latest", "The latest day comes before the first: swap them, or leave one empty.");
        return None;
    }
    Some(day)
}

/// Three guesses of days, or one that stands for all of them.
fn delivery(typed: [&str; 3], slips: &mut Slips) -> Option<Spread> {
    let [low, likely, high] = typed.map(str::trim);
    let typed = match (low, likely, high) {
        ("", "", "") => return None,
        ("", likely, "") => [likely; 3],
        all => [all.0, all.1, all.2],
    };
    let days: Vec<u32> = typed.iter().filter_map(|text| text.parse().ok()).filter(|days| *days <= MOST_DAYS).collect();
    let &[low, likely, high] = days.as_slice() else {
        slips.say("delivery", format!("Whole days from 0 to {MOST_DAYS}: all three, or only the likely one."));
        return None;
    };
    Spread::new(low, likely, high).map_err(|why| slips.say("delivery", why.to_string())).ok()
}

/// Three letters as in ISO 4217; needed as soon as there is a price.
fn currency(typed: &str, has_price: bool, slips: &mut Slips) -> String {
    let code = typed.trim().to_uppercase();
    let is_code = code.len() == 3 && code.bytes().all(|byte| byte.is_ascii_uppercase());
    if !is_code && (has_price || !code.is_empty()) {
        slips.say("currency", "Three letters, for instance EUR, GBP or USD.");
    }
    code
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed() -> PartForm {
        PartForm { name: "Sump washer".into(), price: "0,60".into(), ..PartForm::blank("eur") }
    }

    fn read(form: &PartForm) -> Result<PartFacts, Slips> {
        let mut slips = Slips::default();
        form.read(&mut slips).ok_or(slips)
    }

    #[test]
    fn a_part_is_read_as_it_was_typed() {
        let facts = read(&typed()).unwrap();
        assert_eq!((facts.price_minor, facts.currency.as_str(), facts.state), (Some(60), "EUR", Stage::Wanted));
        let unpriced = read(&PartForm { price: " ".into(), currency: String::new(), ..typed() }).unwrap();
        assert_eq!((unpriced.price_minor, unpriced.currency.as_str()), (None, ""));
    }

    #[test]
    fn each_slip_stands_at_its_own_field() {
        let wrong = PartForm {
            name: " ".into(),
            quantity: String::new(),
            state: "lost".into(),
            price: "12 EUR".into(),
            currency: "euros".into(),
            expected_on: "soon".into(),
            sort: "car".into(),
            days_likely: "-1".into(),
            ..typed()
        };
        let slips = read(&wrong).unwrap_err();
        for field in ["name", "quantity", "state", "price", "currency", "expected_on", "sort", "delivery"] {
            assert_ne!(slips.of(field), "", "{field}");
        }
        assert_eq!((slips.of("note"), slips.of("supplier")), ("", ""));
    }

    #[test]
    fn days_of_delivery_are_three_guesses_in_order_or_one_for_all() {
        let with = |days: [&str; 3]| {
            let [days_low, days_likely, days_high] = days.map(str::to_owned);
            read(&PartForm { days_low, days_likely, days_high, ..typed() })
        };
        assert_eq!(with(["", "", ""]).unwrap().delivery, None);
        assert_eq!(with(["", " 5 ", ""]).unwrap().delivery, Spread::sure(5).ok());
        assert_eq!(with(["2", "5", "9"]).unwrap().delivery, Spread::new(2, 5, 9).ok());
        for wrong in [["5", "2", "9"], ["2", "5", ""], ["", "", "9"], ["", "731", ""], ["", "-1", ""], ["", "soon", ""]]
        {
            assert_ne!(with(wrong).unwrap_err().of("delivery"), "", "{wrong:?}");
        }
    }

    #[test]
    fn the_latest_day_is_no_earlier_than_the_first() {
        let with = |first: &str, last: &str| {
            read(&PartForm { expected_on: first.into(), expected_latest: last.into(), ..typed() })
        };
        assert!(with("2026-12-01", "2026-12-01").is_ok() && with("", "2026-12-01").is_ok());
        assert_ne!(with("2026-12-02", "2026-12-01").unwrap_err().of("expected_latest"), "");
    }

    #[test]
    fn a_price_without_a_currency_is_asked_about() {
        let slips = read(&PartForm { currency: String::new(), ..typed() }).unwrap_err();
        assert_ne!(slips.of("currency"), "");
    }

    #[test]
    fn a_part_that_is_shown_in_the_form_is_read_back_the_same() {
        let facts = read(&typed()).unwrap();
        let part = Part::new(crate::ids::PartId::new(), facts.clone());
        assert_eq!(read(&PartForm::of(&part)).unwrap(), facts);
        assert!(typed().differing(&part).iter().all(|one| one.label == "Currency"), "only the letters' size differs");
    }
}
