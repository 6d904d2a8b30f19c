//! What a spec is: a value with its unit as its source wrote it, where on the car it holds, and where it came from.

use super::closed_set::closed_set;
use super::quantity::{Dimension, Quantity};
use serde::{Deserialize, Serialize};

closed_set! {
    /// The part of the car a spec or a card belongs to.
    pub enum System {
        Body = "body", "Body";
        Brakes = "brakes", "Brakes";
        Cooling = "cooling", "Cooling";
        Driveline = "driveline", "Driveline";
        Electrics = "electrics", "Electrics";
        Engine = "engine", "Engine";
        Exhaust = "exhaust", "Exhaust";
        Fuel = "fuel", "Fuel";
        Steering = "steering", "Steering";
        Suspension = "suspension", "Suspension";
        Wheels = "wheels", "Wheels and tyres";
    }
}

closed_set! {
    /// What kind of value a spec holds: a measured quantity, a fluid by its published class, or plain words.
    pub enum Kind {
        Torque = "torque", "Torque";
        Volume = "volume", "Quantity of fluid";
        Fluid = "fluid", "Fluid";
        Pressure = "pressure", "Pressure";
        Length = "length", "Length or gap";
        Temperature = "temperature", "Temperature";
        Angle = "angle", "Angle";
        Voltage = "voltage", "Voltage";
        Text = "text", "In words";
    }
}

impl Kind {
    /// The dimension its values are parsed in; `None` where the value is words.
    pub fn dimension(self) -> Option<Dimension> {
        match self {
            Kind::Torque => Some(Dimension::Torque),
            Kind::Volume => Some(Dimension::Volume),
            Kind::Pressure => Some(Dimension::Pressure),
            Kind::Length => Some(Dimension::Length),
            Kind::Temperature => Some(Dimension::Temperature),
            Kind::Angle => Some(Dimension::Angle),
            Kind::Voltage => Some(Dimension::Voltage),
            Kind::Fluid | Kind::Text => None,
        }
    }
}

closed_set! {
    /// Where a value came from, the most trusted first.
    pub enum SourceKind {
        MakersManual = "makers-manual", "maker's manual";
        ReadOffTheCar = "read-off-the-car", "read off the car";
        PartsSupplier = "parts-supplier", "parts supplier";
        SecondHand = "second-hand", "second-hand";
        Guess = "guess", "guess";
    }
}

/// The fastener a torque is for. All text as its source wrote it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Fastener {
    pub thread: String,
    #[serde(default)]
    pub class: String,
    #[serde(default)]
    pub head: String,
    pub count: u32,
    #[serde(default)]
    pub lubrication: String,
    #[serde(default)]
    pub single_use: bool,
}

impl Fastener {
    /// How many of them there are.
    pub fn bolts(&self) -> usize {
        usize::try_from(self.count).unwrap_or(usize::MAX)
    }
}

/// A spec's value: parsed, or words where the kind has no dimension.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    Measured(Quantity),
    Words(String),
}

/// Why a value cannot be taken into the spec book, as a sentence for the person who typed it.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ValueError {
    #[error("Say what the source says: the value is empty.")]
    Empty,
    #[error("{0}")]
    Unreadable(String),
}

impl Value {
    /// Parses `written` as a value of `kind`. Errors: empty text, or a number or unit that cannot be read.
    pub fn parse(kind: Kind, written: &str) -> Result<Value, ValueError> {
        let written = written.trim();
        if written.is_empty() {
            return Err(ValueError::Empty);
        }
        let Some(dimension) = kind.dimension() else {
            return Ok(Value::Words(written.to_owned()));
        };
        Quantity::parse(dimension, written)
            .map(Value::Measured)
            .map_err(|error| ValueError::Unreadable(error.to_string()))
    }
}
