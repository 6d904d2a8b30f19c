//! How often something is done: every so far, every so many months, or whichever comes first.

use rust_decimal::Decimal;
use thiserror::Error;

use super::distance::{Distance, DistanceError, DistanceUnit};

/// The longest that is taken: twenty years, or 500 000 km or miles. Common practice, no source: nothing that is done again goes longer.
const MOST_MONTHS: u32 = 240;
const MOST_DISTANCE: u32 = 500_000;

/// At least one of the two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Interval {
    distance: Option<Distance>,
    months: Option<u32>,
}

/// Why there is no such interval.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum IntervalError {
    #[error("Say how often: a distance, a number of months, or both.")]
    Neither,
    #[error("An interval of zero would be due at every moment: write how far or how long, or leave it empty.")]
    Zero,
    #[error("An interval cannot be negative.")]
    Negative,
    #[error("‘{0}’ is no number of months: write a whole number, such as 12.")]
    Months(String),
    #[error("More than {MOST_MONTHS} months are twenty years: check the number.")]
    TooLong,
    #[error("More than 500 000 is no interval of a car: check the number.")]
    TooFar,
    #[error(transparent)]
    Distance(#[from] DistanceError),
    #[error("‘{0}’ is no interval: write it as ‘10000 km, 12 months’, or one of the two.")]
    Unreadable(String),
}

impl Interval {
    /// From what was typed; an empty text leaves that half out. Errors: both empty, zero, negative, more than a car can have.
    pub fn read(distance: &str, unit: DistanceUnit, months: &str) -> Result<Interval, IntervalError> {
        let distance = match distance.trim() {
            "" => None,
            text => Some(Distance::read(text, unit).map_err(|why| match why {
                DistanceError::Negative => IntervalError::Negative,
                DistanceError::TooLarge => IntervalError::TooFar,
                DistanceError::Empty | DistanceError::Unreadable(_) | DistanceError::TwoWays(_) => why.into(),
            })?),
        };
        let months = match months.trim() {
            "" => None,
            text => Some(read_months(text)?),
        };
        Interval::new(distance, months)
    }

    /// Errors: neither, zero, or more than a car can have.
    pub fn new(distance: Option<Distance>, months: Option<u32>) -> Result<Interval, IntervalError> {
        if distance.is_none() && months.is_none() {
            return Err(IntervalError::Neither);
        }
        if distance.is_some_and(|distance| distance.number().is_zero()) || months == Some(0) {
            return Err(IntervalError::Zero);
        }
        if distance.is_some_and(|distance| distance.number() > Decimal::from(MOST_DISTANCE)) {
            return Err(IntervalError::TooFar);
        }
        if months.is_some_and(|months| months > MOST_MONTHS) {
            return Err(IntervalError::TooLong);
        }
        Ok(Interval { distance, months })
    }

    /// Reads `10000 km, 12 months`, or one of the two. Errors: anything else.
    pub fn parse(text: &str) -> Result<Interval, IntervalError> {
        let unreadable = || IntervalError::Unreadable(text.chars().take(60).collect());
        let (mut far, mut unit, mut months) = ("", DistanceUnit::Kilometre, "");
        for piece in text.split(',') {
            let (number, word) = piece.trim().rsplit_once(' ').ok_or_else(unreadable)?;
            let place = match (DistanceUnit::from_name(word), word) {
                (Some(named), _) => {
                    unit = named;
                    &mut far
                }
                (None, "month" | "months") => &mut months,
                (None, _) => return Err(unreadable()),
            };
            if !std::mem::replace(place, number).is_empty() {
                return Err(unreadable());
            }
        }
        Interval::read(far, unit, months)
    }

    pub fn distance(self) -> Option<Distance> {
        self.distance
    }

    /// From 1 to 240.
    pub fn months(self) -> Option<u32> {
        self.months
    }

    /// The unit in which what is left is told.
    pub(super) fn unit(self) -> DistanceUnit {
        self.distance.map_or(DistanceUnit::Kilometre, Distance::unit)
    }
}

fn read_months(text: &str) -> Result<u32, IntervalError> {
    let unreadable = || IntervalError::Months(text.chars().take(40).collect());
    let (sign, digits) = match text.strip_prefix(['-', '−']) {
        Some(rest) => (true, rest),
        None => (false, text),
    };
    if digits.is_empty() || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(unreadable());
    }
    // So many digits that they do not fit are too many months.
    match digits.parse::<u32>().unwrap_or(u32::MAX) {
        0 => Err(IntervalError::Zero),
        _ if sign => Err(IntervalError::Negative),
        months => Ok(months),
    }
}

/// As in `every 10 000 km or 12 months, whichever is first`.
impl std::fmt::Display for Interval {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let time = self.months.map(|months| if months == 1 { "month".to_owned() } else { format!("{months} months") });
        match (self.distance, time) {
            (Some(distance), Some(time)) => write!(out, "every {distance} or {time}, whichever is first"),
            (Some(distance), None) => write!(out, "every {distance}"),
            (None, Some(time)) => write!(out, "every {time}"),
            // An interval is never made so.
            (None, None) => Ok(()),
        }
    }
}
