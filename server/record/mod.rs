//! The record of a car: what was done, what is known and what is to come, to print and to hand over with the car.
//!
//! First it is chosen what to leave out (`choice`). Then everything is put together as plain data (`contents` and its
//! parts), drawn as one long page, and words that must not be in it are blotted out of that page (`blot`), so that they are
//! in no byte of what is handed over. `printer` lets a browser on this computer make a PDF of the very same page.
//!
//! The record tells what was written down. It never says that a car is safe.

pub mod blot;
pub mod choice;
mod contents;
mod lines;
pub mod printer;
pub mod routes;
mod sheet;
mod views;
mod work;
