//! The plan's pages: what they show, worked out of a garage and a plan without the database.
//!
//! - `told`, `made`, `standing`: what is known now; a plan with all that it was made from; the plan as it stands
//! - `routes`, `views`, `moving`; `asked`, `dates`, `tonight`: the pages
//! - `timeline`: the evenings as bars, bands and rails; `histogram`: the chances drawn
//! - `tell`, `words`: what the planner says, in sentences with links

pub mod asked;
pub mod dates;
pub mod example;
pub mod histogram;
pub mod made;
pub mod moving;
pub mod routes;
#[cfg(test)]
mod sample;
pub mod standing;
pub mod tell;
pub mod timeline;
pub mod told;
pub mod tonight;
pub mod views;
pub mod words;
