//! What the spec book's templates show.

use super::bolts::BoltsView;
use super::fit::{self, Fit};
use super::form::{SaysForm, SpecForm};
use super::model::{Says, Spec};
use super::photo::{Candidates, PhotoChoices};
use super::shown::{ShownSpec, ShownValue, citation_line, fastener_line, source_code};
use super::whole::Whole;
use crate::chest::model::{Kept, day_of};
use crate::chest::store as chest;
use crate::chest::views::Which;
use crate::clock::Clock;
use crate::error::AppError;
use crate::ids::{CarId, SpecId, SpecValueId};
use crate::sync::hlc::Hlc;
use crate::trade::spec::{Kind, SourceKind, System};
use crate::trade::torque_wrench::Day;
use crate::trade::trust::{Trust, same};
use crate::web::form::{Choice, Differs, Slips};
use crate::web::page::Page;
use crate::web::words;
use crate::work::model::CarState;
use crate::work::store::{Settling, settlings_of};
use askama::Template;
use sqlx::SqliteConnection;

/// A link with its words.
pub struct Link {
    pub href: String,
    pub words: String,
}

/// The cards that use a spec.
pub(super) fn used_by(car: CarId, spec: SpecId, on_car: &CarState) -> Vec<Link> {
    let uses =
        |card: &&crate::work::model::CardState| card.steps.iter().any(|step| step.attached.specs.contains(&spec));
    on_car
        .cards
        .iter()
        .filter(uses)
        .map(|state| Link {
            href: format!("/cars/{car}/cards/{}", state.card.id),
            words: state.card.facts.title.clone(),
        })
        .collect()
}

/// A kind of source to choose, with its mark.
pub struct SourceChoice {
    pub value: &'static str,
    pub label: &'static str,
    pub code: &'static str,
    pub chosen: bool,
}

pub(super) fn source_choices(chosen: &str) -> Vec<SourceChoice> {
    SourceKind::ALL
        .iter()
        .map(|kind| SourceChoice {
            value: kind.name(),
            label: kind.label(),
            code: source_code(*kind),
            chosen: kind.name() == chosen,
        })
        .collect()
}

/// What one source says, as a row.
pub struct SourceRow {
    id: SpecValueId,
    href: String,
    value: ShownValue,
    code: &'static str,
    word: &'static str,
    citation: String,
    note: Vec<String>,
    /// How it stands beside the one that is shown; empty for an only source.
    stands: &'static str,
    settled: bool,
    /// SHA-256 of a photo of it.
    photo: Option<String>,
}

fn source_row(base: &str, spec: &Spec, says: &Says) -> SourceRow {
    SourceRow {
        id: says.id,
        href: format!("{base}/says/{}", says.id),
        value: ShownValue::of(spec.facts.kind, &says.facts.written),
        code: source_code(says.facts.source),
        word: says.facts.source.label(),
        citation: citation_line(says),
        note: lines(&says.facts.note),
        stands: stands(spec, says),
        settled: says.settled,
        photo: says.facts.photo.as_ref().map(ToString::to_string),
    }
}

fn stands(spec: &Spec, says: &Says) -> &'static str {
    let (trust, shown) = spec.trust();
    let Some(shown) = shown.filter(|_| spec.says.len() > 1) else {
        return "";
    };
    if shown.id == says.id {
        return match trust {
            Trust::Settled(_) => "settled on",
            Trust::Open => "the most trusted",
            Trust::Missing | Trust::Guessed | Trust::Single(_) | Trust::Agreeing(..) => "shown first",
        };
    }
    if same(&spec.read(says), &spec.read(shown)) { "says the same" } else { "says something else" }
}

/// One settling or re-opening, as a row of the history.
pub struct SettlingRow {
    mark: &'static str,
    words: String,
    why: String,
    /// When, and with which device.
    by: String,
}

fn settling_row(settling: &Settling) -> SettlingRow {
    let body = &settling.body;
    let (mark, words) = match body.on.as_str() {
        "" => ("disagree", "Opened the question again".to_owned()),
        _ => ("agree", format!("Settled on {}", body.say)),
    };
    let when = words::day_and_time(settling.hlc.parse::<Hlc>().unwrap_or(Hlc::ZERO).moment());
    let who = settling.device.as_deref().unwrap_or("a device that is unknown here");
    SettlingRow { mark, words, why: body.why.clone(), by: format!("{when}, {who}") }
}

fn lines(text: &str) -> Vec<String> {
    text.lines().map(str::trim).filter(|line| !line.is_empty()).map(str::to_owned).collect()
}

/// A term and what holds for it.
pub struct Fact {
    term: &'static str,
    value: String,
}

fn facts(spec: &Spec) -> Vec<Fact> {
    let facts = &spec.facts;
    let fastener = facts.fastener.as_ref();
    let all = [
        ("System", facts.system.label().to_owned()),
        ("Kind of value", facts.kind.label().to_owned()),
        ("Place", facts.place.clone()),
        ("Fastener", fastener.map(fastener_line).unwrap_or_default()),
        ("Only for", facts.variant.clone()),
        ("This car", spec.holding.as_ref().map(|holding| holding.say.clone()).unwrap_or_default()),
    ];
    all.into_iter().filter(|(_, value)| !value.is_empty()).map(|(term, value)| Fact { term, value }).collect()
}

/// What stands beside a spec on its page: the cards that use it, the wrenches that could set it.
pub struct Beside {
    on_car: CarState,
    chest: Vec<Kept>,
    settlings: Vec<Settling>,
    candidates: Candidates,
    today: Day,
}

impl Beside {
    pub async fn read(
        conn: &mut SqliteConnection,
        clock: &Clock,
        (car, spec): (CarId, SpecId),
    ) -> Result<Beside, AppError> {
        let on_car = CarState::read(conn, car).await?;
        let settlings = settlings_of(conn, spec).await?;
        let candidates = Candidates::read(conn, car).await?;
        Ok(Beside { on_car, chest: chest::all(conn).await?, settlings, candidates, today: day_of(clock.now())? })
    }
}

/// One spec with everything known of it.
#[derive(Template)]
#[template(path = "specs/spec.html")]
pub struct SpecPage {
    page: Page,
    book: String,
    /// Where what is measured is held against figures of the book.
    readings: String,
    base: String,
    rev: i64,
    shown: ShownSpec,
    is_open: bool,
    is_settled: bool,
    facts: Vec<Fact>,
    note: Vec<String>,
    bolts: Option<BoltsView>,
    fits: Vec<Fit>,
    head_hint: Option<String>,
    /// Only for a torque.
    which: Option<Which>,
    /// Only for a torque that has more to it than its figure.
    whole: Option<Whole>,
    rows: Vec<SourceRow>,
    history: Vec<SettlingRow>,
    used_by: Vec<Link>,
    kind: Kind,
    says: SaysForm,
    sources: Vec<SourceChoice>,
    photos: PhotoChoices,
    slips: Slips,
}

impl SpecPage {
    fn value_hint(&self) -> String {
        value_hint(self.kind)
    }

    /// Whether it speaks of a fluid, which has a page of its own.
    fn is_fluid(&self) -> bool {
        crate::fluids::views::has_page(self.kind)
    }

    /// Whether a torque stands here without anything that it could be judged by.
    fn lacks_fastener(&self) -> bool {
        self.kind == Kind::Torque && self.fits.is_empty() && !self.shown.values.is_empty()
    }

    /// `says` and `slips`: what was typed of a further source, and what is wrong with it.
    pub fn new(page: Page, spec: &Spec, beside: &Beside, says: SaysForm, slips: Slips) -> SpecPage {
        let book = format!("/cars/{}/specs", spec.car);
        let base = format!("{book}/{}", spec.id);
        let (trust, _) = spec.trust();
        let shown = ShownSpec::from(spec);
        SpecPage {
            page,
            readings: format!("/cars/{}/readings", spec.car),
            rev: spec.rev,
            bolts: BoltsView::of(spec),
            fits: fit::fits(&spec.facts, shown.values.iter().map(|value| value.written.as_str())),
            which: (spec.facts.kind == Kind::Torque).then(|| Which::new(spec, &beside.chest, beside.today)),
            head_hint: spec.facts.fastener.as_ref().and_then(fit::head_hint),
            whole: Whole::of(spec).filter(Whole::is_more),
            shown,
            is_open: trust == Trust::Open,
            is_settled: matches!(trust, Trust::Settled(_)),
            facts: facts(spec),
            note: lines(&spec.facts.note),
            rows: spec.says.iter().map(|says| source_row(&base, spec, says)).collect(),
            history: beside.settlings.iter().map(settling_row).collect(),
            used_by: used_by(spec.car, spec.id, &beside.on_car),
            kind: spec.facts.kind,
            sources: source_choices(&says.source),
            photos: beside.candidates.choices(&says.photo),
            says: SaysForm { rev: spec.rev, ..says },
            slips,
            book,
            base,
        }
    }
}

pub(super) fn system_choices(chosen: &str) -> Vec<Choice> {
    System::ALL.iter().map(|system| Choice::new(system.name(), system.label(), system.name() == chosen)).collect()
}

pub(super) fn kind_choices(chosen: &str) -> Vec<Choice> {
    Kind::ALL.iter().map(|kind| Choice::new(kind.name(), kind.label(), kind.name() == chosen)).collect()
}

/// How a value of this kind may be written.
fn value_hint(kind: Kind) -> String {
    match kind.dimension() {
        Some(dimension) => format!("Number and unit exactly as the source has them, such as {}.", dimension.example()),
        None => "Exactly as the source has it, such as API GL-4, SAE 80W.".into(),
    }
}

/// The form for a new spec with its first source.
#[derive(Template)]
#[template(path = "specs/new.html")]
pub struct NewPage {
    page: Page,
    book: String,
    form: SpecForm,
    systems: Vec<Choice>,
    kinds: Vec<Choice>,
    says: SaysForm,
    sources: Vec<SourceChoice>,
    photos: PhotoChoices,
    slips: Slips,
    /// What is thought of the torque that is typed, where somebody asked.
    fits: Vec<Fit>,
}

impl NewPage {
    pub fn new(
        page: Page,
        car: CarId,
        form: SpecForm,
        says: SaysForm,
        slips: Slips,
        candidates: &Candidates,
    ) -> NewPage {
        NewPage {
            page,
            book: format!("/cars/{car}/specs"),
            systems: system_choices(&form.system),
            kinds: kind_choices(&form.kind),
            sources: source_choices(&says.source),
            photos: candidates.choices(&says.photo),
            form,
            says,
            slips,
            fits: Vec::new(),
        }
    }

    /// The same with what is thought of the torque.
    pub fn judged(self, fits: Vec<Fit>) -> Self {
        Self { fits, ..self }
    }
}

/// The form for what a spec is about.
#[derive(Template)]
#[template(path = "specs/edit.html")]
pub struct EditPage {
    page: Page,
    book: String,
    base: String,
    item: String,
    rev: i64,
    form: SpecForm,
    systems: Vec<Choice>,
    kinds: Vec<Choice>,
    slips: Slips,
    differs: Option<Vec<Differs>>,
    /// What is thought of the torque with what is typed of its fastener, where somebody asked.
    fits: Vec<Fit>,
}

impl EditPage {
    /// `differs`: what is there now, where the spec was changed while the form was open.
    pub fn new(page: Page, spec: &Spec, form: SpecForm, slips: Slips, differs: Option<Vec<Differs>>) -> EditPage {
        let book = format!("/cars/{}/specs", spec.car);
        EditPage {
            page,
            base: format!("{book}/{}", spec.id),
            book,
            item: spec.facts.item.clone(),
            rev: spec.rev,
            systems: system_choices(&form.system),
            kinds: kind_choices(&form.kind),
            form,
            slips,
            differs,
            fits: Vec::new(),
        }
    }

    /// The same with what is thought of the torque.
    pub fn judged(self, fits: Vec<Fit>) -> Self {
        Self { fits, ..self }
    }
}

/// The form for what one source says.
#[derive(Template)]
#[template(path = "specs/says.html")]
pub struct SaysPage {
    page: Page,
    book: String,
    base: String,
    item: String,
    id: SpecValueId,
    kind: Kind,
    rev: i64,
    says: SaysForm,
    sources: Vec<SourceChoice>,
    photos: PhotoChoices,
    /// SHA-256 of the photo that it has.
    photo: Option<String>,
    slips: Slips,
    differs: Option<Vec<Differs>>,
}

impl SaysPage {
    fn value_hint(&self) -> String {
        value_hint(self.kind)
    }

    pub fn new(
        page: Page,
        spec: &Spec,
        id: SpecValueId,
        says: SaysForm,
        slips: Slips,
        candidates: &Candidates,
    ) -> SaysPage {
        let book = format!("/cars/{}/specs", spec.car);
        SaysPage {
            page,
            base: format!("{book}/{}", spec.id),
            book,
            item: spec.facts.item.clone(),
            id,
            kind: spec.facts.kind,
            rev: spec.rev,
            sources: source_choices(&says.source),
            photos: candidates.choices(&says.photo),
            photo: spec.says(id).and_then(|says| says.facts.photo.as_ref()).map(ToString::to_string),
            says,
            slips,
            differs: None,
        }
    }

    /// The same with what is there now, where the spec was changed while the form was open.
    pub fn differing(self, differs: Vec<Differs>) -> Self {
        Self { differs: Some(differs), ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::sample::{says, spec};

    #[test]
    fn each_source_says_how_it_stands_beside_the_one_shown() {
        let all = |settled| {
            vec![
                says("40 Nm", SourceKind::MakersManual, settled),
                says("30 lbf ft", SourceKind::PartsSupplier, false),
                says("40 lbf ft", SourceKind::SecondHand, false),
            ]
        };
        let stand = |spec: &Spec| spec.says.iter().map(|says| stands(spec, says)).collect::<Vec<_>>();
        assert_eq!(stand(&spec(all(false))), ["the most trusted", "says the same", "says something else"]);
        assert_eq!(stand(&spec(all(true)))[0], "settled on");
        assert_eq!(stand(&spec(vec![says("40 Nm", SourceKind::Guess, false)])), [""]);
    }
}
