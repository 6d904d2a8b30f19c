//! The buy list: parts by where they are and who sells them, with what each lot costs and who waits for it.

use super::store::{Moved, Part, PartState};
use crate::ids::{CardId, PartId, StepId};
use crate::trade::condition::Condition;
use crate::work::model::CarState;
use std::collections::BTreeMap;

/// What is missing comes first.
pub const BY_NEED: [PartState; 5] =
    [PartState::Wanted, PartState::Ordered, PartState::SentBack, PartState::Here, PartState::Fitted];

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

/// Parts in one state.
pub struct Lot<'a> {
    pub state: PartState,
    /// In hundredths, by currency; parts without a price are not in it.
    pub sums: BTreeMap<String, i64>,
    pub unpriced: usize,
    /// By supplier; those that have none come last.
    pub suppliers: Vec<(String, Vec<&'a Part>)>,
}

/// Sorts parts into lots; states without parts are left out.
pub fn lots(parts: &[Part]) -> Vec<Lot<'_>> {
    BY_NEED.into_iter().map(|state| lot(state, parts)).filter(|lot| !lot.suppliers.is_empty()).collect()
}

fn lot(state: PartState, parts: &[Part]) -> Lot<'_> {
    let mut lot = Lot { state, sums: BTreeMap::new(), unpriced: 0, suppliers: Vec::new() };
    let mut by_supplier: BTreeMap<(bool, &str), Vec<&Part>> = BTreeMap::new();
    for part in parts.iter().filter(|part| part.facts.state == state) {
        match part.facts.price_minor {
            Some(minor) => {
                let sum = lot.sums.entry(part.facts.currency.clone()).or_default();
                *sum = sum.saturating_add(minor);
            }
            None => lot.unpriced += 1,
        }
        let supplier = part.facts.supplier.as_str();
        by_supplier.entry((supplier.is_empty(), supplier)).or_default().push(part);
    }
    lot.suppliers = by_supplier.into_iter().map(|((_, supplier), parts)| (supplier.to_owned(), parts)).collect();
    lot
}

#[cfg(test)]
mod tests {
    use super::super::form::PartForm;
    use super::*;
    use crate::web::form::Slips;

    fn part(state: PartState, supplier: &str, price: &str, currency: &str) -> Part {
        let form = PartForm {
            name: "x".into(),
            supplier: supplier.into(),
            state: state.name().into(),
            price: price.into(),
            ..PartForm::blank(currency)
        };
        Part { id: PartId::new(), facts: form.read(&mut Slips::default()).unwrap(), rev: 1 }
    }

    #[test]
    fn currencies_are_never_added_together() {
        let parts = [
            part(PartState::Wanted, "B", "12,50", "EUR"),
            part(PartState::Wanted, "A", "0,50", "EUR"),
            part(PartState::Wanted, "A", "3", "GBP"),
            part(PartState::Wanted, "", "", ""),
            part(PartState::Here, "A", "99", "EUR"),
        ];
        let lots = lots(&parts);
        assert_eq!(lots.iter().map(|lot| lot.state).collect::<Vec<_>>(), [PartState::Wanted, PartState::Here]);
        let wanted = &lots[0];
        assert_eq!(
            wanted.sums.iter().map(|(code, sum)| (code.as_str(), *sum)).collect::<Vec<_>>(),
            [("EUR", 1300), ("GBP", 300)]
        );
        assert_eq!(wanted.unpriced, 1);
        assert_eq!(wanted.suppliers.iter().map(|(name, _)| name.as_str()).collect::<Vec<_>>(), ["A", "B", ""]);
    }

    #[test]
    fn every_state_has_its_place_in_the_list() {
        for state in PartState::ALL {
            assert!(BY_NEED.contains(state), "{state:?}");
        }
    }
}
