//! Where a thing is, by what was said of it at the desk and by what came and was used since.

use super::many::Many;
use super::stage::Stage;
use rust_decimal::Decimal;

/// Something that was done with a thing after its stage was said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Move {
    Arrived,
    Used,
}

/// Where it is, and how much of it came and was used since the desk said where it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    pub stage: Stage,
    /// What is here of what is wanted, while some is still to come.
    pub partly_here: Option<Many>,
    /// What is on the car, while some still lies on the shelf.
    pub partly_fitted: Option<Many>,
}

/// The one rule by which a stage follows from operations. `said`: the stage at the desk; `wanted`: how many; `moves`: what
/// came and was used after that was said, quantities as they were written.
///
/// What came is added up, and so is what was used; what was used was here. All that is wanted came: it is here. All that
/// is wanted was used: it is on the car. A quantity that cannot be compared with what is wanted counts as all of it where
/// it is written in the same words, and as nothing otherwise. Nothing that comes takes a stage back: that is said.
pub fn standing(said: Stage, wanted: &Many, moves: &[(Move, &str)]) -> Standing {
    let used = total(wanted, moves, &[Move::Used]);
    // What was used without having been noted as come was here too.
    let came = greater(total(wanted, moves, &[Move::Arrived]), used.clone());
    let plain = |stage| Standing { stage, partly_here: None, partly_fitted: None };
    match said {
        Stage::Fitted => plain(said),
        Stage::Here => on_the_car(wanted, used),
        Stage::Wanted | Stage::Ordered | Stage::SentBack => match came {
            Some(came) if is_all(&came, wanted) => on_the_car(wanted, used),
            some => Standing { partly_here: some, ..plain(said) },
        },
    }
}

fn on_the_car(wanted: &Many, used: Option<Many>) -> Standing {
    match used {
        Some(used) if is_all(&used, wanted) => {
            Standing { stage: Stage::Fitted, partly_here: None, partly_fitted: None }
        }
        some => Standing { stage: Stage::Here, partly_here: None, partly_fitted: some },
    }
}

fn total(wanted: &Many, moves: &[(Move, &str)], kinds: &[Move]) -> Option<Many> {
    let quantities = moves.iter().filter(|(kind, _)| kinds.contains(kind)).map(|(_, text)| Many::parse(text));
    quantities.filter(|many| is_comparable(many, wanted)).reduce(|sum, more| sum.and(&more).unwrap_or(sum))
}

fn greater(one: Option<Many>, other: Option<Many>) -> Option<Many> {
    match (one, other) {
        (Some(one), Some(other)) => one.or(&other),
        (one, other) => one.or(other),
    }
}

fn is_comparable(one: &Many, wanted: &Many) -> bool {
    one.or(wanted).is_some()
}

fn is_all(one: &Many, wanted: &Many) -> bool {
    match (one.number(), wanted.number()) {
        (Some(one), Some(wanted)) => one >= wanted,
        // Only the same words can be compared at all.
        (None | Some(_), None | Some(_)) => one == wanted,
    }
}

/// What is still to come or to be used of `wanted`; all of it where nothing can be taken away from it.
pub fn rest(wanted: &Many, some: Option<&Many>) -> Many {
    let (Some(all), Some(some)) = (wanted.number(), some.and_then(Many::number)) else { return wanted.clone() };
    if some >= all { wanted.clone() } else { wanted.with_number(all - some) }
}

impl Many {
    /// How many, where it is a number.
    pub fn number(&self) -> Option<Decimal> {
        match self {
            Many::Pieces(number) | Many::Measured { number, .. } => Some(*number),
            Many::Words(_) => None,
        }
    }

    fn with_number(&self, number: Decimal) -> Many {
        match self {
            Many::Pieces(_) => Many::Pieces(number),
            Many::Measured { unit, .. } => Many::Measured { number, unit: *unit },
            Many::Words(words) => Many::Words(words.clone()),
        }
    }

    /// So many of it; words stay as they are.
    pub fn times(&self, count: usize) -> Many {
        self.number().map_or_else(|| self.clone(), |number| self.with_number(number * Decimal::from(count)))
    }

    /// As it is written into an operation: `4`, `0.5 l`, `1 pair`.
    pub fn written(&self) -> String {
        match self {
            Many::Pieces(number) => number.normalize().to_string(),
            Many::Measured { .. } | Many::Words(_) => self.to_string(),
        }
    }

    /// Its unit's own name; empty for pieces and words.
    pub fn unit_name(&self) -> &'static str {
        match self {
            Many::Measured { unit, .. } => unit.name(),
            Many::Pieces(_) | Many::Words(_) => "",
        }
    }
}
