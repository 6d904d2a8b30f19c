//! Areas, forces and stresses of a fastener, in binary floating point.
//!
//! This is physics with a friction known to within a factor of two, so floating point is exact enough, and nothing
//! computed here ever becomes a torque that somebody sets: torques stay [`super::quantity`] values, exact.

use std::fmt;
use std::str::FromStr;

use rust_decimal::Decimal;

use super::quantity::{Length, LengthUnit};

/// Millimetres in an inch, exact.
pub const INCH: f64 = 25.4;
/// Newtons in a pound-force, exact to the digits of a double.
const POUND_FORCE: f64 = 4.448_221_615_260_5;

/// A cross-section, above zero.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Area(f64);

/// A pull, zero or above.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Force(f64);

/// A stress, above zero.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Stress(f64);

impl Area {
    /// The circle of that diameter in millimetres.
    pub(super) fn of_circle(millimetres: f64) -> Self {
        Self(std::f64::consts::FRAC_PI_4 * millimetres * millimetres)
    }

    /// Rounded to three significant figures, as standards print it.
    pub(super) fn to_three_figures(self) -> Self {
        let step = 10_f64.powf(self.0.log10().floor() - 2.0);
        Self((self.0 / step).round() * step)
    }

    pub const fn square_millimetres(self) -> f64 {
        self.0
    }

    pub fn square_inches(self) -> f64 {
        self.0 / (INCH * INCH)
    }
}

impl Force {
    pub(super) const fn of_newtons(newtons: f64) -> Self {
        Self(newtons)
    }

    pub const fn newtons(self) -> f64 {
        self.0
    }

    pub fn kilonewtons(self) -> f64 {
        self.0 / 1000.0
    }

    pub fn pounds_force(self) -> f64 {
        self.0 / POUND_FORCE
    }

    /// This force as a share of another, 1 for all of it.
    pub fn share_of(self, whole: Self) -> f64 {
        self.0 / whole.0
    }
}

impl Stress {
    /// In megapascals, which are newtons a square millimetre.
    pub(super) const fn of_megapascals(megapascals: f64) -> Self {
        Self(megapascals)
    }

    /// In thousands of pounds-force a square inch.
    pub(super) const fn of_ksi(ksi: f64) -> Self {
        Self(ksi * 1000.0 * POUND_FORCE / (INCH * INCH))
    }

    pub const fn megapascals(self) -> f64 {
        self.0
    }

    /// The pull that brings a section to this stress.
    pub fn over(self, area: Area) -> Force {
        Force(self.0 * area.0)
    }
}

/// In kilonewtons to three figures, such as `33.6 kN`.
impl fmt::Display for Force {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} kN", three_figures(self.kilonewtons()))
    }
}

impl fmt::Display for Area {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{} mm²", three_figures(self.0))
    }
}

/// In megapascals, such as `580 MPa`.
impl fmt::Display for Stress {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:.0} MPa", self.0)
    }
}

/// A length in millimetres for the physics; right to the digits of a double.
pub(super) fn millimetres(length: &Length) -> f64 {
    double(length.to(LengthUnit::Millimetre))
}

/// A decimal as a double. A decimal of a bounded quantity is far within a double's range, so the zero is never reached.
pub(super) fn double(number: Decimal) -> f64 {
    f64::from_str(&number.to_string()).unwrap_or(0.0)
}

/// A number for people, to three significant figures, or whole from 100.
fn three_figures(number: f64) -> String {
    let places = match number.abs() {
        size if size < 10.0 => 2,
        size if size < 100.0 => 1,
        _ => 0,
    };
    format!("{number:.places$}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_force_is_shown_in_kilonewtons_to_three_figures() {
        assert_eq!(Force(33_640.0).to_string(), "33.6 kN");
        assert_eq!(Force(8_230.0).to_string(), "8.23 kN");
        assert_eq!(Force(147_000.0).to_string(), "147 kN");
        assert_eq!(Area::of_circle(10.0).to_string(), "78.5 mm²");
        assert!((Area(124.546).to_three_figures().0 - 125.0).abs() < 1e-9);
        assert!((Area(8.7793).to_three_figures().0 - 8.78).abs() < 1e-9);
    }

    #[test]
    fn inch_stresses_convert_by_the_legal_pound() {
        assert!((Stress::of_ksi(120.0).megapascals() - 827.37).abs() < 0.01);
    }
}
