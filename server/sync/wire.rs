//! What travels: operations up, verdicts and changes down. The fields and their order are the protocol's;
//! unknown fields are refused.

use crate::ids::{CarId, CardId, DeviceId, OpId, PartId, SpecId, StepId, StoreId};
use crate::trade::closed_set::closed_set;
use crate::trade::fluid::{Colour, FluidKind, Look, Particles, Smell};
use crate::trade::survey::{Answer, How};
use crate::trade::symptom::Symptom;
use serde::{Deserialize, Serialize};

/// One thing that a person did.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Op {
    pub id: OpId,
    pub device: DeviceId,
    pub hlc: String,
    pub car: CarId,
    pub card: Option<CardId>,
    pub on: Subject,
    #[serde(rename = "do")]
    pub act: Act,
}

/// What an operation is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Subject {
    Car(CarId),
    Card(CardId),
    Step(StepId),
    Spec(SpecId),
    Part(PartId),
}

impl Subject {
    pub fn kind(self) -> &'static str {
        match self {
            Subject::Car(_) => "car",
            Subject::Card(_) => "card",
            Subject::Step(_) => "step",
            Subject::Spec(_) => "spec",
            Subject::Part(_) => "part",
        }
    }

    pub fn id(self) -> String {
        match self {
            Subject::Car(id) => id.to_string(),
            Subject::Card(id) => id.to_string(),
            Subject::Step(id) => id.to_string(),
            Subject::Spec(id) => id.to_string(),
            Subject::Part(id) => id.to_string(),
        }
    }
}

closed_set! {
    /// What a tick says of a step.
    pub enum Tick {
        Done = "done", "done";
        Skipped = "skipped", "skipped";
        Open = "open", "open again";
    }
}

closed_set! {
    /// How much a finding matters.
    pub enum Weight {
        Fine = "fine", "fine";
        Watch = "watch", "watch";
        Act = "act", "act";
        Unknown = "unknown", "unknown";
    }
}

impl From<Weight> for Answer {
    fn from(weight: Weight) -> Answer {
        match weight {
            Weight::Fine => Answer::Fine,
            Weight::Watch => Answer::Watch,
            Weight::Act => Answer::Act,
            Weight::Unknown => Answer::Unknown,
        }
    }
}

closed_set! {
    /// Whether a bolt counts as tight in its stage.
    pub enum Tight {
        Done = "done", "tight";
        Open = "open", "open again";
    }
}

/// What was done. One member, named after the kind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Act {
    Tick(TickBody),
    Reading(ReadingBody),
    Note(TextBody),
    Photo(PhotoBody),
    Finding(FindingBody),
    PartUsed(QuantityBody),
    Arrival(QuantityBody),
    Odometer(OdometerBody),
    Time(TimeBody),
    Undid(UndidBody),
    Closed(ClosedBody),
    Recheck(TextBody),
    WentOn(WentOnBody),
    Road(RoadBody),
    Night(TextBody),
    Bolt(BoltBody),
    FluidLook(FluidLookBody),
    Settled(SettledBody),
    Survey(SurveyBody),
    Dealt(DealtBody),
    Serviced(ServicedBody),
    Correction(CorrectionBody),
    Clip(ClipBody),
    Symptom(Symptom),
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TickBody {
    pub state: Tick,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReadingBody {
    pub what: String,
    /// Decimal text as typed, with comma or point.
    pub number: String,
    /// A unit code of `trade::quantity`, or `count`.
    pub unit: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TextBody {
    pub text: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PhotoBody {
    pub sha256: String,
    pub bytes: u64,
    #[serde(rename = "type")]
    pub mime: String,
    pub caption: String,
    /// The question of the survey that it was taken for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub question: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FindingBody {
    pub text: String,
    #[serde(rename = "where")]
    pub place: String,
    pub weight: Weight,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct QuantityBody {
    pub quantity: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct OdometerBody {
    pub number: String,
    /// `km` or `mi`
    pub unit: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TimeBody {
    pub minutes: i64,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct UndidBody {
    pub what: String,
    #[serde(rename = "where")]
    pub place: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClosedBody {
    pub key: String,
}

/// A guard that was passed over.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WentOnBody {
    /// Name of a `trade::checker::Rule`, as the phone had it.
    pub rule: String,
    /// What the guard said.
    pub say: String,
    /// Why the person went on anyway.
    pub why: String,
}

closed_set! {
    /// What was seen at an item of the road check.
    pub enum Seen {
        Holds = "holds", "holds";
        Fails = "fails", "does not hold";
        NotLooked = "not-looked", "not looked at";
    }
}

/// An answer of the road check.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RoadBody {
    /// Key of a `trade::road` item.
    pub item: String,
    /// The item in words, as it was shown.
    pub say: String,
    pub seen: Seen,
    pub note: String,
}

/// One bolt of a joint that is tightened by a picture, in one stage.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BoltBody {
    /// From 1.
    pub stage: usize,
    /// Its number from 1 by how the bolts lie, counted on through joints alike.
    pub bolt: usize,
    pub state: Tight,
    /// How many bolts the stage has.
    pub of: usize,
    /// The stage in words, as it was shown: `Head bolts, stage 2 of 3`.
    pub say: String,
}

/// What a fluid looked and smelled like when it was drained or dipped.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FluidLookBody {
    /// What kind of fluid it was taken for, so that the record tells it without its spec.
    pub fluid: FluidKind,
    pub colour: Colour,
    pub smell: Smell,
    pub particles: Particles,
    pub note: String,
}

impl FluidLookBody {
    pub fn look(&self) -> Look {
        Look { colour: self.colour, smell: self.smell, particles: self.particles }
    }

    /// `Engine oil: black, smells of fuel`
    pub fn words(&self) -> String {
        format!("{}: {}", crate::web::words::capital(self.fluid.label()), self.look())
    }
}

/// A disagreement of sources that was settled, or opened again. Made at the desk, where the sources stand.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SettledBody {
    /// The id of the source that holds; empty: the question is open again.
    pub on: String,
    /// What that source said then, in words: it may be changed or taken out later.
    pub say: String,
    /// May be empty.
    pub why: String,
}

/// An answer to a question of the survey.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SurveyBody {
    /// The question's name. It need not be one of this garage's survey: its text may have been changed since.
    pub question: String,
    /// The question in words, as it was shown.
    pub say: String,
    pub answer: Weight,
    /// May be empty.
    pub note: String,
}

/// What became of an answer of the survey, or of a finding.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DealtBody {
    /// `question:<name>` or `finding:<operation id>`.
    pub about: String,
    /// The same in words, as it was shown.
    pub say: String,
    pub how: How,
    /// The id of the card or part; else empty.
    pub became: String,
    /// The day on which a watched thing is looked at again, `2027-02-25`; else empty.
    pub until: String,
    /// Needed where there is nothing to do.
    pub why: String,
}

closed_set! {
    /// Whether something was kept up on a day.
    pub enum Served {
        Done = "done", "done";
        Not = "not", "not done after all";
    }
}

/// Something that is done again and again was done on a day, which may be long past; or it was not, and that was a slip.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ServicedBody {
    /// The id of what is kept up.
    pub item: String,
    /// What it was called then: it may be renamed or taken out later.
    pub say: String,
    /// `2026-11-25`
    pub day: String,
    /// What the odometer showed, as typed; empty where nobody looked.
    pub number: String,
    /// `km` or `mi`
    pub unit: String,
    /// The card or the person who did it; may be empty.
    pub by: String,
    pub note: String,
    pub state: Served,
}

/// Something said of an earlier entry of the logbook that was wrong. The entry stays; both are shown.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CorrectionBody {
    /// The operation that is corrected. It may arrive later, or never.
    pub of: OpId,
    pub text: String,
}

/// A recorded clip of sound. Its bytes travel apart, as those of a photo do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClipBody {
    /// Of the WAV file.
    pub sha256: String,
    pub bytes: u64,
    pub caption: String,
}

impl Act {
    /// The kind's name, as stored.
    pub fn kind(&self) -> &'static str {
        match self {
            Act::Tick(_) => "tick",
            Act::Reading(_) => "reading",
            Act::Note(_) => "note",
            Act::Photo(_) => "photo",
            Act::Finding(_) => "finding",
            Act::PartUsed(_) => "part-used",
            Act::Arrival(_) => "arrival",
            Act::Odometer(_) => "odometer",
            Act::Time(_) => "time",
            Act::Undid(_) => "undid",
            Act::Closed(_) => "closed",
            Act::Recheck(_) => "recheck",
            Act::WentOn(_) => "went-on",
            Act::Road(_) => "road",
            Act::Night(_) => "night",
            Act::Bolt(_) => "bolt",
            Act::FluidLook(_) => "fluid-look",
            Act::Settled(_) => "settled",
            Act::Survey(_) => "survey",
            Act::Dealt(_) => "dealt",
            Act::Serviced(_) => "serviced",
            Act::Correction(_) => "correction",
            Act::Clip(_) => "clip",
            Act::Symptom(_) => "symptom",
        }
    }

    /// Whether it can be said of such a subject.
    pub fn goes_on(&self, subject: Subject) -> bool {
        match self {
            Act::Tick(_) | Act::WentOn(_) | Act::Bolt(_) => matches!(subject, Subject::Step(_)),
            Act::Reading(_) => !matches!(subject, Subject::Part(_)),
            Act::Note(_) | Act::Photo(_) | Act::Finding(_) | Act::Correction(_) => true,
            Act::PartUsed(_) | Act::Arrival(_) => matches!(subject, Subject::Part(_)),
            Act::Settled(_) => matches!(subject, Subject::Spec(_)),
            Act::Odometer(_)
            | Act::Road(_)
            | Act::Night(_)
            | Act::Survey(_)
            | Act::Dealt(_)
            | Act::Serviced(_)
            | Act::Clip(_)
            | Act::Symptom(_) => {
                matches!(subject, Subject::Car(_))
            }
            Act::FluidLook(_) => matches!(subject, Subject::Spec(_) | Subject::Step(_) | Subject::Car(_)),
            Act::Time(_) | Act::Recheck(_) => matches!(subject, Subject::Card(_)),
            Act::Undid(_) | Act::Closed(_) => matches!(subject, Subject::Car(_) | Subject::Card(_)),
        }
    }

    /// For what can be said twice: the field of the subject in which the latest wins. `None`: only added.
    pub fn field(&self) -> Option<String> {
        match self {
            Act::Tick(_) => Some("tick".into()),
            Act::Reading(reading) => Some(format!("reading:{}", reading.what)),
            Act::Odometer(_) => Some("odometer".into()),
            Act::Recheck(_) => Some("recheck".into()),
            Act::Settled(_) => Some("settled".into()),
            Act::Serviced(body) => Some(format!("serviced:{}:{}", body.item, body.day)),
            Act::Road(road) => Some(format!("road:{}", road.item)),
            Act::Survey(survey) => Some(format!("survey:{}", survey.question)),
            Act::Dealt(dealt) => Some(format!("dealt:{}", dealt.about)),
            Act::Bolt(bolt) => Some(format!("bolt:{}:{}", bolt.stage, bolt.bolt)),
            Act::Note(_)
            | Act::Photo(_)
            | Act::Finding(_)
            | Act::PartUsed(_)
            | Act::Arrival(_)
            | Act::Time(_)
            | Act::Undid(_)
            | Act::Closed(_)
            | Act::WentOn(_)
            | Act::Night(_)
            | Act::FluidLook(_)
            | Act::Correction(_)
            | Act::Clip(_)
            | Act::Symptom(_) => None,
        }
    }
}

/// The body of `POST /sync/ops`. Operations are kept raw here, so that one that cannot be read does not
/// hold up the others.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Sent {
    pub ops: Vec<serde_json::Value>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum RefusedAgain {
    Never,
    Restamp,
}

/// What became of one operation.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub enum Verdict {
    Applied { id: OpId, seq: i64 },
    Had { id: OpId, seq: i64 },
    Kept { id: OpId, seq: i64, say: String },
    Refused { id: Option<OpId>, code: &'static str, say: String, again: RefusedAgain },
}

#[derive(Debug, Serialize)]
pub struct Verdicts {
    pub store: StoreId,
    pub now: i64,
    pub verdicts: Vec<Verdict>,
}

/// An operation as it comes down, with its place in the order in which they became durable.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct KnownOp {
    pub seq: i64,
    #[serde(flatten)]
    pub op: Op,
}

#[derive(Debug, Serialize)]
pub struct Changes {
    pub store: StoreId,
    pub now: i64,
    pub mark: String,
    pub more: bool,
    pub fresh_start: bool,
    pub ops: Vec<KnownOp>,
}

/// How far a device has read: `store:seq`, opaque to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Mark {
    pub store: StoreId,
    pub seq: i64,
}

impl std::fmt::Display for Mark {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{}:{}", self.store, self.seq)
    }
}

impl std::str::FromStr for Mark {
    type Err = &'static str;
    fn from_str(text: &str) -> Result<Mark, Self::Err> {
        let (store, seq) = text.split_once(':').ok_or("no colon")?;
        Ok(Mark { store: store.parse().map_err(|_| "no store id")?, seq: seq.parse().map_err(|_| "no number")? })
    }
}
