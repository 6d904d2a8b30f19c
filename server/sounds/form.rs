//! What is typed of speeds and rotating parts, checked field by field.

use super::model::{CarTurns, ClipSpeeds, KeptPart};
use crate::trade::sound::{DriveKind, Shaft, WrittenError, WrittenPart};
use crate::web::form::{Differs, Slips, differing};
use serde::Deserialize;

const LONGEST: usize = 200;
const LONGEST_NAME: usize = 80;

#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpeedForm {
    pub turns: String,
    pub turns_give: String,
    pub road: String,
    pub road_give: String,
    pub rev: i64,
}

impl SpeedForm {
    pub fn of(said: &ClipSpeeds) -> SpeedForm {
        let ClipSpeeds { turns, turns_give, road, road_give, rev } = said.clone();
        SpeedForm { turns, turns_give, road, road_give, rev }
    }

    pub fn read(&self, slips: &mut Slips) -> Option<ClipSpeeds> {
        let said = ClipSpeeds {
            turns: slips.line("turns", &self.turns, LONGEST),
            turns_give: slips.line("turns_give", &self.turns_give, LONGEST),
            road: slips.line("road", &self.road, LONGEST),
            road_give: slips.line("road_give", &self.road_give, LONGEST),
            rev: self.rev,
        };
        tell(slips, "turns", said.crank());
        tell(slips, "road", said.road());
        slips.is_empty().then_some(said)
    }
}

fn tell<T>(slips: &mut Slips, field: &'static str, read: Result<T, String>) {
    if let Err(say) = read {
        slips.say(field, say);
    }
}

#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TurnsForm {
    pub cylinders: String,
    #[serde(default)]
    pub cycle: String,
    pub round: String,
    pub axle: String,
    pub rev: i64,
}

impl TurnsForm {
    pub fn of(said: &CarTurns) -> TurnsForm {
        let CarTurns { cylinders, cycle, round, axle, rev } = said.clone();
        TurnsForm { cylinders, cycle, round, axle, rev }
    }

    pub fn read(&self, slips: &mut Slips) -> Option<CarTurns> {
        let said = CarTurns {
            cylinders: slips.line("cylinders", &self.cylinders, LONGEST),
            cycle: slips.line("cycle", &self.cycle, LONGEST),
            round: slips.line("round", &self.round, LONGEST),
            axle: slips.line("axle", &self.axle, LONGEST),
            rev: self.rev,
        };
        tell(slips, "cylinders", said.engine());
        tell(slips, "round", said.round());
        tell(slips, "axle", said.axle());
        slips.is_empty().then_some(said)
    }
}

#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartForm {
    pub name: String,
    #[serde(default)]
    pub shaft: String,
    #[serde(default)]
    pub drive: String,
    pub driver: String,
    pub driven: String,
    pub counts: String,
    pub bearing: String,
    /// What the part was when the form was opened; nothing for a new one.
    #[serde(default)]
    pub rev: i64,
}

impl PartForm {
    pub fn of(kept: &KeptPart) -> PartForm {
        let WrittenPart { name, shaft, drive, driver, driven, counts, bearing } = kept.written.clone();
        let (shaft, drive) = (shaft.name().to_owned(), drive.name().to_owned());
        PartForm { name, shaft, drive, driver, driven, counts, bearing, rev: kept.rev }
    }

    pub fn read(&self, slips: &mut Slips) -> Option<WrittenPart> {
        let (shaft, drive) = (Shaft::from_name(&self.shaft), DriveKind::from_name(&self.drive));
        if shaft.is_none() {
            slips.say("shaft", "Choose the shaft that it is driven from.");
        }
        if drive.is_none() {
            slips.say("drive", "Choose how it is driven.");
        }
        let part = WrittenPart {
            name: slips.needed("name", &self.name, LONGEST_NAME, "Give the part a name, such as alternator."),
            shaft: shaft?,
            drive: drive?,
            driver: slips.line("driver", &self.driver, LONGEST),
            driven: slips.line("driven", &self.driven, LONGEST),
            counts: slips.line("counts", &self.counts, LONGEST),
            bearing: slips.line("bearing", &self.bearing, LONGEST),
        };
        if slips.is_empty()
            && let Err(error) = part.read()
        {
            let (field, say) = slip(error);
            slips.say(field, say);
        }
        slips.is_empty().then_some(part)
    }

    /// Where what is there now differs from what was typed.
    pub fn differing(&self, now: &KeptPart) -> Vec<Differs> {
        differing(PartForm::of(now).fields(), self.fields())
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        let PartForm { name, shaft, drive, driver, driven, counts, bearing, .. } = self.clone();
        vec![
            ("Name", name),
            ("Shaft", shaft),
            ("Drive", drive),
            ("Driver", driver),
            ("Driven", driven),
            ("Counts", counts),
            ("Bearing", bearing),
        ]
    }
}

/// The field that an error stands at, and its sentence.
fn slip(error: WrittenError) -> (&'static str, String) {
    match error {
        WrittenError::Part(error) => ("driver", error.to_string()),
        WrittenError::Driver(say) => ("driver", say),
        WrittenError::Driven(say) => ("driven", say),
        WrittenError::Counts(say) => ("counts", say),
        WrittenError::Bearing(say) => ("bearing", say),
    }
}
