//! The plan: jobs laid into evenings, so that access work is shared and nothing starts before it can.
//!
//! # The model, exactly
//!
//! - One person works, one piece after another. A **job** is a row of pieces; the car may be left between two pieces, never
//!   inside one. A piece takes its likely minutes. Other jobs may be worked between two pieces.
//! - An **evening** has a day, its minutes, and a helper or none. It is full when work and access fill its minutes. Two of one
//!   day are two evenings. Every piece of a job that takes a helper is in an evening with one.
//! - A job's first piece comes after the last piece of each predecessor, in the same evening or later, and not before the
//!   likely day of its last part. A job whose tool is not in the chest, or whose part nobody has looked for, is left out and
//!   named, and so is what follows it. Tools that a job lacks are not guessed to arrive.
//! - **Access** is open or shut. It is opened in the evening of a piece that needs it (never ahead), at most once in an
//!   evening, and shut again there or in a later evening. Opening, shutting, and beginning a *worked* evening with it open
//!   (keeping) each have their minutes; some access must not stay open for a night. A piece is worked while all that it needs
//!   is open, and nothing that blocks it or conflicts with its needs. What is open at the start costs nothing to open. In the
//!   end everything is shut.
//! - Two access that conflict are never open at once. A clash of two whole cards comes in as access which one needs and the
//!   other is blocked by.
//! - Minimised, first things first (`Objective`): minutes of work that found no evening; minutes of work and access together;
//!   the day of the last evening worked; nights (from today on) in which something is open or a job is half done. So an
//!   evening may stay empty where waiting saves access. What is done already is no longer planned; what is half done goes on.
//!
//! # How it is solved
//!
//! `build` makes first plans greedily, `improve` anneals them, `exact` looks at everything where that is little (it gives up
//! at a fixed number of partial plans, never by the clock); `solution` judges what any of them hands back. `Plan::proven` says
//! that `exact` was through. `bound` says what no plan can beat, for the others. The same garage gets the same plan.
//!
//! The public sets of project scheduling (PSPLIB) and of job shops (Fisher and Thompson) have several resources or machines
//! that work at once; here one person does one thing at a time, so neither fits this model, and neither is claimed. `cargo
//! bench --bench ratios -- planner` compares with a reference solver on this very model instead.
//!
//! # What else is asked of it
//!
//! `tonight`: what this evening is good for. `dates`: how likely a date is, when to order, what a lost evening does.
//! `what_if`: what it costs to move one job. `pins`: jobs that somebody keeps to an evening.

mod bound;
mod build;
mod chance;
mod check;
mod dates;
mod exact;
mod explain;
mod improve;
mod input;
mod order;
mod pins;
mod problem;
mod ring;
mod solution;
mod solve;
mod state;
#[cfg(test)]
mod tests;
mod time;
mod tonight;
mod what_if;

pub use check::{Fault, Note, Waits};
pub use dates::{Dates, OrderBy, Slip, dates, order_by, slipped};
pub use improve::Effort;
pub use input::{Access, AccessId, Arrival, Evening, Garage, Job, JobId, Part, PartId, PartNeed};
pub use pins::{Pin, Pinned, plan_with};
pub use ring::ring;
pub use solution::Objective;
pub use solve::{Act, Plan, PlannedEvening, plan};
pub use time::{Minutes, Spread, SpreadError, written};
pub use tonight::{Advice, Start, Tonight, tonight};
pub use what_if::{Moved, WhatIf, what_if, what_if_with};
