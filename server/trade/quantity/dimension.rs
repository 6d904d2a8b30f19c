//! The kinds of quantity a spec, a reading or a part can have.

use serde::{Deserialize, Serialize};

/// What a quantity measures. The serialised names are stored and never change.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Dimension {
    Torque,
    Volume,
    /// Gauge pressure: above or, when negative, below the air outside.
    Pressure,
    Length,
    Temperature,
    Angle,
    Mass,
    Voltage,
    Percent,
}

impl Dimension {
    pub const ALL: [Self; 9] = [
        Self::Torque,
        Self::Volume,
        Self::Pressure,
        Self::Length,
        Self::Temperature,
        Self::Angle,
        Self::Mass,
        Self::Voltage,
        Self::Percent,
    ];

    /// The name used in storage and in forms.
    pub const fn code(self) -> &'static str {
        match self {
            Self::Torque => "torque",
            Self::Volume => "volume",
            Self::Pressure => "pressure",
            Self::Length => "length",
            Self::Temperature => "temperature",
            Self::Angle => "angle",
            Self::Mass => "mass",
            Self::Voltage => "voltage",
            Self::Percent => "percent",
        }
    }

    /// The dimension with that storage name.
    pub fn from_code(code: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|known| known.code() == code)
    }

    /// With its article, as in 'a torque'.
    pub const fn noun(self) -> &'static str {
        match self {
            Self::Torque => "a torque",
            Self::Volume => "a volume",
            Self::Pressure => "a pressure",
            Self::Length => "a length",
            Self::Temperature => "a temperature",
            Self::Angle => "an angle",
            Self::Mass => "a mass",
            Self::Voltage => "a voltage",
            Self::Percent => "a percentage",
        }
    }

    /// A value as it may be typed, for hints and error sentences.
    pub const fn example(self) -> &'static str {
        match self {
            Self::Torque => "45 N·m",
            Self::Volume => "4.2 l",
            Self::Pressure => "2.2 bar",
            Self::Length => "0.7 mm",
            Self::Temperature => "88 °C",
            Self::Angle => "90°",
            Self::Mass => "1.2 kg",
            Self::Voltage => "12.6 V",
            Self::Percent => "25 %",
        }
    }
}

/// Which family of units the restorer thinks in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum System {
    /// N·m, litres, bar, millimetres, °C.
    Metric,
    /// lbf·ft, US quarts, psi, inches, °F.
    Inch,
}

impl System {
    pub const fn other(self) -> Self {
        match self {
            Self::Metric => Self::Inch,
            Self::Inch => Self::Metric,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_dimension_is_found_again_by_its_code() {
        for dimension in Dimension::ALL {
            assert_eq!(Dimension::from_code(dimension.code()), Some(dimension));
        }
        assert_eq!(Dimension::from_code("energy"), None);
    }
}
