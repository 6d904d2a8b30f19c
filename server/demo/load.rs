//! Puts the demo garage into an empty database, through the same stores and operations that people use.

use super::format::{
    DemoCar, DemoCard, DemoDid, DemoEvenings, DemoLimit, DemoLimits, DemoPart, DemoParts, DemoSettled, DemoSpec,
    DemoSpecs, DemoStep, DemoTools, DemoWrench, DemoWrenches,
};
use super::survey;
use super::upkeep;
use super::{bottles, plan};
use crate::access::{add_program_device, the_program_as};
use crate::app::OwnerState;
use crate::cars::store::{self as cars, CarFacts};
use crate::chest::model::WrenchFacts;
use crate::chest::store as chest;
use crate::chest::tools::model::ToolFacts;
use crate::chest::tools::store as tools;
use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::StartError;
use crate::ids::{CarId, CardId, DeviceId, OpId, PartId, SpecId, SpecValueId, StepId, ToolId, WrenchId};
use crate::jobs::model::{Attached, CardFacts, Minutes, StepFacts, StepPart};
use crate::jobs::store as jobs;
use crate::photos::shelf::Sha256Hex;
use crate::photos::store::{self as photos, PhotoRow};
use crate::readings::model::LimitFacts;
use crate::readings::store as readings;
use crate::shelf::money::store::{self as limits_of, Limits};
use crate::shelf::store::{self as shelf, PartFacts};
use crate::specs::model::{Says, SaysFacts, SpecFacts};
use crate::specs::shown::said_by;
use crate::specs::store as specs;
use crate::sync::apply;
use crate::sync::hlc::Hlc;
use crate::sync::wire::{
    Act, ClipBody, FindingBody, FluidLookBody, OdometerBody, Op, PhotoBody, QuantityBody, ReadingBody, SettledBody,
    Subject, TextBody, Tick, TickBody, TimeBody, UndidBody, Verdict, Weight,
};
use crate::trade::buying::{Sort, Stage};
use crate::trade::limits::{Inputs, Rule};
use crate::trade::marks::{Mark, Marks};
use crate::trade::nature::Nature;
use crate::trade::plan::Spread;
use crate::trade::spec::{Fastener, Kind, SourceKind, System, Value};
use crate::trade::steps::{Ask, AskKind, ObjectKind, Verb};
use crate::trade::tools::whole_set;
use crate::trade::torque_wrench::WrenchKind;
use bytes::Bytes;
use std::collections::{HashMap, HashSet};
use std::convert::Infallible;

/// Minutes before the loading of the demo at which the last parcel came.
const DELIVERED: i64 = 90;

pub(super) type Loaded<T> = Result<T, StartError>;

/// Ids by the short keys of the seed files.
#[derive(Default)]
pub(super) struct Keys {
    specs: HashMap<String, SpecId>,
    /// By the spec's key and what is written: the source, and what it says in words.
    says: HashMap<(String, String), (SpecValueId, String)>,
    pub(super) parts: HashMap<String, PartId>,
    pub(super) cards: HashMap<String, CardId>,
    steps: HashMap<String, (CardId, StepId)>,
}

pub(super) fn fault(file: &str, say: impl std::fmt::Display) -> StartError {
    StartError::Said(format!("seed/demo/{file}: {say}"))
}

/// Loads the demo unless the garage holds a car already.
pub async fn load_if_empty(state: &OwnerState) -> Loaded<()> {
    let mut conn = state.read.conn().await?;
    let known = cars::all(&mut conn).await?;
    drop(conn);
    if known.is_empty() { load(state).await } else { Ok(()) }
}

async fn load(state: &OwnerState) -> Loaded<()> {
    let now = state.clock.now();
    let (car, device) = (CarId::new(), DeviceId::new());
    let pictures = store_photos(state).await?;
    let mut tx = state.write.begin(&the_program_as(device)).await?;
    add_program_device(&mut tx, device, "the demo", now).await?;
    let wanted_in_days = add_car(&mut tx, car, now).await?;
    let mut keys = Keys::default();
    for spec in super::read::<DemoSpecs>("specs.toml").map_err(StartError::Said)?.spec {
        add_spec(&mut tx, car, &spec, (&mut keys, &pictures), now).await?;
    }
    for wrench in super::read::<DemoWrenches>("wrenches.toml").map_err(StartError::Said)?.wrench {
        add_wrench(&mut tx, wrench, now).await?;
    }
    for line in super::read::<DemoTools>("tools.toml").map_err(StartError::Said)?.set {
        add_tools(&mut tx, &line).await?;
    }
    for part in super::read::<DemoParts>("parts.toml").map_err(StartError::Said)?.part {
        add_part(&mut tx, car, &part, &mut keys, now).await?;
    }
    bottles::add(&mut tx, car, now).await?;
    for file in super::cards() {
        let card = super::read::<DemoCard>(&file).map_err(StartError::Said)?;
        add_card(&mut tx, car, &file, card, &mut keys).await?;
    }
    plan::add(&mut tx, car, &keys.cards, now, wanted_in_days).await?;
    for limit in super::read::<DemoLimits>("limits.toml").map_err(StartError::Said)?.limit {
        add_limit(&mut tx, car, &limit, &keys).await?;
    }
    for photo in pictures.values() {
        let row = PhotoRow { sha256: photo.sha.as_str(), bytes: photo.bytes, width: photo.width, height: photo.height };
        photos::record(&mut tx, &row, now).await?;
    }
    let clips = super::sounds::add(&mut tx, car, now).await?;
    let work = Work { car, device, keys: &keys, pictures: &pictures, clips: &clips, now };
    work.add_evenings(&mut tx).await?;
    survey::add(&mut tx, &work).await?;
    // What the files say of the parts was said after those evenings.
    shelf::all_known(&mut tx, car).await?;
    work.add_arrivals(&mut tx).await?;
    upkeep::add(&mut tx, (car, device), &keys.cards, now).await?;
    tx.commit().await?;
    tracing::info!("the demo car is in the garage");
    Ok(())
}

/// Hands back in how many days it is wanted.
async fn add_car(tx: &mut WriteTx, car: CarId, now: Moment) -> Loaded<i64> {
    let demo = super::read::<DemoCar>("car.toml").map_err(StartError::Said)?;
    let facts = CarFacts {
        name: demo.name,
        make: demo.make,
        model: demo.model,
        year: Some(demo.year),
        codes: demo.codes.join("\n"),
        story: demo.story,
        wanted_on: Some(day(now.plus_days(demo.wanted_in_days))),
        wanted_for: demo.wanted_for,
    };
    cars::add(tx, car, &facts, true, now).await?;
    let currency = demo.currency;
    let limits =
        Limits { budget: Some((demo.budget_minor, currency.clone())), worth: Some((demo.worth_minor, currency)) };
    limits_of::keep(tx, car, &limits).await?;
    Ok(demo.wanted_in_days)
}

fn day(at: Moment) -> String {
    at.local().date().to_string()
}

async fn add_spec(
    tx: &mut WriteTx,
    car: CarId,
    demo: &DemoSpec,
    (keys, pictures): (&mut Keys, &HashMap<String, Picture>),
    now: Moment,
) -> Loaded<()> {
    let say = |what: String| fault("specs.toml", format!("{}: {what}", demo.key));
    let kind = Kind::from_name(&demo.kind).ok_or_else(|| say(format!("unknown kind ‘{}’", demo.kind)))?;
    let fastener = demo.fastener.as_ref().map(|f| Fastener {
        thread: f.thread.clone(),
        class: f.class.clone(),
        head: f.head.clone(),
        count: f.count,
        lubrication: f.lubrication.clone(),
        single_use: f.single_use,
    });
    let facts = SpecFacts {
        system: System::from_name(&demo.system).ok_or_else(|| say(format!("unknown system ‘{}’", demo.system)))?,
        item: demo.item.clone(),
        place: demo.place.clone(),
        kind,
        fastener,
        stages: demo.stages.clone(),
        bolts: demo.bolts.clone(),
        variant: demo.variant.clone(),
        note: demo.note.clone(),
    };
    if let Some(picture) = &facts.bolts {
        let count = facts.fastener.as_ref().map_or(0, Fastener::bolts);
        picture.pattern(count).map_err(|cause| say(cause.to_string()))?;
    }
    let id = SpecId::new();
    specs::add(tx, car, id, &facts).await?;
    for said in &demo.says {
        Value::parse(kind, &said.written).map_err(|cause| say(cause.to_string()))?;
        let source =
            SourceKind::from_name(&said.source).ok_or_else(|| say(format!("unknown source ‘{}’", said.source)))?;
        let facts = SaysFacts {
            written: said.written.clone(),
            source,
            citation: said.citation.clone(),
            page: said.page.clone(),
            note: said.note.clone(),
            photo: said.photo.as_ref().and_then(|name| pictures.get(name)).map(|picture| picture.sha.clone()),
        };
        let says = Says { id: SpecValueId::new(), facts, settled: said.settled };
        specs::add_says(tx, id, &says, now).await?;
        keys.says.insert((demo.key.clone(), said.written.clone()), (says.id, said_by(kind, &says)));
    }
    keys.specs.insert(demo.key.clone(), id);
    Ok(())
}

async fn add_wrench(tx: &mut WriteTx, demo: DemoWrench, now: Moment) -> Loaded<()> {
    let say = |what: String| fault("wrenches.toml", format!("{}: {what}", demo.name));
    let facts = WrenchFacts {
        name: demo.name.clone(),
        kind: WrenchKind::from_name(&demo.kind).ok_or_else(|| say(format!("unknown kind ‘{}’", demo.kind)))?,
        span: demo.span.clone(),
        graduation: demo.graduation.clone(),
        deviation: demo.deviation.clone(),
        calibrated_on: demo.calibrated_days_ago.map(|days| day(now.plus_days(-days))).unwrap_or_default(),
        uses: String::new(),
        lever: demo.lever.clone(),
        serial: String::new(),
    };
    facts.wrench().map_err(|cause| say(cause.to_string()))?;
    Ok(chest::add(tx, WrenchId::new(), &facts).await?)
}

async fn add_tools(tx: &mut WriteTx, line: &str) -> Loaded<()> {
    for tool in whole_set(line).map_err(|cause| fault("tools.toml", format!("{line}: {cause}")))? {
        tools::add(tx, ToolId::new(), &ToolFacts::of(&tool)).await?;
    }
    Ok(())
}

async fn add_limit(tx: &mut WriteTx, car: CarId, demo: &DemoLimit, keys: &Keys) -> Loaded<()> {
    let say = |what: String| fault("limits.toml", format!("{}: {what}", demo.what));
    let spec = |key: &str| match key {
        "" => Ok(None),
        key => keys.specs.get(key).copied().map(Some).ok_or_else(|| say(format!("unknown spec ‘{key}’"))),
    };
    let facts = LimitFacts {
        what: demo.what.clone(),
        rule: Rule::from_name(&demo.rule).ok_or_else(|| say(format!("unknown rule ‘{}’", demo.rule)))?,
        least: spec(&demo.least)?,
        most: spec(&demo.most)?,
        margin: demo.margin.clone(),
        inputs: Inputs { cylinders: demo.cylinders.clone(), ..Inputs::default() },
    };
    Ok(readings::add(tx, car, &facts).await?)
}

async fn add_part(tx: &mut WriteTx, car: CarId, demo: &DemoPart, keys: &mut Keys, now: Moment) -> Loaded<()> {
    let state = Stage::from_name(&demo.state)
        .ok_or_else(|| fault("parts.toml", format!("{}: unknown state ‘{}’", demo.key, demo.state)))?;
    let say = |what: String| fault("parts.toml", format!("{}: {what}", demo.key));
    let sort = Sort::from_name(&demo.sort).ok_or_else(|| say(format!("unknown sort ‘{}’", demo.sort)))?;
    let delivery = demo.delivery_days.map(|[low, likely, high]| Spread::new(low, likely, high));
    let in_days = |days: Option<i64>| days.map(|days| day(now.plus_days(days)));
    let facts = PartFacts {
        sort,
        name: demo.name.clone(),
        number: demo.number.clone(),
        barcode: demo.barcode.clone(),
        supplier: demo.supplier.clone(),
        quantity: demo.quantity.clone(),
        state,
        price_minor: demo.price_minor,
        currency: demo.currency.clone(),
        expected_on: in_days(demo.expected_in_days),
        expected_latest: in_days(demo.latest_in_days),
        delivery: delivery.transpose().map_err(|cause| say(cause.to_string()))?,
        note: demo.note.clone(),
    };
    let id = PartId::new();
    shelf::add(tx, car, id, &facts, Some(now.plus_days(-demo.days_ago))).await?;
    keys.parts.insert(demo.key.clone(), id);
    Ok(())
}

async fn add_card(tx: &mut WriteTx, car: CarId, file: &str, demo: DemoCard, keys: &mut Keys) -> Loaded<()> {
    let id = CardId::new();
    let facts = CardFacts {
        title: demo.title,
        system: System::from_name(&demo.system)
            .ok_or_else(|| fault(file, format!("unknown system ‘{}’", demo.system)))?,
        why: demo.why,
        minutes: demo.minutes.map(|[low, likely, high]| Minutes { low, likely, high }),
        helper: demo.helper,
    };
    jobs::add_card(tx, car, id, &facts).await?;
    for step in &demo.step {
        let (facts, attached) = step_facts(file, step, keys)?;
        let step_id = StepId::new();
        jobs::add_step(tx, id, step_id, &facts).await?;
        jobs::attach(tx, id, step_id, &attached).await?;
        if !step.key.is_empty() {
            keys.steps.insert(format!("{}/{}", demo.key, step.key), (id, step_id));
        }
    }
    keys.cards.insert(demo.key, id);
    Ok(())
}

fn step_facts(file: &str, demo: &DemoStep, keys: &Keys) -> Loaded<(StepFacts, Attached)> {
    let say = |what: String| fault(file, format!("‘{}’: {what}", demo.words));
    let asks = demo.ask.as_ref().map(|ask| {
        let kind = AskKind::from_name(&ask.kind).ok_or_else(|| say(format!("unknown reading ‘{}’", ask.kind)))?;
        Ok::<_, StartError>(Ask { what: ask.what.clone(), kind })
    });
    let facts = StepFacts {
        verb: Verb::from_name(&demo.verb).ok_or_else(|| say(format!("unknown verb ‘{}’", demo.verb)))?,
        object_kind: ObjectKind::from_name(&demo.object_kind)
            .ok_or_else(|| say(format!("unknown kind of object ‘{}’", demo.object_kind)))?,
        object: demo.object.clone(),
        words: demo.words.clone(),
        detail: demo.detail.clone(),
        asks: asks.transpose()?,
        marks: marks(demo).map_err(say)?,
    };
    let spec = |key: &String| keys.specs.get(key).copied().ok_or_else(|| say(format!("unknown spec ‘{key}’")));
    let part = |(key, quantity): (&String, &String)| {
        let part = keys.parts.get(key).copied().ok_or_else(|| say(format!("unknown part ‘{key}’")))?;
        Ok::<_, StartError>(StepPart { part, quantity: quantity.clone() })
    };
    let attached = Attached {
        specs: demo.specs.iter().map(spec).collect::<Result<_, _>>()?,
        parts: demo.parts.iter().map(part).collect::<Result<_, _>>()?,
        tools: demo.tools.clone(),
        cautions: demo.cautions.clone(),
    };
    Ok((facts, attached))
}

fn marks(demo: &DemoStep) -> Result<Marks, String> {
    let mark = |name: &String| Mark::from_name(name).ok_or_else(|| format!("unknown mark ‘{name}’"));
    let is = demo.is.as_ref().map(|name| Nature::from_name(name).ok_or_else(|| format!("unknown nature ‘{name}’")));
    Ok(Marks {
        marks: demo.marks.iter().map(mark).collect::<Result<_, _>>()?,
        is: is.transpose()?,
        filler: demo.filler.clone(),
        set: demo.set.clone(),
    })
}

/// A demo photo that is on the shelf.
struct Picture {
    sha: Sha256Hex,
    bytes: i64,
    width: i64,
    height: i64,
}

/// Brings the photos of the evenings and of the sources onto the shelf, the same way as a phone does.
async fn store_photos(state: &OwnerState) -> Loaded<HashMap<String, Picture>> {
    let evenings = super::read::<DemoEvenings>("evenings.toml").map_err(StartError::Said)?;
    let specs = super::read::<DemoSpecs>("specs.toml").map_err(StartError::Said)?;
    let taken = evenings.evening.into_iter().flat_map(|evening| evening.did).filter_map(|did| did.photo);
    let of_sources = specs.spec.into_iter().flat_map(|spec| spec.says).filter_map(|says| says.photo);
    let names: HashSet<String> = taken.chain(of_sources).collect();
    let mut pictures = HashMap::new();
    for name in names {
        let bytes = super::photo(&name).map_err(StartError::Said)?;
        let picture = store_photo(state, bytes).await.map_err(|cause| fault(&name, cause))?;
        pictures.insert(name, picture);
    }
    Ok(pictures)
}

async fn store_photo(state: &OwnerState, bytes: Vec<u8>) -> Result<Picture, crate::photos::shelf::ShelfError> {
    let sha = Sha256Hex::of(&bytes);
    let length = bytes.len();
    if let crate::photos::shelf::Standing::Receiving { offset, .. } = state.photos.begin(&sha, length as u64).await? {
        let rest = Bytes::from(bytes).slice(usize::try_from(offset).unwrap_or(length).min(length)..);
        let pieces = futures_util::stream::iter([Ok::<_, Infallible>(rest)]);
        state.photos.append(&sha, offset, pieces).await?;
    }
    let photo = state.photos.finish(&sha).await?;
    let size = photo.facts.size;
    Ok(Picture {
        sha,
        bytes: i64::try_from(length).unwrap_or(i64::MAX),
        width: size.width.into(),
        height: size.height.into(),
    })
}

/// The evenings' operations, made as if a phone had sent them then.
pub(super) struct Work<'a> {
    pub(super) car: CarId,
    device: DeviceId,
    pub(super) keys: &'a Keys,
    pictures: &'a HashMap<String, Picture>,
    /// By file name.
    clips: &'a HashMap<String, ClipBody>,
    now: Moment,
}

impl Work<'_> {
    async fn add_evenings(&self, tx: &mut WriteTx) -> Loaded<()> {
        let mut hlc = Hlc::ZERO;
        for evening in super::read::<DemoEvenings>("evenings.toml").map_err(StartError::Said)?.evening {
            let start = self.start(evening.days_ago, &evening.from)?;
            for did in &evening.did {
                hlc = hlc.next(start.plus_minutes(did.after));
                self.add(tx, did, hlc).await?;
            }
        }
        Ok(())
    }

    /// The day so many days after the loading of the demo.
    pub(super) fn day_in(&self, days: i64) -> String {
        day(self.now.plus_days(days))
    }

    /// What came of the parts since their state was said.
    async fn add_arrivals(&self, tx: &mut WriteTx) -> Loaded<()> {
        let mut hlc = crate::sync::store::latest_hlc(tx).await?;
        for part in super::read::<DemoParts>("parts.toml").map_err(StartError::Said)?.part {
            let Some(came) = part.came else { continue };
            hlc = hlc.next(self.now.plus_minutes(-DELIVERED));
            let did = DemoDid { on: format!("part:{}", part.key), arrival: Some(came), ..DemoDid::default() };
            self.add(tx, &did, hlc).await?;
        }
        Ok(())
    }

    pub(super) fn start(&self, days_ago: i64, from: &str) -> Loaded<Moment> {
        let time: jiff::civil::Time =
            from.parse().map_err(|cause| fault("evenings.toml", format!("‘{from}’ is no time: {cause}")))?;
        let day = self.now.plus_days(-days_ago).local().date();
        let start = day
            .to_datetime(time)
            .to_zoned_datetime(jiff::tz::TimeZone::system())
            .map_err(|cause| fault("evenings.toml", cause))?;
        Ok(Moment(start.timestamp().as_millisecond()))
    }

    async fn add(&self, tx: &mut WriteTx, did: &DemoDid, hlc: Hlc) -> Loaded<()> {
        let (card, on) = self.subject(&did.on)?;
        self.put(tx, "evenings.toml", &did.on, (card, on, self.act(did)?), hlc).await
    }

    /// Takes an operation as from a phone; `what` names it where it is refused.
    pub(super) async fn put(
        &self,
        tx: &mut WriteTx,
        file: &str,
        what: &str,
        (card, on, act): (Option<CardId>, Subject, Act),
        hlc: Hlc,
    ) -> Loaded<()> {
        let op = Op { id: OpId::new(), device: self.device, hlc: hlc.to_string(), car: self.car, card, on, act };
        let raw = serde_json::to_value(&op).map_err(|cause| fault(file, cause))?;
        crate::sync::judge::read(&raw, self.now)
            .map_err(|(_, refusal)| fault(file, format!("{what}: {}", refusal.say)))?;
        match apply::take_op(tx, self.device, &op, hlc.moment()).await? {
            Verdict::Refused { say, .. } => Err(fault(file, format!("{what}: {say}"))),
            Verdict::Applied { .. } | Verdict::Had { .. } | Verdict::Kept { .. } => Ok(()),
        }
    }

    fn subject(&self, on: &str) -> Loaded<(Option<CardId>, Subject)> {
        let unknown = || fault("evenings.toml", format!("unknown subject ‘{on}’"));
        if on == "car" {
            return Ok((None, Subject::Car(self.car)));
        }
        let (kind, key) = on.split_once(':').ok_or_else(unknown)?;
        match kind {
            "card" => self.keys.cards.get(key).map(|id| (Some(*id), Subject::Card(*id))),
            "step" => self.keys.steps.get(key).map(|(card, step)| (Some(*card), Subject::Step(*step))),
            "spec" => self.keys.specs.get(key).map(|id| (None, Subject::Spec(*id))),
            "part" => self.keys.parts.get(key).map(|id| (None, Subject::Part(*id))),
            _ => None,
        }
        .ok_or_else(unknown)
    }

    fn act(&self, did: &DemoDid) -> Loaded<Act> {
        let say = |what: &str| fault("evenings.toml", format!("{}: {what}", did.on));
        if let Some(name) = &did.tick {
            let state = Tick::from_name(name).ok_or_else(|| say("unknown tick"))?;
            return Ok(Act::Tick(TickBody { state }));
        }
        if let Some(text) = &did.note {
            return Ok(Act::Note(TextBody { text: text.clone() }));
        }
        if let Some(finding) = &did.finding {
            let weight = Weight::from_name(&finding.weight).ok_or_else(|| say("unknown weight"))?;
            return Ok(Act::Finding(FindingBody { text: finding.text.clone(), place: finding.place.clone(), weight }));
        }
        if let Some(reading) = &did.reading {
            let note = (!reading.note.is_empty()).then(|| reading.note.clone());
            let (what, number, unit) = (reading.what.clone(), reading.number.clone(), reading.unit.clone());
            return Ok(Act::Reading(ReadingBody { what, number, unit, note }));
        }
        if let Some(name) = &did.photo {
            let picture = self.pictures.get(name).ok_or_else(|| say("unknown photo"))?;
            return Ok(Act::Photo(PhotoBody {
                sha256: picture.sha.as_str().to_owned(),
                bytes: picture.bytes.unsigned_abs(),
                mime: "image/jpeg".into(),
                caption: did.caption.clone(),
                question: None,
            }));
        }
        if let Some(settled) = &did.settled {
            return self.settled(did, settled).ok_or_else(|| say("no source of that spec has this written"));
        }
        self.lesser_act(did).ok_or_else(|| say("nothing was done"))
    }

    fn settled(&self, did: &DemoDid, settled: &DemoSettled) -> Option<Act> {
        let why = settled.why.clone();
        if settled.on.is_empty() {
            return Some(Act::Settled(SettledBody { on: String::new(), say: String::new(), why }));
        }
        let key = did.on.strip_prefix("spec:")?;
        let (on, say) = self.keys.says.get(&(key.to_owned(), settled.on.clone()))?;
        Some(Act::Settled(SettledBody { on: on.to_string(), say: say.clone(), why }))
    }

    fn lesser_act(&self, did: &DemoDid) -> Option<Act> {
        if let Some(minutes) = did.minutes {
            return Some(Act::Time(TimeBody { minutes }));
        }
        if let Some(odometer) = &did.odometer {
            let (number, unit) = odometer.split_once(' ')?;
            return Some(Act::Odometer(OdometerBody { number: number.into(), unit: unit.into() }));
        }
        if let Some(quantity) = &did.part_used {
            return Some(Act::PartUsed(QuantityBody { quantity: quantity.clone() }));
        }
        if let Some(quantity) = &did.arrival {
            return Some(Act::Arrival(QuantityBody { quantity: quantity.clone() }));
        }
        if let Some(undid) = &did.undid {
            return Some(Act::Undid(UndidBody { what: undid.what.clone(), place: undid.place.clone() }));
        }
        if let Some(look) = &did.look {
            let (fluid, colour, smell, particles) = (look.fluid, look.colour, look.smell, look.particles);
            return Some(Act::FluidLook(FluidLookBody { fluid, colour, smell, particles, note: look.note.clone() }));
        }
        if let Some(symptom) = &did.symptom {
            return Some(Act::Symptom(symptom.clone()));
        }
        if let Some(file) = &did.clip {
            let clip = self.clips.get(file)?;
            return Some(Act::Clip(ClipBody { caption: did.caption.clone(), ..clip.clone() }));
        }
        did.recheck.as_ref().map(|text| Act::Recheck(TextBody { text: text.clone() }))
    }
}
