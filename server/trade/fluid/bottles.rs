//! Which bottles to buy: the cheapest set that holds enough, exactly, with what is on the shelf used first.
//!
//! A small whole-number programme. Sets of bottles are built size by size; a set is dropped once another holds at least as
//! much for no more money, which no cheapest set can lose by. Volumes stay exact whatever their units.

use std::cmp::Reverse;

use rust_decimal::Decimal;
use thiserror::Error;

use super::class::Fluid;
use super::suits::suits;
use super::{FluidKind, Verdict};
use crate::trade::quantity::{SizeError, Volume, VolumeUnit};

/// What a job takes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Need {
    /// Which job, in the words of its card.
    pub job: String,
    pub fluid: Fluid,
    pub volume: Volume,
}

/// A size that a shop sells.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bottle {
    fluid: Fluid,
    holds: Volume,
    price: u64,
}

/// What is on the shelf already.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnShelf {
    pub fluid: Fluid,
    pub volume: Volume,
    pub opened: bool,
}

/// What to buy for one fluid.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Purchase {
    /// As the jobs ask for it.
    pub wanted: Fluid,
    /// For which jobs.
    pub jobs: Vec<String>,
    /// The class to buy; it suits what is wanted.
    pub bought: Fluid,
    /// Of all jobs together.
    pub needed: Volume,
    pub from_shelf: Volume,
    /// How many of which size, largest first.
    pub bottles: Vec<(usize, Bottle)>,
    /// Together, in the smallest coin.
    pub price: u64,
    /// What stays in the last bottle, bought or of the shelf.
    pub left_over: Volume,
    /// What to know about the shelf and what is left over.
    pub says: Vec<String>,
}

/// Why no plan could be made.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum BottleError {
    #[error("A bottle of zero litres holds nothing: write what is printed on it.")]
    EmptyBottle,

    #[error("No bottle on the list suits {fluid}, which ‘{job}’ needs: add a size and its price.")]
    NothingSuits { fluid: String, job: String },

    #[error(
        "The bottles are so small against the need that there are too many ways to choose: leave out the smallest."
    )]
    TooMany,

    #[error(transparent)]
    Size(#[from] SizeError),
}

impl Bottle {
    /// `price` in the smallest coin. Errors if it holds nothing.
    pub fn new(fluid: Fluid, holds: Volume, price: u64) -> Result<Self, BottleError> {
        if holds.number().is_zero() {
            return Err(BottleError::EmptyBottle);
        }
        Ok(Self { fluid, holds, price })
    }

    pub fn fluid(&self) -> &Fluid {
        &self.fluid
    }

    pub fn holds(&self) -> &Volume {
        &self.holds
    }

    /// In the smallest coin.
    pub fn price(&self) -> u64 {
        self.price
    }

    fn litres(&self) -> Decimal {
        self.holds.to(VolumeUnit::Litre)
    }
}

/// The cheapest purchase for each fluid that the jobs ask for, in the order they first ask. Among equal prices the fewest
/// bottles, then the most fluid. A fluid is bought by itself: what one purchase leaves over does not serve another.
pub fn plan(needs: &[Need], bottles: &[Bottle], shelf: &[OnShelf]) -> Result<Vec<Purchase>, BottleError> {
    let mut wanted: Vec<&Fluid> = Vec::new();
    for need in needs {
        if !wanted.contains(&&need.fluid) {
            wanted.push(&need.fluid);
        }
    }
    let mut shelf = shelf.to_vec();
    let mut purchases = Vec::new();
    for fluid in wanted {
        let purchase = purchase(fluid, needs, bottles, &shelf)?;
        take(&mut shelf, &purchase)?;
        purchases.push(purchase);
    }
    Ok(purchases)
}

fn purchase(wanted: &Fluid, needs: &[Need], bottles: &[Bottle], shelf: &[OnShelf]) -> Result<Purchase, BottleError> {
    let of_it: Vec<_> = needs.iter().filter(|need| need.fluid == *wanted).collect();
    let jobs: Vec<_> = of_it.iter().map(|need| need.job.clone()).collect();
    let mut needed = Volume::computed(Decimal::ZERO, VolumeUnit::Litre)?;
    for need in &of_it {
        needed = needed.checked_add(&need.volume)?;
    }
    let mut best: Option<Purchase> = None;
    for offered in offered_for(wanted, bottles, shelf) {
        let Some(this) = in_one_fluid(wanted, &offered, &needed, bottles, shelf)? else {
            continue;
        };
        if best.as_ref().is_none_or(|best| this.rank() < best.rank()) {
            best = Some(this);
        }
    }
    let nothing = || BottleError::NothingSuits { fluid: wanted.to_string(), job: jobs.join("’, ‘") };
    best.map(|purchase| Purchase { jobs: jobs.clone(), ..purchase }).ok_or_else(nothing)
}

impl Purchase {
    fn rank(&self) -> (u64, usize, Reverse<Decimal>) {
        let count = self.bottles.iter().map(|(count, _)| count).sum();
        (self.price, count, Reverse(self.left_over.to(VolumeUnit::Litre)))
    }
}

/// The fluids that may be poured for it, each once; the very same class comes first.
fn offered_for(wanted: &Fluid, bottles: &[Bottle], shelf: &[OnShelf]) -> Vec<Fluid> {
    let sold = bottles.iter().map(|bottle| &bottle.fluid);
    let kept = shelf.iter().map(|kept| &kept.fluid);
    let mut offered: Vec<Fluid> = Vec::new();
    for fluid in sold.chain(kept) {
        let suitable = fluid == wanted || suits(wanted, fluid).verdict == Verdict::Yes;
        if suitable && !offered.contains(fluid) {
            offered.push(fluid.clone());
        }
    }
    offered.sort_by_key(|fluid| fluid != wanted);
    offered
}

/// None if the shelf and the shop together cannot give enough of it.
fn in_one_fluid(
    wanted: &Fluid,
    offered: &Fluid,
    needed: &Volume,
    bottles: &[Bottle],
    shelf: &[OnShelf],
) -> Result<Option<Purchase>, BottleError> {
    let (usable, mut says) = from_shelf(offered, shelf)?;
    let need = needed.to(VolumeUnit::Litre);
    let missing = (need - usable).max(Decimal::ZERO);
    let sizes: Vec<_> = bottles.iter().filter(|bottle| bottle.fluid == *offered).collect();
    let Some(set) = cheapest(&sizes, missing)? else {
        return Ok(None);
    };
    let left = usable + set.litres - need;
    if offered != wanted {
        says.push(format!("{offered} may stand in for {wanted}."));
    }
    if !left.is_zero() && offered.kind() == FluidKind::Brake {
        says.push(
            "What is left in an opened bottle of brake fluid is not kept: it takes up water. Take it back as waste."
                .to_owned(),
        );
    }
    let litres = |number| Volume::computed(number, VolumeUnit::Litre);
    let mut chosen: Vec<_> = sizes
        .iter()
        .zip(&set.counts)
        .filter(|(_, count)| **count > 0)
        .map(|(size, count)| (*count, (*size).clone()))
        .collect();
    chosen.sort_by(|(_, a), (_, b)| b.holds.compare(&a.holds));
    Ok(Some(Purchase {
        wanted: wanted.clone(),
        jobs: Vec::new(),
        bought: offered.clone(),
        needed: needed.clone(),
        from_shelf: litres(usable.min(need))?,
        bottles: chosen,
        price: set.price,
        left_over: litres(left)?,
        says,
    }))
}

/// Litres on the shelf that may be used, and what to say of the rest.
fn from_shelf(fluid: &Fluid, shelf: &[OnShelf]) -> Result<(Decimal, Vec<String>), BottleError> {
    let mut usable = Decimal::ZERO;
    let mut says = Vec::new();
    for kept in shelf.iter().filter(|kept| kept.fluid == *fluid) {
        if kept.opened && fluid.kind() == FluidKind::Brake {
            says.push(format!(
                "The opened {} of {fluid} on the shelf is not used: once opened it takes up water.",
                kept.volume
            ));
        } else {
            usable += kept.volume.to(VolumeUnit::Litre);
        }
    }
    Ok((usable, says))
}

/// Takes what a purchase uses off the shelf, so that no bottle is promised twice.
fn take(shelf: &mut [OnShelf], purchase: &Purchase) -> Result<(), BottleError> {
    let mut used = purchase.from_shelf.to(VolumeUnit::Litre);
    let unusable = |kept: &OnShelf| kept.opened && kept.fluid.kind() == FluidKind::Brake;
    for kept in shelf.iter_mut().filter(|kept| kept.fluid == purchase.bought && !unusable(kept)) {
        let has = kept.volume.to(VolumeUnit::Litre);
        let taken = has.min(used);
        used -= taken;
        kept.volume = Volume::computed(has - taken, VolumeUnit::Litre)?;
        kept.opened |= !taken.is_zero();
    }
    Ok(())
}

/// A set of bottles while it is being built.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Set {
    counts: Vec<usize>,
    bottles: usize,
    price: u64,
    litres: Decimal,
}

/// More sets than this side by side are no household's choice.
const MOST_SETS: usize = 20_000;

/// The cheapest set that holds at least `litres`; none if there are no sizes.
fn cheapest(sizes: &[&Bottle], litres: Decimal) -> Result<Option<Set>, BottleError> {
    let mut sets = vec![Set { counts: vec![0; sizes.len()], bottles: 0, price: 0, litres: Decimal::ZERO }];
    for (at, size) in sizes.iter().enumerate() {
        let mut wider = Vec::new();
        for set in sets {
            extend(&mut wider, set, at, size, litres)?;
        }
        sets = undominated(wider);
    }
    let enough = sets.into_iter().filter(|set| set.litres >= litres);
    Ok(enough.min_by_key(|set| (set.price, set.bottles, Reverse(set.litres))))
}

/// Adds `set` with none, one, two … bottles of a size, until it holds enough.
fn extend(into: &mut Vec<Set>, mut set: Set, at: usize, size: &Bottle, litres: Decimal) -> Result<(), BottleError> {
    loop {
        if into.len() >= MOST_SETS {
            return Err(BottleError::TooMany);
        }
        into.push(set.clone());
        if set.litres >= litres {
            return Ok(());
        }
        set.counts[at] += 1;
        set.bottles += 1;
        set.price = set.price.checked_add(size.price).ok_or(BottleError::TooMany)?;
        set.litres += size.litres();
    }
}

/// Without those that hold no more than a cheaper set, or than one as cheap in no more bottles.
fn undominated(mut sets: Vec<Set>) -> Vec<Set> {
    sets.sort_by_key(|set| (set.price, set.bottles, Reverse(set.litres)));
    let mut kept: Vec<Set> = Vec::new();
    for set in sets {
        // By the order the last one kept is no dearer and holds the most so far.
        if kept.last().is_none_or(|best| set.litres > best.litres) {
            kept.push(set);
        }
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fluid(text: &str) -> Fluid {
        Fluid::parse(text).unwrap()
    }

    fn need(job: &str, text: &str, volume: &str) -> Need {
        Need { job: job.to_owned(), fluid: fluid(text), volume: Volume::parse(volume).unwrap() }
    }

    fn bottle(text: &str, holds: &str, price: u64) -> Bottle {
        Bottle::new(fluid(text), Volume::parse(holds).unwrap(), price).unwrap()
    }

    fn kept(text: &str, volume: &str, opened: bool) -> OnShelf {
        OnShelf { fluid: fluid(text), volume: Volume::parse(volume).unwrap(), opened }
    }

    fn litres(volume: &Volume) -> String {
        volume.to(VolumeUnit::Litre).normalize().to_string()
    }

    #[test]
    fn jobs_that_need_the_same_fluid_share_bottles() {
        let needs = [need("oil change", "SAE 20W-50", "4.2 l"), need("filter", "20W50", "0.3 l")];
        let sold = [bottle("SAE 20W-50", "1 l", 900), bottle("SAE 20W-50", "5 l", 3000)];
        let plan = plan(&needs, &sold, &[]).unwrap();
        assert_eq!(plan.len(), 1);
        assert_eq!((plan[0].price, plan[0].bottles[0].0), (3000, 1));
        assert_eq!(litres(&plan[0].left_over), "0.5");
        assert_eq!(plan[0].jobs, ["oil change", "filter"]);
    }

    #[test]
    fn equal_prices_go_to_fewer_bottles() {
        let needs = [need("axle", "SAE 90 GL-5", "2 l")];
        let sold = [bottle("SAE 90 GL-5", "1 l", 500), bottle("SAE 90 GL-5", "2 l", 1000)];
        let plan = plan(&needs, &sold, &[]).unwrap();
        assert_eq!(plan[0].bottles, [(1, sold[1].clone())]);
    }

    #[test]
    fn opened_brake_fluid_is_not_counted_but_opened_oil_is() {
        let brakes = [need("bleed", "DOT 4", "0.8 l")];
        let sold = [bottle("DOT 4", "500 ml", 700)];
        let shelf = [kept("DOT 4", "0.5 l", true), kept("DOT 4", "0.5 l", false)];
        let plan_of = |shelf: &[OnShelf]| plan(&brakes, &sold, shelf).unwrap().remove(0);
        let brake = plan_of(&shelf);
        assert_eq!((brake.bottles[0].0, litres(&brake.from_shelf).as_str()), (1, "0.5"));
        assert!(brake.says.iter().any(|says| says.contains("once opened")));
        assert!(brake.says.iter().any(|says| says.contains("not kept")));
        let oil = [need("top up", "SAE 30", "0.4 l")];
        let from_shelf = plan(&oil, &[], &[kept("SAE 30", "1 l", true)]).unwrap().remove(0);
        assert!(from_shelf.bottles.is_empty());
        assert_eq!((from_shelf.price, litres(&from_shelf.left_over).as_str()), (0, "0.6"));
    }

    #[test]
    fn a_better_class_is_bought_where_it_is_cheaper_and_never_a_lower_one() {
        let needs = [need("bleed", "DOT 3", "0.5 l")];
        let sold = [bottle("DOT 3", "500 ml", 900), bottle("DOT 4", "500 ml", 700), bottle("DOT 5", "500 ml", 100)];
        let plan_for = |needs: &[Need]| plan(needs, &sold, &[]).unwrap().remove(0);
        let cheaper = plan_for(&needs);
        assert_eq!(cheaper.bought, fluid("DOT 4"));
        assert!(cheaper.says.iter().any(|says| says == "DOT 4 may stand in for DOT 3."));
        let higher = [need("bleed", "DOT 5.1", "0.5 l")];
        assert!(matches!(plan(&higher, &sold, &[]), Err(BottleError::NothingSuits { .. })));
    }

    #[test]
    fn a_bottle_on_the_shelf_is_promised_once() {
        let needs = [need("rear", "DOT 4", "0.5 l"), need("clutch", "DOT 3", "0.5 l")];
        let sold = [bottle("DOT 4", "500 ml", 700)];
        let plan = plan(&needs, &sold, &[kept("DOT 4", "500 ml", false)]).unwrap();
        assert_eq!((plan[0].price, plan[1].price), (0, 700));
    }

    #[test]
    fn a_bottle_of_zero_litres_is_refused() {
        let refused = Bottle::new(fluid("DOT 4"), Volume::parse("0 l").unwrap(), 100).unwrap_err();
        assert_eq!(refused.to_string(), "A bottle of zero litres holds nothing: write what is printed on it.");
    }

    #[test]
    fn thimbles_for_a_tanker_are_refused_rather_than_counted_for_ever() {
        let needs = [need("flood", "SAE 30", "9000 l")];
        let sold = [bottle("SAE 30", "1 ml", 1), bottle("SAE 30", "1.1 ml", 1)];
        assert_eq!(plan(&needs, &sold, &[]), Err(BottleError::TooMany));
    }

    /// Every count of every size is tried, and the plan must be no worse.
    #[test]
    fn no_set_of_bottles_is_cheaper_than_the_plan() {
        let mut seed = 7_u64;
        let mut random = |below: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) % below
        };
        for _ in 0..40 {
            let sizes: Vec<_> = (0..3)
                .map(|_| bottle("SAE 30", &format!("{} ml", 100 + 50 * random(40)), 100 * (1 + random(9))))
                .collect();
            let need_ml = 1 + random(2500);
            let plan = plan(&[need("job", "SAE 30", &format!("{need_ml} ml"))], &sizes, &[]).unwrap().remove(0);
            let count: usize = plan.bottles.iter().map(|(count, _)| count).sum();
            let found = (plan.price, count, plan.left_over.to(VolumeUnit::Millilitre));
            let best = by_trying_all(&sizes, Decimal::from(need_ml));
            assert_eq!(found, best, "{need_ml} ml of {sizes:?}");
        }
    }

    fn by_trying_all(sizes: &[Bottle], need: Decimal) -> (u64, usize, Decimal) {
        let all = (0..=26).flat_map(|a| (0..=26).flat_map(move |b| (0..=26).map(move |c| [a, b, c])));
        let weighed = all.filter_map(|counts: [usize; 3]| {
            let each = || sizes.iter().zip(counts);
            let holds: Decimal =
                each().map(|(size, count)| size.holds().to(VolumeUnit::Millilitre) * Decimal::from(count)).sum();
            let price: u64 = each().map(|(size, count)| size.price() * count as u64).sum();
            (holds >= need).then_some((price, counts.iter().sum::<usize>(), Reverse(holds - need)))
        });
        let (price, count, Reverse(left)) = weighed.min().unwrap();
        (price, count, left)
    }
}
