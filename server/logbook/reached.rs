//! What a ticked step reached: the torque, the fluid and the quantity that the spec book asked for at that moment.
//!
//! A tick says only that the step was done. Which figure was worked to stands in the spec book, and may be another one next
//! year; so it is put into words when the tick is stored, and kept beside it. The moment is the one at which the tick came
//! in: a phone that was out of reach showed the book as it had copied it.

use super::store;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::jobs::store as jobs;
use crate::specs::model::Spec;
use crate::specs::shown::ShownSpec;
use crate::specs::store as specs;
use crate::specs::whole::Whole;
use crate::sync::wire::{Act, Op, Subject, Tick};
use crate::trade::spec::Kind;
use crate::trade::steps::Verb;
use crate::trade::trust::Trust;

/// Keeps what a step that is ticked done was to reach. `seq`: the place of the tick, which is stored already.
pub async fn keep(tx: &mut WriteTx, op: &Op, seq: i64) -> Result<(), AppError> {
    let (Act::Tick(body), Subject::Step(id), Some(card)) = (&op.act, op.on, op.card) else { return Ok(()) };
    if body.state != Tick::Done {
        return Ok(());
    }
    let step = jobs::step(tx, card, id).await?;
    let mut attached = Vec::with_capacity(step.attached.specs.len());
    for spec in step.attached.specs {
        match specs::get(tx, op.car, spec).await {
            Ok(spec) => attached.push(spec),
            // It was taken out of the book; the step still names it.
            Err(AppError::NotFound(_)) => {}
            Err(cause) => return Err(cause),
        }
    }
    let said = words(step.facts.verb, &attached);
    if said.is_empty() { Ok(()) } else { store::add_reached(tx, seq, &said).await }
}

/// `to 45 N·m (maker's manual)`; empty for a step that reaches no figure.
pub fn words(verb: Verb, attached: &[Spec]) -> String {
    let wanted: Vec<&Spec> = attached.iter().filter(|spec| is_reached(verb, spec.facts.kind)).collect();
    let several = wanted.len() > 1;
    let said: Vec<String> = wanted.into_iter().filter_map(|spec| one(spec, several)).collect();
    said.join("; ")
}

/// Whether a step of this verb brings the car to a value of this kind.
fn is_reached(verb: Verb, kind: Kind) -> bool {
    match kind {
        Kind::Torque => verb.tightens(),
        Kind::Volume | Kind::Fluid => verb == Verb::Fill,
        Kind::Pressure | Kind::Length | Kind::Temperature | Kind::Angle | Kind::Voltage | Kind::Text => false,
    }
}

fn one(spec: &Spec, several: bool) -> Option<String> {
    let (trust, says) = spec.trust();
    let shown = ShownSpec::from(spec).line();
    let name = if several { format!("{} ", spec.facts.item) } else { String::new() };
    let says = says?;
    if trust == Trust::Open {
        return Some(format!("{name}not settled then: sources said {shown}"));
    }
    let figure = if spec.facts.kind == Kind::Torque { stages(spec).unwrap_or(shown) } else { shown };
    let word = if spec.facts.kind == Kind::Torque { "to" } else { "with" };
    Some(format!("{name}{word} {figure} ({})", says.facts.source.label()))
}

/// `40 N·m, then +90°`
fn stages(spec: &Spec) -> Option<String> {
    let stages = Whole::of(spec)?.stages;
    let words: Vec<String> = stages.iter().map(|stage| stage.value.short()).collect();
    (!words.is_empty()).then(|| words.join(", then "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::sample::{says, spec};
    use crate::trade::spec::SourceKind;

    fn torque(written: &[&str]) -> Spec {
        spec(written.iter().map(|written| says(written, SourceKind::MakersManual, false)).collect())
    }

    #[test]
    fn a_tightened_step_reaches_its_torque_and_a_removed_one_does_not() {
        let plug = [torque(&["40 Nm"])];
        assert_eq!(words(Verb::Tighten, &plug), "to 40 N·m (maker's manual)");
        assert_eq!(words(Verb::FinalTighten, &plug), "to 40 N·m (maker's manual)");
        assert_eq!(words(Verb::Remove, &plug), "");
        assert_eq!(words(Verb::Tighten, &[torque(&[])]), "");
    }

    #[test]
    fn stages_are_told_in_order_and_sources_that_differ_are_not_called_reached() {
        let mut staged = torque(&["60 Nm"]);
        staged.facts.stages = vec!["40 Nm".into(), "90°".into()];
        assert_eq!(words(Verb::Tighten, &[staged]), "to 40 N·m, then +90° (maker's manual)");
        let open = words(Verb::Tighten, &[torque(&["40 Nm", "60 Nm"])]);
        assert_eq!(open, "not settled then: sources said 40 N·m or 60 N·m");
    }

    #[test]
    fn a_filled_system_tells_the_fluid_and_how_much_of_it() {
        let of = |kind, written, item: &str| {
            let mut spec = torque(&[written]);
            (spec.facts.kind, spec.facts.item) = (kind, item.into());
            spec
        };
        let oil = [of(Kind::Fluid, "API GL-5, SAE 80W-90", "Axle oil"), of(Kind::Volume, "1.1 l", "Axle oil quantity")];
        let said = words(Verb::Fill, &oil);
        assert!(said.contains("Axle oil with API GL-5") && said.contains("quantity with 1.1 l"), "{said}");
        assert_eq!(words(Verb::Drain, &oil), "");
    }
}
