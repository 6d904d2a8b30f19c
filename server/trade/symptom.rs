//! What is wrong with a car as somebody notices it: what kind, when, hot or cold, how fast, under which load.

use super::closed_set::closed_set;
use serde::{Deserialize, Serialize};

closed_set! {
    /// By which sense it is noticed.
    pub enum SymptomKind {
        Noise = "noise", "noise";
        Smell = "smell", "smell";
        Leak = "leak", "leak";
        Play = "play", "play";
        Pull = "pull", "pull to one side";
        Lamp = "lamp", "warning lamp";
    }
}

closed_set! {
    /// How warm the engine is while it is there.
    pub enum Heat {
        Cold = "cold", "cold only";
        Hot = "hot", "hot only";
        Both = "both", "cold and hot";
        Unknown = "unknown", "not known";
    }
}

closed_set! {
    /// What the car does while it is there.
    pub enum Load {
        Standing = "standing", "standing";
        Pulling = "pulling", "pulling";
        Overrun = "overrun", "throttle closed";
        Braking = "braking", "braking";
        Turning = "turning", "in a bend";
        Bumps = "bumps", "over bumps";
        Always = "always", "always";
        Unknown = "unknown", "not known";
    }
}

/// A symptom. Texts are as typed; all but `text` may be empty.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Symptom {
    pub kind: SymptomKind,
    /// What it is like, and where.
    pub text: String,
    /// As in `ten minutes after a cold start`.
    pub when: String,
    pub heat: Heat,
    /// As in `60 to 80 km/h` or `2000 turns a minute`.
    pub speed: String,
    pub load: Load,
}

impl Symptom {
    /// `Noise: whine from the front`
    pub fn words(&self) -> String {
        let mut letters = self.kind.label().chars();
        let first = letters.next().map(|letter| letter.to_uppercase().to_string()).unwrap_or_default();
        format!("{first}{}: {}", letters.as_str(), self.text.trim())
    }

    /// `hot only · pulling · 60 to 80 km/h · after ten minutes`: what is known of it, in this order.
    pub fn circumstances(&self) -> String {
        let heat = (self.heat != Heat::Unknown).then(|| self.heat.label());
        let load = (self.load != Load::Unknown).then(|| self.load.label());
        let typed = [self.speed.trim(), self.when.trim()].map(|text| (!text.is_empty()).then_some(text));
        [heat, load].into_iter().chain(typed).flatten().collect::<Vec<_>>().join(" · ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_known_of_a_symptom_is_said() {
        let mut symptom = Symptom {
            kind: SymptomKind::Lamp,
            text: " oil lamp flickers ".to_owned(),
            when: String::new(),
            heat: Heat::Hot,
            speed: " idle ".to_owned(),
            load: Load::Unknown,
        };
        assert_eq!(symptom.words(), "Warning lamp: oil lamp flickers");
        assert_eq!(symptom.circumstances(), "hot only · idle");
        symptom.heat = Heat::Unknown;
        symptom.load = Load::Standing;
        symptom.when = "after ten minutes".to_owned();
        assert_eq!(symptom.circumstances(), "standing · idle · after ten minutes");
    }
}
