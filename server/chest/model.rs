//! A torque wrench as it lies in the chest.

use crate::clock::Moment;
use crate::error::AppError;
use crate::ids::WrenchId;
use crate::trade::quantity::Length;
use crate::trade::torque_wrench::{Day, Typed, Wrench, WrenchError, WrenchKind};

/// What its owner typed, apart from blanks.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WrenchFacts {
    pub name: String,
    pub kind: WrenchKind,
    /// Lowest to highest mark, such as `40-200 Nm`.
    pub span: String,
    pub graduation: String,
    pub deviation: String,
    /// ISO 8601 day; empty: not known.
    pub calibrated_on: String,
    pub uses: String,
    /// From the middle of the drive square to the middle of the grip; empty: never measured.
    pub lever: String,
    pub serial: String,
}

impl WrenchFacts {
    /// As the trade reads it. Errors are sentences for the owner.
    pub fn wrench(&self) -> Result<Wrench, WrenchError> {
        let typed = Typed {
            name: &self.name,
            range: &self.span,
            graduation: &self.graduation,
            deviation: &self.deviation,
            calibrated: &self.calibrated_on,
            uses: &self.uses,
        };
        Wrench::read(self.kind, typed)
    }
}

/// One that makes sense.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    pub id: WrenchId,
    pub facts: WrenchFacts,
    pub wrench: Wrench,
    pub rev: i64,
}

impl Kept {
    /// Errors where what is stored makes no sense (any more).
    pub fn read(id: WrenchId, facts: WrenchFacts, rev: i64) -> Result<Kept, AppError> {
        let wrench =
            facts.wrench().map_err(|cause| AppError::internal(format!("wrenches.{id} cannot be read: {cause}")))?;
        Ok(Kept { id, facts, wrench, rev })
    }

    /// How long its lever is, where somebody measured it.
    pub fn lever(&self) -> Option<Length> {
        Length::parse(&self.facts.lever).ok()
    }
}

/// The garage's torque wrenches, and the day on which their calibration is looked at.
pub struct Wrenches {
    pub kept: Vec<Kept>,
    pub today: Day,
}

/// The day of a moment in the garage's own time zone. Errors outside 1900 to 2199: then the clock is wrong.
pub fn day_of(now: Moment) -> Result<Day, AppError> {
    Day::parse(&now.local().date().to_string()).map_err(AppError::internal)
}
