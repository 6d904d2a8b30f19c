//! How far a spec can be trusted, from what its sources say.
//!
//! Sources that agree raise trust; sources that differ are an open question until somebody settles it.
//! They are never averaged.

use super::quantity::agree;
use super::spec::{SourceKind, Value};

/// What one source says of a spec.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    pub value: Value,
    pub source: SourceKind,
    /// The one that the restorer chose.
    pub settled: bool,
}

/// How far a spec can be trusted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trust {
    /// Nobody says anything.
    Missing,
    /// Sources differ and nobody has decided.
    Open,
    /// Nothing but guesses.
    Guessed,
    /// One source that is no guess.
    Single(SourceKind),
    /// Several sources agree: the most trusted of them, and how many others say the same.
    Agreeing(SourceKind, usize),
    /// Sources differed and the restorer decided for one of this kind.
    Settled(SourceKind),
}

impl Trust {
    /// In the fewest words.
    pub fn words(self) -> String {
        match self {
            Trust::Missing => "no value yet".into(),
            Trust::Open => "sources disagree".into(),
            Trust::Guessed => "guess".into(),
            Trust::Single(kind) => kind.label().into(),
            Trust::Agreeing(kind, 1) => format!("{} and one other agree", kind.label()),
            Trust::Agreeing(kind, _) => format!("{} and others agree", kind.label()),
            Trust::Settled(kind) => format!("settled on {}", kind.label()),
        }
    }

    /// The stable name, for styles and filters.
    pub fn name(self) -> &'static str {
        match self {
            Trust::Missing => "missing",
            Trust::Open => "open",
            Trust::Guessed => "guess",
            Trust::Single(kind) | Trust::Settled(kind) => kind.name(),
            Trust::Agreeing(..) => "agreeing",
        }
    }

    /// True where a person should not tighten by it without looking again.
    pub fn is_doubtful(self) -> bool {
        matches!(self, Trust::Missing | Trust::Open | Trust::Guessed)
    }
}

/// Which value to show, and how far to trust it. `None` where nobody says anything.
///
/// The settled value is shown; else the one of the most trusted source, the first entered among equals.
/// A guess never makes a question of what a better source says, nor does it raise trust in it.
pub fn judge(said: &[Said]) -> (Trust, Option<usize>) {
    if let Some(index) = said.iter().position(|one| one.settled) {
        return (Trust::Settled(said[index].source), Some(index));
    }
    let best = (0..said.len()).min_by_key(|&index| (said[index].source, index));
    let Some(best) = best else {
        return (Trust::Missing, None);
    };
    let chosen = &said[best];
    let rivals: Vec<&Said> = said
        .iter()
        .enumerate()
        .filter(|(index, one)| {
            *index != best && (one.source != SourceKind::Guess || chosen.source == SourceKind::Guess)
        })
        .map(|(_, one)| one)
        .collect();
    let trust = if rivals.iter().any(|rival| !same(&rival.value, &chosen.value)) {
        Trust::Open
    } else if chosen.source == SourceKind::Guess {
        Trust::Guessed
    } else if rivals.is_empty() {
        Trust::Single(chosen.source)
    } else {
        Trust::Agreeing(chosen.source, rivals.len())
    };
    (trust, Some(best))
}

/// Whether two sources say the same: within tolerance for quantities, apart from case and punctuation for words.
pub fn same(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Measured(a), Value::Measured(b)) => agree(a, b),
        (Value::Words(a), Value::Words(b)) => folded(a) == folded(b),
        (Value::Measured(_), Value::Words(_)) | (Value::Words(_), Value::Measured(_)) => false,
    }
}

/// Words apart from case, blanks and punctuation.
fn folded(words: &str) -> String {
    words.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::spec::Kind;

    fn said(written: &str, source: SourceKind) -> Said {
        Said { value: Value::parse(Kind::Torque, written).unwrap(), source, settled: false }
    }

    #[test]
    fn nobody_says_anything() {
        assert_eq!(judge(&[]), (Trust::Missing, None));
    }

    #[test]
    fn sources_that_agree_in_other_units_raise_trust() {
        let both = [said("62 lbf ft", SourceKind::PartsSupplier), said("84 Nm", SourceKind::MakersManual)];
        assert_eq!(judge(&both), (Trust::Agreeing(SourceKind::MakersManual, 1), Some(1)));
    }

    #[test]
    fn one_other_source_is_not_spoken_of_as_several() {
        let (manual, supplier) = (SourceKind::MakersManual, SourceKind::PartsSupplier);
        let words = |said: &[Said]| judge(said).0.words();
        let mut all = vec![said("40 Nm", manual), said("40 Nm", supplier)];
        assert_eq!(words(&all), "maker's manual and one other agree");
        all.push(said("40 Nm", SourceKind::Guess));
        assert_eq!(words(&all), "maker's manual and one other agree", "a guess supports nothing");
        all.push(said("40 Nm", SourceKind::SecondHand));
        assert_eq!(words(&all), "maker's manual and others agree");
    }

    #[test]
    fn sources_that_differ_are_an_open_question_until_one_is_settled() {
        let mut both = [said("62 lbf ft", SourceKind::MakersManual), said("62 Nm", SourceKind::SecondHand)];
        assert_eq!(judge(&both), (Trust::Open, Some(0)));
        both[1].settled = true;
        assert_eq!(judge(&both), (Trust::Settled(SourceKind::SecondHand), Some(1)));
    }

    #[test]
    fn a_guess_neither_questions_nor_supports_a_better_source() {
        let off = [said("40 Nm", SourceKind::MakersManual), said("60 Nm", SourceKind::Guess)];
        assert_eq!(judge(&off), (Trust::Single(SourceKind::MakersManual), Some(0)));
        assert_eq!(judge(&[said("40 Nm", SourceKind::Guess)]), (Trust::Guessed, Some(0)));
    }

    #[test]
    fn words_agree_apart_from_case_and_punctuation() {
        let words =
            |text: &str| Said { value: Value::Words(text.into()), source: SourceKind::ReadOffTheCar, settled: false };
        assert_eq!(
            judge(&[words("API GL-4, SAE 80W"), words("api gl4 sae 80w")]).0,
            Trust::Agreeing(SourceKind::ReadOffTheCar, 1)
        );
    }
}
