//! Quantities as a mechanic writes them: `62 lbf ft`, `2½ US qt`, `40–45 Nm`, `-18 inHg`.
//!
//! A quantity is parsed once, at the edge, and cannot hold nonsense afterwards: it has a unit of its own
//! dimension, a size a car can have, and the very words it was read from. Nothing here rounds what is kept;
//! rounding happens only when a value is shown in another unit, and [`Shown::rounded`] says so.
//!
//! ```
//! use underlamp::trade::quantity::{System, Torque, TorqueUnit, Quantity, Dimension};
//!
//! let drain_plug = Torque::parse("62 lbf ft").unwrap();
//! assert_eq!(drain_plug.to(TorqueUnit::NewtonMetre).to_string(), "84.0607127965468248");
//! let (first, second) = Quantity::parse(Dimension::Torque, "62 lbf ft").unwrap().both(System::Metric);
//! assert_eq!(first.to_string(), "84 N·m");
//! assert!(first.rounded);
//! assert_eq!(second.unwrap().to_string(), "62 lbf·ft");
//! ```
//!
//! Each dimension is a type of its own, so a torque cannot be added to a volume:
//!
//! ```compile_fail
//! use underlamp::trade::quantity::{Torque, Volume};
//! let torque = Torque::parse("45 Nm").unwrap();
//! let oil = Volume::parse("4.2 l").unwrap();
//! torque.checked_add(&oil);
//! ```
//!
//! # Why not a general units library
//!
//! * A library that works by physical dimension gives torque and energy one type, and a torque in joules is a slip
//!   waiting to happen; it also takes a temperature difference for a temperature.
//! * Such libraries convert through binary floating point. A spec must read `62` for ever, not `61.99999`, and
//!   two sources must compare equal when they are equal.
//! * The entry is the hard part: `2 1/2 US qt`, `4,5 mkg`, `40…45 Nm`, a bare `qt` that must be refused, a comma
//!   that may be a thousands mark.
//! * The words of the source have to be kept beside the value, because they are the evidence.
//!
//! # Map
//!
//! | file | holds |
//! |---|---|
//! | `units/` | every unit: its code, its spellings, its exact size, what a tool for it can be set to |
//! | `ratio.rs` | exact fractions and the legal definitions they come from |
//! | `figure.rs`, `reading.rs`, `spelling.rs` | reading numbers, ranges and unit names |
//! | `amount.rs`, `span.rs` | one value; one value or a range |
//! | `shown.rs` | rounding for display |
//! | `any.rs`, `unit.rs` | any dimension, for storage and forms |
//! | `agreement.rs` | whether two sources say the same |

mod agreement;
mod amount;
mod any;
mod dimension;
mod error;
mod figure;
mod ratio;
mod reading;
mod shown;
mod span;
mod spelling;
mod unit;
mod units;

#[cfg(test)]
mod properties;

pub use agreement::agree;
pub use amount::{Amount, Angle, Length, Mass, Percent, Pressure, Temperature, Torque, Voltage, Volume};
pub use any::Quantity;
pub use dimension::{Dimension, System};
pub use error::{ParseError, SizeError};
pub use shown::Shown;
pub use span::Span;
pub use unit::Unit;
pub(crate) use unit::with_units_of;
pub use units::{
    Additive, AngleUnit, LengthUnit, MassUnit, PercentUnit, PressureUnit, TemperatureUnit, TorqueUnit, UnitSet,
    VoltageUnit, VolumeUnit,
};
