//! The list of what a phone copies before it goes under the car.
//!
//! Each page has a tag: it changes when the page does, apart from what was done, which a phone learns from the
//! operations. The tag is made by drawing the page for nobody, with nothing done, through the same functions that draw
//! it for a browser: so nothing can be on a page and not be in its tag.

use super::loose::LoosePage;
use super::markings::MarkingsPage;
use super::night::NightPage;
use super::road::RoadPage;
use super::views::{CarPage, CardPage, ChoosePage, NotePage, SpecsPage, Trouble, WaitingPage};
use crate::cars::store::Car;
use crate::error::AppError;
use crate::ids::StoreId;
use crate::jobs::model::StepEffect;
use crate::markings::views::Answer;
use crate::photos::Pictures;
use crate::photos::shelf::{Kind, Sha256Hex};
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

/// What the pages that are about no one car are drawn from.
pub struct Around {
    pub cars: Vec<Car>,
    pub effects: Vec<StepEffect>,
}

/// The list for a car, as of now. `mark` says how far the operations had come.
pub fn pack(whole: WholeCar, around: Around, pictures: Vec<Thing>, mark: Mark, as_of: i64) -> Result<Pack, AppError> {
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
    state.loose_ends.clear();
    state.true_now = State::default();
    state.standing.clear();
    WholeCar::of(whole.car, state, Vec::new(), HashSet::new(), whole.wrenches)
}

fn pages(under: &WholeCar, around: Around) -> Result<Vec<Thing>, AppError> {
    let base = format!("/under/{}", under.car.id);
    let page = Page::for_nobody;
    let none = Trouble::default;
    let mut pages = vec![
        thing("/under".into(), &ChoosePage::of(page(), around.cars))?,
        thing("/under/waiting".into(), &WaitingPage::of(page(), &around.effects)?)?,
        thing(base.clone(), &CarPage::of(page(), under)?)?,
        thing(format!("{base}/loose"), &LoosePage::of(page(), under, none())?)?,
        thing(format!("{base}/night"), &NightPage::of(page(), under, none())?)?,
        thing(format!("{base}/road"), &RoadPage::of(page(), under, none())?)?,
        thing(format!("{base}/specs"), &SpecsPage::of(page(), under, ""))?,
        thing(format!("{base}/markings"), &MarkingsPage::of(page(), under, Answer::default()))?,
        thing(format!("{base}/note"), &NotePage::of(page(), under, none())?)?,
    ];
    for state in &under.state.cards {
        let card = state.card.id;
        pages.push(thing(format!("{base}/cards/{card}"), &CardPage::of(page(), under, card, none())?)?);
    }
    Ok(pages)
}

fn thing(url: String, template: &impl Template) -> Result<Thing, AppError> {
    let drawn = template.render()?;
    Ok(Thing { url, bytes: drawn.len() as u64, tag: tag(drawn.as_bytes()) })
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
