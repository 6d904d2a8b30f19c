//! What a card's steps leave open and close when they are worked in order: a reading of the card, not a check.
//! Pure.

use super::model::Step;
use crate::ids::StepId;
use crate::trade::checker::StepProgram;
use crate::trade::ledger::{Event, Ledger, LooseEnd};

/// Something a step leaves away from rest, and the number of the step that closes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Opens {
    pub words: String,
    pub closed_by: Option<usize>,
}

/// Something a step brings back to rest. `opened` is `None` where no step before it left it open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Closes {
    pub object: String,
    pub opened: Option<String>,
}

/// What one step does to the car's state.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Effects {
    pub opens: Vec<Opens>,
    pub closes: Vec<Closes>,
}

/// A loose end that the card itself never closes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOpen {
    pub words: String,
    pub number: usize,
    pub step: StepId,
}

/// The effects of each step, in order, and what is left open at the end.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Trail {
    pub effects: Vec<Effects>,
    pub left_open: Vec<LeftOpen>,
}

/// Works the steps in order on paper. Steps are numbered from 1.
pub fn follow(steps: &[Step]) -> Trail {
    let ids: Vec<String> = steps.iter().map(|step| step.id.to_string()).collect();
    let programs: Vec<StepProgram> = steps.iter().map(|step| step.compiled().into()).collect();
    let mut ledger = Ledger::default();
    let mut trail = Trail::default();
    for (at, step) in steps.iter().enumerate() {
        trail.effects.push(effects(at, step, &programs, &ledger.ends));
        ledger.take(&Event::Done { step: &ids[at], at: "", program: &programs[at] });
    }
    trail.left_open = ledger
        .ends
        .into_iter()
        .filter_map(|end| {
            let left_by = end.step?;
            let at = ids.iter().position(|id| *id == left_by)?;
            Some(LeftOpen { words: end.words, number: at + 1, step: steps[at].id })
        })
        .collect();
    trail
}

fn effects(at: usize, step: &Step, programs: &[StepProgram], before: &[LooseEnd]) -> Effects {
    let closer = |key: &String| programs.iter().skip(at + 1).position(|later| later.closes.contains(key));
    let opens = programs[at].opens.iter().map(|opened| Opens {
        words: opened.words.clone(),
        closed_by: closer(&opened.key).map(|further| at + further + 2),
    });
    let closes = programs[at].closes.iter().map(|key| Closes {
        object: step.facts.object.clone(),
        opened: before.iter().find(|end| end.key == *key).map(|end| end.words.clone()),
    });
    Effects { opens: opens.collect(), closes: closes.collect() }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::CardId;
    use crate::jobs::model::{Attached, StepFacts};
    use crate::trade::marks::Marks;
    use crate::trade::steps::{ObjectKind, Verb};

    fn card(steps: &[(Verb, ObjectKind, &str)]) -> Vec<Step> {
        let id = CardId::new();
        let step = |(verb, object_kind, object): &(Verb, ObjectKind, &str)| Step {
            id: StepId::new(),
            card: id,
            facts: StepFacts {
                verb: *verb,
                object_kind: *object_kind,
                object: (*object).into(),
                words: String::new(),
                detail: String::new(),
                asks: None,
                marks: Marks::default(),
            },
            attached: Attached::default(),
            rev: 1,
        };
        steps.iter().map(step).collect()
    }

    #[test]
    fn each_end_names_the_step_that_closes_it_and_the_rest_is_left_open() {
        let steps = card(&[
            (Verb::Raise, ObjectKind::Corner, "rear end"),
            (Verb::Drain, ObjectKind::Fluid, "axle oil"),
            (Verb::Inspect, ObjectKind::Part, "drain plug"),
            (Verb::Fill, ObjectKind::Fluid, "Axle oil"),
        ]);
        let trail = follow(&steps);
        assert_eq!(trail.effects[0].opens[0].closed_by, None);
        assert_eq!(trail.effects[1].opens[0].closed_by, Some(4));
        assert_eq!(trail.effects[2], Effects::default());
        assert_eq!(trail.effects[3].closes[0].opened.as_deref(), Some("axle oil is drained"));
        assert_eq!(trail.left_open.len(), 1);
        assert_eq!((trail.left_open[0].words.as_str(), trail.left_open[0].number), ("rear end is up on the jack", 1));
    }

    #[test]
    fn closing_what_nothing_opened_is_told_apart() {
        let trail = follow(&card(&[(Verb::Lower, ObjectKind::Corner, "front end")]));
        assert_eq!(trail.effects[0].closes, [Closes { object: "front end".into(), opened: None }]);
        assert_eq!(trail.left_open, []);
    }

    #[test]
    fn a_nut_taken_off_and_only_nipped_up_is_left_open_by_the_last_step_that_touched_it() {
        let nut = |verb| (verb, ObjectKind::Fastener, "hub nut");
        let trail = follow(&card(&[nut(Verb::Loosen), nut(Verb::Remove), nut(Verb::Fit)]));
        assert_eq!(trail.left_open[0].words, "hub nut is only nipped up");
        assert_eq!(trail.left_open[0].number, 3);
    }
}
