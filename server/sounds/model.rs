//! Clips, speeds and rotating parts as they are kept: as typed, read when they are used.

use crate::ids::TurningPartId;
use crate::trade::quantity::{Length, LengthUnit};
use crate::trade::sound::{Cycle, Engine, Rate, WrittenPart};
use rust_decimal::prelude::ToPrimitive;

/// A clip of a car: what it was called, and what is known without hearing it.
#[derive(Debug, Clone, PartialEq)]
pub struct ClipRow {
    pub sha256: String,
    pub caption: String,
    /// Clock reading of the device that made it.
    pub hlc: String,
    pub seconds: f64,
    /// Samples a second.
    pub rate: i64,
}

/// What was said of the speeds while a clip was taken.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ClipSpeeds {
    pub turns: String,
    pub turns_give: String,
    pub road: String,
    pub road_give: String,
    /// 0: nothing was kept yet.
    pub rev: i64,
}

/// What the speeds of a car's shafts follow from.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CarTurns {
    pub cylinders: String,
    pub cycle: String,
    pub round: String,
    pub axle: String,
    /// 0: nothing was kept yet.
    pub rev: i64,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptPart {
    pub id: TurningPartId,
    pub written: WrittenPart,
    pub rev: i64,
}

/// A plain number with a point or a comma. Errors: a sentence.
pub fn number(text: &str) -> Result<f64, String> {
    let read = text.trim().replace(',', ".").parse::<f64>().ok().filter(|number| number.is_finite());
    read.ok_or_else(|| format!("‘{}’ is no number, such as 820.", text.trim()))
}

/// How far off a speed may be where nobody said: one in fifty.
const USUAL_GIVE: f64 = 0.02;

impl CarTurns {
    /// `None` where nothing was said of the engine. Errors: the sentence for the field.
    pub fn engine(&self) -> Result<Option<Engine>, String> {
        let text = self.cylinders.trim();
        if text.is_empty() {
            return Ok(None);
        }
        let cylinders = text.parse().map_err(|_| format!("‘{text}’ is no count of cylinders, such as 4."))?;
        let cycle = Cycle::from_name(&self.cycle).unwrap_or(Cycle::Four);
        Engine::new(cycle, cylinders).map(Some).map_err(|error| error.to_string())
    }

    /// Millimetres round a tyre. Errors: the sentence for the field.
    pub fn round(&self) -> Result<Option<f64>, String> {
        if self.round.trim().is_empty() {
            return Ok(None);
        }
        let length = Length::parse(&self.round).map_err(|error| error.to_string())?;
        let millimetres = length.to(LengthUnit::Millimetre).to_f64().unwrap_or_default();
        // Any speed shows whether a tyre can be that large.
        Rate::wheel(50.0, 1.0, millimetres).map_err(|error| error.to_string())?;
        Ok(Some(millimetres))
    }

    /// Turns of the shaft to one of the wheels. Errors: the sentence for the field.
    pub fn axle(&self) -> Result<Option<f64>, String> {
        if self.axle.trim().is_empty() {
            return Ok(None);
        }
        let ratio = number(&self.axle)?;
        let wheel = Rate::wheel(50.0, 1.0, 2_000.0).map_err(|error| error.to_string())?;
        Rate::propshaft(wheel, ratio).map_err(|error| error.to_string())?;
        Ok(Some(ratio))
    }
}

impl ClipSpeeds {
    /// Of the crankshaft, as entered. Errors: the sentence for the field.
    pub fn crank(&self) -> Result<Option<Rate>, String> {
        let Some((turns, give)) = with_give(&self.turns, &self.turns_give)? else { return Ok(None) };
        Rate::engine(turns, give).map(Some).map_err(|error| error.to_string())
    }

    /// Kilometres an hour, give or take. Errors: the sentence for the field.
    pub fn road(&self) -> Result<Option<(f64, f64)>, String> {
        let Some((road, give)) = with_give(&self.road, &self.road_give)? else { return Ok(None) };
        Rate::wheel(road, give, 2_000.0).map_err(|error| error.to_string())?;
        Ok(Some((road, give)))
    }
}

fn with_give(text: &str, give: &str) -> Result<Option<(f64, f64)>, String> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let read = number(text)?;
    let give = if give.trim().is_empty() { read * USUAL_GIVE } else { number(give)? };
    Ok(Some((read, give)))
}
