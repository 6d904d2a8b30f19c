//! From the wants of chosen jobs to what is ordered where, by when, and what it costs.
//!
//! - `stage`: wanted, ordered, here, fitted, sent back; which follows which
//! - `money`: exact amounts, each in its own currency; two currencies are never added
//! - `many`: how many or how much, added only where that is exact
//! - `came`: the stage that follows from what came and was used; `share`: a price among the jobs that share a thing
//! - `list`: wants that are the same thing as one line, by supplier; `order`: such a list as text to send
//! - `spending`: planned, ordered, spent; by job and by area; against the budget and the car's worth
//! - `csv`: the rows for a spreadsheet

mod came;
mod csv;
mod list;
mod many;
mod money;
mod order;
mod share;
mod spending;
mod stage;
#[cfg(test)]
mod tests;

pub use came::{Move, Standing, rest, standing};
pub use csv::{HEAD, csv, rows};
pub use list::{Line, Supplier, to_buy};
pub use many::Many;
pub use money::{Currency, Money, MoneyError, Purse};
pub use order::order_text;
pub use share::{SHARED_OUT, shared_out};
pub use spending::{Spending, Sums, against_budget, against_worth};
pub use stage::{Stage, StageError};

use super::calendar::Date;
use super::closed_set::closed_set;
use super::spec::System;

closed_set! {
    /// What is bought.
    pub enum Sort {
        Part = "part", "part";
        Fluid = "fluid", "fluid";
        /// Used up: rags, cleaner, sealant.
        Consumable = "consumable", "consumable";
        /// Used by several jobs and still there after.
        Tool = "tool", "tool";
    }
}

/// Something that a job wants.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Want {
    pub id: String,
    pub sort: Sort,
    pub name: String,
    /// The supplier's or maker's number; empty where none is known.
    pub number: String,
    /// Empty where none is chosen.
    pub supplier: String,
    pub many: Many,
    pub stage: Stage,
    /// For all of it, not for one. `None`: not known yet.
    pub price: Option<Money>,
    /// The job's title; empty where it is for none.
    pub job: String,
    /// The job's part of the car; `None` where it is for no job.
    pub area: Option<System>,
    /// The last day on which ordering it is early enough.
    pub order_by: Option<Date>,
}
