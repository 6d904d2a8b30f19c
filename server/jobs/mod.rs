//! Job cards: what is to be done, step by step, with the specs, parts, tools and cautions of each step.

pub mod after;
pub mod checked;
pub mod evening;
pub mod evening_views;
pub mod form;
pub mod in_plan;
pub mod model;
pub mod order;
pub mod paper;
pub mod records;
pub mod removal;
pub mod routes;
pub mod step_form;
pub mod step_views;
pub mod steps;
pub mod store;
pub mod takes;
pub mod trail;
pub mod views;
