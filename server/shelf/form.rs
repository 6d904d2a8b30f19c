//! What is typed of a part, checked field by field.

use super::price;
use super::store::{Part, PartFacts, PartState};
use crate::web::form::{day, in_length, lines};
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
    #[serde(default)]
    pub rev: String,
}

/// What was wrong, a sentence for each field; empty where nothing was.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct PartSlips {
    pub name: String,
    pub number: String,
    pub supplier: String,
    pub quantity: String,
    pub state: String,
    pub price: String,
    pub currency: String,
    pub expected_on: String,
    pub note: String,
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
            rev: part.rev.to_string(),
        }
    }

    /// Errors: what is wrong with each field.
    pub fn read(&self) -> Result<PartFacts, PartSlips> {
        let mut slips = PartSlips::default();
        let state = PartState::from_name(&self.state);
        if state.is_none() {
            slips.state = "Say where it is.".into();
        }
        let price_minor = minor(&self.price, &mut slips.price);
        let facts = PartFacts {
            name: in_length(&self.name, LONGEST_NAME, &mut slips.name),
            number: in_length(&self.number, LONGEST_WORD, &mut slips.number),
            supplier: in_length(&self.supplier, LONGEST_WORD, &mut slips.supplier),
            quantity: in_length(&self.quantity, LONGEST_WORD, &mut slips.quantity),
            state: state.unwrap_or(PartState::Wanted),
            price_minor,
            currency: currency(&self.currency, price_minor.is_some(), &mut slips.currency),
            expected_on: day(&self.expected_on, &mut slips.expected_on),
            note: in_length(&lines(&self.note), LONGEST_NOTE, &mut slips.note),
        };
        if facts.name.is_empty() {
            slips.name = "Say what it is, as you would ask for it over the counter.".into();
        }
        if facts.quantity.is_empty() {
            slips.quantity = "How many, or how much: 1, 2, 5 l.".into();
        }
        if slips == PartSlips::default() { Ok(facts) } else { Err(slips) }
    }
}

fn minor(typed: &str, slip: &mut String) -> Option<i64> {
    if typed.trim().is_empty() {
        return None;
    }
    price::parse(typed).map_err(|cause| *slip = cause.to_string()).ok()
}

/// Three letters as in ISO 4217; needed as soon as there is a price.
fn currency(typed: &str, has_price: bool, slip: &mut String) -> String {
    let code = typed.trim().to_uppercase();
    let is_code = code.len() == 3 && code.bytes().all(|byte| byte.is_ascii_uppercase());
    if !is_code && (has_price || !code.is_empty()) {
        *slip = "Three letters, for instance EUR, GBP or USD.".into();
    }
    code
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed() -> PartForm {
        PartForm { name: "Sump washer".into(), price: "0,60".into(), ..PartForm::blank("eur") }
    }

    #[test]
    fn a_part_is_read_as_it_was_typed() {
        let facts = typed().read().unwrap();
        assert_eq!((facts.price_minor, facts.currency.as_str(), facts.state), (Some(60), "EUR", PartState::Wanted));
        let unpriced = PartForm { price: " ".into(), currency: String::new(), ..typed() }.read().unwrap();
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
        let slips = wrong.read().unwrap_err();
        for slip in [&slips.name, &slips.quantity, &slips.state, &slips.price, &slips.currency, &slips.expected_on] {
            assert!(!slip.is_empty(), "{slips:?}");
        }
        assert!(slips.note.is_empty() && slips.supplier.is_empty());
    }

    #[test]
    fn a_price_without_a_currency_is_asked_about() {
        assert!(!PartForm { currency: String::new(), ..typed() }.read().unwrap_err().currency.is_empty());
    }

    #[test]
    fn a_part_that_is_shown_in_the_form_is_read_back_the_same() {
        let facts = typed().read().unwrap();
        let part = Part { id: crate::ids::PartId::new(), facts: facts.clone(), rev: 1 };
        assert_eq!(PartForm::of(&part).read().unwrap(), facts);
    }
}
