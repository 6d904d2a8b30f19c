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

/// Why a stage was not taken: neither a torque nor an angle; says how a torque is written.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("{0} An angle, such as 90°, may stand here too.")]
pub struct StageError(ParseError);

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
        angle.map(Self::Angle).map_err(|_| StageError(torque))
    }
}

/// The stages repeated over the order.
pub fn rounds(pattern: &Pattern, stages: &[Stage]) -> Vec<Round> {
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
    stages.iter().enumerate().map(round).collect()
}

/// What is odd about the sequence of the stages, each a sentence. Only doubts: the maker's sequence stands.
pub fn doubts(stages: &[Stage]) -> Vec<String> {
    let mut doubts = Vec::new();
    if let Some(Stage::Angle(_)) = stages.first() {
        doubts.push(
            "The first stage is an angle, which is usually turned on from a torque: is a stage missing?".to_owned(),
        );
    }
    for (index, pair) in stages.windows(2).enumerate() {
        let number = index + 2;
        match (&pair[0], &pair[1]) {
            (Stage::Angle(_), Stage::Torque(_)) => doubts.push(format!(
                "Stage {number} is a torque after an angle: does the source say to slacken the bolts in between?"
            )),
            (Stage::Torque(first), Stage::Torque(second)) if second.high().compare(first.high()).is_lt() => {
                doubts.push(format!(
                    "Stage {number} is looser than the one before: does the source say to slacken the bolts in between?"
                ));
            }
            (Stage::Torque(_), Stage::Torque(_) | Stage::Angle(_)) | (Stage::Angle(_), Stage::Angle(_)) => {}
        }
    }
    doubts
}

#[cfg(test)]
mod tests {
    use super::super::Shape;
    use super::*;

    fn stages(texts: &[&str]) -> Vec<Stage> {
        texts.iter().map(|text| Stage::parse(text).unwrap()).collect()
    }

    #[test]
    fn every_stage_goes_once_over_the_whole_order() {
        let pattern = Pattern::by_rule(Shape::TwoRows, 10).unwrap();
        let rounds = rounds(&pattern, &stages(&["30 N·m", "60 Nm", "90°"]));
        assert_eq!(rounds.len(), 3);
        for (index, round) in rounds.iter().enumerate() {
            let bolts: Vec<usize> = round.turns.iter().map(|turn| turn.bolt).collect();
            assert_eq!((round.number, bolts.as_slice()), (index + 1, pattern.order()));
        }
        let counted: Vec<usize> = rounds.iter().flat_map(|round| &round.turns).map(|turn| turn.of_all).collect();
        assert_eq!(counted, (1..=30).collect::<Vec<_>>());
    }

    #[test]
    fn a_stage_is_a_torque_or_an_angle() {
        assert!(matches!(Stage::parse("30 lbf ft"), Ok(Stage::Torque(_))));
        assert!(matches!(Stage::parse("1/4 turn"), Ok(Stage::Angle(_))));
        let error = Stage::parse("tight").unwrap_err().to_string();
        assert!(error.ends_with("such as 45 N·m. An angle, such as 90°, may stand here too."), "{error}");
    }

    #[test]
    fn an_odd_sequence_is_doubted_and_a_usual_one_is_not() {
        let doubt = |texts: &[&str]| doubts(&stages(texts));
        assert!(doubt(&["90°"])[0].contains("first stage is an angle"));
        assert!(doubt(&["30 Nm", "90°", "60 Nm"])[0].starts_with("Stage 3 is a torque after an angle"));
        assert!(doubt(&["60 Nm", "30 lbf ft"])[0].starts_with("Stage 2 is looser"));
        for usual in [&["30 Nm", "60 Nm", "90°"][..], &["30 Nm", "90°", "90°"], &["22 lbf ft", "60 Nm", "60 Nm"], &[]]
        {
            assert_eq!(doubt(usual), Vec::<String>::new());
        }
    }
}
