//! What is typed about a spec and its sources, and how it becomes facts. Pure.

use super::model::{Says, SaysFacts, Spec, SpecFacts};
use crate::photos::shelf::Sha256Hex;
use crate::trade::bolt_order::{Picture, PictureError, Shape};
use crate::trade::spec::{Fastener, Kind, SourceKind, System, Value};
use crate::web::form::{Differs, Slips, differing};
use serde::Deserialize;

const LONGEST_NAME: usize = 120;
const LONGEST_WRITTEN: usize = 400;
const LONGEST_CITATION: usize = 300;
const LONGEST_PAGE: usize = 60;
const LONGEST_NOTE: usize = 2000;
const MOST_STAGES: usize = 6;
const LONGEST_STAGE: usize = 60;
const MOST_FASTENERS: u32 = 200;

pub(super) const NOT_AMONG_THEM: &str = "Choose one of the photos of this car that are shown, or none.";

/// What a spec is for, as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SpecForm {
    pub rev: i64,
    pub system: String,
    pub item: String,
    pub place: String,
    pub kind: String,
    pub thread: String,
    pub class: String,
    pub head: String,
    pub count: String,
    pub lubrication: String,
    #[serde(default)]
    pub single_use: String,
    pub stages: String,
    /// How the bolts lie; empty: no picture.
    #[serde(default)]
    pub bolts: String,
    #[serde(default)]
    pub order: String,
    #[serde(default)]
    pub joints: String,
    pub variant: String,
    pub note: String,
    /// Anything: only look whether it fits, and save nothing.
    #[serde(default)]
    pub look: String,
}

/// What one source says, as typed. `rev` is the spec's.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SaysForm {
    pub rev: i64,
    pub written: String,
    #[serde(default)]
    pub source: String,
    pub citation: String,
    pub page: String,
    pub says_note: String,
    /// SHA-256 of the photo chosen; empty: none.
    #[serde(default)]
    pub photo: String,
    /// Anything: a photo is brought in next.
    #[serde(default)]
    pub then: String,
}

/// A new spec: what it is for, and what the first source says.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NewSpecForm {
    system: String,
    item: String,
    place: String,
    kind: String,
    thread: String,
    class: String,
    head: String,
    count: String,
    lubrication: String,
    #[serde(default)]
    single_use: String,
    stages: String,
    #[serde(default)]
    bolts: String,
    #[serde(default)]
    order: String,
    #[serde(default)]
    joints: String,
    variant: String,
    note: String,
    written: String,
    #[serde(default)]
    source: String,
    citation: String,
    page: String,
    says_note: String,
    #[serde(default)]
    photo: String,
    #[serde(default)]
    then: String,
    #[serde(default)]
    look: String,
}

impl NewSpecForm {
    pub fn split(self) -> (SpecForm, SaysForm) {
        let spec = SpecForm {
            rev: 0,
            system: self.system,
            item: self.item,
            place: self.place,
            kind: self.kind,
            thread: self.thread,
            class: self.class,
            head: self.head,
            count: self.count,
            lubrication: self.lubrication,
            single_use: self.single_use,
            stages: self.stages,
            bolts: self.bolts,
            order: self.order,
            joints: self.joints,
            variant: self.variant,
            note: self.note,
            look: self.look,
        };
        let says = SaysForm {
            rev: 0,
            written: self.written,
            source: self.source,
            citation: self.citation,
            page: self.page,
            says_note: self.says_note,
            photo: self.photo,
            then: self.then,
        };
        (spec, says)
    }
}

impl From<&Spec> for SpecForm {
    fn from(spec: &Spec) -> SpecForm {
        let facts = spec.facts.clone();
        let fastener = facts.fastener.as_ref();
        let picture = facts.bolts.as_ref();
        let of = |part: fn(&Fastener) -> String| fastener.map(part).unwrap_or_default();
        SpecForm {
            rev: spec.rev,
            system: facts.system.name().to_owned(),
            item: facts.item,
            place: facts.place,
            kind: facts.kind.name().to_owned(),
            thread: of(|fastener| fastener.thread.clone()),
            class: of(|fastener| fastener.class.clone()),
            head: of(|fastener| fastener.head.clone()),
            count: of(|fastener| fastener.count.to_string()),
            lubrication: of(|fastener| fastener.lubrication.clone()),
            single_use: of(|fastener| if fastener.single_use { "yes".into() } else { String::new() }),
            stages: facts.stages.join("\n"),
            bolts: picture.map(|picture| picture.shape.name().to_owned()).unwrap_or_default(),
            order: picture.map(|picture| picture.order.clone()).unwrap_or_default(),
            joints: picture.filter(|one| one.joints > 1).map(|one| one.joints.to_string()).unwrap_or_default(),
            variant: facts.variant,
            note: facts.note,
            look: String::new(),
        }
    }
}

impl SpecForm {
    /// Whether it is only to be looked at, and not saved.
    pub fn is_only_looked_at(&self) -> bool {
        !self.look.is_empty()
    }

    /// As much of it as a torque is judged by, whatever else is still missing.
    pub fn torque_facts(&self, slips: &mut Slips) -> Option<SpecFacts> {
        let fastener = self.fastener(slips);
        let stages = self.stages(slips);
        slips.is_empty().then(|| SpecFacts {
            system: System::from_name(&self.system).unwrap_or(System::Engine),
            item: self.item.clone(),
            place: self.place.clone(),
            kind: Kind::Torque,
            fastener,
            stages,
            bolts: None,
            variant: String::new(),
            note: self.note.clone(),
        })
    }

    pub fn kind(&self) -> Option<Kind> {
        Kind::from_name(&self.kind)
    }

    /// The facts, unless something cannot be taken; the slips say what.
    pub fn read(&self, slips: &mut Slips) -> Option<SpecFacts> {
        let system = System::from_name(&self.system);
        if system.is_none() {
            slips.say("system", "Choose the part of the car it belongs to.");
        }
        let item = slips.needed("item", &self.item, LONGEST_NAME, "Say what it is the value of.");
        let place = slips.line("place", &self.place, LONGEST_NAME);
        let kind = self.kind();
        if kind.is_none() {
            slips.say("kind", "Choose what kind of value it is.");
        }
        let fastener = self.fastener(slips);
        let stages = self.stages(slips);
        let bolts = self.picture(fastener.as_ref(), slips);
        let variant = slips.line("variant", &self.variant, LONGEST_NAME);
        let note = slips.text("note", &self.note, LONGEST_NOTE);
        if !slips.is_empty() {
            return None;
        }
        Some(SpecFacts { system: system?, item, place, kind: kind?, fastener, stages, bolts, variant, note })
    }

    fn fastener(&self, slips: &mut Slips) -> Option<Fastener> {
        let thread = slips.line("thread", &self.thread, LONGEST_NAME);
        let class = slips.line("class", &self.class, LONGEST_NAME);
        let head = slips.line("head", &self.head, LONGEST_NAME);
        let count = self.count.trim();
        let lubrication = slips.line("lubrication", &self.lubrication, LONGEST_NAME);
        let single_use = !self.single_use.is_empty();
        if [&thread, &class, &head, &lubrication].iter().all(|part| part.is_empty()) && count.is_empty() && !single_use
        {
            return None;
        }
        let count = if count.is_empty() { Some(1) } else { count.parse().ok() };
        let count = count.filter(|count| (1..=MOST_FASTENERS).contains(count));
        if count.is_none() {
            slips.say("count", format!("Write how many there are as a whole number, from 1 to {MOST_FASTENERS}."));
        }
        Some(Fastener { thread, class, head, count: count?, lubrication, single_use })
    }

    /// How the bolts lie and in which order they are tightened, as the trade judges it.
    fn picture(&self, fastener: Option<&Fastener>, slips: &mut Slips) -> Option<Picture> {
        let order = slips.line("order", &self.order, LONGEST_NAME * 2);
        let joints = self.joints.trim();
        if self.bolts.is_empty() {
            if !order.is_empty() || !joints.is_empty() {
                slips.say("bolts", "Choose how the bolts lie, so that they can be drawn.");
            }
            return None;
        }
        let Some(shape) = Shape::from_name(&self.bolts) else {
            slips.say("bolts", "Choose how the bolts lie.");
            return None;
        };
        if self.kind() != Some(Kind::Torque) {
            slips.say("bolts", "A bolt picture belongs to a torque: choose that kind, or no picture.");
        }
        let joints = if joints.is_empty() { Some(1) } else { joints.parse().ok().filter(|count| *count > 0) };
        let Some(joints) = joints else {
            slips.say("joints", "Write how many joints alike there are as a whole number, such as 4 for four wheels.");
            return None;
        };
        if self.count.trim().is_empty() {
            slips.say("count", "Write how many there are: the picture shows each of them.");
            return None;
        }
        let picture = Picture { shape, order, joints };
        // What is wrong with the count itself was said already.
        let Err(why) = picture.pattern(fastener?.bolts()) else { return Some(picture) };
        let field = match &why {
            PictureError::Joints { .. } => "joints",
            PictureError::Named { .. } | PictureError::Order(_) => "order",
            PictureError::Pattern(_) => "count",
        };
        slips.say(field, why.to_string());
        None
    }

    /// Each stage is a torque or an angle.
    fn stages(&self, slips: &mut Slips) -> Vec<String> {
        let stages = slips.lines("stages", &self.stages, MOST_STAGES, LONGEST_STAGE);
        if !stages.is_empty() && self.kind() != Some(Kind::Torque) {
            slips.say("stages", "Stages belong to a torque: choose that kind, or leave them out.");
            return stages;
        }
        for stage in &stages {
            let Err(as_torque) = Value::parse(Kind::Torque, stage) else { continue };
            let Err(as_angle) = Value::parse(Kind::Angle, stage) else { continue };
            let turn = stage.contains('°') || stage.contains("deg");
            slips.say("stages", if turn { as_angle.to_string() } else { as_torque.to_string() });
        }
        stages
    }

    /// What is there now where it differs from what was typed.
    pub fn differing(&self, now: &Spec) -> Vec<Differs> {
        differing(SpecForm::from(now).fields(), self.fields())
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        let label = |found: Option<&'static str>, typed: &str| found.unwrap_or(typed).to_owned();
        let single_use = if self.single_use.is_empty() { "no" } else { "yes" };
        vec![
            ("System", label(System::from_name(&self.system).map(System::label), &self.system)),
            ("What", self.item.clone()),
            ("Place", self.place.clone()),
            ("Kind of value", label(self.kind().map(Kind::label), &self.kind)),
            ("Thread", self.thread.clone()),
            ("Class", self.class.clone()),
            ("Head", self.head.clone()),
            ("How many", self.count.clone()),
            ("Thread is", self.lubrication.clone()),
            ("New one each time", single_use.to_owned()),
            ("Stages", self.stages.replace("\r\n", "\n")),
            ("Bolts lie", label(Shape::from_name(&self.bolts).map(Shape::label), &self.bolts)),
            ("Own order", self.order.clone()),
            ("Joints alike", self.joints.clone()),
            ("Variant", self.variant.clone()),
            ("Note", self.note.replace("\r\n", "\n")),
        ]
    }
}

/// A change of kind must leave every source readable.
pub fn check_kind(spec: &Spec, kind: Kind, slips: &mut Slips) {
    for says in &spec.says {
        if let Err(why) = Value::parse(kind, &says.facts.written) {
            let source = says.facts.source.label();
            slips.say("kind", format!("What the {source} says could no longer be read. {why}"));
        }
    }
}

impl From<(&Says, i64)> for SaysForm {
    fn from((says, rev): (&Says, i64)) -> SaysForm {
        SaysForm {
            rev,
            written: says.facts.written.clone(),
            source: says.facts.source.name().to_owned(),
            citation: says.facts.citation.clone(),
            page: says.facts.page.clone(),
            says_note: says.facts.note.clone(),
            photo: says.facts.photo.as_ref().map(ToString::to_string).unwrap_or_default(),
            then: String::new(),
        }
    }
}

impl SaysForm {
    /// The facts, unless something cannot be taken; the slips say what. `kind` is `None` while it is not chosen.
    pub fn read(&self, kind: Option<Kind>, slips: &mut Slips) -> Option<SaysFacts> {
        // Kept exactly as written, apart from blanks around it.
        let written = self.written.trim().to_owned();
        let known = slips.all().len();
        slips.line("written", &self.written, LONGEST_WRITTEN);
        if slips.all().len() == known
            && let Err(why) = Value::parse(kind.unwrap_or(Kind::Text), &self.written)
        {
            slips.say("written", why.to_string());
        }
        let source = SourceKind::from_name(&self.source);
        if source.is_none() {
            slips.say("source", "Choose where the value comes from.");
        }
        let citation = slips.line("citation", &self.citation, LONGEST_CITATION);
        if let Some(say) = source.filter(|_| citation.is_empty()).and_then(needs_citation) {
            slips.say("citation", say);
        }
        let page = slips.line("page", &self.page, LONGEST_PAGE);
        let note = slips.text("says_note", &self.says_note, LONGEST_NOTE);
        let photo = self.photo(slips);
        if !slips.is_empty() {
            return None;
        }
        Some(SaysFacts { written, source: source?, citation, page, note, photo })
    }

    fn photo(&self, slips: &mut Slips) -> Option<Sha256Hex> {
        let chosen = Some(self.photo.as_str()).filter(|photo| !photo.is_empty())?;
        let photo = Sha256Hex::parse(chosen).ok();
        if photo.is_none() {
            slips.say("photo", NOT_AMONG_THEM);
        }
        photo
    }

    /// Whether a photo is brought in as soon as this is saved.
    pub fn goes_on_to_photo(&self) -> bool {
        !self.then.is_empty()
    }

    /// What is there now where it differs from what was typed.
    pub fn differing(&self, now: &Says) -> Vec<Differs> {
        differing(SaysForm::from((now, 0)).fields(), self.fields())
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        let source = SourceKind::from_name(&self.source).map_or("", SourceKind::label);
        vec![
            ("Value", self.written.clone()),
            ("Where from", source.to_owned()),
            ("Citation", self.citation.clone()),
            ("Page", self.page.clone()),
            ("Note", self.says_note.replace("\r\n", "\n")),
            ("Photo", self.photo.get(..8).map(|begins| format!("photo {begins}…")).unwrap_or_default()),
        ]
    }
}

/// Why a source of this kind must be named; `None` where it need not.
fn needs_citation(kind: SourceKind) -> Option<&'static str> {
    match kind {
        SourceKind::MakersManual => Some("Say which book and edition, or choose another source."),
        SourceKind::PartsSupplier => Some("Say which supplier, and on what it was printed."),
        SourceKind::SecondHand => Some("Say who says so, or call it a guess."),
        SourceKind::ReadOffTheCar | SourceKind::Guess => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spec() -> SpecForm {
        SpecForm { system: "engine".into(), item: "Sump plug".into(), kind: "torque".into(), ..SpecForm::default() }
    }

    fn says(written: &str) -> SaysForm {
        SaysForm { written: written.into(), source: "guess".into(), ..SaysForm::default() }
    }

    fn slip_of(form: &SpecForm, field: &str) -> String {
        let mut slips = Slips::default();
        assert_eq!(form.read(&mut slips).is_none(), !slips.is_empty());
        slips.of(field).to_owned()
    }

    fn said(written: &str, kind: Kind) -> String {
        let mut slips = Slips::default();
        assert_eq!(says(written).read(Some(kind), &mut slips).is_none(), !slips.is_empty());
        slips.of("written").to_owned()
    }

    #[test]
    fn a_spec_needs_a_system_a_name_and_a_kind() {
        let form = SpecForm { system: String::new(), item: " ".into(), kind: "weight".into(), ..spec() };
        for field in ["system", "item", "kind"] {
            assert_ne!(slip_of(&form, field), "", "{field}");
        }
        assert_eq!(slip_of(&spec(), "item"), "");
    }

    #[test]
    fn a_fastener_is_there_when_anything_is_said_of_it() {
        let mut slips = Slips::default();
        assert_eq!(spec().read(&mut slips).unwrap().fastener, None);
        let form = SpecForm { head: "19 mm hex".into(), ..spec() };
        assert_eq!(form.read(&mut slips).unwrap().fastener.unwrap().count, 1);
        for count in ["0", "201", "-1", "two", "1.5"] {
            assert_ne!(slip_of(&SpecForm { count: count.into(), ..spec() }, "count"), "", "{count}");
        }
    }

    #[test]
    fn stages_are_torques_or_angles_and_belong_to_a_torque() {
        assert_eq!(slip_of(&SpecForm { stages: "40 Nm\r\n90°".into(), ..spec() }, "stages"), "");
        assert_ne!(slip_of(&SpecForm { stages: "40 Nm\n3 l".into(), ..spec() }, "stages"), "");
        let volume = SpecForm { stages: "40 Nm".into(), kind: "volume".into(), ..spec() };
        assert!(slip_of(&volume, "stages").starts_with("Stages belong to a torque"));
    }

    #[test]
    fn a_value_that_cannot_be_read_is_refused_in_the_parser_s_words() {
        assert_eq!(said("62 lbf ft", Kind::Torque), "");
        assert_eq!(said("-40 Nm", Kind::Torque), "A torque cannot be negative.");
        assert!(said("40 parsecs", Kind::Torque).contains("is not a unit known for"));
        assert!(said("4 l", Kind::Torque).contains("is a unit for a volume"));
        assert!(said("2 qt", Kind::Volume).contains("can be either of two units"));
        assert!(said("1,250 Nm", Kind::Torque).contains("could mean"));
        assert!(said("", Kind::Torque).starts_with("Say what the source says"));
    }

    #[test]
    fn a_source_that_can_be_looked_up_again_must_be_named() {
        let cases = [("makers-manual", true), ("parts-supplier", true), ("second-hand", true)];
        for (source, named) in cases.into_iter().chain([("read-off-the-car", false), ("guess", false)]) {
            let mut slips = Slips::default();
            SaysForm { source: source.into(), ..says("40 Nm") }.read(Some(Kind::Torque), &mut slips);
            assert_eq!(!slips.of("citation").is_empty(), named, "{source}");
        }
    }

    #[test]
    fn what_is_written_is_kept_to_the_letter() {
        let mut slips = Slips::default();
        let facts = says(" 2½ US  qt ").read(Some(Kind::Volume), &mut slips).unwrap();
        assert_eq!(facts.written, "2½ US  qt");
    }
}
