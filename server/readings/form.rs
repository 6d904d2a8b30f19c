//! What is typed of a limit, and of readings by hand.

use super::model::{Kept, Limit, LimitFacts};
use crate::specs::model::Spec;
use crate::sync::wire::{Act, ReadingBody};
use crate::trade::limits::{Entry, Gravity, Inputs, Plan, Rule};
use crate::trade::quantity::{Quantity, Unit};
use crate::web::form::{Differs, Slips, differing};
use serde::Deserialize;

const LONGEST_WHAT: usize = 120;
const LONGEST_WORD: usize = 40;
const LONGEST_NOTE: usize = 300;

/// A limit as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitForm {
    pub what: String,
    pub rule: String,
    #[serde(default)]
    pub least: String,
    #[serde(default)]
    pub most: String,
    #[serde(default)]
    pub margin: String,
    #[serde(default)]
    pub cylinders: String,
    #[serde(default)]
    pub cells: String,
    #[serde(default)]
    pub wheel: String,
    #[serde(default)]
    pub figure: String,
    #[serde(default)]
    pub rim: String,
    /// What the limit was when the form was opened; nothing for a new one.
    #[serde(default)]
    pub rev: i64,
}

impl LimitForm {
    pub fn of(kept: &Kept) -> LimitForm {
        let LimitFacts { what, rule, least, most, margin, inputs } = kept.facts.clone();
        LimitForm {
            what,
            rule: rule.name().to_owned(),
            least: least.map(|id| id.to_string()).unwrap_or_default(),
            most: most.map(|id| id.to_string()).unwrap_or_default(),
            margin,
            cylinders: inputs.cylinders,
            cells: inputs.cells,
            wheel: inputs.wheel,
            figure: inputs.figure,
            rim: inputs.rim,
            rev: kept.rev,
        }
    }

    pub fn rule(&self) -> Option<Rule> {
        Rule::from_name(&self.rule)
    }

    /// The facts, unless something cannot be taken; the slips say what. `specs` is the car's spec book.
    pub fn read(&self, specs: &[Spec], slips: &mut Slips) -> Option<LimitFacts> {
        let what = slips.needed("what", &self.what, LONGEST_WHAT, "Say what is measured, as its readings name it.");
        let Some(rule) = self.rule() else {
            slips.say("rule", "Choose whose limit it is.");
            return None;
        };
        let spec = |typed: &str| specs.iter().find(|spec| spec.id.to_string() == typed).map(|spec| spec.id);
        for (field, typed) in [("least", &self.least), ("most", &self.most)] {
            if !typed.is_empty() && spec(typed).is_none() {
                slips.say(field, "That spec is not in this car’s spec book.");
            }
        }
        let facts = LimitFacts {
            what,
            rule,
            least: spec(&self.least),
            most: spec(&self.most),
            margin: slips.line("margin", &self.margin, LONGEST_WORD),
            inputs: Inputs {
                cylinders: slips.line("cylinders", &self.cylinders, LONGEST_WORD),
                cells: slips.line("cells", &self.cells, LONGEST_WORD),
                wheel: slips.line("wheel", &self.wheel, LONGEST_WORD),
                figure: slips.line("figure", &self.figure, LONGEST_WORD),
                rim: slips.line("rim", &self.rim, LONGEST_WORD),
            },
        };
        if slips.is_empty()
            && let Err(why) = Limit::of(&facts, specs).plan
        {
            slips.say(self.first_field(), why);
        }
        slips.is_empty().then_some(facts)
    }

    /// Where it is told that the rule cannot work with what was typed.
    fn first_field(&self) -> &'static str {
        match self.rule().map(Rule::needs).and_then(<[_]>::first) {
            Some(input) => input.name(),
            None if !self.margin.trim().is_empty() && self.margin.trim().parse::<f64>().is_err() => "margin",
            None => "least",
        }
    }

    /// Where what is there now differs from what was typed.
    pub fn differing(&self, now: &Kept) -> Vec<Differs> {
        differing(LimitForm::of(now).fields(), self.fields())
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        vec![
            ("Rule", self.rule().map_or("", Rule::label).to_owned()),
            ("Least", if self.least.is_empty() { String::new() } else { "another spec".into() }),
            ("Most", if self.most.is_empty() { String::new() } else { "another spec".into() }),
            ("Margin", self.margin.clone()),
            ("Cylinders", self.cylinders.clone()),
            ("Cells", self.cells.clone()),
            ("Steering wheel", self.wheel.clone()),
            ("Figure", self.figure.clone()),
            ("Rim", self.rim.clone()),
        ]
    }
}

/// Readings taken by hand: one, or one for each part of what the limit compares.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TakenForm {
    pub what: String,
    #[serde(default)]
    pub number: Vec<String>,
    /// Of cylinders, with a spoon of oil in them.
    #[serde(default)]
    pub oiled: Vec<String>,
    #[serde(default)]
    pub unit: String,
    /// Of acid.
    #[serde(default)]
    pub temperature: String,
    #[serde(default)]
    pub temperature_unit: String,
    #[serde(default)]
    pub note: String,
}

impl TakenForm {
    /// The readings in the order typed, unless something cannot be taken; the slips say what.
    pub fn read(&self, limit: Option<&Limit>, slips: &mut Slips) -> Option<Vec<Act>> {
        let what = slips.needed("what", &self.what, LONGEST_WHAT, "Say what was read off.");
        let note = slips.line("note", &self.note, LONGEST_NOTE);
        let mut rows = match limit.map(|limit| &limit.plan) {
            Some(Ok(Plan::Cells(cells))) => self.cells(*cells, slips),
            Some(Ok(plan @ Plan::Spread(..))) => self.cylinders(plan, slips),
            Some(Ok(Plan::Sides(_)) | Err(_)) | None => vec![(String::new(), self.one(), self.unit.clone())],
        };
        rows.retain(|(_, number, _)| !number.is_empty());
        if rows.is_empty() && slips.is_empty() {
            slips.say("number", "Type the number that was read off.");
        }
        if let Some(Ok(Plan::Sides(sides))) = limit.map(|limit| &limit.plan)
            && let [(_, number, unit)] = rows.as_slice()
            && let Err(why) = sides.in_base(&Entry { number, unit })
        {
            slips.say("number", why.to_string());
        }
        for (_, number, unit) in &rows {
            if slips.is_empty()
                && let Err(why) = readable(number, unit)
            {
                slips.say("number", why);
            }
        }
        let note = (!note.is_empty()).then_some(note);
        let act = |(end, number, unit): (String, String, String)| {
            Act::Reading(ReadingBody { what: format!("{what}{end}"), number, unit, note: note.clone() })
        };
        slips.is_empty().then(|| rows.into_iter().map(act).collect())
    }

    fn one(&self) -> String {
        self.number.first().map(|number| number.trim().to_owned()).unwrap_or_default()
    }

    /// Number and unit of each cylinder, dry and then with oil.
    fn cylinders(&self, plan: &Plan, slips: &mut Slips) -> Vec<(String, String, String)> {
        let is_pressure = Unit::from_code(&self.unit).is_some_and(|unit| Some(unit.dimension()) == plan.dimension());
        if !is_pressure {
            slips.say("number", "Compression is a pressure: choose a unit such as bar or psi.");
        }
        let row = |(end, number): (String, &String)| (end, number.trim().to_owned(), self.unit.clone());
        let dry = plan.parts().into_iter().zip(&self.number).map(row);
        dry.chain(plan.extra_parts().into_iter().zip(&self.oiled).map(row)).collect()
    }

    /// The gravities and the temperature at which they were read, without which they cannot be compared.
    fn cells(&self, cells: usize, slips: &mut Slips) -> Vec<(String, String, String)> {
        let numbers = || self.number.iter().take(cells).map(|number| number.trim().to_owned());
        for number in numbers().filter(|number| !number.is_empty()) {
            if let Err(why) = Gravity::parse(&number) {
                slips.say("number", why.to_string());
                break;
            }
        }
        let temperature = self.temperature.trim().to_owned();
        let unit = Unit::from_code(&self.temperature_unit);
        if temperature.is_empty() {
            slips.say("temperature", "Measure the acid’s temperature too: its gravity changes with it, so that without it no cell can be judged.");
        } else if !matches!(unit, Some(Unit::Temperature(_))) {
            slips.say("temperature", "Choose a unit of temperature: °C or °F.");
        } else if let Err(why) = readable(&temperature, &self.temperature_unit) {
            slips.say("temperature", why);
        }
        let cell = |(at, number)| (format!(", cell {}", at + 1), number, "count".to_owned());
        let acid = (", acid temperature".to_owned(), temperature, self.temperature_unit.clone());
        numbers().enumerate().map(cell).chain([acid]).collect()
    }
}

/// Whether a reading can be taken as it is. Errors are sentences.
fn readable(number: &str, unit: &str) -> Result<(), String> {
    if unit == "count" {
        let count = number.trim().replace(',', ".").parse::<f64>().ok().filter(|n| n.is_finite() && *n >= 0.0);
        return count.map(|_| ()).ok_or_else(|| format!("‘{number}’ is no count."));
    }
    let known = Unit::from_code(unit).ok_or_else(|| format!("‘{unit}’ is no unit that is known here: choose one."))?;
    Quantity::parse(known.dimension(), &format!("{number} {}", known.code())).map(|_| ()).map_err(|why| why.to_string())
}
