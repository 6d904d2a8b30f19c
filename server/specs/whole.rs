//! A torque shown whole: its stages, what a turn by angle needs, whether the bolt is new each time, and what is on the
//! thread. The same words at the desk and under the car.

use super::model::Spec;
use super::shown::ShownValue;
use crate::trade::plausible::{Asked, lubricated_otherwise};
use crate::trade::quantity::{Angle, Span};
use crate::trade::spec::{Fastener, Kind};

/// One stage of tightening.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stage {
    /// From 1.
    pub number: usize,
    pub value: ShownValue,
    /// Turned on by an angle, from where the stage before it left the bolt.
    pub turn: bool,
}

/// Everything that belongs to a torque besides its figure.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Whole {
    pub stages: Vec<Stage>,
    /// Whether the figure is one of the stages, so that those say all.
    pub told_by_stages: bool,
    /// What a turn by angle needs; empty where there is none.
    pub turning: &'static str,
    pub new_bolt: bool,
    /// What is on thread and head, as its source has it; empty where nobody says.
    pub lubrication: String,
    /// What becomes of it lubricated otherwise; empty where that cannot be told.
    pub otherwise: String,
}

const TURNING: &str = "A turn by angle: put an angle gauge between ratchet and socket, or paint a mark on the socket and \
                       one beside it. 90° is a quarter turn. Pull it in one go, without stopping.";

impl Whole {
    /// `None` for what is no torque.
    pub fn of(spec: &Spec) -> Option<Whole> {
        let facts = &spec.facts;
        if facts.kind != Kind::Torque {
            return None;
        }
        let stages: Vec<Stage> = facts.stages.iter().enumerate().map(|(at, written)| stage(at + 1, written)).collect();
        let (_, says) = spec.trust();
        let shown = says.map(|says| ShownValue::of(Kind::Torque, &says.facts.written).short());
        let fastener = facts.fastener.as_ref();
        Some(Whole {
            told_by_stages: stages.iter().any(|stage| Some(stage.value.short()) == shown),
            turning: if stages.iter().any(|stage| stage.turn) { TURNING } else { "" },
            stages,
            new_bolt: fastener.is_some_and(|fastener| fastener.single_use),
            lubrication: fastener.map(|fastener| fastener.lubrication.trim().to_owned()).unwrap_or_default(),
            otherwise: fastener.and_then(|fastener| otherwise(spec, fastener)).unwrap_or_default(),
        })
    }

    /// Whether there is anything besides the figure.
    pub fn is_more(&self) -> bool {
        !self.stages.is_empty() || self.new_bolt || !self.lubrication.is_empty()
    }
}

fn stage(number: usize, written: &str) -> Stage {
    let turn = Angle::parse(written).is_ok();
    let value = ShownValue::of(if turn { Kind::Angle } else { Kind::Torque }, written);
    if !turn {
        return Stage { number, value, turn };
    }
    // A turn goes on from where the torque left the bolt; a second unit would only distract.
    let value =
        ShownValue { figure: format!("+{}", value.short()), unit: String::new(), second: String::new(), ..value };
    Stage { number, value, turn }
}

fn otherwise(spec: &Spec, fastener: &Fastener) -> Option<String> {
    let facts = &spec.facts;
    let torque = Span::parse(&spec.trust().1?.facts.written).ok()?;
    let about = [&facts.item, &facts.place, &facts.note].map(String::as_str).join(" ");
    let turned = facts.stages.iter().any(|stage| Angle::parse(stage).is_ok());
    lubricated_otherwise(&Asked::read(torque, fastener, &about, turned))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::sample::{says, spec};
    use crate::trade::spec::SourceKind;

    fn bolts(stages: &[&str], lubrication: &str) -> Spec {
        let mut spec = spec(vec![says("60 Nm", SourceKind::MakersManual, false)]);
        spec.facts.item = "Main bearing cap bolts".into();
        spec.facts.stages = stages.iter().map(|stage| (*stage).to_owned()).collect();
        spec.facts.fastener = Some(Fastener {
            thread: "M12x1.75".into(),
            class: "10.9".into(),
            head: "17 mm hex".into(),
            count: 10,
            lubrication: lubrication.into(),
            single_use: true,
        });
        spec
    }

    #[test]
    fn stages_are_numbered_and_a_turn_goes_on_from_the_torque() {
        let whole = Whole::of(&bolts(&["40 Nm", "60 Nm", "90°"], "oiled")).unwrap();
        let shown: Vec<String> = whole.stages.iter().map(|stage| stage.value.short()).collect();
        assert_eq!(shown, ["40 N·m", "60 N·m", "+90°"]);
        assert!(whole.told_by_stages && whole.new_bolt);
        assert!(whole.turning.contains("angle gauge") && whole.turning.contains("mark"));
        assert_eq!(whole.otherwise, "", "the turn does the pulling");
        assert_eq!(whole.lubrication, "oiled");
    }

    #[test]
    fn a_figure_that_is_no_stage_is_not_hidden_by_them() {
        assert!(!Whole::of(&bolts(&["20 Nm", "40 Nm"], "")).unwrap().told_by_stages);
    }

    #[test]
    fn oil_on_a_dry_torque_is_warned_of() {
        let whole = Whole::of(&bolts(&[], "dry")).unwrap();
        assert!(whole.otherwise.starts_with("With oil on it"), "{}", whole.otherwise);
        assert_eq!(whole.turning, "");
    }
}
