//! What is known of every unit: code, names, exact size, and the steps a tool that reads in it can be set to.
//!
//! The steps, limits and agreement tolerances of this folder are common practice, no source: the graduations of
//! ordinary click wrenches, jugs, gauges and rules, and the largest values met on a car.

mod electrical;
mod length;
mod mass;
mod pressure;
mod temperature;
mod torque;
mod turning;
mod volume;

use std::fmt;

use rust_decimal::Decimal;

use super::dimension::{Dimension, System};
use super::ratio::Ratio;
use super::unit::Unit;

pub use electrical::{PercentUnit, VoltageUnit};
pub use length::LengthUnit;
pub use mass::MassUnit;
pub use pressure::PressureUnit;
pub use temperature::TemperatureUnit;
pub use torque::TorqueUnit;
pub use turning::AngleUnit;
pub use volume::VolumeUnit;

/// The units of one dimension. An enum for each dimension keeps quantities of different dimensions apart.
pub trait UnitSet: Copy + Eq + fmt::Debug + Send + Sync + 'static {
    const DIMENSION: Dimension;
    /// The usual ones first.
    const ALL: &'static [Self];
    const BOUNDS: Bounds;
    const TOLERANCE: Tolerance;
    /// Spellings that two different units share.
    const UNCLEAR: &'static [Unclear] = &[];

    fn facts(self) -> Facts;

    /// The units someone who thinks in `system` is shown.
    fn everyday(system: System) -> Everyday<Self>;

    /// The same unit among those of all dimensions.
    fn wrap(self) -> Unit;

    fn code(self) -> &'static str {
        self.facts().code
    }

    fn name(self) -> &'static str {
        self.facts().name
    }
}

/// Dimensions whose values may be added: two fills make a volume, but two temperatures make nothing.
pub trait Additive: UnitSet {}

impl Additive for TorqueUnit {}
impl Additive for VolumeUnit {}
impl Additive for PressureUnit {}
impl Additive for LengthUnit {}
impl Additive for AngleUnit {}
impl Additive for MassUnit {}
impl Additive for VoltageUnit {}

/// One unit. Each dimension has a base unit of size one and zero offset: N·m, l, kPa, mm, K, °, kg, V, %.
#[derive(Clone, Copy, Debug)]
pub struct Facts {
    pub(super) code: &'static str,
    pub(super) name: &'static str,
    /// In the form `spelling::canonical` gives, with a dot wherever one may stand; code and name need no repeating.
    pub(super) spellings: &'static [&'static str],
    /// Base units in one of this.
    pub(super) size: Ratio,
    /// What to add to a reading before scaling it to the base unit; zero except for temperatures.
    pub(super) zero: Decimal,
    pub(super) steps: Steps,
}

impl Facts {
    /// A unit whose zero is the zero of its base unit.
    const fn plain(
        code: &'static str,
        name: &'static str,
        spellings: &'static [&'static str],
        size: Ratio,
        steps: Steps,
    ) -> Self {
        Self { code, name, spellings, size, zero: Decimal::ZERO, steps }
    }
}

/// What a value is rounded to: the step of the first limit that it lies below, or else the last.
#[derive(Clone, Copy, Debug)]
pub struct Steps {
    pub(super) ladder: &'static [(i64, Decimal)],
    pub(super) last: Decimal,
}

/// What a value may be; `highest` in base units, and in words for the refusal.
#[derive(Clone, Copy, Debug)]
pub struct Bounds {
    pub(super) lowest: Lowest,
    pub(super) highest: Decimal,
    pub(super) highest_says: &'static str,
}

#[derive(Clone, Copy, Debug)]
pub enum Lowest {
    AboveZero,
    Zero,
    /// In kPa: no gauge reads below a vacuum.
    Vacuum(Decimal),
    AbsoluteZero,
    /// As far below zero as above it.
    Mirrored,
}

/// How far apart two sources may lie and still say the same: a share of the larger, but never less than `floor`.
#[derive(Clone, Copy, Debug)]
pub struct Tolerance {
    pub(super) percent: Decimal,
    /// In base units.
    pub(super) floor: Decimal,
}

/// Spellings that leave a choice open, and the sentences that say so and ask.
#[derive(Clone, Copy, Debug)]
pub struct Unclear {
    pub(super) spellings: &'static [&'static str],
    pub(super) says: &'static str,
}

/// The units of one system for one dimension, by the size of the value.
#[derive(Clone, Copy, Debug)]
pub struct Everyday<U: 'static> {
    pub(super) usual: U,
    /// Smallest first, each used for values below its limit.
    pub(super) lesser: &'static [(U, i64)],
    pub(super) greatest: U,
}

impl<U: UnitSet> Everyday<U> {
    const fn only(unit: U) -> Self {
        Self { usual: unit, lesser: &[], greatest: unit }
    }

    pub(super) fn includes(&self, unit: U) -> bool {
        unit == self.greatest || self.lesser.iter().any(|(lesser, _)| *lesser == unit)
    }
}

/// `units` × 10^−`places`, with at most 28 places.
const fn exact(units: i64, places: u32) -> Decimal {
    let size = units.unsigned_abs();
    let low = (size & 0xffff_ffff) as u32;
    let middle = (size >> 32) as u32;
    Decimal::from_parts(low, middle, 0, units < 0, places)
}

#[cfg(test)]
mod tests {
    use super::super::unit::with_units_of;
    use super::*;

    fn check_all<U: UnitSet>() {
        for from in U::ALL {
            for to in U::ALL {
                let ratio = from.facts().size.over(to.facts().size);
                assert!(ratio.parts().is_some(), "{from:?} {to:?}");
            }
            let steps = from.facts().steps;
            assert!(steps.ladder.is_sorted_by_key(|(below, _)| *below));
            assert!(steps.ladder.is_sorted_by_key(|(_, step)| *step));
            assert!(steps.ladder.iter().all(|(_, step)| *step <= steps.last));
        }
        for system in [System::Metric, System::Inch] {
            let everyday = U::everyday(system);
            assert!(everyday.includes(everyday.usual), "{everyday:?}");
        }
    }

    #[test]
    fn every_pair_of_units_has_an_exact_ratio_and_every_ladder_climbs() {
        for dimension in Dimension::ALL {
            with_units_of!(dimension, Set => check_all::<Set>());
        }
    }
}
