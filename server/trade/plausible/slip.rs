//! The slips that make a torque wrong: another unit, a lost decimal point, a misread class.

use std::fmt;

use rust_decimal::Decimal;

use super::verdict::Bounds;
use crate::trade::fastener_strength::{Bolt, Class};
use crate::trade::preload::Friction;
use crate::trade::quantity::{Span, TorqueUnit, UnitSet};

/// What may have gone wrong between the source and the spec book. Names the slip, never a torque.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Slip {
    /// The same number was meant in another unit.
    Unit { written: TorqueUnit, meant: TorqueUnit },
    /// A decimal point got lost.
    TenTimesTooMuch,
    /// A decimal point too many.
    TenTimesTooLittle,
    /// The bolt is of another class than the one written.
    Class { written: Class, perhaps: Class },
}

/// Units that sources for cars use; daN·m reads like kgf·m and is covered by it.
const UNITS: [TorqueUnit; 5] = [
    TorqueUnit::NewtonMetre,
    TorqueUnit::PoundForceFoot,
    TorqueUnit::PoundForceInch,
    TorqueUnit::KilogramForceMetre,
    TorqueUnit::KilogramForceCentimetre,
];

/// The most slips that are named at once.
const MOST: usize = 3;

/// The slips after which the torque would fit, the likeliest first: the nearer the bolt then comes to a usual preload,
/// and the commoner the slip, the likelier.
pub(super) fn likely(torque: &Span<TorqueUnit>, bounds: &Bounds, friction: Friction) -> Vec<Slip> {
    let mut found: Vec<(f64, Slip)> = Vec::new();
    for (slip, commonness) in mistaken_torques(torque.unit()) {
        if let Some(oddness) = mended(torque, slip).and_then(|mended| bounds.oddness(&mended, friction)) {
            found.push((oddness + commonness, slip));
        }
    }
    if let Some(written) = bounds.known_class() {
        for perhaps in Class::all_for(bounds.thread()).into_iter().filter(|class| *class != written) {
            let other = Bolt::new(bounds.thread(), perhaps).ok().map(Bounds::of);
            if let Some(oddness) = other.and_then(|other| other.oddness(torque, friction)) {
                found.push((oddness + 0.6, Slip::Class { written, perhaps }));
            }
        }
    }
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut slips: Vec<Slip> = Vec::new();
    for (_, slip) in found {
        let another_class = matches!(slip, Slip::Class { .. });
        let class_named = slips.iter().any(|slip| matches!(slip, Slip::Class { .. }));
        if slips.len() < MOST && !(another_class && class_named) {
            slips.push(slip);
        }
    }
    slips
}

/// Every slip that changes the number or its unit, with what its rarity counts against it.
fn mistaken_torques(written: TorqueUnit) -> Vec<(Slip, f64)> {
    let everyday = |unit| matches!(unit, TorqueUnit::NewtonMetre | TorqueUnit::PoundForceFoot);
    let units = UNITS.into_iter().filter(|meant| *meant != written).map(|meant| {
        let rarity = if everyday(meant) && everyday(written) { 0.0 } else { 0.2 };
        (Slip::Unit { written, meant }, rarity)
    });
    units.chain([(Slip::TenTimesTooMuch, 0.3), (Slip::TenTimesTooLittle, 0.3)]).collect()
}

/// The torque without the slip; `None` when no car has such a torque.
fn mended(torque: &Span<TorqueUnit>, slip: Slip) -> Option<Span<TorqueUnit>> {
    let (low, high, unit) = (torque.low().number(), torque.high().number(), torque.unit());
    let ten = Decimal::TEN;
    let (factor, unit) = match slip {
        Slip::Unit { meant, .. } => (Decimal::ONE, meant),
        Slip::TenTimesTooMuch => (Decimal::ONE.checked_div(ten)?, unit),
        Slip::TenTimesTooLittle => (ten, unit),
        Slip::Class { .. } => (Decimal::ONE, unit),
    };
    Span::computed(low.checked_mul(factor)?, high.checked_mul(factor)?, unit).ok()
}

/// A sentence for whoever looks at the source again.
impl fmt::Display for Slip {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Unit { written, meant } => write!(
                out,
                "The same number in {} would fit: does the source really say {}?",
                meant.name(),
                written.name()
            ),
            Self::TenTimesTooMuch => out.write_str("A tenth of it would fit: has a decimal point been lost?"),
            Self::TenTimesTooLittle => out.write_str("Ten times as much would fit: is there a decimal point too many?"),
            Self::Class { written, perhaps } => {
                write!(out, "It would fit a bolt of {perhaps}: does the head really say {written}?")
            }
        }
    }
}
