//! Real Chromium, driving the real program, over a link that can be told to fail.
//!
//! - `chromium`, `page`, `protocol`: the browser, and what a person does in it
//! - `garage`, `proxy`: the program as a process, and the faulty air in between
//! - `patience`: waiting for something to become so
//!
//! Needs, from Debian: chromium, libimage-exiftool-perl, libnss3-tools.

mod chromium;
mod garage;
mod page;
mod patience;
mod protocol;
mod proxy;

mod addresses;
mod doors;
