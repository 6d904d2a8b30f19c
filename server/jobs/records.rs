//! What was recorded on a card and its steps while working, in words.

use crate::sync::hlc::Hlc;
use crate::sync::wire::{Act, ReadingBody, Weight};
use crate::trade::quantity::Unit;
use crate::web::words;
use crate::work::store::Done;
use std::collections::HashSet;

/// Something recorded while working: `Reading, Tue 17 Nov 2026, 19:42: drained oil 1.1 l`.
pub struct Record {
    pub what: &'static str,
    pub text: String,
    pub when: String,
    /// The picture's SHA-256, where its bytes are here.
    pub picture: Option<String>,
}

fn record(done: &Done, pictures: &HashSet<String>) -> Option<Record> {
    let (what, text, picture) = match &done.act {
        Act::Reading(body) => ("Read off", reading(body), None),
        Act::Note(body) => ("Note", body.text.clone(), None),
        Act::Finding(body) => ("Found", finding(&body.text, &body.place, body.weight), None),
        Act::Recheck(body) => ("Looked at again", body.text.clone(), None),
        Act::FluidLook(body) => ("Looked at a fluid", body.words(), None),
        Act::Correction(body) => ("Correction", body.text.clone(), None),
        Act::WentOn(body) => ("Went on past a guard", format!("{} Because: {}", body.say, body.why.trim()), None),
        Act::Photo(body) if pictures.contains(&body.sha256) => {
            ("Photo", body.caption.clone(), Some(body.sha256.clone()))
        }
        Act::Photo(body) => ("Photo, still on its way from the phone", body.caption.clone(), None),
        Act::Tick(_)
        | Act::PartUsed(_)
        | Act::Arrival(_)
        | Act::Odometer(_)
        | Act::Time(_)
        | Act::Undid(_)
        | Act::Closed(_)
        | Act::Road(_)
        | Act::Night(_)
        | Act::Bolt(_)
        | Act::Settled(_)
        | Act::Survey(_)
        | Act::Dealt(_)
        | Act::Serviced(_)
        | Act::Clip(_)
        | Act::Symptom(_) => return None,
    };
    Some(Record { what, text, when: when(&done.hlc), picture })
}

fn reading(body: &ReadingBody) -> String {
    let unit = Unit::from_code(&body.unit).map_or("", Unit::name);
    let note = body.note.as_deref().filter(|note| !note.trim().is_empty());
    let value = format!("{}: {} {unit}", body.what, words::figure(&body.number));
    note.map_or(value.trim_end().to_owned(), |note| format!("{} ({note})", value.trim_end()))
}

fn finding(text: &str, place: &str, weight: Weight) -> String {
    let place = if place.trim().is_empty() { String::new() } else { format!(", {place}") };
    format!("{text}{place} ({})", weight.label())
}

/// The moment of an operation, in words.
fn when(hlc: &str) -> String {
    hlc.parse::<Hlc>().map(|hlc| words::day_and_time(hlc.moment())).unwrap_or_default()
}

/// Everything recorded on one subject, of which it is given what was done, oldest first. Of readings of one thing only
/// the latest.
pub fn records(of_subject: &[&Done], pictures: &HashSet<String>) -> Vec<Record> {
    let superseded = |at: usize| {
        let field = of_subject[at].act.field();
        field.is_some() && of_subject[at + 1..].iter().any(|later| later.act.field() == field)
    };
    let standing = (0..of_subject.len()).filter(|at| !superseded(*at));
    standing.filter_map(|at| record(of_subject[at], pictures)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_has_its_unit_and_note() {
        let body = ReadingBody {
            what: "drained oil".into(),
            number: "1,1".into(),
            unit: "l".into(),
            note: Some("black".into()),
        };
        assert_eq!(reading(&body), "drained oil: 1.1 l (black)");
        let count = ReadingBody { what: "shims".into(), number: "3".into(), unit: "count".into(), note: None };
        assert_eq!(reading(&count), "shims: 3");
    }
}
