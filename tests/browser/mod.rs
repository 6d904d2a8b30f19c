//! Real Chromium, driving the real program, over a link that can be told to fail.
//!
//! - `chromium`, `page`, `protocol`: the browser, and what a person does in it
//! - `garage`, `proxy`: the program as a process, and the faulty air in between
//! - `scratch`: what all tests share, cleaned up at the end
//! - `patience`: waiting for something to become so
//! - `pictures`: photos as a camera makes them
//! - `doors`: pairing and taking a car along, through the pages
//!
//! Needs, from Debian: chromium, libimage-exiftool-perl, libnss3-tools.

mod chromium;
mod garage;
mod page;
mod patience;
mod pictures;
mod protocol;
pub(crate) mod proxy;
mod scratch;

mod doors;

mod addresses;
mod bolts;
mod every_page;
mod guards;
mod keyboard;
mod saving;
mod sending;
mod shots;
mod under_the_car;
