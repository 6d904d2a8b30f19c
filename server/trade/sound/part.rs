//! What turns on the car, and how often each thing about it comes round.

use super::bearing::{Bearing, BearingLine, SLIP, millimetres};
use super::frequency::Order;
use crate::trade::closed_set::closed_set;
use crate::trade::mechanics::double;
use crate::trade::quantity::Length;
use rust_decimal::Decimal;

/// A belt that drives by friction slips: the driven pulley lags by up to so much. Common practice, no source.
const BELT_SLIP: f64 = 0.02;
/// Millimetres to which the effective diameter of a pulley is taken to be known: the belt runs above its floor.
const PULLEY_GIVE: f64 = 1.0;
const TEETH: std::ops::RangeInclusive<u16> = 1..=400;
const LONGEST_NAME: usize = 80;

closed_set! {
    /// The shaft whose speed is known, and from which a part is driven.
    pub enum Shaft {
        Crank = "crank", "crankshaft";
        Propshaft = "propshaft", "propeller shaft";
        Wheel = "wheel", "road wheel";
    }
}

closed_set! {
    /// Things that come round evenly spaced.
    pub enum CountKind {
        Teeth = "teeth", "teeth";
        Vanes = "vanes", "vanes";
        Blades = "blades", "blades";
        Poles = "poles", "poles";
        Pistons = "pistons", "pistons";
        Ribs = "ribs", "ribs";
        Slots = "slots", "slots";
    }
}

/// So many of a thing round a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count {
    pub kind: CountKind,
    /// From 1 to 400.
    pub number: u16,
}

/// How a part is driven from its shaft.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Drive {
    /// On the shaft itself.
    Direct,
    /// By a friction belt: diameters at the height of the belt.
    Belt { driver: Length, driven: Length },
    /// By gears, a chain or a toothed belt.
    Teeth { driver: u16, driven: u16 },
    /// Turns of the part in one of the shaft, over 0, to 100.
    Times(Decimal),
}

/// A rotating part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    name: String,
    shaft: Shaft,
    drive: Drive,
    counts: Vec<Count>,
    bearing: Option<Bearing>,
}

/// Why a part cannot be.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PartError {
    #[error("The part needs a name of up to 80 letters, such as ‘alternator’.")]
    Name,
    #[error("A pulley of {0} cannot be: from 20 mm to 500 mm across, at the height of the belt.")]
    Pulley(String),
    #[error("{0} is no count of teeth, blades or poles: from 1 to 400.")]
    Count(u16),
    #[error("{0} turns to one of the shaft cannot be: over 0, up to 100.")]
    Times(Decimal),
}

closed_set! {
    /// What of a part makes a tone.
    pub enum LineKind {
        Turn = "turn", "once a turn";
        Teeth = "teeth", "teeth";
        Vanes = "vanes", "vanes";
        Blades = "blades", "blades";
        Poles = "poles", "poles";
        Pistons = "pistons", "pistons";
        Ribs = "ribs", "ribs";
        Slots = "slots", "slots";
        OuterRing = "outer-ring", "bearing, outer ring";
        InnerRing = "inner-ring", "bearing, inner ring";
        Element = "element", "bearing, a ball or roller";
        Cage = "cage", "bearing, cage";
    }
}

/// A tone that a part would make.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    pub kind: LineKind,
    /// Times in a turn of the shaft.
    pub order: Order,
    /// Part of itself by which the order may be off, both ways.
    pub slack: f64,
}

impl Part {
    pub fn new(
        name: &str,
        shaft: Shaft,
        drive: Drive,
        counts: Vec<Count>,
        bearing: Option<Bearing>,
    ) -> Result<Part, PartError> {
        let name = name.trim();
        if name.is_empty() || name.chars().count() > LONGEST_NAME || name.chars().any(char::is_control) {
            return Err(PartError::Name);
        }
        if let Some(count) = counts.iter().find(|count| !TEETH.contains(&count.number)) {
            return Err(PartError::Count(count.number));
        }
        drive.check()?;
        Ok(Part { name: name.to_owned(), shaft, drive, counts, bearing })
    }

    pub fn name(&self) -> &str {
        &self.name
    }

    pub fn shaft(&self) -> Shaft {
        self.shaft
    }

    /// Turns in one of the shaft, and the part of itself by which that may be off.
    pub fn turns(&self) -> (Order, f64) {
        match &self.drive {
            Drive::Direct => (Order(1.0), 0.0),
            Drive::Belt { driver, driven } => {
                let (driver, driven) = (millimetres(driver), millimetres(driven));
                (Order(driver / driven), BELT_SLIP + PULLEY_GIVE / driver + PULLEY_GIVE / driven)
            }
            Drive::Teeth { driver, driven } => (Order(f64::from(*driver) / f64::from(*driven)), 0.0),
            Drive::Times(times) => (Order(double(*times)), 0.0),
        }
    }

    /// Every tone it would make.
    pub fn lines(&self) -> Vec<Line> {
        let (turns, slack) = self.turns();
        let line = |kind, times: f64, more: f64| Line { kind, order: Order(turns.0 * times), slack: slack + more };
        let mut lines = vec![line(LineKind::Turn, 1.0, 0.0)];
        lines.extend(self.counts.iter().map(|count| line(count.kind.line(), f64::from(count.number), 0.0)));
        if let Some(bearing) = &self.bearing {
            let of = |(which, kind, each): (BearingLine, LineKind, f64)| line(kind, bearing.times(which) * each, SLIP);
            // A mark on a ball meets both rings in each turn of the ball about itself.
            let of_each = [
                (BearingLine::OuterRing, LineKind::OuterRing, 1.0),
                (BearingLine::InnerRing, LineKind::InnerRing, 1.0),
                (BearingLine::Element, LineKind::Element, 2.0),
                (BearingLine::Cage, LineKind::Cage, 1.0),
            ];
            lines.extend(of_each.map(of));
        }
        lines
    }
}

impl CountKind {
    fn line(self) -> LineKind {
        match self {
            CountKind::Teeth => LineKind::Teeth,
            CountKind::Vanes => LineKind::Vanes,
            CountKind::Blades => LineKind::Blades,
            CountKind::Poles => LineKind::Poles,
            CountKind::Pistons => LineKind::Pistons,
            CountKind::Ribs => LineKind::Ribs,
            CountKind::Slots => LineKind::Slots,
        }
    }
}

impl Drive {
    fn check(&self) -> Result<(), PartError> {
        match self {
            Drive::Direct => Ok(()),
            Drive::Belt { driver, driven } => {
                let wrong = [driver, driven].into_iter().find(|pulley| !(20.0..=500.0).contains(&millimetres(pulley)));
                wrong.map_or(Ok(()), |pulley| Err(PartError::Pulley(pulley.to_string())))
            }
            Drive::Teeth { driver, driven } => {
                let wrong = [driver, driven].into_iter().find(|teeth| !TEETH.contains(teeth));
                wrong.map_or(Ok(()), |teeth| Err(PartError::Count(*teeth)))
            }
            Drive::Times(times) if *times <= Decimal::ZERO || *times > Decimal::from(100) => {
                Err(PartError::Times(*times))
            }
            Drive::Times(_) => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn orders(part: &Part) -> Vec<(LineKind, f64)> {
        part.lines().iter().map(|line| (line.kind, (line.order.times() * 1e4).round() / 1e4)).collect()
    }

    /// Source: arithmetic: a pulley of 150 mm drives one of 60 mm 2½ times as fast; 12 poles come round 30 times.
    #[test]
    fn a_belt_driven_part_turns_by_its_pulleys_and_sounds_by_its_counts() {
        let length = |text| Length::parse(text).unwrap();
        let drive = Drive::Belt { driver: length("150 mm"), driven: length("60 mm") };
        let poles = Count { kind: CountKind::Poles, number: 12 };
        let part = Part::new("alternator", Shaft::Crank, drive, vec![poles], None).unwrap();
        assert_eq!(orders(&part), [(LineKind::Turn, 2.5), (LineKind::Poles, 30.0)]);
        assert!((part.turns().1 - (0.02 + 1.0 / 150.0 + 1.0 / 60.0)).abs() < 1e-12);
    }

    /// Source: arithmetic: a sprocket of 19 drives one of 38 half as fast, and both run the same 19 teeth a turn.
    #[test]
    fn both_wheels_of_a_pair_have_the_same_tooth_tone() {
        let driven = Count { kind: CountKind::Teeth, number: 38 };
        let part =
            Part::new("camshaft", Shaft::Crank, Drive::Teeth { driver: 19, driven: 38 }, vec![driven], None).unwrap();
        assert_eq!(orders(&part), [(LineKind::Turn, 0.5), (LineKind::Teeth, 19.0)]);
    }

    #[test]
    fn parts_that_cannot_be_are_refused() {
        let made = |name, drive, counts| Part::new(name, Shaft::Crank, drive, counts, None);
        assert_eq!(made(" ", Drive::Direct, vec![]), Err(PartError::Name));
        let none = Count { kind: CountKind::Blades, number: 0 };
        assert_eq!(made("fan", Drive::Direct, vec![none]), Err(PartError::Count(0)));
        assert_eq!(made("fan", Drive::Teeth { driver: 0, driven: 3 }, vec![]), Err(PartError::Count(0)));
        assert_eq!(made("fan", Drive::Times(Decimal::ZERO), vec![]), Err(PartError::Times(Decimal::ZERO)));
        let tiny = Drive::Belt { driver: Length::parse("2 mm").unwrap(), driven: Length::parse("60 mm").unwrap() };
        assert!(matches!(made("fan", tiny, vec![]), Err(PartError::Pulley(_))));
    }
}
