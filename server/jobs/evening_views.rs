//! What the page of an evening shows.

use super::checked::{ShownFinding, counts};
use super::evening::{Evening, Told, lay, step_id};
use super::views::condition_code;
use crate::ids::{CarId, CardId};
use crate::web::page::{Page, Place};
use crate::web::words;
use crate::work::whole::WholeCar;
use askama::Template;

/// A card that can be chosen.
pub struct Offered {
    id: CardId,
    title: String,
    code: &'static str,
    condition: String,
    chosen: bool,
}

/// A clash in sentences.
pub struct ShownClash {
    code: &'static str,
    weight: &'static str,
    headline: &'static str,
    sentence: String,
    say: Vec<String>,
    mend: String,
    /// The step that waits.
    href: String,
}

/// Two cards of which the first has to wait for the second at some of its steps.
pub struct Pair {
    title: String,
    counts: String,
    clashes: Vec<ShownClash>,
}

/// What stops a card by itself.
pub struct OwnStops {
    href: String,
    title: String,
    stops: Vec<ShownFinding>,
}

#[derive(Template)]
#[template(path = "jobs/evening.html")]
pub struct EveningPage {
    page: Page,
    car: CarId,
    offered: Vec<Offered>,
    chosen: usize,
    clashes: Vec<Pair>,
    order: Vec<String>,
    in_turn: Vec<OwnStops>,
    shared: Vec<String>,
    own: Vec<OwnStops>,
}

impl EveningPage {
    pub fn new(page: Page, whole: &WholeCar, chosen: &[CardId]) -> EveningPage {
        let car = whole.car.id;
        let evening = lay(&whole.state, chosen);
        let offered = whole.state.cards.iter().map(|state| Offered {
            id: state.card.id,
            title: state.card.facts.title.clone(),
            code: condition_code(state.condition),
            condition: words::capital(state.condition.label()),
            chosen: chosen.contains(&state.card.id),
        });
        EveningPage {
            page: page.at_desk(car, &whole.car.name, Place::Car),
            car,
            offered: offered.collect(),
            chosen: chosen.len(),
            clashes: pairs(&evening, car),
            order: evening.laid.iter().map(|laid| laid.title().to_owned()).collect(),
            in_turn: in_turn(&evening, car),
            own: own_stops(&evening, car),
            shared: evening.shared,
        }
    }

    /// `2 cards laid side by side: 1 stop, 2 warnings`
    fn line(&self) -> String {
        let codes = self.clashes.iter().flat_map(|pair| pair.clashes.iter().map(|clash| clash.code));
        let counts = counts(codes);
        let said = if counts.is_empty() { "they do not clash".to_owned() } else { counts };
        format!("{} cards laid side by side: {said}", self.chosen)
    }
}

fn pairs(evening: &Evening<'_>, car: CarId) -> Vec<Pair> {
    let title = |at: usize| evening.laid[at].title().to_owned();
    evening
        .told
        .chunk_by(|a, b| (a.waits, a.other) == (b.waits, b.other))
        .map(|told| {
            let clashes: Vec<ShownClash> = told.iter().map(|told| clash(evening, told, car)).collect();
            Pair {
                title: format!("{}, while working on: {}", title(told[0].waits), title(told[0].other)),
                counts: counts(clashes.iter().map(|clash| clash.code)),
                clashes,
            }
        })
        .collect()
}

fn clash(evening: &Evening<'_>, told: &Told, car: CarId) -> ShownClash {
    let title = |at: usize| evening.laid[at].title().to_owned();
    let card = evening.laid[told.waits].card;
    let anchor = step_id(card, told.steps[0]).map(|step| format!("#step-{step}")).unwrap_or_default();
    ShownClash {
        code: told.rule.weight().name(),
        weight: told.rule.weight().label(),
        headline: told.rule.label(),
        sentence: told.sentence(title),
        say: told.say.iter().map(|say| words::capital(say)).collect(),
        mend: told.mend(title),
        href: format!("/cars/{car}/cards/{}{anchor}", card.card.id),
    }
}

fn in_turn(evening: &Evening<'_>, car: CarId) -> Vec<OwnStops> {
    let of = |at: usize| -> Vec<ShownFinding> {
        evening.in_turn.iter().filter(|(card, _)| *card == at).map(|(_, finding)| finding.clone()).collect()
    };
    (0..evening.laid.len())
        .map(|at| OwnStops {
            href: format!("/cars/{car}/cards/{}", evening.laid[at].card.card.id),
            title: evening.laid[at].title().to_owned(),
            stops: of(at),
        })
        .filter(|card| !card.stops.is_empty())
        .collect()
}

fn own_stops(evening: &Evening<'_>, car: CarId) -> Vec<OwnStops> {
    evening
        .laid
        .iter()
        .filter(|laid| !laid.stops.is_empty())
        .map(|laid| OwnStops {
            href: format!("/cars/{car}/cards/{}", laid.card.card.id),
            title: laid.title().to_owned(),
            stops: laid.stops.clone(),
        })
        .collect()
}
