//! The plan of a car.

pub mod pages;
