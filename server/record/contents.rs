//! Everything that stands in a record, with what was chosen to be left out left out already.

use super::choice::{Choice, LeaveOut};
use super::lines::{Area, Chapter, FindingLine, Noted, PartLine, Photo, ReadingLine, SpecLine};
use super::work::{areas, day, of_picture, photo};
use crate::cars::store::{self as cars, Car};
use crate::clock::Moment;
use crate::error::AppError;
use crate::ids::CarId;
use crate::logbook::book::shown_ops;
use crate::logbook::evening::evening_of;
use crate::logbook::found::{Found, findings};
use crate::logbook::sources::Sources;
use crate::logbook::words::{entry, moment};
use crate::readings::series::{Taken, Thing, things};
use crate::readings::views::Told;
use crate::shelf::store::Part;
use crate::specs::model::{Says, Spec};
use crate::specs::shown::{ShownSpec, citation_line, fastener_line, said_by};
use crate::specs::whole::Whole;
use crate::sync::hlc::Hlc;
use crate::sync::wire::Act;
use crate::trade::buying::Stage;
use crate::trade::spec::{SourceKind, System};
use crate::web::words;
use crate::work::model::CarState;
use crate::work::store::Done;
use sqlx::SqliteConnection;
use std::collections::{BTreeMap, BTreeSet};

/// A record, drawn by `templates/record/sheet.html`.
pub struct Contents {
    pub car: Car,
    /// `name: value`; none where they are left out.
    pub codes: Vec<(String, String)>,
    pub odometer: String,
    pub made: String,
    /// `43 evenings, 3 Oct 2026 to 25 Nov 2026, 31 h worked`
    pub span: String,
    pub cover: Option<Photo>,
    pub areas: Vec<Area>,
    pub book: Vec<Chapter>,
    pub readings: Vec<ReadingLine>,
    pub loose_ends: Vec<Noted>,
    pub findings: Vec<FindingLine>,
    pub guards: Vec<Noted>,
    /// What has to be done to the car from now on, and when.
    pub ahead: Vec<Noted>,
    pub parts: Vec<PartLine>,
    /// One for each currency.
    pub sums: Vec<String>,
}

/// What a record is put together from, out of one snapshot.
pub struct Material {
    pub car: Car,
    state: CarState,
    sources: Sources,
}

impl Material {
    /// Errors where there is no such car.
    pub async fn read(conn: &mut SqliteConnection, car: CarId, choice: &Choice) -> Result<Material, AppError> {
        let known = cars::get(conn, car).await?;
        let state = CarState::read(conn, car).await?;
        let sources = Sources::read(conn, car).await?;
        let sources = if choice.leaves_out(LeaveOut::Prices) { sources.without_prices() } else { sources };
        Ok(Material { car: known, state, sources })
    }
}

impl Contents {
    /// `ahead`: upkeep to come, which is known elsewhere.
    pub fn of(material: Material, choice: &Choice, ahead: Vec<Noted>, now: Moment) -> Contents {
        let Material { car, state, sources } = material;
        let leaves_out = |what| choice.leaves_out(what);
        let parts: Vec<&Part> = state.parts.iter().filter(|part| is_fitted(part, &sources.ops)).collect();
        Contents {
            codes: if leaves_out(LeaveOut::Codes) { Vec::new() } else { car.code_lines() },
            odometer: odometer(&sources.ops),
            made: day(now),
            span: span(&sources.ops),
            cover: if leaves_out(LeaveOut::Photos) { None } else { cover(&sources) },
            areas: areas(&state, &sources, choice),
            book: chapters(&state.specs, choice),
            readings: readings(&state, &sources.ops),
            loose_ends: loose_ends(&state),
            findings: finding_lines(&state, &sources, choice),
            guards: if leaves_out(LeaveOut::Guards) { Vec::new() } else { guards(&sources, choice) },
            ahead,
            sums: if leaves_out(LeaveOut::Prices) { Vec::new() } else { sums(&parts) },
            parts: parts.iter().map(|part| part_line(part, &sources.ops, choice)).collect(),
            car,
        }
    }

    /// Every photo that is shown.
    pub fn photos(&self) -> impl Iterator<Item = &Photo> {
        let of_jobs = self.areas.iter().flat_map(|area| &area.jobs).flat_map(|job| &job.photos);
        let of_findings = self.findings.iter().flat_map(|finding| &finding.photos);
        self.cover.iter().chain(of_jobs.flat_map(|group| &group.photos)).chain(of_findings)
    }
}

fn odometer(ops: &[Done]) -> String {
    let read = ops.iter().rev().find_map(|op| {
        let Act::Odometer(body) = &op.act else { return None };
        Some(format!("{} {}, read on {}", words::figure(&body.number), body.unit, day(moment(op))))
    });
    read.unwrap_or_default()
}

fn span(ops: &[Done]) -> String {
    let evenings: BTreeSet<_> = ops.iter().map(|op| evening_of(moment(op))).collect();
    let (Some(first), Some(last)) = (ops.first(), ops.last()) else { return String::new() };
    let minutes: i64 = ops.iter().map(|op| if let Act::Time(body) = &op.act { body.minutes } else { 0 }).sum();
    let count = words::count(evenings.len(), "evening", "evenings");
    let worked = if minutes > 0 { format!(", {} worked", words::minutes(minutes)) } else { String::new() };
    format!("{count}, {} to {}{worked}", day(moment(first)), day(moment(last)))
}

/// The latest photo of the car itself, else the latest of any.
fn cover(sources: &Sources) -> Option<Photo> {
    let context = sources.context();
    let photo = |op: &Done| photo(op, &context);
    let of_car = sources.ops.iter().rev().filter(|op| op.subject_kind == "car").find_map(photo);
    let any = of_car.or_else(|| sources.ops.iter().rev().find_map(photo))?;
    Some(Photo { large: true, ..any })
}

fn chapters(specs: &[Spec], choice: &Choice) -> Vec<Chapter> {
    let chapter = |system: &System| Chapter {
        label: system.label(),
        specs: specs.iter().filter(|spec| spec.facts.system == *system).map(|spec| spec_line(spec, choice)).collect(),
    };
    System::ALL.iter().map(chapter).filter(|chapter| !chapter.specs.is_empty()).collect()
}

fn spec_line(spec: &Spec, choice: &Choice) -> SpecLine {
    let facts = &spec.facts;
    let shown = ShownSpec::from(spec);
    let stages: Vec<String> =
        Whole::of(spec).map(|whole| whole.stages.iter().map(|stage| stage.value.short()).collect()).unwrap_or_default();
    let more = [
        if stages.is_empty() { String::new() } else { format!("in stages: {}", stages.join(", then ")) },
        facts.fastener.as_ref().map(fastener_line).unwrap_or_default(),
        if facts.variant.is_empty() { String::new() } else { format!("only for {}", facts.variant) },
        shown.doubt().map(|doubt| format!("{}: {}", words::capital(doubt.word), doubt.say)).unwrap_or_default(),
        facts.note.trim().to_owned(),
    ];
    SpecLine {
        item: facts.item.clone(),
        place: facts.place.clone(),
        values: shown.values,
        trust: shown.trust.words,
        more: more.into_iter().filter(|line| !line.is_empty()).collect(),
        sources: spec.says.iter().map(|says| source(spec, says, choice)).collect(),
    }
}

/// `40 N·m, maker's manual: Halden workshop manual, p. 24 (settled on)`
fn source(spec: &Spec, says: &Says, choice: &Choice) -> String {
    // A supplier is cited by name.
    let is_place = says.facts.source == SourceKind::PartsSupplier && choice.leaves_out(LeaveOut::Places);
    let citation = if is_place { String::new() } else { citation_line(says) };
    let citation = if citation.is_empty() { citation } else { format!(": {citation}") };
    let settled = if says.settled { " (settled on)" } else { "" };
    format!("{}{citation}{settled}", said_by(spec.facts.kind, says))
}

fn readings(state: &CarState, ops: &[Done]) -> Vec<ReadingLine> {
    things(ops, &state.limits).iter().filter_map(reading).collect()
}

fn reading(thing: &Thing<'_>) -> Option<ReadingLine> {
    let latest = thing.latest()?;
    let told = thing.verdict().as_ref().map(Told::of);
    // Cylinders and cells make one verdict together.
    let parts = thing.current_parts();
    let together: Vec<&Taken<'_>> =
        if parts.len() > 1 { parts.iter().flatten().copied().collect() } else { vec![latest] };
    let is_shown = |one: &Taken<'_>| together.iter().any(|shown| shown.done.op_id == one.done.op_id);
    let others = thing.taken.iter().filter(|one| !is_shown(one));
    // Cylinders and cells are readings of their own, and say which they are.
    let name = |what: &str| if what == thing.what { String::new() } else { format!("{what}: ") };
    let before = others.map(|one| format!("{}{} on {}", name(&one.body.what), one.entry().shown(), day(one.at)));
    Some(ReadingLine {
        what: words::capital(if parts.len() > 1 { &thing.what } else { &latest.body.what }),
        latest: together.iter().map(|one| one.entry().shown()).collect::<Vec<_>>().join(" · "),
        day: day(latest.at),
        before: before.collect(),
        limit: thing.limit.map(|limit| limit.words()).unwrap_or_default(),
        source: thing.limit.map(|limit| limit.source.clone()).unwrap_or_default(),
        verdict: told.as_ref().map(|told| told.word.to_owned()).unwrap_or_default(),
        says: told.map(|told| told.says).unwrap_or_default(),
    })
}

fn loose_ends(state: &CarState) -> Vec<Noted> {
    let since = |hlc: &str| hlc.parse::<Hlc>().map(|hlc| format!("since {}", day(hlc.moment()))).unwrap_or_default();
    let ends = state.loose_ends.iter();
    ends.map(|end| Noted {
        what: words::capital(&end.words),
        more: [end.place.trim(), &since(&end.since)]
            .into_iter()
            .filter(|part| !part.is_empty())
            .collect::<Vec<_>>()
            .join(" · "),
    })
    .collect()
}

fn finding_lines(state: &CarState, sources: &Sources, choice: &Choice) -> Vec<FindingLine> {
    findings(&sources.ops, &sources.context()).into_iter().map(|found| finding_line(found, state, choice)).collect()
}

fn finding_line(found: Found, state: &CarState, choice: &Choice) -> FindingLine {
    let Found { entry, weight, pictures, op: _ } = found;
    let card = entry.card.and_then(|card| state.card(card));
    let became =
        card.map(|card| format!("Found on the card “{}”, now {}.", card.card.facts.title, card.condition.label()));
    let since = entry.since.as_deref().map(|since| format!("{}.", words::capital(since)));
    let by = (!choice.leaves_out(LeaveOut::Names)).then(|| format!("noted by {}", entry.who));
    // The first word says that it was found, which the heading says already.
    let more = entry.more.into_iter().skip(1).chain([day(entry.at)]).chain(by);
    let shown = pictures.iter().filter(|picture| picture.here && !choice.leaves_out(LeaveOut::Photos));
    FindingLine {
        more: more.collect::<Vec<_>>().join(" · "),
        what: entry.what,
        weight: words::capital(weight.label()),
        became: became.into_iter().chain(since).collect::<Vec<_>>().join(" "),
        photos: shown.map(|picture| of_picture(picture, entry.at)).collect(),
    }
}

fn guards(sources: &Sources, choice: &Choice) -> Vec<Noted> {
    let context = sources.context();
    let passed = shown_ops(&sources.ops).into_iter().filter(|op| matches!(op.act, Act::WentOn(_)));
    passed
        .map(|op| {
            let said = entry(op, &context);
            let by = (!choice.leaves_out(LeaveOut::Names)).then(|| format!("noted by {}", said.who));
            let more = said.more.into_iter().chain([day(said.at)]).chain(by);
            Noted { what: said.what, more: more.collect::<Vec<_>>().join(" · ") }
        })
        .collect()
}

/// On the car: said so on the buy list, or used.
fn is_fitted(part: &Part, ops: &[Done]) -> bool {
    part.facts.state == Stage::Fitted || used(part, ops).next().is_some()
}

/// How much of it was used, and when.
fn used<'a>(part: &Part, ops: &'a [Done]) -> impl Iterator<Item = (&'a str, Moment)> {
    let id = part.id.to_string();
    ops.iter().filter(move |op| op.subject_id == id).filter_map(|op| {
        let Act::PartUsed(body) = &op.act else { return None };
        Some((body.quantity.as_str(), moment(op)))
    })
}

fn part_line(part: &Part, ops: &[Done], choice: &Choice) -> PartLine {
    let facts = &part.facts;
    let uses: Vec<String> = used(part, ops).map(|(quantity, at)| format!("{quantity} used on {}", day(at))).collect();
    let quantity = if uses.is_empty() { facts.quantity.clone() } else { uses.join(", ") };
    let number = if facts.number.is_empty() { String::new() } else { format!("number {}", facts.number) };
    let from = if facts.supplier.is_empty() || choice.leaves_out(LeaveOut::Places) {
        String::new()
    } else {
        format!("from {}", facts.supplier)
    };
    let price = facts.price_minor.filter(|_| !choice.leaves_out(LeaveOut::Prices));
    PartLine {
        name: facts.name.clone(),
        more: [quantity, number, from].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" · "),
        price: price.map(|minor| words::money(minor, &facts.currency)).unwrap_or_default(),
    }
}

fn sums(parts: &[&Part]) -> Vec<String> {
    let mut sums: BTreeMap<&str, i64> = BTreeMap::new();
    for part in parts {
        if let Some(minor) = part.facts.price_minor {
            *sums.entry(part.facts.currency.as_str()).or_default() += minor;
        }
    }
    sums.into_iter().map(|(currency, minor)| words::money(minor, currency)).collect()
}
