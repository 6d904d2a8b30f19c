//! Dated readings, the straight line through them by least squares, and the day on which a limit would be reached.

use thiserror::Error;

use super::bound::Bound;
use crate::trade::citation::Citation;
use crate::trade::line::{Line, student};
use crate::trade::quantity::{Amount, UnitSet};

/// A day, counted from any fixed one; 1 January 1970 is day 0 elsewhere in the program.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
pub struct Day(pub i32);

/// Why there is no line.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum TrendError {
    #[error("A trend needs readings of at least three different days: measure again some weeks apart.")]
    TooFewDays,
}

/// A straight line through dated readings.
#[derive(Debug, Clone, PartialEq)]
pub struct Trend<U> {
    unit: U,
    /// Mean day and mean reading: the line goes through them.
    centre: (f64, f64),
    /// In units a day.
    slope: f64,
    /// Standard error of the slope.
    slope_error: f64,
    days: usize,
    last: Day,
}

/// What a trend says of a limit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outlook {
    /// The scatter is larger than the change, or it moves away from the limit.
    NoTrend { says: &'static str },
    /// The line is past the limit already on the day of the last reading.
    Passed { says: &'static str },
    /// About this day, if it goes on as it did.
    Reaches { day: Day, says: &'static str },
    /// Not within ten years of the last reading.
    FarOff { says: &'static str },
}

pub const LEAST_SQUARES: Citation = Citation::worked_out("least squares, with Student's t at 90 %");

const HORIZON_DAYS: f64 = 3653.0;

impl<U: UnitSet> Trend<U> {
    /// Readings in any order and any units; several of one day count each. Errors with fewer than three different days.
    pub fn of(readings: &[(Day, Amount<U>)]) -> Result<Self, TrendError> {
        let mut days: Vec<_> = readings.iter().map(|(day, _)| *day).collect();
        days.sort_unstable();
        days.dedup();
        let (Some((_, first)), Some(last), true) = (readings.first(), days.last(), days.len() >= 3) else {
            return Err(TrendError::TooFewDays);
        };
        let unit = first.unit();
        let points: Vec<_> = readings
            .iter()
            // Every decimal has a nearest float.
            .map(|(day, reading)| (f64::from(day.0), f64::try_from(reading.to(unit)).unwrap_or_default()))
            .collect();
        let Line { centre, slope, slope_error } = Line::through(&points);
        Ok(Self { unit, centre, slope, slope_error, days: points.len(), last: *last })
    }

    /// In [`Self::unit`]s a day; negative when falling.
    pub fn slope(&self) -> f64 {
        self.slope
    }

    /// Standard error of the slope.
    pub fn slope_error(&self) -> f64 {
        self.slope_error
    }

    pub fn unit(&self) -> U {
        self.unit
    }

    /// Where the line is on a day.
    pub fn on(&self, day: Day) -> f64 {
        self.centre.1 + self.slope * (f64::from(day.0) - self.centre.0)
    }

    /// Whether the change stands out from the scatter.
    pub fn is_clear(&self) -> bool {
        self.slope != 0.0 && self.slope.abs() > student(self.days - 2) * self.slope_error
    }

    /// When the line crosses `bound`.
    pub fn outlook(&self, bound: &Bound<U>) -> Outlook {
        let limit = f64::try_from(bound.limit().to(self.unit)).unwrap_or_default();
        let now = self.on(self.last);
        let (beyond, nearing) = match bound {
            Bound::AtLeast(_) => (now < limit, self.slope < 0.0),
            Bound::AtMost(_) => (now > limit, self.slope > 0.0),
        };
        if beyond {
            return Outlook::Passed { says: "By the line through the readings it is past the limit already." };
        }
        if !self.is_clear() {
            return Outlook::NoTrend { says: "No trend: the readings scatter more than they change." };
        }
        if !nearing {
            return Outlook::NoTrend { says: "No trend towards the limit: it moves away from it." };
        }
        let days = (limit - now) / self.slope;
        if days > HORIZON_DAYS {
            return Outlook::FarOff { says: "At this rate the limit is more than ten years off." };
        }
        // Within ten years of a day that fits.
        let day = Day(self.last.0.saturating_add(days.floor() as i32));
        Outlook::Reaches { day, says: "If it goes on as it did; measure again well before." }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::quantity::{Length, LengthUnit};

    fn readings(points: &[(i32, &str)]) -> Vec<(Day, Length)> {
        points.iter().map(|(day, text)| (Day(*day), Length::parse(text).unwrap())).collect()
    }

    fn at_least(text: &str) -> Bound<LengthUnit> {
        Bound::AtLeast(Length::parse(text).unwrap())
    }

    #[test]
    fn steady_wear_reaches_its_limit_on_the_day_that_arithmetic_gives() {
        let trend = Trend::of(&readings(&[(0, "6 mm"), (100, "5 mm"), (200, "0.4 cm")])).unwrap();
        assert!(matches!(trend.outlook(&at_least("1.6 mm")), Outlook::Reaches { day: Day(439 | 440), .. }));
        assert!(matches!(trend.outlook(&at_least("4.5 mm")), Outlook::Passed { .. }));
        assert!(matches!(trend.outlook(&Bound::AtMost(Length::parse("7 mm").unwrap())), Outlook::NoTrend { .. }));
    }

    #[test]
    fn scatter_is_no_trend() {
        let trend = Trend::of(&readings(&[(0, "5 mm"), (10, "5.2 mm"), (20, "4.9 mm"), (30, "5.1 mm")])).unwrap();
        assert!(!trend.is_clear());
        assert!(matches!(trend.outlook(&at_least("1.6 mm")), Outlook::NoTrend { .. }));
        let flat = Trend::of(&readings(&[(0, "5 mm"), (10, "5 mm"), (20, "5 mm")])).unwrap();
        assert!(!flat.is_clear());
    }

    #[test]
    fn slow_wear_is_far_off() {
        let trend = Trend::of(&readings(&[(0, "6 mm"), (100, "5.99 mm"), (200, "5.98 mm")])).unwrap();
        assert!(matches!(trend.outlook(&at_least("1.6 mm")), Outlook::FarOff { .. }));
    }

    #[test]
    fn fewer_than_three_days_give_no_line() {
        assert_eq!(Trend::of(&readings(&[])), Err(TrendError::TooFewDays));
        assert_eq!(Trend::of(&readings(&[(1, "5 mm"), (1, "4 mm"), (2, "3 mm")])), Err(TrendError::TooFewDays));
    }
}
