//! What is typed of a torque wrench, checked field by field.

use super::model::{Kept, WrenchFacts};
use crate::trade::quantity::{Length, LengthUnit, Span, TorqueUnit};
use crate::trade::torque_wrench::{WrenchError, WrenchKind};
use crate::web::form::{Differs, Slips, differing};
use rust_decimal::Decimal;
use serde::Deserialize;

const LONGEST_NAME: usize = 60;
const LONGEST_WORD: usize = 40;

#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WrenchForm {
    pub name: String,
    #[serde(default)]
    pub kind: String,
    pub span: String,
    pub graduation: String,
    pub deviation: String,
    pub calibrated_on: String,
    pub uses: String,
    pub lever: String,
    pub serial: String,
    /// What the wrench was when the form was opened; nothing for a new one.
    #[serde(default)]
    pub rev: i64,
}

impl WrenchForm {
    pub fn of(kept: &Kept) -> WrenchForm {
        let facts = kept.facts.clone();
        WrenchForm {
            name: facts.name,
            kind: facts.kind.name().to_owned(),
            span: facts.span,
            graduation: facts.graduation,
            deviation: facts.deviation,
            calibrated_on: facts.calibrated_on,
            uses: facts.uses,
            lever: facts.lever,
            serial: facts.serial,
            rev: kept.rev,
        }
    }

    /// The facts, unless something cannot be taken; the slips say what.
    pub fn read(&self, slips: &mut Slips) -> Option<WrenchFacts> {
        let kind = WrenchKind::from_name(&self.kind);
        let no_name = "Give the wrench a name, so that it can be told from the others.";
        let name = slips.needed("name", &self.name, LONGEST_NAME, no_name);
        if kind.is_none() {
            slips.say("kind", "Choose how it tells that the torque is reached.");
        }
        let facts = WrenchFacts {
            name,
            kind: kind.unwrap_or(WrenchKind::Click),
            span: slips.line("span", &self.span, LONGEST_WORD),
            graduation: slips.line("graduation", &self.graduation, LONGEST_WORD),
            deviation: slips.line("deviation", &self.deviation, LONGEST_WORD),
            calibrated_on: self.calibrated_on.trim().to_owned(),
            uses: slips.line("uses", &self.uses, LONGEST_WORD),
            lever: slips.line("lever", &self.lever, LONGEST_WORD),
            serial: slips.line("serial", &self.serial, LONGEST_NAME),
        };
        if let Some((field, why)) = refusal(&facts) {
            slips.say(field, why);
        }
        if let Some(why) = lever_slip(&facts.lever) {
            slips.say("lever", why);
        }
        slips.is_empty().then_some(facts)
    }

    /// Where what is there now differs from what was typed.
    pub fn differing(&self, now: &Kept) -> Vec<Differs> {
        differing(WrenchForm::of(now).fields(), self.fields())
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        let kind = WrenchKind::from_name(&self.kind).map_or("", WrenchKind::label);
        vec![
            ("Name", self.name.clone()),
            ("Kind", kind.to_owned()),
            ("Range", self.span.clone()),
            ("Step", self.graduation.clone()),
            ("Deviation", self.deviation.clone()),
            ("Calibrated on", self.calibrated_on.clone()),
            ("Uses", self.uses.clone()),
            ("Lever", self.lever.clone()),
            ("Serial number", self.serial.clone()),
        ]
    }
}

/// Why the trade does not take it, and the field where that is told. A missing name was told already.
fn refusal(facts: &WrenchFacts) -> Option<(&'static str, String)> {
    let named = WrenchFacts { name: "wrench".into(), ..facts.clone() };
    let error = named.wrench().err()?;
    let field = match &error {
        WrenchError::NoName => "name",
        WrenchError::NotARange => "span",
        WrenchError::OtherUnit(_) | WrenchError::TooCoarse { .. } | WrenchError::TooFine { .. } => "graduation",
        WrenchError::Deviation(_) => "deviation",
        WrenchError::Uses(_) => "uses",
        WrenchError::Day(_) => "calibrated_on",
        WrenchError::Unreadable(_) => unreadable(&named),
    };
    Some((field, error.to_string()))
}

/// Which of the three measures cannot be read.
fn unreadable(facts: &WrenchFacts) -> &'static str {
    if Span::<TorqueUnit>::parse(&facts.span).is_err() {
        return "span";
    }
    let sheet_apart = WrenchFacts { deviation: String::new(), ..facts.clone() };
    match sheet_apart.wrench() {
        Err(WrenchError::Unreadable(_)) => "graduation",
        Ok(_) | Err(_) => "deviation",
    }
}

/// Longer than any wrench that one person pulls (common practice, no source).
const LONGEST_LEVER: Decimal = Decimal::from_parts(2000, 0, 0, false, 0);

fn lever_slip(typed: &str) -> Option<String> {
    if typed.is_empty() {
        return None;
    }
    match Length::parse(typed) {
        Err(why) => Some(why.to_string()),
        Ok(lever) if lever.number().is_zero() || lever.to(LengthUnit::Millimetre) > LONGEST_LEVER => Some(
            "No torque wrench has a lever like that: measure from the middle of its drive square to the middle of its \
             grip, such as 420 mm."
                .to_owned(),
        ),
        Ok(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed() -> WrenchForm {
        WrenchForm {
            name: "Long click wrench".into(),
            kind: "click".into(),
            span: "40-200 Nm".into(),
            graduation: "1".into(),
            deviation: "3".into(),
            calibrated_on: "2026-04-30".into(),
            uses: "120".into(),
            lever: "420 mm".into(),
            serial: String::new(),
            rev: 0,
        }
    }

    fn slips(form: &WrenchForm) -> Slips {
        let mut slips = Slips::default();
        assert_eq!(form.read(&mut slips).is_none(), !slips.is_empty());
        slips
    }

    #[test]
    fn a_wrench_is_read_as_it_was_typed() {
        assert!(slips(&typed()).is_empty());
        let bare = WrenchForm {
            deviation: String::new(),
            calibrated_on: String::new(),
            uses: String::new(),
            lever: String::new(),
            ..typed()
        };
        assert!(slips(&bare).is_empty());
    }

    #[test]
    fn each_slip_stands_at_its_own_field() {
        type Spoil = fn(&mut WrenchForm);
        let set: [(&str, Spoil, &str); 14] = [
            ("name", |form| form.name = " ".into(), "Give the wrench a name"),
            ("kind", |form| form.kind = "rusty".into(), "Choose how"),
            ("span", |form| form.span = "200 Nm".into(), "lowest and the highest mark"),
            ("span", |form| form.span = "40-200 mm".into(), "is a unit for a length"),
            ("span", |form| form.span = String::new(), ""),
            ("graduation", |form| form.graduation = "1 lbf ft".into(), "the unit of the range"),
            ("graduation", |form| form.graduation = "500".into(), "wider than the whole range"),
            ("graduation", |form| form.graduation = "fine".into(), ""),
            ("deviation", |form| form.deviation = "40".into(), "does not belong to a torque wrench"),
            ("deviation", |form| form.deviation = "good".into(), ""),
            ("calibrated_on", |form| form.calibrated_on = "2026-02-30".into(), "is not a day"),
            ("uses", |form| form.uses = "many".into(), "is not a count of uses"),
            ("lever", |form| form.lever = "0 mm".into(), "No torque wrench has a lever"),
            ("lever", |form| form.lever = "42 Nm".into(), "is a unit for a torque"),
        ];
        for (field, spoil, say) in set {
            let mut form = typed();
            spoil(&mut form);
            let found = slips(&form);
            assert!(!found.of(field).is_empty() && found.of(field).contains(say), "{field}: {found:?}");
            assert_eq!(found.all().len(), 1, "{found:?}");
        }
    }
}
