//! The evenings of a car for other calendars: a file to take away, and a link that calendar programs ask again and again.
//!
//! A calendar program cannot pair, so the link's secret (256 random bits, stored hashed) is all it has. It reads the days,
//! lengths, titles of jobs and how the car is left, and nothing else. The secret stands behind the address's question mark,
//! which no log keeps.

mod entries;
pub mod routes;
mod store;
mod zone;
