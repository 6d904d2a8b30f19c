//! What is typed of a socket or key, checked field by field; and the line that adds a whole set.

use super::model::{KeptTool, ToolFacts};
use crate::trade::tools::{Tool, ToolError, ToolKind, whole_set};
use crate::web::form::{Differs, Slips, differing};
use serde::Deserialize;

const LONGEST_WORD: usize = 40;
const LONGEST_SET: usize = 200;

#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ToolForm {
    #[serde(default)]
    pub kind: String,
    pub size: String,
    pub drive: String,
    pub onto: String,
    pub reach: String,
    pub outer: String,
    /// What the tool was when the form was opened; nothing for a new one.
    #[serde(default)]
    pub rev: i64,
}

impl ToolForm {
    pub fn of(kept: &KeptTool) -> ToolForm {
        let facts = kept.facts.clone();
        ToolForm {
            kind: facts.kind.name().to_owned(),
            size: facts.size,
            drive: facts.drive,
            onto: facts.onto,
            reach: facts.reach,
            outer: facts.outer,
            rev: kept.rev,
        }
    }

    /// The facts, unless something cannot be taken; the slips say what.
    pub fn read(&self, slips: &mut Slips) -> Option<ToolFacts> {
        let kind = ToolKind::from_name(&self.kind);
        if kind.is_none() {
            slips.say("kind", "Choose what kind of tool it is.");
        }
        let facts = ToolFacts {
            kind: kind.unwrap_or(ToolKind::Socket),
            size: slips.line("size", &self.size, LONGEST_WORD),
            drive: slips.line("drive", &self.drive, LONGEST_WORD),
            onto: slips.line("onto", &self.onto, LONGEST_WORD),
            reach: slips.line("reach", &self.reach, LONGEST_WORD),
            outer: slips.line("outer", &self.outer, LONGEST_WORD),
        };
        match facts.tool() {
            Err(why) if kind.is_some() => slips.say(field(&why), why.to_string()),
            Ok(tool) if slips.is_empty() => return Some(ToolFacts::of(&tool)),
            Ok(_) | Err(_) => {}
        }
        None
    }

    /// Where what is there now differs from what was typed.
    pub fn differing(&self, now: &KeptTool) -> Vec<Differs> {
        differing(ToolForm::of(now).fields(), self.fields())
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        let kind = ToolKind::from_name(&self.kind).map_or("", ToolKind::label);
        vec![
            ("Kind", kind.to_owned()),
            ("Size", self.size.clone()),
            ("Square", self.drive.clone()),
            ("Second square", self.onto.clone()),
            ("Length", self.reach.clone()),
            ("Outside diameter", self.outer.clone()),
        ]
    }
}

/// The field where a refusal is told.
fn field(why: &ToolError) -> &'static str {
    match why {
        ToolError::Size(_) | ToolError::NotOfKind(..) | ToolError::HasNoSize(_) => "size",
        ToolError::Drive(_) => "drive",
        ToolError::Squares => "onto",
        ToolError::Reach(_) | ToolError::OutOfRange(_) => "reach",
        ToolError::Outer(_) | ToolError::TooNarrow(_) => "outer",
        ToolError::NoKind | ToolError::UnknownWord(_) | ToolError::NoRun | ToolError::TooMany(_) => "kind",
    }
}

/// A whole set in a line.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SetForm {
    pub set: String,
}

impl SetForm {
    /// The tools, unless something cannot be taken; the slip says what.
    pub fn read(&self, slips: &mut Slips) -> Vec<Tool> {
        let line = slips.line("set", &self.set, LONGEST_SET);
        if !slips.is_empty() {
            return Vec::new();
        }
        whole_set(&line).unwrap_or_else(|why| {
            slips.say("set", why.to_string());
            Vec::new()
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed() -> ToolForm {
        let text = |words: &str| words.to_owned();
        ToolForm {
            kind: text("socket"),
            size: text("3/4\""),
            drive: text("12.5"),
            reach: text("38"),
            ..ToolForm::default()
        }
    }

    #[test]
    fn what_was_typed_is_kept_as_the_trade_writes_it() {
        let facts = typed().read(&mut Slips::default()).unwrap();
        assert_eq!((facts.size.as_str(), facts.drive.as_str(), facts.reach.as_str()), ("3/4 in", "1/2", "38 mm"));
    }

    #[test]
    fn each_slip_is_told_at_its_field() {
        for (changed, field) in [
            (ToolForm { kind: "hammer".into(), ..typed() }, "kind"),
            (ToolForm { size: "big".into(), ..typed() }, "size"),
            (ToolForm { size: "T40".into(), ..typed() }, "size"),
            (ToolForm { drive: "5/9".into(), ..typed() }, "drive"),
            (ToolForm { reach: "far".into(), ..typed() }, "reach"),
            (ToolForm { outer: "1 mm".into(), ..typed() }, "outer"),
            (ToolForm { kind: "drive-adapter".into(), size: String::new(), ..typed() }, "onto"),
            (ToolForm { size: "x".repeat(41), ..typed() }, "size"),
        ] {
            let mut slips = Slips::default();
            assert_eq!(changed.read(&mut slips), None);
            assert!(!slips.of(field).is_empty(), "{field}: {slips:?}");
        }
    }
}
