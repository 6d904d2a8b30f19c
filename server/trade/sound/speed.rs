//! How fast a shaft turned, and how well that is known.

use super::Frequency;
use super::part::Shaft;

/// Slowest and fastest that an engine of a car turns, in turns a minute.
pub(super) const ENGINE: std::ops::RangeInclusive<f64> = 300.0..=9_000.0;
/// Kilometres an hour.
const ROAD: std::ops::RangeInclusive<f64> = 5.0..=200.0;
/// Millimetres round a tyre.
const ROUND: std::ops::RangeInclusive<f64> = 1_000.0..=3_500.0;
/// Turns of the propeller shaft to one of the wheels.
const AXLE: std::ops::RangeInclusive<f64> = 1.0..=10.0;
/// A tyre under load rolls a little less than is measured round it. From memory: two in a hundred covers load and pressure.
const ROLLING: f64 = 0.02;
/// No speed is known better than this part of itself: an engine is never held still by hand.
const BEST: f64 = 0.002;
/// Beyond this part of itself a speed tells nothing apart.
const WORST: f64 = 0.25;

/// A speed of a shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rate {
    frequency: Frequency,
    relative: f64,
}

/// Why a speed cannot be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SpeedError {
    #[error("{0} turns a minute is no speed of a car's engine: from 300 to 9000.")]
    Engine(f64),
    #[error("{0} km/h cannot be used: from 5 to 200 km/h.")]
    Road(f64),
    #[error(
        "{0} mm round is no tyre of a car: from 1000 to 3500 mm. Roll the car one turn of the wheel and measure along the floor."
    )]
    Round(f64),
    #[error("{0} is no ratio of an axle: from 1 to 10 turns of the shaft to one of the wheels.")]
    Axle(f64),
    #[error(
        "A speed known only to {0} of itself tells no parts apart: read it closer, or let it be read off the sound."
    )]
    Vague(String),
    #[error("How well the speed is known has to be a number of 0 or more.")]
    Give,
}

impl Rate {
    /// `relative`: the part of itself by which it may be off, both ways; from 0 to 0.25. It is taken as 0.002 at least.
    pub fn new(frequency: Frequency, relative: f64) -> Result<Rate, SpeedError> {
        if !relative.is_finite() || relative < 0.0 {
            return Err(SpeedError::Give);
        }
        if relative > WORST {
            return Err(SpeedError::Vague(format!("{:.0} %", relative * 100.0)));
        }
        Ok(Rate { frequency, relative: relative.max(BEST) })
    }

    /// An engine's speed as read off a gauge: turns a minute, give or take so many.
    pub fn engine(per_minute: f64, give: f64) -> Result<Rate, SpeedError> {
        if !ENGINE.contains(&per_minute) {
            return Err(SpeedError::Engine(per_minute));
        }
        let frequency = Frequency::from_per_minute(per_minute).map_err(|_| SpeedError::Engine(per_minute))?;
        Rate::new(frequency, give / per_minute)
    }

    /// The wheels' speed on the road: kilometres an hour, give or take so many, and millimetres round a tyre. It holds
    /// straight ahead, without slip.
    pub fn wheel(road: f64, give: f64, round: f64) -> Result<Rate, SpeedError> {
        if !ROAD.contains(&road) {
            return Err(SpeedError::Road(road));
        }
        if !ROUND.contains(&round) {
            return Err(SpeedError::Round(round));
        }
        let hertz = road / 3.6 * 1_000.0 / round;
        let frequency = Frequency::from_hertz(hertz).map_err(|_| SpeedError::Road(road))?;
        Rate::new(frequency, give / road + ROLLING)
    }

    /// The propeller shaft's, from the wheels'.
    pub fn propshaft(wheel: Rate, axle: f64) -> Result<Rate, SpeedError> {
        if !AXLE.contains(&axle) {
            return Err(SpeedError::Axle(axle));
        }
        let frequency = Frequency::from_hertz(wheel.frequency.hertz() * axle).map_err(|_| SpeedError::Axle(axle))?;
        Ok(Rate { frequency, relative: wheel.relative })
    }

    pub fn frequency(self) -> Frequency {
        self.frequency
    }

    /// The part of itself by which it may be off, both ways.
    pub fn relative(self) -> f64 {
        self.relative
    }

    /// Known worse by a part of itself; at most 0.25.
    #[must_use]
    pub fn widened(self, by: f64) -> Rate {
        Rate { relative: (self.relative + by.max(0.0)).min(WORST), ..self }
    }
}

/// `820 turns a minute, give or take 16`
impl std::fmt::Display for Rate {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let turns = self.frequency.per_minute();
        write!(out, "{turns:.0} turns a minute, give or take {:.0}", (turns * self.relative).ceil())
    }
}

/// What was known of the shafts when the clip was taken.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Speeds {
    pub crank: Option<Rate>,
    pub propshaft: Option<Rate>,
    pub wheel: Option<Rate>,
}

impl Speeds {
    pub fn of(&self, shaft: Shaft) -> Option<Rate> {
        match shaft {
            Shaft::Crank => self.crank,
            Shaft::Propshaft => self.propshaft,
            Shaft::Wheel => self.wheel,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: arithmetic: 72 km/h is 20 m/s, ten turns a second of a tyre of 2 m; four times that before the axle.
    #[test]
    fn the_wheels_and_the_shaft_before_them_follow_from_the_road() {
        let wheel = Rate::wheel(72.0, 0.72, 2_000.0).unwrap();
        assert!((wheel.frequency().hertz() - 10.0).abs() < 1e-12);
        assert!((wheel.relative() - 0.03).abs() < 1e-12);
        let shaft = Rate::propshaft(wheel, 4.0).unwrap();
        assert!((shaft.frequency().hertz() - 40.0).abs() < 1e-12);
    }

    #[test]
    fn speeds_that_cannot_be_are_refused() {
        assert_eq!(Rate::engine(90.0, 0.0), Err(SpeedError::Engine(90.0)));
        assert!(Rate::engine(f64::NAN, 0.0).is_err());
        assert_eq!(Rate::engine(800.0, -1.0), Err(SpeedError::Give));
        assert_eq!(Rate::engine(800.0, 400.0), Err(SpeedError::Vague("50 %".to_owned())));
        assert_eq!(Rate::wheel(50.0, 1.0, 19.0), Err(SpeedError::Round(19.0)));
        let wheel = Rate::wheel(50.0, 1.0, 1_900.0).unwrap();
        assert_eq!(Rate::propshaft(wheel, 0.2), Err(SpeedError::Axle(0.2)));
    }

    #[test]
    fn a_speed_says_how_well_it_is_known() {
        assert_eq!(Rate::engine(820.0, 16.0).unwrap().to_string(), "820 turns a minute, give or take 16");
    }
}
