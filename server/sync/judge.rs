//! What is refused, and why. Pure: everything it needs is handed in, so each refusal is a line in a table of tests.

use super::hlc::Hlc;
use super::wire::{Act, BoltBody, DealtBody, Op, RefusedAgain, ServicedBody, SurveyBody, Verdict};
use crate::clock::Moment;
use crate::ids::{CardId, OpId, PartId, SpecValueId, UpkeepItemId};
use crate::trade::calendar::Date;
use crate::trade::quantity::{Quantity, Unit};
use crate::trade::survey::How;
use serde_json::Value;

/// How far a device's clock may be ahead of ours before it is asked to correct it.
pub const AHEAD_MS: i64 = 5 * 60 * 1000;
pub const LONGEST_TEXT: usize = 4000;
const LONGEST_SHORT_TEXT: usize = 200;
/// A day of work noted at once.
const MOST_MINUTES: i64 = 24 * 60;
/// More than a spec can have.
const MOST_STAGES: usize = 20;
const MOST_BOLTS: usize = 200;

/// Why an operation cannot be taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refusal {
    pub code: &'static str,
    pub say: String,
    pub again: RefusedAgain,
}

impl Refusal {
    fn never(code: &'static str, say: impl Into<String>) -> Refusal {
        Refusal { code, say: say.into(), again: RefusedAgain::Never }
    }

    pub fn unknown_car() -> Refusal {
        Refusal::never("unknown-car", "This garage has no such car.")
    }

    pub fn unknown_subject() -> Refusal {
        Refusal::never("unknown-subject", "What this is about was never known here.")
    }

    pub fn wrong_subject() -> Refusal {
        Refusal::never("wrong-subject", "This cannot be said of that.")
    }

    pub fn wrong_card() -> Refusal {
        Refusal::never("wrong-subject", "This is not on the card it says it is on.")
    }

    pub fn id_reused() -> Refusal {
        Refusal::never("id-reused", "Something else was stored under the same id before.")
    }

    pub fn verdict(self, id: Option<OpId>) -> Verdict {
        Verdict::Refused { id, code: self.code, say: self.say, again: self.again }
    }
}

/// Reads one operation and checks everything that can be checked without the database.
///
/// `latest` is the later of the present moment and of all clock readings stored so far: had the garage's own clock
/// been ahead once, whatever is done afterwards must still come after that.
pub fn read(raw: &Value, latest: Moment) -> Result<(Op, Hlc), (Option<OpId>, Refusal)> {
    let id = raw.get("id").and_then(Value::as_str).and_then(|text| text.parse().ok());
    let refuse = |refusal| (id, refusal);
    let op: Op = serde_json::from_value(raw.clone())
        .map_err(|cause| refuse(Refusal::never("malformed", format!("This could not be read: {cause}."))))?;
    let hlc = op.hlc.parse::<Hlc>().map_err(|cause| refuse(Refusal::never("malformed", format!("{cause}."))))?;
    if hlc.moment().0 > latest.0 + AHEAD_MS {
        return Err(refuse(Refusal {
            code: "clock-ahead",
            say: "This phone’s clock is ahead of the garage’s.".into(),
            again: RefusedAgain::Restamp,
        }));
    }
    check_act(&op.act).map_err(refuse)?;
    if !op.act.goes_on(op.on) {
        return Err(refuse(Refusal::wrong_subject()));
    }
    Ok((op, hlc))
}

fn check_act(act: &Act) -> Result<(), Refusal> {
    match act {
        Act::Tick(_) => Ok(()),
        Act::Reading(body) => {
            short(&body.what)?;
            body.note.as_deref().map_or(Ok(()), long)?;
            number_with_unit(&body.number, &body.unit)
        }
        Act::Note(body) | Act::Recheck(body) | Act::Night(body) => wordy(&body.text),
        Act::Photo(body) => {
            if !is_sha256(&body.sha256) {
                return Err(Refusal::never("malformed", "A photo is named by the 64 hex digits of its SHA-256."));
            }
            short(&body.mime)?;
            long(&body.caption)?;
            body.question.as_deref().map_or(Ok(()), |name| not_empty(name).and_then(|()| short(name)))
        }
        Act::Finding(body) => {
            wordy(&body.text)?;
            short(&body.place)
        }
        Act::PartUsed(body) | Act::Arrival(body) => not_empty(&body.quantity).and_then(|()| short(&body.quantity)),
        Act::Odometer(body) => odometer(&body.number, &body.unit),
        Act::Time(body) if !(1..=MOST_MINUTES).contains(&body.minutes) => {
            Err(Refusal::never("bad-number", "Between one minute and a day can be noted at once."))
        }
        Act::Time(_) => Ok(()),
        Act::Undid(body) => {
            short(&body.what)?;
            short(&body.place)?;
            not_empty(&body.what)
        }
        Act::WentOn(body) => {
            not_empty(&body.rule)?;
            short(&body.rule)?;
            long(&body.say)?;
            wordy(&body.why)
        }
        Act::Road(body) => {
            not_empty(&body.item)?;
            short(&body.item)?;
            long(&body.say)?;
            long(&body.note)
        }
        Act::Bolt(body) => bolt(body),
        Act::Settled(body) => {
            if !body.on.is_empty() && body.on.parse::<SpecValueId>().is_err() {
                return Err(Refusal::never("malformed", "A source is named by its id, or by nothing."));
            }
            long(&body.say)?;
            long(&body.why)
        }
        Act::Closed(body) => not_empty(&body.key).and_then(|()| short(&body.key)),
        Act::FluidLook(body) => long(&body.note),
        Act::Survey(body) => survey(body),
        Act::Dealt(body) => dealt(body),
        Act::Serviced(body) => serviced(body),
        Act::Correction(body) => wordy(&body.text),
        Act::Clip(body) if !is_sha256(&body.sha256) => {
            Err(Refusal::never("malformed", "A clip is named by the 64 hex digits of its SHA-256."))
        }
        Act::Clip(body) => long(&body.caption),
        Act::Symptom(body) => {
            wordy(&body.text)?;
            short(&body.when)?;
            short(&body.speed)
        }
    }
}

fn is_sha256(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|byte| byte.is_ascii_digit() || (b'a'..=b'f').contains(&byte))
}

fn survey(body: &SurveyBody) -> Result<(), Refusal> {
    not_empty(&body.question)?;
    short(&body.question)?;
    long(&body.say)?;
    long(&body.note)
}

/// What it became, and until when, have to be there where they belong and nowhere else.
fn dealt(body: &DealtBody) -> Result<(), Refusal> {
    let malformed = |say: &str| Err(Refusal::never("malformed", say));
    short(&body.about)?;
    let is_known = match body.about.split_once(':') {
        Some(("question", name)) => !name.trim().is_empty(),
        Some(("finding", id)) => id.parse::<OpId>().is_ok(),
        _ => false,
    };
    if !is_known {
        return malformed("What was dealt with is a question by its name, or a finding by its id.");
    }
    long(&body.say)?;
    long(&body.why)?;
    let became = match body.how {
        How::Card => body.became.parse::<CardId>().is_ok(),
        How::Part => body.became.parse::<PartId>().is_ok(),
        How::Watch | How::Nothing | How::Open => body.became.is_empty(),
    };
    if !became {
        return malformed("A card or a part is named by its id, and nothing else becomes one.");
    }
    let until = match body.how {
        How::Watch => Date::parse(&body.until).is_ok(),
        How::Card | How::Part | How::Nothing | How::Open => body.until.is_empty(),
    };
    if !until {
        return malformed("What is watched is looked at again on a day, and nothing else has one.");
    }
    match body.how {
        How::Nothing if body.why.trim().is_empty() => malformed("Say why there is nothing to do."),
        How::Card | How::Part | How::Watch | How::Nothing | How::Open => Ok(()),
    }
}

fn serviced(body: &ServicedBody) -> Result<(), Refusal> {
    if body.item.parse::<UpkeepItemId>().is_err() {
        return Err(Refusal::never("malformed", "What is kept up is named by its id."));
    }
    not_empty(&body.say)?;
    short(&body.say)?;
    short(&body.by)?;
    long(&body.note)?;
    Date::parse(&body.day).map_err(|cause| Refusal::never("malformed", cause.to_string()))?;
    // Where nobody looked at the odometer there is no number, but its unit is still one that is known.
    odometer(if body.number.is_empty() { "0" } else { &body.number }, &body.unit)
}

fn bolt(body: &BoltBody) -> Result<(), Refusal> {
    not_empty(&body.say)?;
    short(&body.say)?;
    let known = (1..=MOST_STAGES).contains(&body.stage)
        && (1..=body.of).contains(&body.bolt)
        && (1..=MOST_BOLTS).contains(&body.of);
    if known { Ok(()) } else { Err(Refusal::never("bad-number", "No joint has such a bolt or stage.")) }
}

fn wordy(text: &str) -> Result<(), Refusal> {
    not_empty(text)?;
    long(text)
}

fn not_empty(text: &str) -> Result<(), Refusal> {
    if text.trim().is_empty() {
        return Err(Refusal::never("malformed", "There are no words in it."));
    }
    Ok(())
}

fn long(text: &str) -> Result<(), Refusal> {
    at_most(text, LONGEST_TEXT)
}

fn short(text: &str) -> Result<(), Refusal> {
    at_most(text, LONGEST_SHORT_TEXT)
}

fn at_most(text: &str, most: usize) -> Result<(), Refusal> {
    if text.chars().count() > most {
        return Err(Refusal::never("too-long", format!("At most {most} characters fit here.")));
    }
    Ok(())
}

/// A reading is a count or a quantity whose unit is known: the same parser as for specs judges it.
fn number_with_unit(number: &str, unit: &str) -> Result<(), Refusal> {
    short(number)?;
    short(unit)?;
    if unit == "count" {
        return match number.trim().replace(',', ".").parse::<f64>() {
            Ok(n) if n.is_finite() && n >= 0.0 => Ok(()),
            _ => Err(Refusal::never("bad-number", format!("‘{number}’ is no count."))),
        };
    }
    let unit = Unit::from_code(unit)
        .ok_or_else(|| Refusal::never("unknown-unit", format!("‘{unit}’ is no unit that is known here.")))?;
    Quantity::parse(unit.dimension(), &format!("{number} {}", unit.code()))
        .map(|_| ())
        .map_err(|cause| Refusal::never("bad-number", cause.to_string()))
}

fn odometer(number: &str, unit: &str) -> Result<(), Refusal> {
    short(number)?;
    if !matches!(unit, "km" | "mi") {
        return Err(Refusal::never("unknown-unit", "An odometer counts km or mi."));
    }
    match number.trim().replace(',', ".").parse::<f64>() {
        Ok(n) if (0.0..10_000_000.0).contains(&n) => Ok(()),
        _ => Err(Refusal::never("bad-number", format!("‘{number}’ is no odometer reading."))),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    const NOW: Moment = Moment(1_800_000_000_000);

    fn op(on_do: Value) -> Value {
        json!({
            "id": "01890a5d-ac96-774b-bcce-b302099a8057", "device": "01890a5d-ac96-774b-bcce-b302099a8058",
            "hlc": "0001800000000000-00000", "car": "01890a5d-ac96-774b-bcce-b302099a8059", "card": null,
            "on": { "step": "01890a5d-ac96-774b-bcce-b302099a8060" }, "do": on_do,
        })
    }

    fn look(colour: &str, particles: &str) -> Value {
        json!({"fluid": "coolant", "colour": colour, "smell": "plain", "particles": particles, "note": ""})
    }

    fn served(day: &str, number: &str, unit: &str) -> Value {
        let item = "01890a5d-ac96-774b-bcce-b302099a8061";
        json!({"item": item, "say": "Oil", "day": day, "number": number, "unit": unit, "by": "", "note": "", "state": "done"})
    }

    fn symptom(kind: &str, text: &str) -> Value {
        json!({"symptom": {"kind": kind, "text": text, "when": "", "heat": "hot", "speed": "", "load": "always"}})
    }

    fn code(raw: &Value) -> &'static str {
        read(raw, NOW).map_or_else(|(_, refusal)| refusal.code, |_| "taken")
    }

    #[test]
    fn each_kind_of_nonsense_has_its_own_answer() {
        let long = "x".repeat(LONGEST_TEXT + 1);
        let dealt = |about: &str, how: &str, became: &str, until: &str, why: &str| json!({"dealt": {"about": about, "say": "?", "how": how, "became": became, "until": until, "why": why}});
        let cases = [
            (json!({"tick": {"state": "done"}}), "taken"),
            (json!({"tick": {"state": "perhaps"}}), "malformed"),
            (json!({"tick": {"state": "done", "extra": 1}}), "malformed"),
            (json!({"dance": {}}), "malformed"),
            (json!({"note": {"text": "  "}}), "malformed"),
            (json!({"note": {"text": long}}), "too-long"),
            (json!({"reading": {"what": "sump plug", "number": "4,5", "unit": "kgf.m"}}), "taken"),
            (json!({"reading": {"what": "sump plug", "number": "-4", "unit": "N.m"}}), "bad-number"),
            (json!({"reading": {"what": "sump plug", "number": "tight", "unit": "N.m"}}), "bad-number"),
            (json!({"reading": {"what": "sump plug", "number": "40", "unit": "furlong"}}), "unknown-unit"),
            (json!({"reading": {"what": "teeth", "number": "42", "unit": "count"}}), "taken"),
            (json!({"reading": {"what": "teeth", "number": "NaN", "unit": "count"}}), "bad-number"),
            (json!({"odometer": {"number": "134820", "unit": "km"}}), "wrong-subject"),
            (json!({"odometer": {"number": "134820", "unit": "leagues"}}), "unknown-unit"),
            (json!({"odometer": {"number": "9".repeat(500), "unit": "km"}}), "too-long"),
            (json!({"time": {"minutes": 30}}), "wrong-subject"),
            (json!({"time": {"minutes": 0}}), "bad-number"),
            (json!({"went-on": {"rule": "jack", "say": "a jack", "why": "only a look"}}), "taken"),
            (json!({"went-on": {"rule": "jack", "say": "a jack", "why": " "}}), "malformed"),
            (json!({"went-on": {"rule": "", "say": "", "why": "x"}}), "malformed"),
            (json!({"road": {"item": "pedal", "say": "", "seen": "holds", "note": ""}}), "wrong-subject"),
            (json!({"road": {"item": "pedal", "say": "", "seen": "perhaps", "note": ""}}), "malformed"),
            (json!({"night": {"text": "front on stands"}}), "wrong-subject"),
            (symptom("noise", "whine"), "wrong-subject"),
            (symptom("noise", " "), "malformed"),
            (symptom("music", "whine"), "malformed"),
            (json!({"clip": {"sha256": "ab", "bytes": 1, "caption": ""}}), "malformed"),
            (json!({"clip": {"sha256": "a".repeat(64), "bytes": 1, "caption": ""}}), "wrong-subject"),
            (json!({"bolt": {"stage": 2, "bolt": 7, "state": "done", "of": 10, "say": "Head bolts"}}), "taken"),
            (json!({"bolt": {"stage": 2, "bolt": 11, "state": "done", "of": 10, "say": "Head bolts"}}), "bad-number"),
            (json!({"bolt": {"stage": 0, "bolt": 1, "state": "done", "of": 10, "say": "Head bolts"}}), "bad-number"),
            (json!({"bolt": {"stage": 1, "bolt": 1, "state": "done", "of": 1000, "say": "Head bolts"}}), "bad-number"),
            (json!({"bolt": {"stage": 1, "bolt": -1, "state": "done", "of": 10, "say": "Head bolts"}}), "malformed"),
            (json!({"bolt": {"stage": 1, "bolt": 1, "state": "nearly", "of": 10, "say": "Head bolts"}}), "malformed"),
            (json!({"bolt": {"stage": 1, "bolt": 1, "state": "open", "of": 10, "say": " "}}), "malformed"),
            (json!({"fluid-look": look("black", "none")}), "taken"),
            (json!({"fluid-look": look("pink", "none")}), "malformed"),
            (json!({"fluid-look": look("black", "")}), "malformed"),
            (json!({"settled": {"on": "", "say": "", "why": ""}}), "wrong-subject"),
            (json!({"settled": {"on": "the manual", "say": "", "why": ""}}), "malformed"),
            (json!({"settled": {"on": "", "say": "", "why": long}}), "too-long"),
            (json!({"survey": {"question": "tread", "say": "?", "answer": "act", "note": ""}}), "wrong-subject"),
            (json!({"survey": {"question": " ", "say": "?", "answer": "act", "note": ""}}), "malformed"),
            (json!({"survey": {"question": "tread", "say": "?", "answer": "perhaps", "note": ""}}), "malformed"),
            (json!({"survey": {"question": "tread", "say": "?", "answer": "fine", "note": long}}), "too-long"),
            (dealt("question:tread", "nothing", "", "", "It is new."), "wrong-subject"),
            (dealt("question:tread", "nothing", "", "", " "), "malformed"),
            (dealt("question:tread", "nothing", "", "2027-01-01", "It is new."), "malformed"),
            (dealt("question:tread", "watch", "", "soon", ""), "malformed"),
            (dealt("question:tread", "card", "the card", "", ""), "malformed"),
            (dealt("question:tread", "part", "", "", ""), "malformed"),
            (dealt("question:", "open", "", "", ""), "malformed"),
            (dealt("finding:tread", "open", "", "", ""), "malformed"),
            (dealt("tread", "open", "", "", ""), "malformed"),
            (dealt("question:tread", "sold", "", "", ""), "malformed"),
            (json!({"serviced": served("2026-11-25", "134820", "km")}), "wrong-subject"),
            (json!({"serviced": served("2026-11-25", "", "mi")}), "wrong-subject"),
            (json!({"serviced": served("2026-02-30", "", "km")}), "malformed"),
            (json!({"serviced": served("", "", "km")}), "malformed"),
            (json!({"serviced": served("2026-11-25", "many", "km")}), "bad-number"),
            (json!({"serviced": served("2026-11-25", "-1", "km")}), "bad-number"),
            (json!({"serviced": served("2026-11-25", "5", "leagues")}), "unknown-unit"),
            (json!({"correction": {"of": "01890a5d-ac96-774b-bcce-b302099a8061", "text": "It was 48"}}), "taken"),
            (json!({"correction": {"of": "01890a5d-ac96-774b-bcce-b302099a8061", "text": " "}}), "malformed"),
            (json!({"correction": {"of": "the other one", "text": "It was 48"}}), "malformed"),
            (json!({"photo": {"sha256": "abc", "bytes": 1, "type": "image/jpeg", "caption": ""}}), "malformed"),
        ];
        for (act, expected) in cases {
            assert_eq!(code(&op(act.clone())), expected, "{act}");
        }
    }

    #[test]
    fn an_operation_from_the_future_is_asked_to_correct_its_clock() {
        let mut raw = op(json!({"tick": {"state": "done"}}));
        raw["hlc"] = json!(format!("{:016}-00000", NOW.0 + AHEAD_MS + 1));
        let (id, refusal) = read(&raw, NOW).unwrap_err();
        assert_eq!(refusal.again, RefusedAgain::Restamp);
        assert_eq!(id.unwrap().to_string(), raw["id"].as_str().unwrap());
        raw["hlc"] = json!(format!("{:016}-00000", NOW.0 + AHEAD_MS));
        assert_eq!(code(&raw), "taken");
    }

    #[test]
    fn what_is_no_operation_at_all_is_refused_without_an_id() {
        for raw in [json!(null), json!([]), json!("x"), json!({"id": 7})] {
            let (id, refusal) = read(&raw, NOW).unwrap_err();
            assert_eq!((id, refusal.code), (None, "malformed"));
        }
    }
}
