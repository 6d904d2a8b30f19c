//! Sizes that shops sell, bottles on the shelf, and what the chosen cards need: read from what is stored and typed, and
//! handed to `trade::fluid::plan`.

use super::family::{Family, fills, fluid_of, volume_of};
use super::kind::class_of;
use crate::ids::{BottleId, CardId, ShelfFluidId, StepId};
use crate::jobs::model::Step;
use crate::shelf::price;
use crate::specs::model::Spec;
use crate::sync::wire::Tick;
use crate::trade::fluid::{Bottle, BottleError, Fluid, FluidKind, Need, OnShelf, Purchase, plan};
use crate::trade::quantity::Volume;
use crate::trade::spec::Kind;
use crate::web::form::Slips;
use crate::work::model::{CarState, CardState};
use serde::Deserialize;
use std::collections::HashSet;

const LONGEST: usize = 80;

/// A size as stored: words as they were typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SizeFacts {
    pub fluid: String,
    pub holds: String,
    /// In hundredths of the currency.
    pub price_minor: i64,
    pub currency: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Size {
    pub id: BottleId,
    pub facts: SizeFacts,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptFacts {
    pub fluid: String,
    pub volume: String,
    pub opened: bool,
    /// ISO 8601 day; empty: not known.
    pub since: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    pub id: ShelfFluidId,
    pub facts: KeptFacts,
}

impl SizeFacts {
    /// What it was read as when it was typed; `None` only where a later reader knows its words no more.
    pub fn bottle(&self) -> Option<Bottle> {
        let price = u64::try_from(self.price_minor).ok()?;
        Bottle::new(Fluid::parse(&self.fluid).ok()?, Volume::parse(&self.holds).ok()?, price).ok()
    }

    /// Whether another is the same fluid in the same size, so that only its price differs.
    pub fn is_same_size(&self, other: &SizeFacts) -> bool {
        self.bottle()
            .zip(other.bottle())
            .is_some_and(|(one, other)| one.fluid() == other.fluid() && one.holds().compare(other.holds()).is_eq())
    }
}

impl KeptFacts {
    pub fn on_shelf(&self) -> Option<OnShelf> {
        let (fluid, volume) = (Fluid::parse(&self.fluid).ok()?, Volume::parse(&self.volume).ok()?);
        Some(OnShelf { fluid, volume, opened: self.opened })
    }
}

/// What is typed of a size that a shop sells.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SizeForm {
    pub fluid: String,
    pub holds: String,
    pub price: String,
    pub currency: String,
    /// The chosen cards, to come back to.
    #[serde(default)]
    pub cards: String,
}

impl SizeForm {
    /// `used`: the currency of the sizes that are there already.
    pub fn read(&self, used: Option<&str>, slips: &mut Slips) -> Option<SizeFacts> {
        let fluid = fluid("fluid", &self.fluid, slips);
        let holds = amount("holds", &self.holds, slips);
        let price_minor = price::parse(&self.price).map_err(|why| slips.say("price", why.to_string())).ok();
        let currency = self.currency.trim().to_uppercase();
        if currency.len() != 3 || !currency.bytes().all(|byte| byte.is_ascii_uppercase()) {
            slips.say("currency", "Three letters, for instance EUR, GBP or USD.");
        } else if let Some(used) = used.filter(|used| *used != currency) {
            let say =
                format!("The other prices are in {used}: sums of two currencies mean nothing. Write it in {used}.");
            slips.say("currency", say);
        }
        let facts = SizeFacts { fluid: fluid?, holds: holds?, price_minor: price_minor?, currency };
        slips.is_empty().then_some(facts)
    }
}

/// What is typed of a bottle on the shelf.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KeptForm {
    pub kept_fluid: String,
    pub volume: String,
    #[serde(default)]
    pub opened: String,
    #[serde(default)]
    pub since: String,
    #[serde(default)]
    pub cards: String,
}

impl KeptForm {
    pub fn read(&self, slips: &mut Slips) -> Option<KeptFacts> {
        let fluid = fluid("kept_fluid", &self.kept_fluid, slips);
        let volume = amount("volume", &self.volume, slips);
        let opened = match self.opened.as_str() {
            "yes" => Some(true),
            "no" => Some(false),
            _ => None,
        };
        if opened.is_none() {
            slips.say("opened", "Say whether it was opened: brake fluid that was is not counted.");
        }
        let since = slips.day("since", &self.since).unwrap_or_default();
        let facts = KeptFacts { fluid: fluid?, volume: volume?, opened: opened?, since };
        slips.is_empty().then_some(facts)
    }
}

fn fluid(field: &'static str, typed: &str, slips: &mut Slips) -> Option<String> {
    let line = slips.needed(field, typed, LONGEST, "Write what the label says: DOT 4, SAE 20W-50, GL-4 80W.");
    if line.is_empty() {
        return None;
    }
    match Fluid::parse(&line) {
        Ok(fluid) if fluid.kind() == FluidKind::Refrigerant => {
            slips.say(field, "Refrigerant is bought and filled by licensed people only: leave it out.");
            None
        }
        Ok(_) => Some(line),
        Err(why) => {
            slips.say(field, why.to_string());
            None
        }
    }
}

fn amount(field: &'static str, typed: &str, slips: &mut Slips) -> Option<String> {
    let line = slips.needed(field, typed, LONGEST, "Write how much it holds, with its unit: 500 ml, 5 l, 1 imp pt.");
    if line.is_empty() {
        return None;
    }
    match Volume::parse(&line) {
        Ok(volume) if volume.number().is_zero() => {
            slips.say(field, BottleError::EmptyBottle.to_string());
            None
        }
        Ok(_) => Some(line),
        Err(why) => {
            slips.say(field, why.to_string());
            None
        }
    }
}

/// Something that the chosen cards need and that cannot be planned yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Doubt {
    pub job: String,
    /// The spec that would settle it.
    pub spec: Option<(String, String)>,
    pub say: String,
}

/// What to buy, and what could not be planned.
#[derive(Debug, Default)]
pub struct Plan {
    pub purchases: Vec<Purchase>,
    pub doubts: Vec<Doubt>,
}

/// Whether a card takes new fluid at all.
pub fn takes_fluid(card: &CardState) -> bool {
    card.steps.iter().any(fills)
}

/// The cheapest bottles for what is still to be filled on these cards.
pub fn planned(on_car: &CarState, chosen: &[CardId], sizes: &[Size], shelf: &[Kept]) -> Plan {
    planned_beside(on_car, chosen, sizes, shelf, &HashSet::new())
}

/// The same without steps that are `served`: by a can that is attached to them, and is bought as a part.
pub fn planned_beside(
    on_car: &CarState,
    chosen: &[CardId],
    sizes: &[Size],
    shelf: &[Kept],
    served: &HashSet<StepId>,
) -> Plan {
    let bottles: Vec<Bottle> = sizes.iter().filter_map(|size| size.facts.bottle()).collect();
    let shelf: Vec<OnShelf> = shelf.iter().filter_map(|kept| kept.facts.on_shelf()).collect();
    let mut doubts = Vec::new();
    let mut needs = Vec::new();
    for card in on_car.cards.iter().filter(|card| chosen.contains(&card.card.id)) {
        needs_of(on_car, card, served, &mut needs, &mut doubts);
    }
    // One fluid that no bottle suits must not hide the plan for the others.
    let mut refused: Vec<Fluid> = Vec::new();
    for fluid in needs.iter().map(|need| &need.fluid) {
        if refused.contains(fluid) {
            continue;
        }
        let alone: Vec<Need> = needs.iter().filter(|need| need.fluid == *fluid).cloned().collect();
        if let Err(why) = plan(&alone, &bottles, &shelf) {
            let jobs: Vec<&str> = alone.iter().map(|need| need.job.as_str()).collect();
            doubts.push(Doubt { job: jobs.join(", "), spec: None, say: why.to_string() });
            refused.push(fluid.clone());
        }
    }
    needs.retain(|need| !refused.contains(&need.fluid));
    match plan(&needs, &bottles, &shelf) {
        Ok(purchases) => Plan { purchases, doubts },
        Err(why) => {
            // Each fluid could be had alone, but the shelf cannot serve all of them.
            doubts.push(Doubt { job: "All cards together".into(), spec: None, say: why.to_string() });
            Plan { purchases: Vec::new(), doubts }
        }
    }
}

fn needs_of(
    on_car: &CarState,
    card: &CardState,
    served: &HashSet<StepId>,
    needs: &mut Vec<Need>,
    doubts: &mut Vec<Doubt>,
) {
    let title = &card.card.facts.title;
    let mut counted = HashSet::new();
    let is_asked = |step: &&Step| fills(step) && card.tick(step.id) == Tick::Open && !served.contains(&step.id);
    let open = card.steps.iter().filter(is_asked);
    for step in open {
        let attached = || on_car.specs.iter().filter(|spec| step.attached.specs.contains(&spec.id));
        let fluid = attached().find(|spec| spec.facts.kind == Kind::Fluid);
        let volumes = volumes_of(on_car, step, fluid, attached().filter(|spec| spec.facts.kind == Kind::Volume));
        if volumes.is_empty() {
            if let Some(fluid) = fluid.filter(|fluid| counted.insert(fluid.id)) {
                let say = "No quantity of it stands in the spec book, so that it is not counted.";
                doubts.push(doubt(title, fluid, say));
            }
            continue;
        }
        for volume in volumes.into_iter().filter(|volume| counted.insert(volume.id)) {
            match need(on_car, title, fluid, volume) {
                Ok(need) => needs.push(need),
                Err(doubt) => doubts.push(doubt),
            }
        }
    }
    // What is counted at one step need not be known at another.
    let is_counted = |spec: &str| needs.iter().any(|need| need.job == *title && need.fluid.to_string() == spec);
    doubts.retain(|doubt| doubt.job != *title || !doubt.spec.as_ref().is_some_and(|(_, name)| is_counted(name)));
}

/// The quantities that a step fills: those attached to it, else the only one that is known of its fluid. Where both fills of
/// one system are attached, the dry one, which holds the other.
fn volumes_of<'a>(
    on_car: &'a CarState,
    step: &Step,
    fluid: Option<&'a Spec>,
    attached: impl Iterator<Item = &'a Spec>,
) -> Vec<&'a Spec> {
    let attached: Vec<&Spec> = attached.collect();
    if attached.is_empty() {
        let family = fluid.and_then(|fluid| Family::of(on_car, fluid));
        return family
            .filter(|family| family.is_at(step))
            .and_then(|family| family.volume_at(step))
            .into_iter()
            .collect();
    }
    let holds_it = |volume: &&&Spec| {
        let family = Family::of(on_car, volume);
        let dry = family.and_then(|family| family.dry_beside(volume));
        dry.is_some_and(|dry| dry.id != volume.id && attached.iter().any(|one| one.id == dry.id))
    };
    attached.iter().filter(|volume| !holds_it(volume)).copied().collect()
}

fn need(on_car: &CarState, title: &str, fluid: Option<&Spec>, volume: &Spec) -> Result<Need, Doubt> {
    let Some(fluid) = fluid.or_else(|| fluid_of(on_car, volume)) else {
        return Err(doubt(title, volume, "The spec book does not say which fluid this is."));
    };
    let class = class_of(fluid).map_err(|why| doubt(title, fluid, &why))?;
    let amount = volume_of(volume).map_err(|why| doubt(title, volume, &why))?;
    Ok(Need { job: title.to_owned(), fluid: class, volume: amount })
}

fn doubt(title: &str, spec: &Spec, say: &str) -> Doubt {
    let href = format!("/cars/{}/specs/{}", spec.car, spec.id);
    Doubt { job: title.to_owned(), spec: Some((href, spec.facts.item.clone())), say: say.to_owned() }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn slips_of(form: &SizeForm, used: Option<&str>) -> String {
        let mut slips = Slips::default();
        assert!(form.read(used, &mut slips).is_none());
        slips.all()[0].say.clone()
    }

    fn form(fluid: &str, holds: &str, price: &str, currency: &str) -> SizeForm {
        let [fluid, holds, price, currency] = [fluid, holds, price, currency].map(str::to_owned);
        SizeForm { fluid, holds, price, currency, cards: String::new() }
    }

    #[test]
    fn bottles_that_cannot_be_are_refused_at_their_field() {
        for (typed, say) in [
            (form("", "1 l", "9", "EUR"), "what the label says"),
            (form("Super Blue", "1 l", "9", "EUR"), "no published class"),
            (form("R134a", "1 l", "9", "EUR"), "licensed people"),
            (form("DOT 4", "0 l", "9", "EUR"), "zero litres"),
            (form("DOT 4", "5 kg", "9", "EUR"), "kg"),
            (form("DOT 4", "1 l", "-9", "EUR"), "figures and one comma"),
            (form("DOT 4", "1 l", "9", "euro"), "Three letters"),
        ] {
            assert!(slips_of(&typed, None).contains(say), "{typed:?}");
        }
        assert!(slips_of(&form("DOT 4", "1 l", "9", "GBP"), Some("EUR")).contains("Write it in EUR"));
        assert!(form("DOT 4", "1 l", "9,50", "eur").read(Some("EUR"), &mut Slips::default()).is_some());
    }

    #[test]
    fn the_same_size_in_other_words_is_the_same_size() {
        let read = |fluid, holds| form(fluid, holds, "9", "EUR").read(None, &mut Slips::default()).unwrap();
        assert!(read("DOT 4", "500 ml").is_same_size(&read("dot 4 brake fluid", "0.5 l")));
        assert!(!read("DOT 4", "500 ml").is_same_size(&read("DOT 4", "1 l")));
        assert!(!read("DOT 4", "500 ml").is_same_size(&read("DOT 5.1", "500 ml")));
    }
}
