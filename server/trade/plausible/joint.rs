//! Kinds of joint, and those for which the relation of torque and preload says nothing.

use crate::trade::closed_set::closed_set;

closed_set! {
    /// What is being tightened.
    pub enum Joint {
        /// Solid bolt, stud or nut of steel, flat face, parallel thread in iron or steel.
        Plain = "plain", "solid bolt with a flat face";
        LockingNut = "locking-nut", "self-locking nut";
        /// Jams against another nut or a rod end.
        LockNut = "lock-nut", "lock nut";
        Hollow = "hollow", "hollow bolt, union or bleed screw";
        TaperPlug = "taper-plug", "taper plug";
        SealedPlug = "sealed-plug", "plug with a sealing washer";
        SparkPlug = "spark-plug", "spark or glow plug, or a sensor";
        SoftThread = "soft-thread", "thread in light alloy or other soft metal";
        ConeSeat = "cone-seat", "wheel nut or other cone or ball seat";
    }
}

impl Joint {
    /// Guesses the kind from whatever is written about the fastener: item, place, thread, head, notes. What names
    /// nothing unusual is a plain joint.
    pub fn from_words(words: &str) -> Self {
        const NAMES: [(Joint, &[&str]); 8] = [
            (
                Joint::ConeSeat,
                &[
                    "wheel nut",
                    "wheel bolt",
                    "lug nut",
                    "lug bolt",
                    "cone seat",
                    "ball seat",
                    "taper seat",
                    "tapered seat",
                ],
            ),
            (Joint::Hollow, &["hollow", "banjo", "union", "bleed", "flare", "pipe nut"]),
            (Joint::TaperPlug, &["taper", "npt", "bspt"]),
            (Joint::SparkPlug, &["spark plug", "sparking plug", "glow plug", "sensor", "sender"]),
            (
                Joint::SealedPlug,
                &[
                    "drain plug",
                    "sump plug",
                    "fill plug",
                    "filler plug",
                    "level plug",
                    "sealing washer",
                    "crush washer",
                    "copper washer",
                ],
            ),
            (Joint::SoftThread, &["alloy", "aluminium", "aluminum", "magnesium", "brass", "bronze", "plastic"]),
            (Joint::LockingNut, &["self-locking", "self locking", "stiff nut"]),
            (Joint::LockNut, &["locknut", "lock nut", "lock-nut", "jam nut"]),
        ];
        let plain = words.to_lowercase().replace("alloy steel", "steel").replace("alloy wheel", "wheel");
        // Only from the start of a word on: a flywheel bolt is no wheel bolt.
        let spaced = format!(" {}", plain.replace(|letter: char| !letter.is_alphanumeric() && letter != '-', " "));
        let named = |names: &[&str]| names.iter().any(|name| spaced.contains(&format!(" {name}")));
        NAMES.into_iter().find(|(_, names)| named(names)).map_or(Self::Plain, |(joint, _)| joint)
    }

    /// Why nothing can be said of such a joint; `None` where something can. Source: the limits of VDI 2230 and T =
    /// K·d·F (solid shank, flat face, parallel thread in steel); by reasoning, no published table found.
    pub const fn refusal(self) -> Option<&'static str> {
        match self {
            Self::Plain | Self::LockingNut => None,
            Self::LockNut => Some(
                "A lock nut only jams against the part beside it, and its torque need not stretch anything: only the \
                 maker's figure counts.",
            ),
            Self::Hollow => Some(
                "A hollow bolt or union has less metal than its thread promises, and most of its torque goes into its \
                 seal: only the maker's figure counts.",
            ),
            Self::TaperPlug => Some(
                "A taper plug seals by wedging in its thread, so its torque is no measure of a pull: only the maker's \
                 figure counts.",
            ),
            Self::SealedPlug => Some(
                "A plug with a sealing washer is tightened to squash the washer, not to stretch the plug: only the \
                 maker's figure counts.",
            ),
            Self::SparkPlug => {
                Some("A spark plug or sensor has a hollow body and its own seal: only its maker's figure counts.")
            }
            Self::SoftThread => Some(
                "A thread in light alloy, brass or plastic strips long before a steel bolt stretches: only the maker's \
                 figure counts.",
            ),
            Self::ConeSeat => Some(
                "A cone or ball seat, as on wheel nuts, rubs far more than a flat face, by an amount that is not \
                 known: only the maker's figure counts.",
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kinds_of_joint_are_told_from_the_words_about_them() {
        for (words, joint) in [
            ("Big-end nuts, engine", Joint::Plain),
            ("M10x1 hollow", Joint::Hollow),
            ("Banjo bolt, front caliper", Joint::Hollow),
            ("R 1/4 taper", Joint::TaperPlug),
            ("Wheel nuts, taper seat", Joint::ConeSeat),
            ("Sump plug", Joint::SealedPlug),
            ("Spark plugs, alloy head", Joint::SparkPlug),
            ("M18x1.5 in alloy", Joint::SoftThread),
            ("stud of alloy steel", Joint::Plain),
            ("M12x1.5 brass", Joint::SoftThread),
            ("self-locking nut", Joint::LockingNut),
            ("Track-rod lock nuts", Joint::LockNut),
            ("Flywheel bolts", Joint::Plain),
            ("Wheel cylinder bolts", Joint::Plain),
        ] {
            assert_eq!(Joint::from_words(words), joint, "{words}");
        }
    }

    #[test]
    fn every_refusal_sends_to_the_makers_figure() {
        for joint in Joint::ALL.iter().filter_map(|joint| joint.refusal()) {
            assert!(joint.ends_with("figure counts."), "{joint}");
        }
        assert_eq!(Joint::ALL.iter().filter(|joint| joint.refusal().is_none()).count(), 2);
    }
}
