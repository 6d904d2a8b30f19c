//! Frequencies, and orders: frequencies counted in turns of a shaft.

/// Times a second. Finite, above 0.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Frequency(f64);

/// Why a number is no frequency.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{0} is no frequency: it is a number above 0.")]
pub struct FrequencyError(pub f64);

impl Frequency {
    pub fn from_hertz(hertz: f64) -> Result<Frequency, FrequencyError> {
        if hertz.is_finite() && hertz > 0.0 { Ok(Frequency(hertz)) } else { Err(FrequencyError(hertz)) }
    }

    /// Turns a minute.
    pub fn from_per_minute(turns: f64) -> Result<Frequency, FrequencyError> {
        Frequency::from_hertz(turns / 60.0).map_err(|_| FrequencyError(turns))
    }

    pub fn hertz(self) -> f64 {
        self.0
    }

    pub fn per_minute(self) -> f64 {
        self.0 * 60.0
    }

    /// How often it happens in a turn of a shaft.
    pub fn over(self, shaft: Frequency) -> Order {
        Order(self.0 / shaft.0)
    }
}

/// `122 Hz`, and below 100 Hz with a decimal.
impl std::fmt::Display for Frequency {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let decimals = usize::from(self.0 < 100.0);
        write!(out, "{:.decimals$} Hz", self.0)
    }
}

/// How often a thing happens in a turn of a shaft.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Order(pub(super) f64);

impl Order {
    pub fn times(self) -> f64 {
        self.0
    }
}

/// `7.14`
impl std::fmt::Display for Order {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{:.2}", self.0)
    }
}
