//! What is typed of a part, checked field by field.

use super::price;
use super::store::{Part, PartFacts, PartState};
use crate::web::form::{Differs, Slips, differing};
use serde::Deserialize;

const LONGEST_NAME: usize = 120;
const LONGEST_WORD: usize = 60;
const LONGEST_NOTE: usize = 2000;

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
    /// What the part was when the form was opened; nothing for a new one.
    #[serde(default)]
    pub rev: i64,
}

impl PartForm {
    /// An empty form: one of it, wanted, in the currency used before.
    pub fn blank(currency: &str) -> PartForm {
        PartForm {
            quantity: "1".into(),
            state: PartState::Wanted.name().into(),
            currency: currency.to_owned(),
            ..PartForm::default()
        }
    }

    pub fn of(part: &Part) -> PartForm {
        let facts = part.facts.clone();
        PartForm {
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
        let state = PartState::from_name(&self.state);
        if state.is_none() {
            slips.say("state", "Say where it is.");
        }
        let price_minor = minor(&self.price, slips);
        let facts = PartFacts {
            name: slips.needed("name", &self.name, LONGEST_NAME, no_name),
            number: slips.line("number", &self.number, LONGEST_WORD),
            supplier: slips.line("supplier", &self.supplier, LONGEST_WORD),
            quantity: slips.needed("quantity", &self.quantity, LONGEST_WORD, "How many, or how much: 1, 2, 5 l."),
            state: state.unwrap_or(PartState::Wanted),
            price_minor,
            currency: currency(&self.currency, price_minor.is_some(), slips),
            expected_on: slips.day("expected_on", &self.expected_on),
            note: slips.text("note", &self.note, LONGEST_NOTE),
        };
        slips.is_empty().then_some(facts)
    }

    /// Where what is there now differs from what was typed.
    pub fn differing(&self, now: &Part) -> Vec<Differs> {
        differing(PartForm::of(now).fields(), self.fields())
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        let PartForm { name, number, supplier, quantity, state, price, currency, expected_on, note, rev: _ } =
            self.clone();
        let state = PartState::from_name(&state).map(|state| state.label().to_owned()).unwrap_or(state);
        vec![
            ("What it is", name),
            ("How many", quantity),
            ("Part number", number),
            ("Where it is", state),
            ("Supplier", supplier),
            ("Expected on", expected_on),
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
        assert_eq!((facts.price_minor, facts.currency.as_str(), facts.state), (Some(60), "EUR", PartState::Wanted));
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
            ..typed()
        };
        let slips = read(&wrong).unwrap_err();
        for field in ["name", "quantity", "state", "price", "currency", "expected_on"] {
            assert_ne!(slips.of(field), "", "{field}");
        }
        assert_eq!((slips.of("note"), slips.of("supplier")), ("", ""));
    }

    #[test]
    fn a_price_without_a_currency_is_asked_about() {
        let slips = read(&PartForm { currency: String::new(), ..typed() }).unwrap_err();
        assert_ne!(slips.of("currency"), "");
    }

    #[test]
    fn a_part_that_is_shown_in_the_form_is_read_back_the_same() {
        let facts = read(&typed()).unwrap();
        let part = Part { id: crate::ids::PartId::new(), facts: facts.clone(), rev: 1 };
        assert_eq!(read(&PartForm::of(&part)).unwrap(), facts);
        assert!(typed().differing(&part).iter().all(|one| one.label == "Currency"), "only the letters' size differs");
    }
}
