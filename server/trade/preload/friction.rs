//! Lubrication in words, and the range of friction that each stands for.
//!
//! The ranges are deliberately wide: published nut factors for one and the same condition differ by half. A nut factor
//! K (T = K·d·F) stands for a friction of about (K − 0.03)/1.15 on a usual bolt. One number serves for thread and head
//! alike.

use crate::trade::closed_set::closed_set;

closed_set! {
    /// What is on the thread and under the head.
    pub enum Lubrication {
        Unknown = "unknown", "lubrication not known";
        Dry = "dry", "dry";
        Plated = "plated", "plated, no oil";
        Oiled = "oiled", "oiled";
        Greased = "greased", "greased";
        AntiSeize = "anti-seize", "anti-seize paste";
        LockingCompound = "locking-compound", "thread-locking liquid";
        Sealant = "sealant", "sealant";
    }
}

const COMMON: &str = "common practice, no source";

impl Lubrication {
    /// Everything that the words name, such as `oiled thread and washer`; empty when they name nothing known.
    pub fn read(words: &str) -> Vec<Self> {
        const NAMES: [(Lubrication, &[&str]); 7] = [
            (Lubrication::Dry, &["dry", "unlubricated", "degreased", "without oil", "no oil"]),
            (Lubrication::Plated, &["plated", "zinc", "cadmium", "passivated", "galvanised"]),
            (Lubrication::Oiled, &["oil", "oiled", "lubricated", "lightly oiled"]),
            (Lubrication::Greased, &["grease", "greased"]),
            (
                Lubrication::AntiSeize,
                &["anti-seize", "antiseize", "anti seize", "copper paste", "moly", "mos2", "molybdenum"],
            ),
            (Lubrication::LockingCompound, &["locking", "threadlock", "threadlocker", "thread-locking", "locked"]),
            (Lubrication::Sealant, &["sealant", "sealer", "thread tape", "ptfe"]),
        ];
        let padded = format!(" {} ", words.to_lowercase().replace([',', ';', '.', '(', ')', '/'], " "));
        let named = |names: &[&str]| names.iter().any(|name| padded.contains(&format!(" {name} ")));
        let mut found: Vec<Self> =
            NAMES.into_iter().filter(|(_, names)| named(names)).map(|(lubrication, _)| lubrication).collect();
        let without = ["without oil", "no oil"].iter().any(|words| padded.contains(words));
        found.retain(|lubrication| !(without && *lubrication == Self::Oiled));
        found
    }

    /// Least, usual and greatest friction. The usual ones are common practice, no source, around the 0.12 to 0.14 that
    /// published tables reckon with.
    const fn range(self) -> Friction {
        let (low, usual, high) = match self {
            Self::Unknown => (0.07, 0.14, 0.24),
            Self::Dry => (0.12, 0.17, 0.24),
            Self::Plated => (0.11, 0.17, 0.24),
            Self::Oiled => (0.07, 0.13, 0.18),
            Self::Greased => (0.07, 0.11, 0.16),
            Self::AntiSeize => (0.05, 0.09, 0.12),
            Self::LockingCompound => (0.10, 0.14, 0.20),
            Self::Sealant => (0.08, 0.14, 0.20),
        };
        Friction { low, usual, high }
    }

    /// Where its range comes from.
    pub const fn source(self) -> &'static str {
        match self {
            Self::Unknown => "the ranges of dry, plated and oiled steel taken together",
            Self::Dry => {
                "nut factors 0.18 to 0.30 for bare and black steel: Shigley & Mischke, 5th ed., table quoted \
                 second-hand, and a supplier's engineering data"
            }
            Self::Plated => {
                "nut factors 0.16 (cadmium) to 0.295 (zinc, dry): Shigley & Mischke, 5th ed., and Bickford & Nassar, \
                 ch. 2, both quoted second-hand"
            }
            Self::Oiled => {
                "nut factors 0.18 (Shigley & Mischke, 5th ed., quoted second-hand) and 0.11 to 0.15 (NASA RP-1228, \
                 from memory); one supplier prints 0.10 to 0.26"
            }
            Self::AntiSeize => {
                "nut factor 0.12: Shigley & Mischke, 5th ed., quoted second-hand; the width is common practice"
            }
            Self::Greased | Self::LockingCompound | Self::Sealant => COMMON,
        }
    }
}

/// A range of friction, above zero, and what to expect within it where nothing more is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Friction {
    low: f64,
    usual: f64,
    high: f64,
}

impl Friction {
    /// The range that covers all of these, with the mean of what is usual for each; that of unknown lubrication when
    /// none is named.
    pub fn of(named: &[Lubrication]) -> Self {
        let named = if named.is_empty() { &[Lubrication::Unknown] } else { named };
        let all = || named.iter().map(|lubrication| lubrication.range());
        let count: f64 = all().map(|_| 1.0).sum();
        Self {
            low: all().map(|one| one.low).fold(f64::INFINITY, f64::min),
            usual: all().map(|one| one.usual).sum::<f64>() / count,
            high: all().map(|one| one.high).fold(0.0, f64::max),
        }
    }

    pub const fn low(self) -> f64 {
        self.low
    }

    pub const fn usual(self) -> f64 {
        self.usual
    }

    pub const fn high(self) -> f64 {
        self.high
    }

    pub fn holds(self, friction: f64) -> bool {
        (self.low..=self.high).contains(&friction)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_a_manual_are_read() {
        for (words, expected) in [
            ("dry", vec![Lubrication::Dry]),
            ("clean and dry", vec![Lubrication::Dry]),
            ("clean, light oil", vec![Lubrication::Oiled]),
            ("oiled thread and washer", vec![Lubrication::Oiled]),
            ("thread-locking liquid", vec![Lubrication::LockingCompound]),
            ("anti-seize", vec![Lubrication::AntiSeize]),
            ("zinc plated, no oil", vec![Lubrication::Dry, Lubrication::Plated]),
            ("zinc plated and oiled", vec![Lubrication::Plated, Lubrication::Oiled]),
            ("as found", vec![]),
            ("", vec![]),
        ] {
            assert_eq!(Lubrication::read(words), expected, "{words}");
        }
    }

    #[test]
    fn several_lubrications_widen_the_range_and_none_is_the_unknown_one() {
        let both = Friction::of(&[Lubrication::AntiSeize, Lubrication::Dry]);
        assert_eq!((both.low(), both.high()), (0.05, 0.24));
        assert_eq!(Friction::of(&[]), Friction::of(&[Lubrication::Unknown]));
    }

    #[test]
    fn the_unknown_range_covers_dry_plated_and_oiled() {
        let unknown = Friction::of(&[]);
        for named in [Lubrication::Dry, Lubrication::Plated, Lubrication::Oiled] {
            let one = Friction::of(&[named]);
            assert!(unknown.low() <= one.low() && one.high() <= unknown.high(), "{named}");
            assert!(unknown.holds(one.usual()) && one.holds(one.usual()));
        }
    }
}
