//! What stands around a part: the steps that ask for it, and what came and was used of it; and things by where they are and
//! who sells them.

use super::store::Moved;
use super::wants::Item;
use crate::ids::{CardId, PartId, StepId};
use crate::trade::buying::{Purse, Stage};
use crate::trade::condition::Condition;
use crate::work::model::CarState;
use std::collections::BTreeMap;

/// What is missing comes first.
pub const BY_NEED: [Stage; 5] = [Stage::Wanted, Stage::Ordered, Stage::SentBack, Stage::Here, Stage::Fitted];

/// A step that a part is attached to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    pub card: CardId,
    pub step: StepId,
    pub title: String,
    /// The step's place in the card, from 1.
    pub number: usize,
    pub quantity: String,
    /// The card is begun and stands open.
    pub apart: bool,
}

/// The steps that need a part, in the order of the cards.
pub fn needs(state: &CarState, part: PartId) -> Vec<Need> {
    let mut found = Vec::new();
    for card in &state.cards {
        for (index, step) in card.steps.iter().enumerate() {
            let wanted = step.attached.parts.iter().filter(|wanted| wanted.part == part);
            found.extend(wanted.map(|wanted| Need {
                card: card.card.id,
                step: step.id,
                title: card.card.facts.title.clone(),
                number: index + 1,
                quantity: wanted.quantity.clone(),
                apart: card.condition == Condition::Apart,
            }));
        }
    }
    found
}

/// What came and what was used of a part, oldest first.
pub fn moves_of(moves: &[Moved], part: PartId) -> Vec<&Moved> {
    moves.iter().filter(|moved| moved.part == part).collect()
}

/// Things in one state.
pub struct Lot<'a, 'b> {
    pub state: Stage,
    pub sum: Purse,
    /// How many have no price.
    pub unpriced: usize,
    /// By supplier; those that have none come last.
    pub suppliers: Vec<(String, Vec<&'b Item<'a>>)>,
}

/// Sorts things into lots; states without any are left out.
pub fn lots<'a, 'b>(items: &'b [Item<'a>]) -> Vec<Lot<'a, 'b>> {
    BY_NEED.into_iter().map(|state| lot(state, items)).filter(|lot| !lot.suppliers.is_empty()).collect()
}

fn lot<'a, 'b>(state: Stage, items: &'b [Item<'a>]) -> Lot<'a, 'b> {
    let mut lot = Lot { state, sum: Purse::default(), unpriced: 0, suppliers: Vec::new() };
    let mut by_supplier: BTreeMap<(bool, &str), Vec<&Item<'a>>> = BTreeMap::new();
    for item in items.iter().filter(|item| item.want.stage == state) {
        match item.want.price {
            Some(price) => lot.sum.add(price),
            None => lot.unpriced += 1,
        }
        let supplier = item.want.supplier.as_str();
        by_supplier.entry((supplier.is_empty(), supplier)).or_default().push(item);
    }
    lot.suppliers = by_supplier.into_iter().map(|((_, supplier), items)| (supplier.to_owned(), items)).collect();
    lot
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shelf::store::{Part, PartFacts};
    use crate::shelf::wants::item_of;

    fn part(state: Stage, supplier: &str, price_minor: Option<i64>, currency: &str) -> Part {
        let facts = PartFacts {
            supplier: supplier.into(),
            state,
            price_minor,
            currency: currency.into(),
            ..PartFacts::wanted("x")
        };
        Part::new(PartId::new(), facts)
    }

    #[test]
    fn currencies_are_never_added_together() {
        let parts = [
            part(Stage::Wanted, "B", Some(1250), "EUR"),
            part(Stage::Wanted, "A", Some(50), "EUR"),
            part(Stage::Wanted, "A", Some(300), "GBP"),
            part(Stage::Wanted, "", None, ""),
            part(Stage::Here, "A", Some(9900), "EUR"),
        ];
        let items: Vec<Item<'_>> = parts.iter().map(|part| item_of(part, Vec::new(), None)).collect();
        let lots = lots(&items);
        assert_eq!(lots.iter().map(|lot| lot.state).collect::<Vec<_>>(), [Stage::Wanted, Stage::Here]);
        let wanted = &lots[0];
        assert_eq!(wanted.sum.to_string(), "13.00 EUR and 3.00 GBP");
        assert_eq!(wanted.unpriced, 1);
        assert_eq!(wanted.suppliers.iter().map(|(name, _)| name.as_str()).collect::<Vec<_>>(), ["A", "B", ""]);
    }

    #[test]
    fn every_state_has_its_place_in_the_list() {
        for state in Stage::ALL {
            assert!(BY_NEED.contains(state), "{state:?}");
        }
    }
}
