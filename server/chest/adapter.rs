//! What to set when an adapter or an extension stands between wrench and bolt.

use super::model::Kept;
use super::pick::{Row, Wanted, row};
use super::sketch::{self, Sketch};
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{Angle, AngleUnit, Length, LengthUnit, Span, TorqueUnit};
use crate::trade::torque_wrench::{Day, Offset, OffsetError, socket_extension, suitability, suitability_with};
use crate::web::form::Slips;
use serde::Deserialize;

closed_set! {
    /// What stands between wrench and bolt.
    pub enum Between {
        Offset = "offset", "an adapter that moves the bolt off the drive square: open end, ring or crowfoot";
        Extension = "extension", "a socket extension, in line with the drive square";
    }
}

/// What is asked, as typed. Everything may be missing: then nothing is asked.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AdapterForm {
    #[serde(default)]
    pub between: String,
    /// Which wrench, by its id; the first one where none is named.
    #[serde(default)]
    pub wrench: String,
    /// Which of the torques, counted from 0.
    #[serde(default)]
    pub torque: usize,
    /// Empty: as the tool chest has it.
    #[serde(default)]
    pub lever: String,
    #[serde(default)]
    pub reach: String,
    #[serde(default)]
    pub angle: String,
}

/// What to set, and what to mind.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    pub sentence: String,
    pub row: Row,
    pub warnings: Vec<String>,
    pub drawn: Option<Drawn>,
}

/// The drawing with its lengths in words.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    pub sketch: Sketch,
    pub lever: String,
    pub reach: String,
    pub angle: String,
    pub counts: String,
}

impl AdapterForm {
    /// The answer; `None` where nothing is asked or something cannot be taken, which the slips say.
    pub fn answer(&self, wanted: &[Wanted], chest: &[Kept], today: Day, slips: &mut Slips) -> Option<Answer> {
        if self.between.is_empty() {
            return None;
        }
        let between = Between::from_name(&self.between);
        if between.is_none() {
            slips.say("between", "Choose what stands between wrench and bolt.");
        }
        let kept = chest.iter().find(|kept| self.wrench.is_empty() || kept.id.to_string() == self.wrench);
        if kept.is_none() {
            slips.say("wrench", "Choose a wrench of the tool chest.");
        }
        let torque = wanted.get(self.torque).and_then(|wanted| wanted.torque.as_ref());
        if torque.is_none() {
            slips.say("torque", "Choose a torque: a turn by an angle needs no torque wrench.");
        }
        let (kept, torque) = (kept?, torque?);
        match between? {
            Between::Extension => Some(in_line(kept, torque, today)),
            Between::Offset => self.moved_off(kept, torque, today, slips),
        }
    }

    fn moved_off(&self, kept: &Kept, torque: &Span<TorqueUnit>, today: Day, slips: &mut Slips) -> Option<Answer> {
        let lever = self.lever(kept, slips);
        let reach = Length::parse(&self.reach).map_err(|why| slips.say("reach", why.to_string())).ok();
        let angle = angle(&self.angle).map_err(|why| slips.say("angle", why)).ok();
        let offset = Offset::new(lever?, reach?, angle?).map_err(|why| slips.say(field(&why), why.to_string())).ok()?;
        let answer = through(kept, torque, &offset, today);
        answer.map_err(|why| slips.say(field(&why), why.to_string())).ok()
    }

    fn lever(&self, kept: &Kept, slips: &mut Slips) -> Option<Length> {
        let typed = self.lever.trim();
        if typed.is_empty()
            && let Some(known) = kept.lever()
        {
            return Some(known);
        }
        if typed.is_empty() {
            slips
                .say("lever", "Measure from the middle of the drive square to the middle of the grip, such as 420 mm.");
            return None;
        }
        Length::parse(typed).map_err(|why| slips.say("lever", why.to_string())).ok()
    }
}

/// Degrees where no unit is written; straight out where nothing is.
fn angle(typed: &str) -> Result<Angle, String> {
    let typed = typed.trim();
    let bare = typed.chars().all(|letter| letter.is_ascii_digit() || matches!(letter, '.' | ',' | '-'));
    let written = match typed {
        "" => "0°".to_owned(),
        typed if bare => format!("{typed}°"),
        typed => typed.to_owned(),
    };
    Angle::parse(&written).map_err(|why| why.to_string())
}

/// Where a refusal is told.
fn field(error: &OffsetError) -> &'static str {
    match error {
        OffsetError::NoLever => "lever",
        OffsetError::NoReach | OffsetError::Beyond(_) => "reach",
        OffsetError::FoldedPastZero => "angle",
    }
}

fn in_line(kept: &Kept, torque: &Span<TorqueUnit>, today: Day) -> Answer {
    let extended = socket_extension(torque);
    let found = suitability(&kept.wrench, &extended.torque, today);
    Answer { sentence: extended.sentence, row: row(&kept.wrench, &found), warnings: extended.warnings, drawn: None }
}

fn through(kept: &Kept, torque: &Span<TorqueUnit>, offset: &Offset, today: Day) -> Result<Answer, OffsetError> {
    let corrected = offset.correct(torque)?;
    let found = suitability_with(&kept.wrench, torque, offset, today)?;
    Ok(Answer {
        sentence: corrected.sentence,
        row: row(&kept.wrench, &found),
        warnings: corrected.warnings,
        drawn: Some(Drawn {
            sketch: Sketch::of(offset),
            lever: length(offset.lever()),
            reach: length(offset.reach()),
            angle: offset.angle().in_unit(AngleUnit::Degree).to_string(),
            counts: sketch::counts(&offset.drawing()),
        }),
    })
}

fn length(length: &Length) -> String {
    match length.unit() {
        unit @ (LengthUnit::Inch | LengthUnit::Foot) => length.in_unit(unit).to_string(),
        _ => length.in_unit(LengthUnit::Millimetre).to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chest::model::WrenchFacts;
    use crate::ids::WrenchId;
    use crate::trade::torque_wrench::WrenchKind;

    fn chest(lever: &str) -> Vec<Kept> {
        let facts = WrenchFacts {
            name: "Long".into(),
            kind: WrenchKind::Click,
            span: "20-200 Nm".into(),
            graduation: "1".into(),
            deviation: String::new(),
            calibrated_on: "2026-04-30".into(),
            uses: String::new(),
            lever: lever.into(),
            serial: String::new(),
        };
        vec![Kept::read(WrenchId::new(), facts, 1).unwrap()]
    }

    fn asked(lever: &str, reach: &str, angle: &str, between: &str) -> AdapterForm {
        AdapterForm {
            between: between.into(),
            lever: lever.into(),
            reach: reach.into(),
            angle: angle.into(),
            ..AdapterForm::default()
        }
    }

    fn answered(form: &AdapterForm, chest: &[Kept]) -> Result<Answer, Slips> {
        let torque = Some(Span::parse("120 Nm").unwrap());
        let wanted = [Wanted { stage: String::new(), words: "120 N·m".into(), torque }];
        let mut slips = Slips::default();
        let day = Day::parse("2026-11-25").unwrap();
        form.answer(&wanted, chest, day, &mut slips).ok_or(slips)
    }

    /// Rule: setting = wanted × L / (L + E), US Army TM 9-254, para 4-1: 120 × 300 / 360 = 100.
    #[test]
    fn an_adapter_straight_out_lowers_what_to_set() {
        let found = answered(&asked("300 mm", "60 mm", "0", "offset"), &chest("")).unwrap();
        assert_eq!((found.row.figure.as_str(), found.row.unit), ("100", "N·m"));
        let drawn = found.drawn.unwrap();
        assert_eq!((drawn.lever.as_str(), drawn.counts.as_str(), drawn.angle.as_str()), ("300 mm", "360 mm", "0°"));
        let known = answered(&asked("", "60 mm", "", "offset"), &chest("300 mm")).unwrap();
        assert_eq!(known.row.figure, "100", "the lever of the tool chest serves");
    }

    #[test]
    fn an_extension_in_line_changes_nothing_and_warns() {
        let found = answered(&asked("", "", "", "extension"), &chest("")).unwrap();
        assert_eq!(found.row.figure, "120");
        assert!(found.drawn.is_none() && found.warnings[0].contains("extension"));
    }

    #[test]
    fn what_cannot_be_is_told_at_its_field() {
        for (lever, reach, angle, between, field, say) in [
            ("", "60 mm", "0", "offset", "lever", "Measure from the middle"),
            ("300 Nm", "60 mm", "0", "offset", "lever", "is a unit for a torque"),
            ("0 mm", "60 mm", "0", "offset", "lever", "has no length"),
            ("300 mm", "", "0", "offset", "reach", ""),
            ("300 mm", "0 mm", "0", "offset", "reach", "changes nothing"),
            ("300 mm", "300 mm", "180", "offset", "angle", "no lever at all"),
            ("300 mm", "400 mm", "180", "offset", "angle", "no lever at all"),
            ("300 mm", "60 mm", "askew", "offset", "angle", ""),
            ("300 mm", "60 mm", "0", "string", "between", "Choose what stands"),
        ] {
            let slips = answered(&asked(lever, reach, angle, between), &chest("")).unwrap_err();
            assert!(!slips.of(field).is_empty() && slips.of(field).contains(say), "{lever} {reach} {angle}: {slips:?}");
        }
        let long = answered(&asked("300 mm", "400 mm", "0", "offset"), &chest("")).unwrap();
        assert!(long.warnings.iter().any(|warning| warning.contains("exchanged")), "{:?}", long.warnings);
    }

    #[test]
    fn nothing_asked_is_nothing_wrong() {
        let slips = answered(&AdapterForm::default(), &chest("")).unwrap_err();
        assert!(slips.is_empty());
    }
}
