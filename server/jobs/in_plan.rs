//! A card's place in the plan, as typed in its form: put off or not, and what it comes after.

use super::form::CardForm;
use super::model::Card;
use super::store;
use crate::error::AppError;
use crate::ids::{CarId, CardId};
use crate::plan::model::Planning;
use crate::plan::store as plans;
use crate::trade::plan::ring;
use crate::web::form::{Choice, Slips};
use sqlx::SqliteConnection;
use std::collections::HashMap;

/// The cards of a car, and what each comes after.
pub struct InPlan {
    cards: Vec<Card>,
    planning: Planning,
}

/// What was chosen for one card.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Chosen {
    pub put_off: bool,
    pub after: Vec<CardId>,
}

impl InPlan {
    pub async fn read(conn: &mut SqliteConnection, car: CarId) -> Result<InPlan, AppError> {
        let cards = store::cards_of_car(&mut *conn, car).await?;
        Ok(InPlan { cards, planning: plans::planning(conn, car).await? })
    }

    /// The form of a card as it stands.
    pub fn form(&self, card: &Card) -> CardForm {
        let put_off = self.planning.put_off.contains(&card.id);
        CardForm {
            put_off: if put_off { "yes".into() } else { String::new() },
            after: self.planning.after(card.id).iter().map(ToString::to_string).collect(),
            ..CardForm::from(card)
        }
    }

    /// The other cards, to choose from.
    pub fn choices(&self, card: Option<CardId>, form: &CardForm) -> Vec<Choice> {
        let others = self.cards.iter().filter(|other| Some(other.id) != card);
        let choice = |other: &Card| {
            let id = other.id.to_string();
            let chosen = form.after.contains(&id);
            Choice::new(id, other.facts.title.clone(), chosen)
        };
        others.map(choice).collect()
    }

    /// The titles of what a form comes after, as one line.
    pub fn words(&self, form: &CardForm) -> String {
        let chosen = self.choices(None, form).into_iter().filter(|choice| choice.chosen);
        chosen.map(|choice| choice.label).collect::<Vec<_>>().join("; ")
    }

    /// What was chosen, unless it cannot be; the slips say why. A ring is named with all its members.
    pub fn chosen(&self, card: Option<CardId>, form: &CardForm, slips: &mut Slips) -> Option<Chosen> {
        let of_car = |text: &String| {
            let id: CardId = text.parse().ok()?;
            self.cards.iter().any(|other| other.id == id && Some(id) != card).then_some(id)
        };
        let Some(after) = form.after.iter().map(of_car).collect::<Option<Vec<CardId>>>() else {
            slips.say("after", "Choose among the other cards of this car; one may have been taken away meanwhile.");
            return None;
        };
        if let Some(ring) = card.and_then(|card| self.ring(card, &after)) {
            let names = ring.iter().map(|title| format!("‘{title}’")).collect::<Vec<_>>().join(", ");
            slips.say(
                "after",
                format!("These would wait for each other in a ring, so that none could begin: {names}. Take one away."),
            );
            return None;
        }
        Some(Chosen { put_off: form.put_off == "yes", after })
    }

    fn ring(&self, card: CardId, after: &[CardId]) -> Option<Vec<&str>> {
        let at: HashMap<CardId, usize> = self.cards.iter().enumerate().map(|(at, card)| (card.id, at)).collect();
        let waits = |one: &Card| {
            let first = if one.id == card { after } else { self.planning.after(one.id) };
            first.iter().filter_map(|id| at.get(id).copied()).collect()
        };
        let ring = ring(&self.cards.iter().map(waits).collect::<Vec<Vec<usize>>>())?;
        Some(ring.into_iter().map(|at| self.cards[at].facts.title.as_str()).collect())
    }
}
