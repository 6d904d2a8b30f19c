//! What is said when a value cannot be taken: one plain sentence naming what was read and how to write it.

use thiserror::Error;

use super::dimension::Dimension;

/// Why a text was not taken as a value.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ParseError {
    #[error("Nothing was written here: write a number and a unit, such as {}.", .0.example())]
    Empty(Dimension),

    #[error("‘{start}…’ is too long for a value: write only the number and its unit, such as {}.", .dimension.example())]
    TooLong { start: String, dimension: Dimension },

    #[error("‘{read}’ does not begin with a number: write the number first, then the unit, such as {}.", .dimension.example())]
    NoNumber { read: String, dimension: Dimension },

    #[error("‘{read}’ may hold a thousands mark: write the number without it, as {plain} if that is what is meant.")]
    ThousandsMark { read: String, plain: String },

    #[error("‘{read}’ could mean {decimal} or {whole}: write {decimal} or {whole}.")]
    AmbiguousComma { read: String, decimal: String, whole: String },

    #[error("‘{read}’ has a gap inside the number: write it without gaps, or a fraction as 2 1/2.")]
    GapInNumber { read: String },

    #[error("‘{read}’ is not a fraction that can be used: write it as 2 1/2 or 11/16.")]
    BadFraction { read: String },

    #[error("‘{read}’ has more digits than can be kept exactly: write at most 28.")]
    TooManyDigits { read: String },

    #[error("‘{read}’ has no unit: write one of {units} after the number.")]
    NoUnit { read: String, units: String },

    #[error("‘{read}’ is not a unit known for {}: write one of {units}.", .dimension.noun())]
    UnknownUnit { read: String, dimension: Dimension, units: String },

    #[error("‘{read}’ is a unit for {}, but {} is wanted here: write one of {units}.", .belongs_to.noun(), .wanted.noun())]
    OtherDimension { read: String, belongs_to: Dimension, wanted: Dimension, units: String },

    /// `says` tells the difference and asks which is meant.
    #[error("‘{read}’ can be either of two units. {says}")]
    Unclear { read: String, says: &'static str },

    #[error("‘{read}’ holds more than one value: write one value in one unit, such as {}.", .dimension.example())]
    MoreThanOne { read: String, dimension: Dimension },

    #[error("The two ends of ‘{read}’ have different units: write both in the same one.")]
    MixedUnits { read: String },

    #[error("The range from {low} to {high} runs backwards: write the smaller number first.")]
    Backwards { low: String, high: String },

    #[error("‘{read}’ has a sign after the ±: write the tolerance as a plain number, such as ± 5.")]
    SignedTolerance { read: String },

    #[error("‘{read}’ is a range, but one single value is wanted here: write such as {}.", .dimension.example())]
    NotOneValue { read: String, dimension: Dimension },

    #[error(transparent)]
    Size(#[from] SizeError),
}

/// Why a number of the right unit was not taken: no car has such a value.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum SizeError {
    #[error("{} cannot be negative.", sentence_start(*.0))]
    Negative(Dimension),

    #[error("{} cannot be zero: leave it out when it is not known.", sentence_start(*.0))]
    Zero(Dimension),

    #[error("A temperature cannot be below absolute zero, −273.15 °C or −459.67 °F.")]
    BelowAbsoluteZero,

    #[error("A gauge cannot read lower than an empty vacuum, about −1 bar, −14.7 psi or −29.9 inHg.")]
    BelowVacuum,

    #[error("{} beyond {limit} does not belong on a car: check the number and its unit.", sentence_start(*.dimension))]
    TooLarge { dimension: Dimension, limit: &'static str },

    #[error("The range from {low} to {high} runs backwards.")]
    Backwards { low: String, high: String },
}

/// 'A torque', at the start of a sentence.
fn sentence_start(dimension: Dimension) -> String {
    let noun = dimension.noun();
    let mut letters = noun.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

/// What was typed, short and without control characters, to be quoted in a sentence.
pub(super) fn quoted(text: &str) -> String {
    const LONGEST: usize = 40;
    text.trim().chars().map(|letter| if letter.is_control() { ' ' } else { letter }).take(LONGEST).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_refusal_is_one_plain_sentence() {
        assert_eq!(SizeError::Negative(Dimension::Torque).to_string(), "A torque cannot be negative.");
        assert_eq!(SizeError::Negative(Dimension::Angle).to_string(), "An angle cannot be negative.");
    }

    #[test]
    fn what_is_quoted_is_short_and_printable() {
        assert_eq!(quoted(" 4\u{7}5 \n"), "4 5");
        assert_eq!(quoted(&"9".repeat(300)).len(), 40);
    }
}
