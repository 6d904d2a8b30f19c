//! What was seen of a fluid so far: how much came out, and how it looked.

use super::family::{Family, is_dry, volume_of};
use crate::clock::Moment;
use crate::jobs::model::Step;
use crate::specs::model::Spec;
use crate::sync::hlc::Hlc;
use crate::sync::wire::{Act, FluidLookBody, ReadingBody, Tick};
use crate::trade::fluid::{CameOut, Difference, Fill, FluidKind, Suspect, Trend, suspects, trend};
use crate::trade::quantity::{Dimension, PercentUnit, Unit, Volume};
use crate::trade::spec::Kind;
use crate::trade::steps::Verb;
use crate::web::words;
use crate::work::store::Done;
use crate::work::whole::WholeCar;

/// An amount that came out, beside what should have been inside.
pub struct Drained {
    pub when: String,
    pub amount: String,
    /// As it was typed, to be put into a form.
    pub typed: String,
    pub of: String,
    pub capacity: String,
    pub share: String,
    pub code: &'static str,
    pub word: String,
    pub may_mean: &'static [&'static str],
    pub note: String,
    /// Why it cannot be set beside a capacity.
    pub why_not: String,
}

/// Amounts that came out, newest first; of what was read twice at one place, the last.
pub fn drained(under: &WholeCar, family: &Family<'_>) -> Vec<Drained> {
    let steps: Vec<&Step> = drains(under, family).collect();
    let mut last: Vec<(&Done, &ReadingBody)> = Vec::new();
    for one in under.done.iter().filter(|one| one.applied) {
        let Act::Reading(body) = &one.act else { continue };
        let here = steps.iter().any(|step| step.id.to_string() == one.subject_id) || family.has(&one.subject_id);
        if !here || Unit::from_code(&body.unit).map(Unit::dimension) != Some(Dimension::Volume) {
            continue;
        }
        last.retain(|(known, read)| (&known.subject_id, &read.what) != (&one.subject_id, &body.what));
        last.push((one, body));
    }
    let volume_at = |subject: &str| {
        let step = steps.iter().find(|step| step.id.to_string() == subject);
        let own = family.volumes.iter().find(|volume| volume.id.to_string() == subject).copied();
        own.or_else(|| step.and_then(|step| family.volume_at(step))).or_else(|| family.volumes.first().copied())
    };
    last.iter().rev().map(|(one, body)| beside(one, body, volume_at(&one.subject_id), family)).collect()
}

/// The steps that let this fluid out.
fn drains<'a>(under: &'a WholeCar, family: &'a Family<'_>) -> impl Iterator<Item = &'a Step> {
    let steps = under.state.cards.iter().flat_map(|card| &card.steps);
    steps.filter(|step| step.facts.verb == Verb::Drain && family.is_at(step))
}

fn beside(one: &Done, body: &ReadingBody, volume: Option<&Spec>, family: &Family<'_>) -> Drained {
    let unit = Unit::from_code(&body.unit).map_or("", Unit::name);
    let typed = format!("{} {unit}", words::figure(&body.number));
    let (capacity, came_out) = match volume.map(|volume| weighed(&typed, volume, family)) {
        Some(Ok((capacity, came_out))) => (capacity, Ok(came_out)),
        Some(Err(why)) => (String::new(), Err(why)),
        None => (String::new(), Err("No capacity stands in the spec book.".to_owned())),
    };
    let why_not = came_out.as_ref().err().cloned().unwrap_or_default();
    let came_out = came_out.ok();
    Drained {
        when: words::day(moment(one)),
        amount: typed.clone(),
        typed,
        of: volume.map(|volume| volume.facts.item.clone()).unwrap_or_default(),
        capacity,
        share: came_out.as_ref().map(|out| out.share.in_unit(PercentUnit::Percent).to_string()).unwrap_or_default(),
        code: came_out.as_ref().map_or("unknown", |out| difference_code(out.difference)),
        word: came_out.as_ref().map_or_else(|| "Not compared".to_owned(), |out| words::capital(out.difference.label())),
        may_mean: came_out.map_or(&[], |out| out.may_mean),
        note: body.note.clone().unwrap_or_default(),
        why_not,
    }
}

fn weighed(typed: &str, volume: &Spec, family: &Family<'_>) -> Result<(String, CameOut), String> {
    let service = volume_of(volume)?;
    let dry = family.dry_beside(volume).filter(|_| !is_dry(volume)).and_then(|dry| volume_of(dry).ok());
    let fill = Fill::new(service.clone(), dry).map_err(|why| why.to_string())?;
    let out = Volume::parse(typed).map_err(|why| why.to_string())?;
    Ok((service.in_unit(service.unit()).to_string(), fill.came_out(&out)))
}

fn difference_code(difference: Difference) -> &'static str {
    match difference {
        Difference::AsExpected => "fine",
        Difference::Less | Difference::More => "watch",
        Difference::MuchLess => "act",
    }
}

/// A look in the record.
pub struct Looked {
    pub when: String,
    pub body: FluidLookBody,
    pub words: String,
    pub who: String,
    /// Against the look before it: the code of its mark, and the words.
    pub trend: Option<(&'static str, String)>,
    /// The fluid was drained before this look, and after the one before: on which day.
    pub changed: String,
}

/// The looks, oldest first, and what the last one may tell.
pub struct Looks {
    pub all: Vec<Looked>,
    pub suspects: Vec<Suspect>,
    /// How the last look stands against the first one of the same filling.
    pub since: String,
}

impl Looks {
    pub fn of(under: &WholeCar, family: &Family<'_>) -> Looks {
        let found: Vec<(Moment, &Done, &FluidLookBody)> = under
            .done
            .iter()
            .filter(|one| one.applied)
            .filter_map(|one| match &one.act {
                Act::FluidLook(body) if is_of(under, family, one, body.fluid) => Some((moment(one), one, body)),
                _ => None,
            })
            .collect();
        let changes = changes(under, family);
        let mut all: Vec<Looked> = Vec::new();
        for (at, (when, one, body)) in found.iter().enumerate() {
            let before = at.checked_sub(1).map(|before| &found[before]);
            all.push(Looked {
                when: words::day(*when),
                body: (*body).clone(),
                words: body.look().to_string(),
                who: one.device_name.clone().unwrap_or_default(),
                trend: before.map(|(_, _, before)| trend_words(trend(before.look(), body.look()))),
                changed: before.and_then(|(before, ..)| change_between(&changes, *before, *when)).unwrap_or_default(),
            });
        }
        let last = found.last();
        let kind = |body: &FluidLookBody| family.kind.unwrap_or(body.fluid);
        Looks {
            suspects: last.map(|(_, _, body)| suspects(kind(body), body.look())).unwrap_or_default(),
            since: last.map(|last| since(&found, &changes, last)).unwrap_or_default(),
            all,
        }
    }
}

/// Whether a look is of this fluid: at one of its specs or steps, or at the car where only one fluid is of that kind.
fn is_of(under: &WholeCar, family: &Family<'_>, one: &Done, kind: FluidKind) -> bool {
    let fluids = || under.state.specs.iter().filter(|spec| spec.facts.kind == Kind::Fluid);
    let alone = || fluids().filter(|spec| super::kind::kind_of(spec) == Some(kind)).count() == 1;
    match one.subject_kind.as_str() {
        "spec" => family.has(&one.subject_id),
        "car" => family.kind == Some(kind) && family.fluid.is_some() && alone(),
        _ => {
            let mut steps = under.state.cards.iter().flat_map(|card| &card.steps);
            steps.any(|step| step.id.to_string() == one.subject_id && family.is_at(step))
        }
    }
}

/// When the fluid was let out, as far as ticked steps tell, oldest first.
fn changes(under: &WholeCar, family: &Family<'_>) -> Vec<Moment> {
    let ids: Vec<String> = drains(under, family).map(|step| step.id.to_string()).collect();
    let done = under.state.standing.iter().filter(|op| ids.contains(&op.subject_id));
    let mut found: Vec<Moment> = done
        .filter(|op| matches!(&op.act, Act::Tick(body) if body.state == Tick::Done))
        .filter_map(|op| op.hlc.parse::<Hlc>().ok().map(Hlc::moment))
        .collect();
    found.sort_by_key(|at| at.0);
    found
}

/// A look on the day of the drain is of what came out, so that a change counts from the day after.
fn change_between(changes: &[Moment], before: Moment, after: Moment) -> Option<String> {
    let day = |at: Moment| at.local().date();
    let between = |at: &&Moment| day(**at) >= day(before) && day(**at) < day(after);
    changes.iter().rev().find(between).map(|at| words::day(*at))
}

fn since(
    looks: &[(Moment, &Done, &FluidLookBody)],
    changes: &[Moment],
    last: &(Moment, &Done, &FluidLookBody),
) -> String {
    let day = |at: Moment| at.local().date();
    let change = changes.iter().rev().find(|at| day(**at) < day(last.0)).copied();
    let same_filling = |look: &&(Moment, &Done, &FluidLookBody)| change.is_none_or(|at| day(look.0) > day(at));
    let first = looks.iter().find(same_filling).filter(|first| first.1.op_id != last.1.op_id);
    let word = |first: &FluidLookBody| trend(first.look(), last.2.look()).label();
    match (change, first) {
        (Some(at), Some(first)) => {
            let (changed, seen) = (words::day(at), words::day(first.0));
            format!("Since it was changed on {changed} and first looked at on {seen}: {}.", word(first.2))
        }
        (Some(at), None) => format!("The first look since it was changed on {}.", words::day(at)),
        (None, Some(first)) => format!("Since the first look on {}: {}.", words::day(first.0), word(first.2)),
        (None, None) => String::new(),
    }
}

fn trend_words(trend: Trend) -> (&'static str, String) {
    let code = match trend {
        Trend::Better => "fine",
        Trend::Same => "note",
        Trend::Worse => "act",
        Trend::Mixed => "watch",
    };
    (code, words::capital(trend.label()))
}

fn moment(one: &Done) -> Moment {
    one.hlc.parse::<Hlc>().map_or(Moment(0), Hlc::moment)
}
