//! The survey of a car: the questions there are, what was answered and found, and what became of it.
//!
//! What is asked, and which comes first, stands in `trade::survey`. Here it is put together for a car:
//!
//! - `library`: the questions of the program, and those that somebody put into the data folder's `survey`
//! - `limits`: the limit that a question brings along, until the restorer chose one
//! - `list`: answers, findings and what was dealt with, as one ranked list
//! - `answers`: the form of an area at the desk
//! - `deal`: an entry made into a card, a part to buy, something to watch, or nothing
//! - `phone`: the questions as data for the pages under the car

pub mod answers;
pub mod deal;
pub mod library;
pub mod limits;
pub mod list;
pub mod phone;
pub mod routes;
pub mod views;
