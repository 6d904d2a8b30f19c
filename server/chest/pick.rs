//! Which of the wrenches to take for a spec's torque: each judged, the best first.

use super::model::Kept;
use crate::specs::model::Spec;
use crate::trade::quantity::{Angle, Span, TorqueUnit, UnitSet};
use crate::trade::spec::Kind;
use crate::trade::torque_wrench::{Day, Fitness, Suitability, Wrench, best};
use crate::trade::trust::Trust;
use crate::web::words::capital;

/// Something to be tightened to: a torque, or a turn after it.
#[derive(Debug, Clone, PartialEq)]
pub struct Wanted {
    /// Empty where there is only one.
    pub stage: String,
    /// In words: `40 N·m`, `90°`.
    pub words: String,
    /// `None` for a turn, which no torque wrench can be set to.
    pub torque: Option<Span<TorqueUnit>>,
}

/// What a spec wants to be tightened to, stage by stage. Errors, as a sentence, where no figure may be set yet.
pub fn wanted(spec: &Spec) -> Result<Vec<Wanted>, &'static str> {
    let (trust, says) = spec.trust();
    if trust == Trust::Open {
        return Err("The sources disagree: settle on one of them first. A wrench is set to one figure.");
    }
    let value = says.and_then(|says| Span::parse(&says.facts.written).ok());
    let Some(value) = value.filter(|_| spec.facts.kind == Kind::Torque) else {
        return Err("No source gives a torque yet.");
    };
    if spec.facts.stages.is_empty() {
        return Ok(vec![Wanted { stage: String::new(), words: shown(&value), torque: Some(value) }]);
    }
    Ok(spec.facts.stages.iter().enumerate().map(|(at, stage)| of_stage(at + 1, stage)).collect())
}

fn of_stage(number: usize, written: &str) -> Wanted {
    let torque = Span::parse(written).ok();
    let turn = Angle::parse(written).ok().map(|angle| angle.in_unit(angle.unit()).to_string());
    let words = torque.as_ref().map(shown).or(turn).unwrap_or_else(|| written.to_owned());
    Wanted { stage: format!("Stage {number}"), words, torque }
}

fn shown(torque: &Span<TorqueUnit>) -> String {
    torque.in_unit(torque.unit()).to_string()
}

/// One wrench and what it can do.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    pub name: String,
    /// The style of its word and shape, and the word.
    pub code: &'static str,
    pub word: String,
    /// What to set, in its own unit and on one of its marks; empty where it cannot be set.
    pub figure: String,
    pub unit: &'static str,
    /// How far off the bolt may be: by the mark, and by the wrench.
    pub error: String,
    pub sentence: String,
    /// `Take` before the one to take, a reservation before the first of those that are not good enough.
    pub lead: &'static str,
    /// Its place in the chest as it was handed in.
    pub at: usize,
}

impl Row {
    /// Whether it is the one to take, and good enough.
    pub fn is_best(&self) -> bool {
        self.lead == TAKE
    }
}

const TAKE: &str = "Take";
const FOR_WANT_OF_BETTER: &str = "For want of a better one:";

/// A stage with the wrenches for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Pick {
    pub wanted: Wanted,
    pub rows: Vec<Row>,
}

/// Every wrench for everything wanted, the best first.
pub fn picks(wanted: Vec<Wanted>, chest: &[Kept], today: Day) -> Vec<Pick> {
    let wrenches: Vec<Wrench> = chest.iter().map(|kept| kept.wrench.clone()).collect();
    wanted.into_iter().map(|wanted| pick(wanted, &wrenches, today)).collect()
}

fn pick(wanted: Wanted, wrenches: &[Wrench], today: Day) -> Pick {
    let Some(torque) = &wanted.torque else {
        return Pick { wanted, rows: Vec::new() };
    };
    let choice = best(wrenches, torque, today);
    let mut order: Vec<usize> = (0..wrenches.len()).collect();
    order.sort_by_key(|at| {
        let found = &choice.each[*at];
        (choice.best != Some(*at), found.fitness, !found.calibration.counts())
    });
    let rows = order
        .into_iter()
        .map(|at| {
            let is_best = choice.best == Some(at);
            // The reason why it is the best stands before what is to be set.
            let sentence = if is_best { choice.sentence.clone() } else { choice.each[at].sentence.clone() };
            let lead = match (is_best, choice.each[at].fitness) {
                (true, Fitness::Suits) => TAKE,
                (true, _) => FOR_WANT_OF_BETTER,
                (false, _) => "",
            };
            Row { sentence, lead, at, ..row(&wrenches[at], &choice.each[at]) }
        })
        .collect();
    Pick { wanted, rows }
}

/// A wrench with what was found of it.
pub fn row(wrench: &Wrench, found: &Suitability) -> Row {
    let mark = found.setting.as_ref().map(|setting| setting.mark.in_unit(wrench.unit()));
    let error = found.setting.as_ref().map(|setting| {
        let off = setting.off.normalize();
        let by_mark = match off {
            off if off.is_zero() => "right on the mark".to_owned(),
            off if off.is_sign_negative() => format!("{} % under by the mark", off.abs()),
            off => format!("{off} % over by the mark"),
        };
        format!("{by_mark}, ±{} % by the wrench", found.deviation.normalize())
    });
    Row {
        name: wrench.name().to_owned(),
        code: code(found),
        word: word(found),
        figure: mark.as_ref().map(|mark| mark.text.clone()).unwrap_or_default(),
        unit: wrench.unit().name(),
        error: error.unwrap_or_default(),
        sentence: found.sentence.clone(),
        lead: "",
        at: 0,
    }
}

fn code(found: &Suitability) -> &'static str {
    match found.fitness {
        Fitness::Suits if found.calibration.counts() => "fine",
        Fitness::Suits | Fitness::LowerPart | Fitness::TooCoarse => "watch",
        Fitness::Below | Fitness::Above => "act",
    }
}

fn word(found: &Suitability) -> String {
    let fitness = capital(found.fitness.label());
    let doubtful = found.fitness.can_be_set() && !found.calibration.counts();
    if doubtful { format!("{fitness}, calibration does not count") } else { fitness }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chest::model::WrenchFacts;
    use crate::ids::WrenchId;
    use crate::specs::sample::{says, spec};
    use crate::trade::spec::SourceKind;
    use crate::trade::torque_wrench::WrenchKind;

    fn kept(name: &str, span: &str, calibrated_on: &str) -> Kept {
        let facts = WrenchFacts {
            name: name.into(),
            kind: WrenchKind::Click,
            span: span.into(),
            graduation: "1".into(),
            deviation: String::new(),
            calibrated_on: calibrated_on.into(),
            uses: String::new(),
            lever: String::new(),
            serial: String::new(),
        };
        Kept::read(WrenchId::new(), facts, 1).unwrap()
    }

    fn today() -> Day {
        Day::parse("2026-11-25").unwrap()
    }

    #[test]
    fn the_wrench_to_take_stands_first_with_what_to_set_and_why() {
        let chest = [
            kept("Old", "20-100 Nm", ""),
            kept("Tiny", "2-10 Nm", "2026-04-30"),
            kept("Inch", "20-100 lbf ft", "2026-04-30"),
        ];
        let spec = spec(vec![says("84 Nm", SourceKind::MakersManual, false)]);
        let found = picks(wanted(&spec).unwrap(), &chest, today());
        let names: Vec<&str> = found[0].rows.iter().map(|row| row.name.as_str()).collect();
        assert_eq!(names, ["Inch", "Old", "Tiny"]);
        let best = &found[0].rows[0];
        // 84 N·m is 61.96 lbf·ft; its mark of 62 is 0.1 % over.
        assert_eq!((best.figure.as_str(), best.unit), ("62", "lbf·ft"));
        assert_eq!(best.error, "0.1 % over by the mark, ±4 % by the wrench");
        assert!(best.sentence.starts_with("Take Inch rather than Old"), "{}", best.sentence);
        assert_eq!([best.code, found[0].rows[1].code, found[0].rows[2].code], ["fine", "watch", "act"]);
    }

    #[test]
    fn sources_that_disagree_are_settled_before_any_wrench_is_set() {
        let open = spec(vec![
            says("40 Nm", SourceKind::MakersManual, false),
            says("40 lbf ft", SourceKind::SecondHand, false),
        ]);
        assert!(wanted(&open).unwrap_err().contains("settle"));
        assert!(wanted(&spec(Vec::new())).unwrap_err().contains("No source"));
    }

    #[test]
    fn a_wrench_that_is_too_coarse_is_not_praised() {
        let mut beam = kept("Beam", "10-100 lbf ft", "2026-04-30");
        beam.facts.graduation = "10".into();
        let beam = Kept::read(beam.id, beam.facts, 1).unwrap();
        let spec = spec(vec![says("33 Nm", SourceKind::MakersManual, false)]);
        let row = &picks(wanted(&spec).unwrap(), &[beam], today())[0].rows[0];
        assert_eq!((row.lead, row.code, row.is_best()), (FOR_WANT_OF_BETTER, "watch", false));
    }

    #[test]
    fn each_stage_is_set_by_itself_and_a_turn_by_no_wrench() {
        let mut staged = spec(vec![says("60 Nm", SourceKind::MakersManual, false)]);
        staged.facts.stages = vec!["30 Nm".into(), "60 Nm".into(), "90°".into()];
        let found = picks(wanted(&staged).unwrap(), &[kept("Mid", "20-100 Nm", "2026-04-30")], today());
        let figures: Vec<_> =
            found.iter().map(|pick| pick.rows.first().map_or("", |row| row.figure.as_str())).collect();
        assert_eq!(figures, ["30", "60", ""]);
        assert_eq!((found[2].wanted.stage.as_str(), found[2].wanted.words.as_str()), ("Stage 3", "90°"));
    }
}
