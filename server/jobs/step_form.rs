//! What is typed about a step, and how it becomes facts and attachments. Pure.

use super::model::{Attached, Step, StepFacts, StepPart};
use crate::error::AppError;
use crate::ids::{PartId, SpecId};
use crate::trade::cautions::Caution;
use crate::trade::marks::{Mark, Marks};
use crate::trade::nature::Nature;
use crate::trade::steps::{Ask, AskKind, ObjectKind, Verb};
use crate::web::form::{Differs, Slips, differing};
use serde::Deserialize;
use std::collections::HashSet;

const LONGEST_OBJECT: usize = 120;
const LONGEST_WORDS: usize = 300;
const LONGEST_DETAIL: usize = 4000;
const LONGEST_ASK: usize = 120;
const LONGEST_QUANTITY: usize = 40;
const LONGEST_TOOL: usize = 120;
const LONGEST_CAUTION: usize = 300;
const MOST_LINES: usize = 20;
const MOST_ATTACHED: usize = 40;

/// What the button pressed asks for.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Deed {
    /// Save the step.
    #[default]
    Save,
    /// The enter key: finds where words to find were typed, else saves.
    Enter,
    /// Show the specs that match `find`; nothing is saved.
    Find,
    /// Show more rows for parts; nothing is saved.
    More,
}

/// A step as typed. `part` and `quantity` are two columns of one list, row by row.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StepForm {
    pub rev: i64,
    /// For a new step: the one it comes after; empty: at the end.
    pub after: String,
    pub verb: String,
    pub object_kind: String,
    pub object: String,
    pub words: String,
    pub detail: String,
    pub ask_what: String,
    pub ask_kind: String,
    /// Names of marks.
    #[serde(default)]
    pub mark: Vec<String>,
    /// Name of a nature; empty: as the thing's name says.
    #[serde(default)]
    pub is: String,
    #[serde(default)]
    pub filler: String,
    #[serde(default)]
    pub set: String,
    #[serde(default)]
    pub spec: Vec<String>,
    #[serde(default)]
    pub part: Vec<String>,
    #[serde(default)]
    pub quantity: Vec<String>,
    pub tools: String,
    #[serde(default)]
    pub caution: Vec<String>,
    pub own_cautions: String,
    pub find: String,
    #[serde(default)]
    pub deed: Deed,
}

impl From<&Step> for StepForm {
    fn from(step: &Step) -> StepForm {
        let facts = step.facts.clone();
        let known = |caution: &&String| Caution::from_name(caution).is_some();
        let (caution, own): (Vec<_>, Vec<_>) = step.attached.cautions.iter().partition(known);
        StepForm {
            rev: step.rev,
            verb: facts.verb.name().to_owned(),
            object_kind: facts.object_kind.name().to_owned(),
            object: facts.object,
            words: facts.words,
            detail: facts.detail,
            ask_what: facts.asks.as_ref().map(|ask| ask.what.clone()).unwrap_or_default(),
            ask_kind: facts.asks.as_ref().map(|ask| ask.kind.name().to_owned()).unwrap_or_default(),
            mark: facts.marks.marks.iter().map(|mark| mark.name().to_owned()).collect(),
            is: facts.marks.is.map(|is| is.name().to_owned()).unwrap_or_default(),
            filler: facts.marks.filler,
            set: facts.marks.set,
            spec: step.attached.specs.iter().map(SpecId::to_string).collect(),
            part: step.attached.parts.iter().map(|used| used.part.to_string()).collect(),
            quantity: step.attached.parts.iter().map(|used| used.quantity.clone()).collect(),
            tools: step.attached.tools.join("\n"),
            caution: caution.into_iter().cloned().collect(),
            own_cautions: own.into_iter().map(String::as_str).collect::<Vec<_>>().join("\n"),
            ..StepForm::default()
        }
    }
}

/// The specs and parts of the car that a step may use.
pub struct OnCar {
    pub specs: HashSet<SpecId>,
    pub parts: HashSet<PartId>,
}

impl StepForm {
    /// What the button pressed asks for, with the enter key made out.
    pub fn deed(&self) -> Deed {
        match self.deed {
            Deed::Enter if self.find.trim().is_empty() => Deed::Save,
            Deed::Enter => Deed::Find,
            deed => deed,
        }
    }

    pub fn object_kind(&self) -> Option<ObjectKind> {
        ObjectKind::from_name(&self.object_kind)
    }

    /// Facts and attachments; `None` with slips where something typed cannot be taken. Errors where something is
    /// named that is not on this car.
    pub fn read(&self, on_car: &OnCar, slips: &mut Slips) -> Result<Option<(StepFacts, Attached)>, AppError> {
        let specs = self.specs(on_car)?;
        let known_cautions = self.known_cautions()?;
        let marks = self.marks(slips)?;
        let facts = self.facts(slips, marks);
        let parts = self.parts(on_car, slips)?;
        let tools = slips.lines("tools", &self.tools, MOST_LINES, LONGEST_TOOL);
        let own = slips.lines("own_cautions", &self.own_cautions, MOST_LINES, LONGEST_CAUTION);
        if !slips.is_empty() {
            return Ok(None);
        }
        let cautions = known_cautions.into_iter().chain(own).collect();
        Ok(facts.map(|facts| (facts, Attached { specs, parts, tools, cautions })))
    }

    fn facts(&self, slips: &mut Slips, marks: Marks) -> Option<StepFacts> {
        let verb = Verb::from_name(&self.verb);
        if verb.is_none() {
            slips.say("verb", "Choose what is done.");
        }
        let kind = self.object_kind();
        if kind.is_none() {
            slips.say("object_kind", "Choose what kind of thing it is done to.");
        }
        let object = slips.line("object", &self.object, LONGEST_OBJECT);
        let mut words = slips.line("words", &self.words, LONGEST_WORDS);
        if object.is_empty() && kind.is_some_and(|kind| kind != ObjectKind::Nothing) {
            slips.say("object", "Say what it is done to, by the same name everywhere.");
        } else if object.is_empty() && words.is_empty() {
            slips.say("words", "Say in a sentence what is to be done.");
        }
        if words.is_empty() {
            words = format!("{} {object}", verb.map_or("", Verb::label));
        }
        let detail = slips.text("detail", &self.detail, LONGEST_DETAIL);
        let asks = self.asks(slips);
        Some(StepFacts { verb: verb?, object_kind: kind?, object, words, detail, asks, marks })
    }

    /// Errors where a name is none that the form offers.
    fn marks(&self, slips: &mut Slips) -> Result<Marks, AppError> {
        let unknown = || AppError::Invalid("malformed", "That is none of the things a step can be marked with.".into());
        let marks = self.mark.iter().map(|name| Mark::from_name(name).ok_or_else(unknown)).collect::<Result<_, _>>()?;
        let is = match self.is.as_str() {
            "" => None,
            name => Some(Nature::from_name(name).ok_or_else(unknown)?),
        };
        let (filler, set) =
            (slips.line("filler", &self.filler, LONGEST_OBJECT), slips.line("set", &self.set, LONGEST_OBJECT));
        Ok(Marks { marks, is, filler, set })
    }

    fn asks(&self, slips: &mut Slips) -> Option<Ask> {
        let what = slips.line("ask_what", &self.ask_what, LONGEST_ASK);
        let kind = AskKind::from_name(&self.ask_kind);
        match (what.is_empty(), self.ask_kind.is_empty()) {
            (true, true) => return None,
            (true, false) => slips.say("ask_what", "Say what is to be read off, or ask for nothing."),
            (false, _) if kind.is_none() => slips.say("ask_kind", "Choose what kind of number that is."),
            (false, _) => {}
        }
        Some(Ask { what, kind: kind? })
    }

    fn specs(&self, on_car: &OnCar) -> Result<Vec<SpecId>, AppError> {
        let specs: Vec<SpecId> = few(&self.spec)?.iter().filter_map(|id| id.parse().ok()).collect();
        let all_known = specs.len() == self.spec.len() && specs.iter().all(|id| on_car.specs.contains(id));
        if all_known { Ok(specs) } else { Err(AppError::NotFound("such spec on this car")) }
    }

    /// The rows in which a part was chosen. A quantity left empty is one.
    fn parts(&self, on_car: &OnCar, slips: &mut Slips) -> Result<Vec<StepPart>, AppError> {
        if self.part.len() != self.quantity.len() {
            return Err(AppError::Invalid("malformed", "Each part needs its quantity beside it.".into()));
        }
        let mut parts: Vec<StepPart> = Vec::new();
        for (id, quantity) in few(&self.part)?.iter().zip(&self.quantity) {
            let quantity = slips.line("parts", quantity, LONGEST_QUANTITY);
            if id.is_empty() {
                continue;
            }
            let part = id.parse().ok().filter(|id| on_car.parts.contains(id));
            let part = part.ok_or(AppError::NotFound("such part on this car"))?;
            if parts.iter().any(|used| used.part == part) {
                slips.say("parts", "The same part is there twice: put the quantities together.");
            }
            parts.push(StepPart { part, quantity: if quantity.is_empty() { "1".into() } else { quantity } });
        }
        Ok(parts)
    }

    fn known_cautions(&self) -> Result<Vec<String>, AppError> {
        let unknown = self.caution.iter().any(|name| Caution::from_name(name).is_none());
        if unknown {
            return Err(AppError::Invalid("malformed", "That is none of the known cautions.".into()));
        }
        Ok(self.caution.clone())
    }

    /// What is there now where it differs from what was typed.
    pub fn differing(&self, now: &Step) -> Vec<Differs> {
        differing(StepForm::from(now).fields(), self.fields())
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        let label = |found: Option<&'static str>| found.unwrap_or("nothing").to_owned();
        let chosen = self.part.iter().filter(|id| !id.is_empty()).count();
        vec![
            ("Verb", label(Verb::from_name(&self.verb).map(Verb::label))),
            ("Kind of thing", label(self.object_kind().map(ObjectKind::label))),
            ("Thing", self.object.clone()),
            ("Words", self.words.clone()),
            ("Detail", self.detail.replace("\r\n", "\n")),
            ("Also true of it", self.mark.join(", ")),
            ("What it is", label(Nature::from_name(&self.is).map(Nature::label))),
            ("Filled through", self.filler.clone()),
            ("Set", self.set.clone()),
            ("To be read off", self.ask_what.clone()),
            ("Kind of number", label(AskKind::from_name(&self.ask_kind).map(AskKind::label))),
            ("Specs", self.spec.len().to_string()),
            ("Parts", chosen.to_string()),
            ("Tools", self.tools.replace("\r\n", "\n")),
            ("Cautions", self.caution.len().to_string()),
            ("Own cautions", self.own_cautions.replace("\r\n", "\n")),
        ]
    }
}

/// A list that is not absurdly long.
fn few(ids: &[String]) -> Result<&[String], AppError> {
    if ids.len() <= MOST_ATTACHED {
        return Ok(ids);
    }
    Err(AppError::Invalid("too-many", format!("At most {MOST_ATTACHED} can be attached to a step.")))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form() -> StepForm {
        StepForm {
            verb: "drain".into(),
            object_kind: "fluid".into(),
            object: "Rear axle oil".into(),
            ..StepForm::default()
        }
    }

    fn nothing_on_car() -> OnCar {
        OnCar { specs: HashSet::new(), parts: HashSet::new() }
    }

    fn slips_of(form: &StepForm) -> Vec<&'static str> {
        let mut slips = Slips::default();
        let read = form.read(&nothing_on_car(), &mut slips).unwrap();
        assert_eq!(read.is_none(), !slips.is_empty());
        slips.all().iter().map(|slip| slip.field).collect()
    }

    #[test]
    fn a_step_without_words_says_its_verb_and_its_thing() {
        let mut slips = Slips::default();
        let (facts, _) = form().read(&nothing_on_car(), &mut slips).unwrap().unwrap();
        assert_eq!(facts.words, "Drain Rear axle oil");
    }

    #[test]
    fn what_is_missing_is_told_at_its_field() {
        let cases: [(StepForm, &[&str]); 6] = [
            (form(), &[]),
            (StepForm { verb: String::new(), object_kind: String::new(), ..form() }, &["verb", "object_kind"]),
            (StepForm { object: " ".into(), ..form() }, &["object"]),
            (StepForm { object: String::new(), object_kind: "none".into(), ..form() }, &["words"]),
            (StepForm { ask_kind: "volume".into(), ..form() }, &["ask_what"]),
            (StepForm { ask_what: "drained oil".into(), ..form() }, &["ask_kind"]),
        ];
        for (form, expected) in cases {
            assert_eq!(slips_of(&form), expected, "{form:?}");
        }
    }

    #[test]
    fn what_is_too_long_is_told_at_its_field() {
        let long = |letters: usize| "x".repeat(letters);
        assert_eq!(slips_of(&StepForm { words: long(301), ..form() }), ["words"]);
        assert_eq!(slips_of(&StepForm { detail: long(4001), ..form() }), ["detail"]);
        assert_eq!(slips_of(&StepForm { tools: "x\n".repeat(21), ..form() }), ["tools"]);
        assert_eq!(slips_of(&StepForm { own_cautions: long(301), ..form() }), ["own_cautions"]);
    }

    #[test]
    fn nothing_of_another_car_can_be_attached() {
        let mut slips = Slips::default();
        let spec = StepForm { spec: vec![SpecId::new().to_string()], ..form() };
        let part = StepForm { part: vec![PartId::new().to_string()], quantity: vec!["1".into()], ..form() };
        for form in [spec, part] {
            assert!(matches!(form.read(&nothing_on_car(), &mut slips), Err(AppError::NotFound(_))));
        }
    }

    #[test]
    fn a_part_stands_once_with_its_quantity_and_empty_rows_are_left_out() {
        let id = PartId::new();
        let on_car = OnCar { specs: HashSet::new(), parts: HashSet::from([id]) };
        let rows = |ids: &[&str]| StepForm {
            part: ids.iter().map(|id| (*id).to_owned()).collect(),
            quantity: vec![String::new(); ids.len()],
            ..form()
        };
        let mut slips = Slips::default();
        let (_, attached) = rows(&["", &id.to_string()]).read(&on_car, &mut slips).unwrap().unwrap();
        assert_eq!(attached.parts, [StepPart { part: id, quantity: "1".into() }]);
        assert!(rows(&[&id.to_string(), &id.to_string()]).read(&on_car, &mut slips).unwrap().is_none());
        assert!(slips.of("parts").contains("twice"));
    }

    #[test]
    fn the_enter_key_finds_only_where_something_is_to_be_found() {
        let enter = StepForm { deed: Deed::Enter, ..form() };
        assert_eq!(enter.deed(), Deed::Save);
        assert_eq!(StepForm { find: "plug".into(), ..enter }.deed(), Deed::Find);
    }
}
