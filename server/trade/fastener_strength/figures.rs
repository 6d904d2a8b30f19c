//! Stresses by class and size.
//!
//! Source: ISO 898-1:2013 table 3 and SAE J429, both from memory; the proof stresses of 8.8, 10.9 and 12.9 reproduce
//! published tables of proof loads, and the proof and tensile stresses of grades 2, 5 and 8 a published summary
//! (`tests/published/fastener_strength.rs`).

use super::Figures;
use super::class::{Class, PropertyClass, SaeGrade};
use crate::trade::mechanics::Stress;
use crate::trade::thread::Thread;

/// Proof, yield and tensile stress; `None` where the standard has no figures for that size.
pub(super) fn of(class: Class, thread: Thread) -> Option<Figures> {
    let size = thread.dimensions().outside;
    match class {
        Class::Metric(class) => metric(class, size),
        Class::Inch(grade) => inch(grade, size / crate::trade::mechanics::INCH),
    }
}

/// `millimetres` is the nominal diameter; the standard covers M1.6 to M39.
fn metric(class: PropertyClass, millimetres: f64) -> Option<Figures> {
    if !(1.6..=39.0).contains(&millimetres) {
        return None;
    }
    let thick = millimetres > 16.0;
    let (proof, yielding, tensile) = match class {
        PropertyClass::C4_6 => (225.0, 240.0, 400.0),
        PropertyClass::C4_8 => (310.0, 340.0, 420.0),
        PropertyClass::C5_6 => (280.0, 300.0, 500.0),
        PropertyClass::C5_8 => (380.0, 420.0, 520.0),
        PropertyClass::C6_8 => (440.0, 480.0, 600.0),
        PropertyClass::C8_8 if thick => (600.0, 660.0, 830.0),
        PropertyClass::C8_8 => (580.0, 640.0, 800.0),
        PropertyClass::C9_8 if thick => return None,
        PropertyClass::C9_8 => (650.0, 720.0, 900.0),
        PropertyClass::C10_9 => (830.0, 940.0, 1040.0),
        PropertyClass::C12_9 => (970.0, 1100.0, 1220.0),
    };
    let of = Stress::of_megapascals;
    Some(Figures { proof: of(proof), yielding: of(yielding), tensile: of(tensile) })
}

/// `inches` is the nominal diameter; the standard covers 1/4 to 1 1/2 in.
fn inch(grade: SaeGrade, inches: f64) -> Option<Figures> {
    if !(0.25..=1.5).contains(&inches) {
        return None;
    }
    let (proof, yielding, tensile) = match grade {
        SaeGrade::Two if inches > 0.75 => (33.0, 36.0, 60.0),
        SaeGrade::Two => (55.0, 57.0, 74.0),
        SaeGrade::Five if inches > 1.0 => (74.0, 81.0, 105.0),
        SaeGrade::Five => (85.0, 92.0, 120.0),
        SaeGrade::Eight => (120.0, 130.0, 150.0),
    };
    let of = Stress::of_ksi;
    Some(Figures { proof: of(proof), yielding: of(yielding), tensile: of(tensile) })
}
