//! Which jobs a page of the buy list is about, as addresses and forms say it.

use super::wants::Chosen;
use crate::ids::CardId;
use crate::work::model::CarState;
use serde::Deserialize;

/// Behind the question mark: `chosen=yes` says that somebody chose, if only nothing.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    #[serde(default)]
    pub card: Vec<String>,
    #[serde(default)]
    pub chosen: String,
    /// What no job asks for.
    #[serde(default)]
    pub rest: String,
    /// Of an order: the supplier.
    #[serde(default)]
    pub supplier: String,
}

impl Asked {
    pub fn of(cards: &str, rest: &str, chosen: &str) -> Asked {
        let card = cards.split_whitespace().map(str::to_owned).collect();
        Asked { card, chosen: chosen.to_owned(), rest: rest.to_owned(), supplier: String::new() }
    }

    /// Cards that the car does not have are left out.
    pub fn chosen(&self, on_car: &CarState) -> Chosen {
        if self.card.is_empty() && self.chosen.is_empty() {
            return Chosen::All;
        }
        let known = |card: &CardId| on_car.card(*card).is_some();
        let cards = self.card.iter().filter_map(|text| text.parse().ok()).filter(known).collect();
        Chosen::Some { cards, rest: !self.rest.is_empty() }
    }
}

impl Chosen {
    /// The same choice behind a question mark, with the mark; empty where nobody chose. Only ids stand in it.
    pub fn tail(&self) -> String {
        match self {
            Chosen::All => String::new(),
            Chosen::Some { cards, rest } => {
                let cards: String = cards.iter().map(|card| format!("&card={card}")).collect();
                format!("?chosen=yes{cards}{}", if *rest { "&rest=yes" } else { "" })
            }
        }
    }

    pub fn ids(&self) -> String {
        match self {
            Chosen::All => String::new(),
            Chosen::Some { cards, .. } => cards.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "),
        }
    }

    pub fn has_rest(&self) -> bool {
        match self {
            Chosen::All => true,
            Chosen::Some { rest, .. } => *rest,
        }
    }

    pub fn is_all(&self) -> bool {
        *self == Chosen::All
    }
}
