//! Planned, ordered, spent.

use super::money::{Money, Purse};
use super::{Stage, Want};
use crate::trade::spec::System;
use rust_decimal::{Decimal, RoundingStrategy};
use std::collections::BTreeMap;

/// Where the money of some wants stands.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sums {
    /// Wanted, not ordered.
    pub planned: Purse,
    /// Ordered, not here.
    pub committed: Purse,
    /// Here or on the car.
    pub spent: Purse,
    /// Sent back: to come back from the supplier, and in no other sum.
    pub coming_back: Purse,
    /// Wants without a price: the sums are too small by them.
    pub unpriced: usize,
}

impl Sums {
    fn add(&mut self, want: &Want) {
        let Some(price) = want.price else {
            self.unpriced += 1;
            return;
        };
        match want.stage {
            Stage::Wanted => self.planned.add(price),
            Stage::Ordered => self.committed.add(price),
            Stage::Here | Stage::Fitted => self.spent.add(price),
            Stage::SentBack => self.coming_back.add(price),
        }
    }

    /// Planned, ordered and spent together.
    pub fn whole(&self) -> Purse {
        self.planned.and(&self.committed).and(&self.spent)
    }
}

/// The money of a car.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Spending {
    pub whole: Sums,
    /// By the job's title; what is for no job has an empty one.
    pub by_job: BTreeMap<String, Sums>,
    /// By the part of the car; `None`: for no job.
    pub by_area: BTreeMap<Option<System>, Sums>,
}

impl Spending {
    pub fn of(wants: &[Want]) -> Spending {
        let mut spending = Spending::default();
        for want in wants {
            spending.whole.add(want);
            spending.by_job.entry(want.job.clone()).or_default().add(want);
            spending.by_area.entry(want.area).or_default().add(want);
        }
        spending
    }
}

/// How the sums stand to a budget, in sentences. Other currencies than the budget's are named and not counted.
pub fn against_budget(sums: &Sums, budget: Money) -> String {
    let currency = budget.currency();
    let whole = sums.whole().of(currency);
    let left = budget.amount() - whole;
    let stand = if left.is_sign_negative() && !left.is_zero() {
        format!("{:.2} {currency} over it", left.abs())
    } else {
        format!("{left:.2} {currency} are left")
    };
    let parts = [("spent", &sums.spent), ("ordered", &sums.committed), ("planned", &sums.planned)];
    let parts = parts.map(|(word, purse)| format!("{word} {:.2}", purse.of(currency))).join(", ");
    format!("Of the budget of {budget}: {parts}; {stand}.{}", uncounted(sums, currency))
}

/// How the sums stand to what the car is worth, in sentences. A worth of zero compares with nothing.
pub fn against_worth(sums: &Sums, worth: Money) -> String {
    let currency = worth.currency();
    let whole = sums.whole().of(currency);
    if worth.amount().is_zero() {
        return format!("The work comes to {whole:.2} {currency}.{}", uncounted(sums, currency));
    }
    // At most some 10¹³ by a hundredth, times a hundred: far below what a decimal holds.
    let share = whole * Decimal::ONE_HUNDRED / worth.amount();
    let share = share.round_dp_with_strategy(0, RoundingStrategy::MidpointAwayFromZero);
    format!(
        "The work comes to {whole:.2} {currency}, {share} % of the car’s worth of {worth}.{}",
        uncounted(sums, currency)
    )
}

fn uncounted(sums: &Sums, currency: super::Currency) -> String {
    let other = sums.whole().besides(currency);
    let other = if other.is_empty() { String::new() } else { format!(" Not counted, in another currency: {other}.") };
    match sums.unpriced {
        0 => other,
        1 => format!("{other} One thing has no price yet."),
        many => format!("{other} {many} things have no price yet."),
    }
}
