//! How the demo garage is written down under `seed/demo/`: plain TOML that a mechanic can read and edit.
//!
//! Keys are our own short names (`key = "sump-plug"`); cards refer to specs and parts by key. Every
//! unknown field is an error, so that a typing slip is named instead of ignored.

use crate::trade::bolt_order::Picture;
use crate::trade::fluid::{Colour, FluidKind, Particles, Smell};
use crate::trade::sound::WrittenPart;
use crate::trade::symptom::Symptom;
use serde::Deserialize;
use std::collections::BTreeMap;

/// `seed/demo/car.toml`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoCar {
    pub name: String,
    pub make: String,
    pub model: String,
    pub year: i64,
    /// `name: value` lines: chassis number, engine code, gearbox code, axle ratio …
    pub codes: Vec<String>,
    /// Two or three sentences, beginning with the words that make and model are invented.
    pub story: String,
    /// Days from the loading of the demo to the date the car is wanted on.
    pub wanted_in_days: i64,
    pub wanted_for: String,
    /// What may be spent on it, and what it is worth to its owner: in hundredths of the currency.
    pub budget_minor: i64,
    pub worth_minor: i64,
    pub currency: String,
}

/// `seed/demo/specs.toml`: `[[spec]]` tables
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoSpecs {
    pub spec: Vec<DemoSpec>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoSpec {
    pub key: String,
    /// A `trade::spec::System` name: body, brakes, cooling, driveline, electrics, engine, exhaust, fuel, steering, suspension, wheels
    pub system: String,
    pub item: String,
    #[serde(default)]
    pub place: String,
    /// A `trade::spec::Kind` name: torque, volume, pressure, length, temperature, angle, voltage, fluid, text
    pub kind: String,
    #[serde(default)]
    pub fastener: Option<DemoFastener>,
    /// Stages in order, each a torque or an angle as written: `["40 Nm", "90°"]`
    #[serde(default)]
    pub stages: Vec<String>,
    /// How the fasteners lie: `{ shape = "ring", order = "1 3 5 2 4", joints = 4 }`; shape ring, oval, row or two-rows; order
    /// only where it is not that of the rule; joints where several alike share the fasteners.
    #[serde(default)]
    pub bolts: Option<Picture>,
    #[serde(default)]
    pub variant: String,
    #[serde(default)]
    pub note: String,
    /// At least one. Two that differ make an open question.
    pub says: Vec<DemoSays>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoFastener {
    /// `M12x1.5`, `7/16-20 UNF`, `drain plug 18 mm hex socket` …
    pub thread: String,
    #[serde(default)]
    pub class: String,
    #[serde(default)]
    pub head: String,
    #[serde(default = "one")]
    pub count: u32,
    #[serde(default)]
    pub lubrication: String,
    #[serde(default)]
    pub single_use: bool,
}

fn one() -> u32 {
    1
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoSays {
    /// Exactly as the source has it: `62 lbf ft`, `45 Nm`, `4,2 l`, `API GL-4, SAE 80W`
    pub written: String,
    /// makers-manual, read-off-the-car, parts-supplier, second-hand, guess
    pub source: String,
    #[serde(default)]
    pub citation: String,
    #[serde(default)]
    pub page: String,
    #[serde(default)]
    pub settled: bool,
    /// File name under `seed/demo/photos/`: where it says so.
    #[serde(default)]
    pub photo: Option<String>,
    #[serde(default)]
    pub note: String,
}

/// `seed/demo/parts.toml`: `[[part]]` tables
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoParts {
    pub part: Vec<DemoPart>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoPart {
    pub key: String,
    pub name: String,
    #[serde(default)]
    pub number: String,
    #[serde(default)]
    pub supplier: String,
    #[serde(default = "one_text")]
    pub quantity: String,
    /// wanted, ordered, here, fitted, sent-back
    pub state: String,
    /// In hundredths of the currency.
    #[serde(default)]
    pub price_minor: Option<i64>,
    #[serde(default)]
    pub currency: String,
    /// Days from the loading of the demo: the earliest day, and the latest where it differs.
    #[serde(default)]
    pub expected_in_days: Option<i64>,
    #[serde(default)]
    pub latest_in_days: Option<i64>,
    /// A `trade::buying::Sort` name: part, fluid, consumable, tool
    #[serde(default = "part_text")]
    pub sort: String,
    /// The number under its bars.
    #[serde(default)]
    pub barcode: String,
    /// How many days delivery takes: low, likely, high.
    #[serde(default)]
    pub delivery_days: Option<[u32; 3]>,
    /// How long ago its state was said.
    #[serde(default)]
    pub days_ago: i64,
    /// How many of it came since.
    #[serde(default)]
    pub came: Option<String>,
    #[serde(default)]
    pub note: String,
}

fn part_text() -> String {
    "part".into()
}

fn one_text() -> String {
    "1".into()
}

/// `seed/demo/wrenches.toml`: `[[wrench]]` tables
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoWrenches {
    pub wrench: Vec<DemoWrench>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoWrench {
    pub name: String,
    /// A `trade::torque_wrench::WrenchKind` name: click, preset, dial, beam, electronic, screwdriver
    pub kind: String,
    /// Lowest to highest mark: `20-110 Nm`
    pub span: String,
    pub graduation: String,
    /// In percent; empty: not known.
    pub deviation: String,
    /// Days before the loading of the demo; none: nobody knows.
    #[serde(default)]
    pub calibrated_days_ago: Option<i64>,
    #[serde(default)]
    pub lever: String,
}

/// `seed/demo/tools.toml`: sockets and keys
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoTools {
    /// Each a line that `trade::tools::whole_set` reads.
    pub set: Vec<String>,
}

/// `seed/demo/limits.toml`: `[[limit]]` tables
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoLimits {
    pub limit: Vec<DemoLimit>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoLimit {
    /// As readings name it.
    pub what: String,
    /// A `trade::limits::Rule` name.
    pub rule: String,
    /// Keys of specs.
    #[serde(default)]
    pub least: String,
    #[serde(default)]
    pub most: String,
    #[serde(default)]
    pub margin: String,
    #[serde(default)]
    pub cylinders: String,
}

/// `seed/demo/cards/NN-name.toml`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoCard {
    pub key: String,
    pub title: String,
    pub system: String,
    pub why: String,
    /// low, likely, high
    pub minutes: Option<[i64; 3]>,
    /// A second person is asked to help.
    #[serde(default)]
    pub helper: bool,
    #[serde(default)]
    pub step: Vec<DemoStep>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoStep {
    /// Needed only where an evening or another step speaks of it.
    #[serde(default)]
    pub key: String,
    /// chock, raise, support, lower, open, loosen, remove, disconnect, drain, prop, inspect, measure, clean,
    /// prepare, fit, connect, fill, bleed, tighten, final-tighten, free, run, drive, note, close
    pub verb: String,
    /// corner, fastener, part, fluid, opening, connection, prop, left-inside, none
    pub object_kind: String,
    /// What the verb is done to: `rear end`, `sump plug`, `engine oil`, `battery earth lead`. The same name in
    /// every step and card means the same thing on the car.
    pub object: String,
    /// One plain sentence, at most about 90 characters.
    pub words: String,
    #[serde(default)]
    pub detail: String,
    #[serde(default)]
    pub specs: Vec<String>,
    /// part key → quantity
    #[serde(default)]
    pub parts: BTreeMap<String, String>,
    #[serde(default)]
    pub tools: Vec<String>,
    /// Names of known cautions (`trade::cautions`) or own sentences.
    #[serde(default)]
    pub cautions: Vec<String>,
    /// Names of marks (`trade::marks`).
    #[serde(default)]
    pub marks: Vec<String>,
    /// Name of a nature (`trade::nature`), where the object's name does not say it.
    #[serde(default)]
    pub is: Option<String>,
    /// On `drain`: the opening through which it is filled again.
    #[serde(default)]
    pub filler: String,
    /// Fasteners that all have to be in before one is pulled tight.
    #[serde(default)]
    pub set: String,
    /// What is to be read off here.
    #[serde(default)]
    pub ask: Option<DemoAsk>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoAsk {
    pub what: String,
    /// torque, volume, pressure, length, temperature, angle, voltage, count
    pub kind: String,
}

/// `seed/demo/evenings.toml`: `[[evening]]` tables, the work already in the logbook
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoEvenings {
    pub evening: Vec<DemoEvening>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoEvening {
    /// Whole days before the loading of the demo.
    pub days_ago: i64,
    /// `19:10`, local time
    pub from: String,
    pub did: Vec<DemoDid>,
}

/// One operation. `on` is `car`, `card:<key>`, `step:<card key>/<step key>`, `spec:<key>` or `part:<key>`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoDid {
    /// Minutes after the evening's `from`.
    pub after: i64,
    pub on: String,
    #[serde(default)]
    pub tick: Option<String>,
    #[serde(default)]
    pub note: Option<String>,
    #[serde(default)]
    pub finding: Option<DemoFinding>,
    #[serde(default)]
    pub reading: Option<DemoReading>,
    /// File name under `seed/demo/sounds/`; `caption` says what is heard.
    #[serde(default)]
    pub clip: Option<String>,
    #[serde(default)]
    pub symptom: Option<Symptom>,
    /// File name under `seed/demo/photos/`.
    #[serde(default)]
    pub photo: Option<String>,
    #[serde(default)]
    pub caption: String,
    #[serde(default)]
    pub minutes: Option<i64>,
    /// `134820 km`
    #[serde(default)]
    pub odometer: Option<String>,
    #[serde(default)]
    pub part_used: Option<String>,
    #[serde(default)]
    pub arrival: Option<String>,
    #[serde(default)]
    pub undid: Option<DemoUndid>,
    #[serde(default)]
    pub recheck: Option<String>,
    #[serde(default)]
    pub look: Option<DemoLook>,
    /// On a spec: which of its sources holds.
    #[serde(default)]
    pub settled: Option<DemoSettled>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoSettled {
    /// `written` of the source; empty: the question is open again.
    pub on: String,
    pub why: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoFinding {
    pub text: String,
    #[serde(default)]
    pub place: String,
    /// fine, watch, act, unknown
    pub weight: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoReading {
    pub what: String,
    pub number: String,
    /// A unit code: `N.m`, `lbf.ft`, `l`, `bar`, `mm`, `degC`, `V`, `count`
    pub unit: String,
    #[serde(default)]
    pub note: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoUndid {
    pub what: String,
    pub place: String,
}

/// Names of `trade::fluid`: a kind, a colour, a smell, particles.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoLook {
    pub fluid: FluidKind,
    pub colour: Colour,
    pub smell: Smell,
    pub particles: Particles,
    #[serde(default)]
    pub note: String,
}

/// `seed/demo/sounds.toml`: `[turns]`, `[[part]]` and `[[clip]]` tables
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoSounds {
    pub turns: DemoTurns,
    pub part: Vec<WrittenPart>,
    pub clip: Vec<DemoClip>,
}

/// What the speeds of the shafts follow from, as it would be typed.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoTurns {
    pub cylinders: String,
    pub cycle: String,
    pub round: String,
    pub axle: String,
}

/// A clip, and the engine's speed while it was taken.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoClip {
    /// File name under `seed/demo/sounds/`.
    pub file: String,
    pub turns: String,
}

/// `seed/demo/bottles.toml`: `[[size]]` and `[[kept]]` tables
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoBottles {
    pub size: Vec<DemoSize>,
    pub kept: Vec<DemoKept>,
}

/// A size that a shop sells.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoSize {
    /// By published class: `DOT 4`
    pub fluid: String,
    pub holds: String,
    /// In hundredths of the currency.
    pub price_minor: i64,
    pub currency: String,
}

/// A bottle on the shelf.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoKept {
    pub fluid: String,
    pub volume: String,
    pub opened: bool,
    /// Days before the loading of the demo on which it was opened or bought.
    pub days_ago: i64,
}

/// `seed/demo/survey.toml`: `[[walk]]` tables with answers, `[[dealt]]` tables with what became of them
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoSurvey {
    pub walk: Vec<DemoWalk>,
    pub dealt: Vec<DemoDealt>,
}

/// Part of the walk on one day.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoWalk {
    pub days_ago: i64,
    pub from: String,
    /// The question's name, and its answer with a note behind a bar.
    pub answers: Vec<[String; 2]>,
    #[serde(default)]
    pub readings: Vec<DemoWalkReading>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoWalkReading {
    /// Minutes after `from`.
    pub after: i64,
    pub what: String,
    pub number: String,
    pub unit: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoDealt {
    pub days_ago: i64,
    pub from: String,
    pub with: Vec<DemoDealing>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoDealing {
    /// The name of a question, or `finding: ` and how it begins.
    pub about: String,
    /// card, part, watch, nothing
    pub how: String,
    /// The key of a card or a part.
    #[serde(default)]
    pub became: String,
    #[serde(default)]
    pub until_in_days: Option<i64>,
    #[serde(default)]
    pub why: String,
}

/// `seed/demo/plan.toml`
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoPlan {
    /// For the key of a card, the keys of those that must be finished first.
    pub after: BTreeMap<String, Vec<String>>,
    pub put_off: DemoPutOff,
    pub weekly: Vec<DemoWeekly>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoPutOff {
    /// Keys of cards.
    pub cards: Vec<String>,
}

/// An evening of every week.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoWeekly {
    /// `tuesday`
    pub weekday: String,
    /// `19:00`, local time
    pub starts: String,
    pub minutes: u32,
    #[serde(default)]
    pub helper: bool,
    #[serde(default)]
    pub note: String,
}

/// `seed/demo/upkeep.toml`: what is kept up, and what the odometer showed before the demo's evenings.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoUpkeep {
    pub paper: Vec<DemoPaper>,
    pub item: Vec<DemoItem>,
}

/// An odometer reading out of a paper.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoPaper {
    pub days_ago: i64,
    /// `74350 mi`
    pub shown: String,
    pub from: String,
    #[serde(default)]
    pub replaced: Option<DemoReplaced>,
}

/// Before the reading another clock was put in.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoReplaced {
    /// `75140 mi`
    pub old_end: String,
    pub new_start: String,
    pub note: String,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoItem {
    pub what: String,
    /// `10000 km, 12 months`, or one of the two
    pub every: String,
    /// As in `specs.toml`.
    pub source: String,
    #[serde(default)]
    pub citation: String,
    #[serde(default)]
    pub page: String,
    /// Key of the card that does it.
    #[serde(default)]
    pub card: Option<String>,
    #[serde(default)]
    pub done: Option<DemoDone>,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DemoDone {
    pub days_ago: i64,
    /// `134820 km`; empty where nobody looked.
    #[serde(default)]
    pub shown: String,
    #[serde(default)]
    pub by: String,
    #[serde(default)]
    pub note: String,
}
