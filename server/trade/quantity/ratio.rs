//! Exact fractions, and the legal definitions that every unit is built from.
//!
//! Source of the definitions: the international yard and pound agreement of 1959 (1 yd = 0.9144 m, 1 lb = 0.453 592 37 kg),
//! the standard acceleration of free fall of the 3rd CGPM, 1901 (9.806 65 m/s²), the US gallon of 231 cubic inches and the
//! imperial gallon of 4.546 09 l; NIST Special Publication 811 (2008), appendix B, lists them all.

use rust_decimal::Decimal;

/// A fraction of two whole numbers in lowest terms, both above zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ratio {
    top: i128,
    bottom: i128,
}

impl Ratio {
    pub(super) const ONE: Self = Self::new(1, 1);

    /// Both parts must be above zero; they are, because only the constants of this module tree call it.
    pub(super) const fn new(top: i128, bottom: i128) -> Self {
        let common = greatest_common_divisor(top, bottom);
        Self { top: top / common, bottom: bottom / common }
    }

    /// Cancels across before multiplying, so that the product of any two units stays far below the limit of `i128`.
    pub(super) const fn times(self, other: Self) -> Self {
        let left = Self::new(self.top, other.bottom);
        let right = Self::new(other.top, self.bottom);
        Self { top: left.top * right.top, bottom: left.bottom * right.bottom }
    }

    pub(super) const fn over(self, other: Self) -> Self {
        self.times(Self { top: other.bottom, bottom: other.top })
    }

    /// The two parts, if each fits a decimal of 28 digits.
    pub(super) fn parts(self) -> Option<(Decimal, Decimal)> {
        let whole = |part| Decimal::try_from_i128_with_scale(part, 0).ok();
        Some((whole(self.top)?, whole(self.bottom)?))
    }
}

const fn greatest_common_divisor(mut a: i128, mut b: i128) -> i128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// Kilograms in a pound.
pub(super) const POUND: Ratio = Ratio::new(45_359_237, 100_000_000);
/// Kilograms in an avoirdupois ounce.
pub(super) const OUNCE: Ratio = POUND.over(Ratio::new(16, 1));
/// Newtons that weigh one kilogram.
pub(super) const FREE_FALL: Ratio = Ratio::new(980_665, 100_000);
/// Metres in an inch.
pub(super) const INCH: Ratio = Ratio::new(254, 10_000);
/// Metres in a foot.
pub(super) const FOOT: Ratio = INCH.times(Ratio::new(12, 1));
/// Metres in a centimetre.
pub(super) const CENTI: Ratio = Ratio::new(1, 100);
/// Litres in a US gallon: 231 cubic inches.
pub(super) const US_GALLON: Ratio = Ratio::new(231, 1).times(INCH).times(INCH).times(INCH).times(Ratio::new(1000, 1));
/// Litres in an imperial gallon.
pub(super) const IMPERIAL_GALLON: Ratio = Ratio::new(454_609, 100_000);
/// Kilograms in a litre of mercury, by convention.
pub(super) const MERCURY: Ratio = Ratio::new(135_951, 10_000);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_us_gallon_comes_out_at_its_published_size() {
        // NIST SP 811 (2008), B.8: 3.785 412 l; exact from 231 cubic inches.
        assert_eq!(US_GALLON, Ratio::new(3_785_411_784, 1_000_000_000));
    }

    #[test]
    fn dividing_by_itself_leaves_one() {
        assert_eq!(POUND.over(POUND), Ratio::ONE);
    }
}
