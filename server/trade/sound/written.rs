//! A rotating part in the words it is entered in.

use super::bearing::{Bearing, BearingError, Ring};
use super::part::{Count, CountKind, Drive, Part, PartError, Shaft};
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{Angle, Length, ParseError};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

closed_set! {
    /// How a part is driven, as it is chosen.
    pub enum DriveKind {
        Direct = "direct", "on the shaft itself";
        Belt = "belt", "by a belt: diameters of the pulleys";
        Teeth = "teeth", "by teeth: gears, chain, toothed belt";
        Times = "times", "turns to one of the shaft";
    }
}

/// A part as somebody wrote it: empty where nothing was said.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WrittenPart {
    pub name: String,
    pub shaft: Shaft,
    pub drive: DriveKind,
    /// Diameter of the driving pulley, or teeth of the driving wheel, or turns to one of the shaft.
    #[serde(default)]
    pub driver: String,
    /// Diameter of the part's own pulley, or teeth of its own wheel.
    #[serde(default)]
    pub driven: String,
    /// `12 poles, 11 blades`
    #[serde(default)]
    pub counts: String,
    /// `9 of 7.94 mm on 38.5 mm`, then an angle other than 0° and `outer ring turns` where it does.
    #[serde(default)]
    pub bearing: String,
}

/// What is wrong in the words, and where.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WrittenError {
    #[error(transparent)]
    Part(#[from] PartError),
    #[error("Driver: {0}")]
    Driver(String),
    #[error("Driven: {0}")]
    Driven(String),
    #[error("Counts: {0}")]
    Counts(String),
    #[error("Bearing: {0}")]
    Bearing(String),
}

impl WrittenPart {
    /// The part it describes.
    pub fn read(&self) -> Result<Part, WrittenError> {
        Ok(Part::new(&self.name, self.shaft, self.drive()?, self.counts()?, self.bearing()?)?)
    }

    fn drive(&self) -> Result<Drive, WrittenError> {
        let length = |text: &str| Length::parse(text).map_err(|error: ParseError| error.to_string());
        Ok(match self.drive {
            DriveKind::Direct => Drive::Direct,
            DriveKind::Belt => Drive::Belt {
                driver: length(&self.driver).map_err(WrittenError::Driver)?,
                driven: length(&self.driven).map_err(WrittenError::Driven)?,
            },
            DriveKind::Teeth => Drive::Teeth {
                driver: whole(&self.driver).map_err(WrittenError::Driver)?,
                driven: whole(&self.driven).map_err(WrittenError::Driven)?,
            },
            DriveKind::Times => Drive::Times(number(&self.driver).map_err(WrittenError::Driver)?),
        })
    }

    fn counts(&self) -> Result<Vec<Count>, WrittenError> {
        let pieces = self.counts.split(',').map(str::trim).filter(|piece| !piece.is_empty());
        pieces.map(|piece| count(piece).map_err(WrittenError::Counts)).collect()
    }

    fn bearing(&self) -> Result<Option<Bearing>, WrittenError> {
        let text = self.bearing.trim();
        if text.is_empty() { Ok(None) } else { bearing(text).map(Some).map_err(WrittenError::Bearing) }
    }
}

fn whole(text: &str) -> Result<u16, String> {
    text.trim().parse().map_err(|_| format!("‘{}’ is no whole number, such as 19.", text.trim()))
}

fn number(text: &str) -> Result<Decimal, String> {
    let dotted = text.trim().replace(',', ".");
    dotted.parse().map_err(|_| format!("‘{}’ is no number, such as 3.9.", text.trim()))
}

fn count(piece: &str) -> Result<Count, String> {
    let kinds = || CountKind::ALL.iter().map(|kind| kind.name()).collect::<Vec<_>>().join(", ");
    let unreadable = || format!("‘{piece}’ is no count: write it as ‘12 poles’. Known: {}.", kinds());
    let (number, what) = piece.split_once(' ').ok_or_else(unreadable)?;
    let kind = CountKind::from_name(&what.trim().to_lowercase()).ok_or_else(unreadable)?;
    Ok(Count { kind, number: whole(number)? })
}

/// `9 of 7.94 mm on 38.5 mm, 15°, outer ring turns`
fn bearing(text: &str) -> Result<Bearing, String> {
    let unreadable = || format!("‘{text}’ is no bearing: write it as ‘9 of 7.94 mm on 38.5 mm, 0°, inner ring turns’.");
    // A comma may stand in a number too: only one before a blank parts.
    let mut pieces = text.split(", ").map(str::trim);
    let measures = pieces.next().unwrap_or_default();
    let (elements, sizes) = measures.split_once(" of ").ok_or_else(unreadable)?;
    let (element, pitch) = sizes.split_once(" on ").ok_or_else(unreadable)?;
    let length = |text: &str| Length::parse(text).map_err(|error| error.to_string());
    let (mut angle, mut turns) = (None, None);
    for piece in pieces {
        match Ring::ALL.iter().find(|ring| ring.label() == piece) {
            Some(ring) if turns.is_none() => turns = Some(*ring),
            None if angle.is_none() => angle = Some(Angle::parse(piece).map_err(|error| error.to_string())?),
            Some(_) | None => return Err(unreadable()),
        }
    }
    let angle = match angle {
        Some(angle) => angle,
        None => Angle::parse("0°").map_err(|error| error.to_string())?,
    };
    let bearing = Bearing::new(whole(elements)?, length(element)?, length(pitch)?, angle, turns.unwrap_or(Ring::Inner));
    bearing.map_err(|error: BearingError| error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::sound::LineKind;

    fn part(driver: &str, driven: &str, counts: &str, bearing: &str) -> WrittenPart {
        let [driver, driven, counts, bearing] = [driver, driven, counts, bearing].map(str::to_owned);
        let (shaft, drive) = (Shaft::Crank, DriveKind::Belt);
        WrittenPart { name: "water pump".to_owned(), shaft, drive, driver, driven, counts, bearing }
    }

    #[test]
    fn a_part_is_read_with_its_counts_and_its_bearing() {
        let read = part("140 mm", "5 in", "6 vanes", "9 of 7,94 mm on 38,5 mm, outer ring turns").read().unwrap();
        let kinds: Vec<LineKind> = read.lines().iter().map(|line| line.kind).collect();
        assert_eq!(kinds.len(), 6);
        assert!(kinds.contains(&LineKind::Vanes) && kinds.contains(&LineKind::Cage));
    }

    #[test]
    fn what_is_wrong_is_told_with_the_field_it_stands_in() {
        for (written, field, word) in [
            (part("", "60 mm", "", ""), "Driver:", ""),
            (part("140 mm", "60", "", ""), "Driven:", ""),
            (part("140 mm", "60 mm", "twelve poles", ""), "Counts:", "whole number"),
            (part("140 mm", "60 mm", "12 wheels", ""), "Counts:", "Known: teeth"),
            (part("140 mm", "60 mm", "", "9 balls"), "Bearing:", "9 of 7.94 mm"),
            (part("140 mm", "60 mm", "", "9 of 7.94 mm on 10 mm"), "Bearing:", "pitch circle"),
            (part("140 mm", "60 mm", "", "9 of 8 mm on 40 mm, 0°, 3°"), "Bearing:", "is no bearing"),
        ] {
            let said = written.read().unwrap_err().to_string();
            assert!(said.starts_with(field) && said.contains(word), "{said}");
        }
    }
}
