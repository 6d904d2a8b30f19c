//! The list of what a phone copies before it goes under the car.
//!
//! Each page has a tag: it changes when the page does, apart from what was done, which a phone learns from the
//! operations. The tag is made by drawing the page for nobody, with nothing done, through the same functions that draw
//! it for a browser: so nothing can be on a page and not be in its tag.

use super::arrivals::ArrivalsPage;
use super::checks::ChecksPage;
use super::loose::LoosePage;
use super::markings::MarkingsPage;
use super::night::NightPage;
use super::road::RoadPage;
use super::survey::SurveyPage;
use super::tonight::{Answers, TonightPage};
use super::views::{CarPage, CardPage, ChoosePage, NotePage, SpecsPage, Trouble, WaitingPage};
use crate::cars::store::Car;
use crate::error::AppError;
use crate::ids::{CarId, CardId, StoreId};
use crate::jobs::model::StepEffect;
use crate::markings::views::Answer;
use crate::photos::Pictures;
use crate::photos::shelf::{Kind, Sha256Hex};
use crate::shelf::store::Part;
use crate::survey::routes::Walk;
use crate::sync::wire::{Act, Mark};
use crate::trade::checker::State;
use crate::trade::condition::{Facts, condition};
use crate::web::assets;
use crate::web::page::Page;
use crate::work::store::Done;
use crate::work::whole::WholeCar;
use askama::Template;
use serde::Serialize;
use sha2::{Digest, Sha256};
use std::collections::{BTreeSet, HashSet};

/// Something to fetch, and how to tell whether it has changed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Thing {
    pub url: String,
    pub bytes: u64,
    /// 16 hex digits.
    pub tag: String,
}

/// The answer of `GET /sync/pack/<car>`.
#[derive(Debug, Serialize)]
pub struct Pack {
    pub store: StoreId,
    pub version: String,
    pub as_of: i64,
    pub build: &'static str,
    pub pages: Vec<Thing>,
    pub assets: Vec<String>,
    pub pictures: Vec<Thing>,
    pub mark: String,
}

/// What the copy is drawn from besides the car and its work.
pub struct Around {
    pub walk: Walk,
    pub cars: Vec<Car>,
    pub effects: Vec<StepEffect>,
    /// What was worked out with the plan that is kept of the car.
    pub tonight: Option<Answers>,
}

/// The list for a car, as of now. `mark` says how far the operations had come.
pub fn pack(whole: WholeCar, around: &Around, pictures: Vec<Thing>, mark: Mark, as_of: i64) -> Result<Pack, AppError> {
    let pages = pages(&untouched(whole), around)?;
    Ok(Pack {
        store: mark.store,
        version: version(&pages, &pictures),
        as_of,
        build: assets::BUILD,
        pages,
        assets: assets::shell(),
        pictures,
        mark: mark.to_string(),
    })
}

/// The car without anything that was done: what the tags of the copy are made from, because a phone learns what was
/// done from the operations.
fn untouched(whole: WholeCar) -> WholeCar {
    let mut state = whole.state;
    for card in &mut state.cards {
        card.ticks.clear();
        card.facts = Facts { settled_steps: 0, loose_ends: 0, rechecked: false, ..card.facts };
        card.condition = condition(card.facts);
    }
    state.parts = state.parts.into_iter().map(Part::untouched).collect();
    state.loose_ends.clear();
    state.true_now = State::default();
    state.standing.clear();
    WholeCar::of(whole.car, state, Vec::new(), HashSet::new(), (whole.wrenches, whole.upkeep))
}

/// A page of the copy.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Leaf {
    Choose,
    Waiting,
    Car,
    Loose,
    Night,
    Road,
    Survey,
    Tonight,
    Specs,
    Markings,
    Note,
    Arrivals,
    Checks,
    Card(CardId),
}

impl Leaf {
    /// All that belong to the copy of a car.
    fn all(under: &WholeCar) -> Vec<Leaf> {
        let cards = under.state.cards.iter().map(|state| Leaf::Card(state.card.id));
        [
            Leaf::Choose,
            Leaf::Waiting,
            Leaf::Car,
            Leaf::Loose,
            Leaf::Night,
            Leaf::Road,
            Leaf::Survey,
            Leaf::Tonight,
            Leaf::Specs,
            Leaf::Markings,
            Leaf::Note,
            Leaf::Arrivals,
            Leaf::Checks,
        ]
        .into_iter()
        .chain(cards)
        .collect()
    }

    fn url(self, car: CarId) -> String {
        match self {
            Leaf::Choose => "/under".into(),
            Leaf::Waiting => "/under/waiting".into(),
            Leaf::Car => format!("/under/{car}"),
            Leaf::Loose => format!("/under/{car}/loose"),
            Leaf::Night => format!("/under/{car}/night"),
            Leaf::Road => format!("/under/{car}/road"),
            Leaf::Survey => format!("/under/{car}/survey"),
            Leaf::Tonight => format!("/under/{car}/tonight"),
            Leaf::Specs => format!("/under/{car}/specs"),
            Leaf::Markings => format!("/under/{car}/markings"),
            Leaf::Note => format!("/under/{car}/note"),
            Leaf::Arrivals => format!("/under/{car}/arrivals"),
            Leaf::Checks => format!("/under/{car}/checks"),
            Leaf::Card(card) => format!("/under/{car}/cards/{card}"),
        }
    }

    fn draw(self, under: &WholeCar, around: &Around, page: Page) -> Result<String, AppError> {
        let none = Trouble::default;
        let drawn = match self {
            Leaf::Choose => ChoosePage::of(page, around.cars.clone()).render(),
            Leaf::Waiting => WaitingPage::of(page, &around.effects)?.render(),
            Leaf::Car => CarPage::of(page, under, &around.walk)?.render(),
            Leaf::Loose => LoosePage::of(page, under, none())?.render(),
            Leaf::Night => NightPage::of(page, under, none())?.render(),
            Leaf::Road => RoadPage::of(page, under, none())?.render(),
            Leaf::Survey => SurveyPage::of(page, under, &around.walk)?.render(),
            Leaf::Tonight => TonightPage::of(page, under, around.tonight.as_ref()).render(),
            Leaf::Specs => SpecsPage::of(page, under, "").render(),
            Leaf::Markings => MarkingsPage::of(page, under, Answer::default()).render(),
            Leaf::Note => NotePage::of(page, under, none())?.render(),
            Leaf::Arrivals => ArrivalsPage::of(page, under, none())?.render(),
            Leaf::Checks => ChecksPage::of(page, under)?.render(),
            Leaf::Card(card) => CardPage::of(page, under, card, none())?.render(),
        };
        Ok(drawn?)
    }
}

fn pages(under: &WholeCar, around: &Around) -> Result<Vec<Thing>, AppError> {
    let thing = |leaf: Leaf| {
        let drawn = leaf.draw(under, around, Page::for_nobody())?;
        Ok(Thing { url: leaf.url(under.car.id), bytes: drawn.len() as u64, tag: tag(drawn.as_bytes()) })
    };
    Leaf::all(under).into_iter().map(thing).collect()
}

/// The pages that are asked for, as this browser would get them, each on a line of JSON: `{"url":…,"body":…}`. What is no
/// page of the copy is left out.
///
/// In one answer, because the pages are much alike: compressed together they take a third of what they take one by one.
pub fn bundle(under: &WholeCar, around: &Around, page: &Page, urls: &BTreeSet<String>) -> Result<String, AppError> {
    let mut lines = String::new();
    for leaf in Leaf::all(under) {
        let url = leaf.url(under.car.id);
        if !urls.contains(&url) {
            continue;
        }
        let body = leaf.draw(under, around, page.clone())?;
        let line = serde_json::to_string(&BundledPage { url: &url, body: &body }).map_err(AppError::internal)?;
        lines.push_str(&line);
        lines.push('\n');
    }
    Ok(lines)
}

#[derive(Serialize)]
struct BundledPage<'a> {
    url: &'a str,
    body: &'a str,
}

/// The first 64 bits of the SHA-256, in hex: a phone compares a few dozen of them.
fn tag(bytes: &[u8]) -> String {
    hex::encode(&Sha256::digest(bytes)[..8])
}

fn version(pages: &[Thing], pictures: &[Thing]) -> String {
    let mut text = assets::BUILD.to_owned();
    for thing in pages.iter().chain(pictures) {
        text.extend([" ", &thing.url, " ", &thing.tag]);
    }
    tag(text.as_bytes())
}

/// Small pictures of the finished photos that operations speak of.
pub async fn pictures(photos: &Pictures, done: &[Done]) -> Result<Vec<Thing>, AppError> {
    let named: BTreeSet<&str> = done
        .iter()
        .filter_map(|one| match &one.act {
            Act::Photo(body) => Some(body.sha256.as_str()),
            _ => None,
        })
        .collect();
    let mut found = Vec::new();
    for name in named {
        let Ok(sha) = Sha256Hex::parse(name) else { continue };
        let Some(thumb) = photos.read(&sha, Kind::Thumb).await? else { continue };
        found.push(Thing { url: format!("/photos/{name}/thumb"), bytes: thumb.length, tag: name[..16].to_owned() });
    }
    Ok(found)
}
