//! The work on a car, by part of the car and card.

use super::choice::{Choice, LeaveOut};
use super::lines::{Area, Entry, Job, Photo, PhotoGroup};
use crate::clock::Moment;
use crate::ids::CardId;
use crate::logbook::book::{shown_ops, title_of};
use crate::logbook::evening::evening_of;
use crate::logbook::sources::Sources;
use crate::logbook::words::{self as book, Context, card_of, entry, moment};
use crate::sync::wire::{Act, Tick};
use crate::trade::spec::System;
use crate::web::words;
use crate::work::model::CarState;
use crate::work::store::Done;
use std::collections::BTreeSet;

/// `3 Oct 2026`: a record is read in other years.
pub fn day(at: Moment) -> String {
    evening_of(at).strftime("%-d %b %Y").to_string()
}

/// Every part of the car on which something was done; then what belongs to no card, and to cards that are no more.
pub fn areas(state: &CarState, sources: &Sources, choice: &Choice) -> Vec<Area> {
    let context = sources.context();
    let ops = shown_ops(&sources.ops);
    let job = |card: Option<CardId>| {
        let own: Vec<&Done> = ops.iter().copied().filter(|op| card_of(op, &sources.things) == card).collect();
        job(card, &own, &context, choice)
    };
    let on_cards = |system: System| {
        let cards = state.cards.iter().filter(|card| card.card.facts.system == system);
        let jobs = cards.filter_map(|card| {
            let condition = format!("now {}", card.condition.label());
            job(Some(card.card.id)).map(|job| Job { condition, ..job })
        });
        Area { label: system.label().to_owned(), jobs: jobs.collect() }
    };
    let gone: BTreeSet<CardId> =
        ops.iter().filter_map(|op| card_of(op, &sources.things)).filter(|card| state.card(*card).is_none()).collect();
    let others = [
        Area { label: "On the car itself".to_owned(), jobs: job(None).into_iter().collect() },
        Area {
            label: "On job cards that were taken away".to_owned(),
            jobs: gone.into_iter().filter_map(|card| job(Some(card))).collect(),
        },
    ];
    System::ALL.iter().map(|system| on_cards(*system)).chain(others).filter(|area| !area.jobs.is_empty()).collect()
}

/// `None` where nothing of it is told here.
fn job(card: Option<CardId>, ops: &[&Done], context: &Context<'_>, choice: &Choice) -> Option<Job> {
    let told: Vec<&Done> = ops.iter().copied().filter(|op| is_told_here(op)).collect();
    let photos = if choice.leaves_out(LeaveOut::Photos) { Vec::new() } else { photo_groups(ops, context) };
    if told.is_empty() && photos.is_empty() {
        return None;
    }
    let mut entries: Vec<Entry> = told.iter().map(|op| line(op, context)).collect();
    // Once for a day, backwards, so that each line is compared with the one before it as it was.
    for at in (1..entries.len()).rev() {
        if entries[at].day == entries[at - 1].day {
            entries[at].day.clear();
        }
    }
    Some(Job {
        title: card.map_or_else(String::new, |card| title_of(card, context.things)),
        condition: String::new(),
        when: when(ops, choice),
        entries,
        photos,
    })
}

/// What has no part of the record of its own, and is no sum.
fn is_told_here(op: &Done) -> bool {
    match &op.act {
        Act::Tick(_)
        | Act::Reading(_)
        | Act::Note(_)
        | Act::Odometer(_)
        | Act::Undid(_)
        | Act::Closed(_)
        | Act::Recheck(_)
        | Act::Road(_)
        | Act::Night(_)
        | Act::Bolt(_)
        | Act::FluidLook(_)
        | Act::Settled(_)
        | Act::Serviced(_)
        | Act::Symptom(_)
        | Act::Correction(_) => true,
        Act::Survey(_)
        | Act::Dealt(_)
        | Act::Clip(_)
        | Act::Photo(_)
        | Act::Finding(_)
        | Act::WentOn(_)
        | Act::Time(_)
        | Act::PartUsed(_)
        | Act::Arrival(_) => false,
    }
}

fn line(op: &Done, context: &Context<'_>) -> Entry {
    let said = entry(op, context);
    Entry { day: day(said.at), what: said.what, more: said.more.join(" · "), since: said.since.unwrap_or_default() }
}

fn when(ops: &[&Done], choice: &Choice) -> String {
    let (Some(first), Some(last)) = (ops.first(), ops.last()) else { return String::new() };
    let (from, to) = (day(moment(first)), day(moment(last)));
    let mut said = vec![if from == to { from } else { format!("{from} to {to}") }];
    let minutes: i64 = ops.iter().map(|op| if let Act::Time(body) = &op.act { body.minutes } else { 0 }).sum();
    if minutes > 0 {
        said.push(format!("{} worked", words::minutes(minutes)));
    }
    if !choice.leaves_out(LeaveOut::Names) {
        let names: BTreeSet<&str> = ops.iter().filter_map(|op| op.device_name.as_deref()).collect();
        said.extend(
            (!names.is_empty()).then(|| format!("noted by {}", names.into_iter().collect::<Vec<_>>().join(", "))),
        );
    }
    said.join(" · ")
}

/// Photos before the first step was done, after the last, and those between.
fn photo_groups(ops: &[&Done], context: &Context<'_>) -> Vec<PhotoGroup> {
    let is_done = |op: &&&Done| matches!(&op.act, Act::Tick(body) if body.state == Tick::Done);
    let (first, last) = (ops.iter().find(is_done).map(|op| moment(op)), ops.iter().rfind(is_done).map(|op| moment(op)));
    let label = |at: Moment| match (first, last) {
        (Some(first), _) if at < first => "Before",
        (_, Some(last)) if at >= last => "After",
        (Some(_), _) => "While working",
        (None, _) => "Photos",
    };
    let mut groups: Vec<PhotoGroup> = Vec::new();
    for op in ops {
        let Some(photo) = photo(op, context) else { continue };
        let label = label(moment(op));
        match groups.iter_mut().find(|group| group.label == label) {
            Some(group) => group.photos.push(photo),
            None => groups.push(PhotoGroup { label, photos: vec![photo] }),
        }
    }
    groups
}

/// A photo whose bytes are here.
pub fn photo(op: &Done, context: &Context<'_>) -> Option<Photo> {
    let picture = entry(op, context).picture.filter(|picture| picture.here)?;
    Some(of_picture(&picture, moment(op)))
}

pub fn of_picture(picture: &book::Picture, at: Moment) -> Photo {
    Photo {
        sha256: picture.sha256.clone(),
        large: false,
        alt: picture.alt.clone(),
        caption: picture.caption.trim().to_owned(),
        day: day(at),
    }
}
