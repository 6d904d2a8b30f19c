//! What is typed into a form about work, and how it becomes an operation: the same rules at the desk and on the phone.
//!
//! What an operation may hold is judged in `sync::judge`, for forms and for phones alike. Here stands only what a person
//! who filled in a form is told in other words.

use crate::error::AppError;
use crate::jobs::form::read_minutes;
use crate::sync::wire::{
    Act, ClosedBody, FindingBody, FluidLookBody, OdometerBody, ReadingBody, TextBody, Tick, TickBody, TimeBody,
    UndidBody, Weight,
};
use crate::trade::fluid::{Colour, FluidKind, Particles, Smell};
use crate::trade::symptom::{Heat, Load, Symptom, SymptomKind};

/// The code of the refusal of a finding without a weight, so that it can be told at its field.
pub const NO_WEIGHT: &str = "no-weight";

/// The fields of a form, as they were typed.
#[derive(Debug, Clone, Copy)]
pub enum Typed<'a> {
    Tick {
        state: &'a str,
    },
    Note {
        text: &'a str,
    },
    Finding {
        text: &'a str,
        place: &'a str,
        weight: &'a str,
    },
    Reading {
        what: &'a str,
        number: &'a str,
        unit: &'a str,
    },
    Odometer {
        number: &'a str,
        unit: &'a str,
    },
    Undid {
        what: &'a str,
        place: &'a str,
    },
    Closed {
        key: &'a str,
    },
    Recheck {
        text: &'a str,
    },
    /// How long was worked: minutes, or hours and minutes.
    Time {
        minutes: &'a str,
    },
    /// `fluid`: the name of its kind, and the id of its spec behind a blank where it has one.
    FluidLook {
        fluid: &'a str,
        colour: &'a str,
        smell: &'a str,
        particles: &'a str,
        note: &'a str,
    },
    Symptom {
        kind: &'a str,
        text: &'a str,
        when: &'a str,
        heat: &'a str,
        speed: &'a str,
        load: &'a str,
    },
}

impl Typed<'_> {
    /// Errors: a field that has to be filled in and is not, or a choice that is none of those offered.
    pub fn act(self) -> Result<Act, AppError> {
        Ok(match self {
            Typed::Tick { state } => Act::Tick(TickBody { state: tick(state)? }),
            Typed::Note { text } => Act::Note(TextBody { text: words(text)? }),
            Typed::Finding { text, place, weight } => {
                Act::Finding(FindingBody { text: words(text)?, place: trimmed(place), weight: weighed(weight)? })
            }
            Typed::Reading { what, number, unit } => Act::Reading(ReadingBody {
                what: filled("malformed", what, "Say what was read off.")?,
                number: figure(number)?,
                unit: unit.to_owned(),
                note: None,
            }),
            Typed::Odometer { number, unit } => {
                Act::Odometer(OdometerBody { number: figure(number)?, unit: unit.to_owned() })
            }
            Typed::Undid { what, place } => Act::Undid(UndidBody { what: words(what)?, place: trimmed(place) }),
            Typed::Closed { key } => Act::Closed(ClosedBody { key: key.to_owned() }),
            Typed::Recheck { text } => Act::Recheck(TextBody { text: words(text)? }),
            Typed::Time { minutes } => Act::Time(TimeBody { minutes: worked(minutes)? }),
            Typed::FluidLook { fluid, colour, smell, particles, note } => {
                let kind = fluid.split(' ').next().unwrap_or_default();
                Act::FluidLook(FluidLookBody {
                    fluid: chosen(FluidKind::from_name(kind), "Say which fluid it is.")?,
                    colour: chosen(Colour::from_name(colour), "Say what colour it has: choose the nearest picture.")?,
                    smell: chosen(Smell::from_name(smell), "Say what it smells of; ‘nothing special’ will do.")?,
                    particles: chosen(Particles::from_name(particles), "Say what is in it; ‘none’ will do.")?,
                    note: trimmed(note),
                })
            }
            Typed::Symptom { kind, text, when, heat, speed, load } => Act::Symptom(Symptom {
                kind: chosen(SymptomKind::from_name(kind), "Say what it is: a noise, a smell, a leak …")?,
                text: words(text)?,
                when: trimmed(when),
                heat: chosen(Heat::from_name(heat), "Say how warm the engine is; ‘not known’ will do.")?,
                speed: trimmed(speed),
                load: chosen(Load::from_name(load), "Say what the car does then; ‘not known’ will do.")?,
            }),
        })
    }
}

fn chosen<T>(found: Option<T>, say: &str) -> Result<T, AppError> {
    found.ok_or_else(|| AppError::Invalid("malformed", say.to_owned()))
}

/// From a minute to a day and a night, which is what the judge takes.
fn worked(minutes: &str) -> Result<i64, AppError> {
    let say = "Write how long you worked on it: minutes such as 90, or hours and minutes such as 1:30.";
    let day = 24 * 60;
    read_minutes(minutes)
        .filter(|minutes| *minutes <= day)
        .ok_or_else(|| AppError::Invalid("bad-number", say.to_owned()))
}

fn tick(state: &str) -> Result<Tick, AppError> {
    let unknown = || AppError::Invalid("malformed", "A step is done, skipped or open.".into());
    Tick::from_name(state).ok_or_else(unknown)
}

fn weighed(weight: &str) -> Result<Weight, AppError> {
    let none = || AppError::Invalid(NO_WEIGHT, "Say how much it matters; ‘unknown’ will do for tonight.".into());
    Weight::from_name(weight).ok_or_else(none)
}

fn words(text: &str) -> Result<String, AppError> {
    filled("malformed", text, "Say in a few words what it is.")
}

fn figure(number: &str) -> Result<String, AppError> {
    filled("bad-number", number, "Type the number that was read off.")
}

fn filled(code: &'static str, text: &str, say: &str) -> Result<String, AppError> {
    let text = trimmed(text);
    if text.is_empty() { Err(AppError::Invalid(code, say.to_owned())) } else { Ok(text) }
}

/// Browsers send line ends as two characters (HTML, form submission); one is kept.
fn trimmed(text: &str) -> String {
    text.trim().replace("\r\n", "\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_without_what_they_are_for_are_refused_in_words() {
        let (text, place, number, unit) = (" \r\n ", "", " ", "mm");
        for typed in [
            Typed::Tick { state: "perhaps" },
            Typed::Note { text },
            Typed::Recheck { text },
            Typed::Undid { what: text, place },
            Typed::Finding { text: "rust", place, weight: "" },
            Typed::Finding { text, place, weight: "fine" },
            Typed::Reading { what: "", number: "4", unit },
            Typed::Reading { what: "gap", number, unit },
            Typed::Odometer { number, unit: "km" },
            Typed::Time { minutes: "" },
            Typed::Time { minutes: "0" },
            Typed::Time { minutes: "an hour" },
            Typed::FluidLook { fluid: "", colour: "black", smell: "plain", particles: "none", note: "" },
            Typed::FluidLook { fluid: "engine-oil", colour: "", smell: "plain", particles: "none", note: "" },
            Typed::FluidLook { fluid: "engine-oil", colour: "black", smell: "roses", particles: "none", note: "" },
        ] {
            assert!(matches!(typed.act(), Err(AppError::Invalid(..))), "{typed:?}");
        }
    }

    /// The phone reads it by the same vectors.
    #[test]
    fn time_worked_is_read_as_the_vectors_have_it() {
        let file: serde_json::Value = serde_json::from_str(include_str!("../../tests/vectors/minutes.json")).unwrap();
        for case in file["cases"].as_array().unwrap() {
            let act = Typed::Time { minutes: case["given"].as_str().unwrap() }.act().ok();
            let expected = case["expect"].as_i64().map(|minutes| Act::Time(TimeBody { minutes }));
            assert_eq!(act, expected, "{}", case["name"]);
        }
    }

    #[test]
    fn blanks_at_the_ends_and_the_line_ends_of_browsers_are_left_out() {
        let act = Typed::Note { text: " one\r\ntwo \r\n" }.act().unwrap();
        assert_eq!(act, Act::Note(TextBody { text: "one\ntwo".into() }));
    }
}
