//! Whether a torque can belong to its bolt, as pages show it. The judgement is that of `trade::plausible`; it flags, and
//! neither it nor a page ever proposes a torque.

use super::form::{SaysForm, SpecForm};
use super::model::SpecFacts;
use super::pull::Pull;
use crate::trade::head_size;
use crate::trade::plausible::{Asked, Assessment, Verdict, judge};
use crate::trade::quantity::{Angle, LengthUnit, Span, TorqueUnit};
use crate::trade::spec::{Fastener, Kind};
use crate::trade::thread;
use crate::web::form::Slips;
use crate::web::words::capital;
use rust_decimal::Decimal;

/// What is thought of one torque.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// As its source wrote it.
    pub torque: String,
    pub verdict: Verdict,
    /// Why, with the likeliest slip at its end.
    pub sentence: String,
    /// Further slips that would explain it.
    pub slips: Vec<String>,
    /// What was taken for granted.
    pub notes: Vec<String>,
    /// How far it pulls the bolt, in words; empty where that cannot be told.
    pub reached: String,
    pub pull: Option<Pull>,
}

impl Fit {
    fn new(torque: &Span<TorqueUnit>, found: Assessment) -> Fit {
        Fit {
            torque: torque.to_string(),
            verdict: found.verdict,
            sentence: found.sentence,
            slips: found.slips.iter().skip(1).map(ToString::to_string).collect(),
            notes: found.notes,
            reached: found.preload.map(|range| format!("It pulls the bolt to {range}.")).unwrap_or_default(),
            pull: found.preload.and_then(|range| Pull::new(range, torque)),
        }
    }

    fn cannot(torque: &str, sentence: String) -> Fit {
        Fit {
            torque: torque.trim().to_owned(),
            verdict: Verdict::CannotJudge,
            sentence,
            slips: Vec::new(),
            notes: Vec::new(),
            reached: String::new(),
            pull: None,
        }
    }

    pub fn word(&self) -> String {
        capital(self.verdict.label())
    }

    /// The style of its word and shape.
    pub fn code(&self) -> &'static str {
        code(self.verdict)
    }

    pub fn is_too_high(&self) -> bool {
        self.verdict == Verdict::High
    }
}

/// The style of a verdict's word and shape.
fn code(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fits => "fine",
        Verdict::High => "act",
        Verdict::Low => "watch",
        Verdict::CannotJudge => "unknown",
    }
}

/// What is thought of each of these torques as written; nothing for what is no torque of a fastener.
pub fn fits<'a>(facts: &SpecFacts, written: impl IntoIterator<Item = &'a str>) -> Vec<Fit> {
    let Some(fastener) = facts.fastener.as_ref().filter(|_| facts.kind == Kind::Torque) else {
        return Vec::new();
    };
    written.into_iter().filter_map(|one| Span::parse(one).ok()).map(|torque| judged(&torque, fastener, facts)).collect()
}

fn judged(torque: &Span<TorqueUnit>, fastener: &Fastener, facts: &SpecFacts) -> Fit {
    let about = [&facts.item, &facts.place, &facts.note].map(String::as_str).join(" ");
    let turned_further = facts.stages.iter().any(|stage| Angle::parse(stage).is_ok());
    Fit::new(torque, judge(&Asked::read(torque.clone(), fastener, &about, turned_further)))
}

/// The word and shape for a row of the book: only where a torque is too high or too low for its bolt.
pub fn flag<'a>(facts: &SpecFacts, written: impl IntoIterator<Item = &'a str>) -> Option<(&'static str, String)> {
    let flagged = |verdict: &Verdict| matches!(verdict, Verdict::High | Verdict::Low);
    let verdicts = fits(facts, written).into_iter().map(|fit| fit.verdict);
    // The order of the set: too high before low.
    verdicts.filter(flagged).min().map(|worst| (code(worst), capital(worst.label())))
}

/// What is thought of a torque that is only typed yet, so that a slip shows before it stands in the book.
pub fn of_typed(form: &SpecForm, says: &SaysForm) -> Vec<Fit> {
    of_forms(form, [says.written.as_str()])
}

/// The same for what is said already of a fastener that is being changed.
pub fn of_forms<'a>(form: &SpecForm, written: impl IntoIterator<Item = &'a str>) -> Vec<Fit> {
    if form.kind() != Some(Kind::Torque) {
        return vec![Fit::cannot("", "Only a torque is judged: choose that kind of value first.".into())];
    }
    let mut slips = Slips::default();
    let Some(facts) = form.torque_facts(&mut slips) else {
        let says = slips.all().first().map(|slip| slip.say.clone()).unwrap_or_default();
        return vec![Fit::cannot("", says)];
    };
    let judge = |one: &str| match Span::parse(one) {
        Ok(torque) => match &facts.fastener {
            Some(fastener) => judged(&torque, fastener, &facts),
            None => Fit::cannot(one, "Nothing is written of its fastener: write thread and class.".into()),
        },
        Err(why) => Fit::cannot(one, why.to_string()),
    };
    let found: Vec<Fit> = written.into_iter().map(judge).collect();
    if found.is_empty() { vec![Fit::cannot("", "No source gives a torque yet.".into())] } else { found }
}

/// What the head says of the thread, or the thread of the head; a hint, and worded as one. `None` where nothing is known
/// of either.
pub fn head_hint(fastener: &Fastener) -> Option<String> {
    let thread = thread::read(&fastener.thread).ok().map(|read| read.thread);
    let head = head_size::read(&fastener.head).ok();
    let Some(head) = head else {
        return thread.map(head_size::of_thread);
    };
    let hint = head_size::of_head(&head);
    let Some(thread) = thread else {
        return Some(hint.sentence);
    };
    let nominal = thread.diameter().to(LengthUnit::Millimetre);
    let goes_together = thread.is_metric() && hint.sizes.iter().any(|size| Decimal::from(size.diameter) == nominal);
    if goes_together || hint.sizes.is_empty() {
        return Some(hint.sentence);
    }
    Some(format!("{} {} One of the two may be misread.", hint.sentence, head_size::of_thread(thread)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::sample;

    fn bolt(thread: &str, class: &str, head: &str) -> Fastener {
        Fastener {
            thread: thread.into(),
            class: class.into(),
            head: head.into(),
            count: 1,
            lubrication: String::new(),
            single_use: false,
        }
    }

    fn facts(item: &str, fastener: Option<Fastener>, stages: &[&str]) -> SpecFacts {
        let stages = stages.iter().map(|stage| (*stage).to_owned()).collect();
        SpecFacts { item: item.into(), fastener, stages, ..sample::spec(Vec::new()).facts }
    }

    /// Source of 48 N·m for M10 8.8: a farm-machine manual's table, read second-hand; the same number is then written
    /// with another unit.
    #[test]
    fn a_slip_of_the_unit_is_flagged_and_named() {
        let bolt = facts("Bearing cap bolts", Some(bolt("M10x1.5", "8.8", "17 mm")), &[]);
        let found = fits(&bolt, ["48 Nm", "48 lbf ft"]);
        assert_eq!([found[0].code(), found[1].code()], ["fine", "act"]);
        assert!(found[1].sentence.contains("does the source really say lbf·ft?"), "{}", found[1].sentence);
        assert!(found[0].pull.is_some() && found[0].reached.starts_with("It pulls the bolt to between "));
        assert_eq!(flag(&bolt, ["48 Nm"]), None);
        assert_eq!(flag(&bolt, ["4 Nm", "48 lbf ft"]), Some(("act", "Too high for the bolt".into())));
    }

    #[test]
    fn what_cannot_be_judged_says_why_and_flags_nothing() {
        let turned = facts("Cylinder head bolts", Some(bolt("M12x1.75", "10.9", "")), &["60 Nm", "90°"]);
        let found = fits(&turned, ["60 Nm"]);
        assert_eq!((found[0].word().as_str(), found[0].code()), ("Cannot be judged", "unknown"));
        assert!(found[0].sentence.contains("angle"), "{}", found[0].sentence);
        assert_eq!(flag(&turned, ["60 Nm"]), None);
        let unknown = facts("Bolt", Some(bolt("M11x1.3", "8.8", "")), &[]);
        assert!(fits(&unknown, ["60 Nm"])[0].sentence.starts_with("Without a thread"));
        assert!(fits(&facts("Bolt", None, &[]), ["60 Nm"]).is_empty());
    }

    #[test]
    fn a_head_that_goes_with_the_thread_is_a_hint_and_one_that_does_not_is_doubted() {
        let hint = |thread, head| head_hint(&bolt(thread, "", head)).unwrap_or_default();
        assert!(hint("M10x1.25", "17 mm hex").contains("M10") && hint("M10x1.25", "17 mm hex").contains("hint only"));
        assert!(hint("M10x1.25", "13 mm hex").contains("may be misread"));
        assert!(hint("M10x1.25", "").contains("hint only"));
        assert!(hint("", "13 mm").contains("M8"));
        assert_eq!(hint("", ""), "");
    }
}
