//! The plan's pages: what they show, worked out of a garage and a plan without the database.
//!
//! - `made`: a plan with all that it was made from; `changes`: what became otherwise since
//! - `timeline`: the evenings as bars, bands and rails; `histogram`: the chances drawn
//! - `tell`, `words`: what the planner says, in sentences with links

pub mod changes;
pub mod histogram;
pub mod made;
#[cfg(test)]
mod sample;
pub mod tell;
pub mod timeline;
pub mod words;
