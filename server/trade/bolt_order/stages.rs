//! Tightening in stages: the whole order at the first torque, then the whole order at the next, then at an angle.

use thiserror::Error;

use super::Pattern;
use crate::trade::quantity::{AngleUnit, ParseError, Span, TorqueUnit};

/// One stage as its source wrote it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Stage {
    Torque(Span<TorqueUnit>),
    /// Turned on by this from where the last stage left it.
    Angle(Span<AngleUnit>),
}

/// Why a stage was not taken.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum StageError {
    #[error("{0}")]
    Unreadable(ParseError),
    #[error("The first stage is an angle: an angle is turned on from a torque, so write that first.")]
    AngleFirst,
    #[error(
        "Stage {0} is a torque after an angle: once turned on by an angle a bolt is not brought to a torque again."
    )]
    TorqueAfterAngle(usize),
    #[error("Stage {0} is not tighter than the one before: write the stages in the order in which they are done.")]
    NotTighter(usize),
}

/// One round over all the bolts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Round {
    /// From 1.
    pub number: usize,
    pub stage: Stage,
    pub turns: Vec<Turn>,
}

/// One bolt, once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Turn {
    /// Its number from 1.
    pub bolt: usize,
    /// Over all rounds, from 1; what a counter shows.
    pub of_all: usize,
}

impl Stage {
    /// Reads `30 N·m` or `90°`.
    pub fn parse(text: &str) -> Result<Self, StageError> {
        let torque = match Span::<TorqueUnit>::parse(text) {
            Ok(torque) => return Ok(Self::Torque(torque)),
            Err(error) => error,
        };
        let angle = Span::<AngleUnit>::parse(text);
        angle.map(Self::Angle).map_err(|_| StageError::Unreadable(torque))
    }
}

/// The stages repeated over the order. Errors when they cannot be meant in that sequence.
pub fn rounds(pattern: &Pattern, stages: &[Stage]) -> Result<Vec<Round>, StageError> {
    sensible(stages)?;
    let order = pattern.order();
    let round = |(index, stage): (usize, &Stage)| Round {
        number: index + 1,
        stage: stage.clone(),
        turns: order
            .iter()
            .enumerate()
            .map(|(turn, bolt)| Turn { bolt: *bolt, of_all: index * order.len() + turn + 1 })
            .collect(),
    };
    Ok(stages.iter().enumerate().map(round).collect())
}

fn sensible(stages: &[Stage]) -> Result<(), StageError> {
    if let Some(Stage::Angle(_)) = stages.first() {
        return Err(StageError::AngleFirst);
    }
    for (index, pair) in stages.windows(2).enumerate() {
        let number = index + 2;
        match (&pair[0], &pair[1]) {
            (Stage::Angle(_), Stage::Torque(_)) => return Err(StageError::TorqueAfterAngle(number)),
            (Stage::Torque(first), Stage::Torque(second)) if second.high().compare(first.high()).is_le() => {
                return Err(StageError::NotTighter(number));
            }
            (Stage::Torque(_), Stage::Torque(_) | Stage::Angle(_)) | (Stage::Angle(_), Stage::Angle(_)) => {}
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::super::Shape;
    use super::*;

    fn staged(texts: &[&str]) -> Result<Vec<Round>, StageError> {
        let stages: Result<Vec<Stage>, StageError> = texts.iter().map(|text| Stage::parse(text)).collect();
        rounds(&Pattern::by_rule(Shape::TwoRows, 10).unwrap(), &stages?)
    }

    #[test]
    fn every_stage_goes_once_over_the_whole_order() {
        let rounds = staged(&["30 N·m", "60 Nm", "90°"]).unwrap();
        assert_eq!(rounds.len(), 3);
        let order = Pattern::by_rule(Shape::TwoRows, 10).unwrap();
        for (index, round) in rounds.iter().enumerate() {
            let bolts: Vec<usize> = round.turns.iter().map(|turn| turn.bolt).collect();
            assert_eq!((round.number, bolts.as_slice()), (index + 1, order.order()));
        }
        let counted: Vec<usize> = rounds.iter().flat_map(|round| &round.turns).map(|turn| turn.of_all).collect();
        assert_eq!(counted, (1..=30).collect::<Vec<_>>());
    }

    #[test]
    fn stages_that_cannot_be_meant_are_refused() {
        assert_eq!(staged(&["90°", "30 Nm"]), Err(StageError::AngleFirst));
        assert_eq!(staged(&["30 Nm", "90°", "60 Nm"]), Err(StageError::TorqueAfterAngle(3)));
        assert_eq!(staged(&["60 Nm", "30 lbf ft"]), Err(StageError::NotTighter(2)));
        assert!(matches!(staged(&["tight"]), Err(StageError::Unreadable(_))));
        assert!(staged(&["30 Nm", "90°", "90°"]).is_ok());
        assert!(staged(&["22 lbf ft", "60 Nm"]).is_ok());
        assert_eq!(staged(&[]), Ok(Vec::new()));
    }
}
