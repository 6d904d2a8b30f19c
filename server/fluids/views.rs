//! What a fluid's page shows.

use super::ask::{Answered, Asked};
use super::family::{Family, is_dry, volume_of};
use super::record::{Drained, Looks, drained};
use crate::ids::CarId;
use crate::markings::views::ShownReading;
use crate::specs::model::{Says, Spec};
use crate::specs::shown::{ShownSpec, citation_line, source_code};
use crate::trade::cautions::Caution;
use crate::trade::fluid::{Colour, Emptied, Fill, Fluid, FluidKind, Particles, never};
use crate::trade::marking::{self, Subject};
use crate::trade::spec::Kind;
use crate::web::form::Slips;
use crate::web::page::Page;
use crate::web::words::capital;
use crate::work::whole::WholeCar;
use askama::Template;

/// What one source says of the fluid, and what its words mean by published standards.
pub struct Said {
    pub written: String,
    pub code: &'static str,
    pub source: &'static str,
    pub citation: String,
    pub means: Vec<ShownReading>,
}

/// A quantity of the fluid: for a drain, and for dry parts where the book has both.
pub struct FillRow {
    pub href: String,
    pub shown: ShownSpec,
    pub variant: String,
    pub is_dry: bool,
    /// How to go about it, or why nothing can be said.
    pub says: String,
    pub dry: Option<DryFill>,
}

pub struct DryFill {
    pub href: String,
    pub amount: String,
    pub more: String,
    pub says: String,
}

/// Which forms fit this fluid.
#[derive(Clone, Copy)]
pub struct Fits {
    pub renew: bool,
    pub bleed: bool,
    pub mix: bool,
    pub record: bool,
}

impl Fits {
    fn of(kind: Option<FluidKind>) -> Fits {
        let is = |kinds: &[FluidKind]| kind.is_some_and(|kind| kinds.contains(&kind));
        Fits {
            // Where a drain never reaches all of it.
            renew: is(&[
                FluidKind::AutomaticTransmission,
                FluidKind::PowerSteering,
                FluidKind::Coolant,
                FluidKind::EngineOil,
            ]),
            bleed: is(&[FluidKind::Brake]),
            mix: is(&[FluidKind::Coolant]),
            record: kind != Some(FluidKind::Refrigerant),
        }
    }
}

#[derive(Template)]
#[template(path = "fluids/fluid.html")]
pub struct FluidPage {
    page: Page,
    car: CarId,
    book: String,
    base: String,
    item: String,
    /// The class to go by, else why there is none.
    class: Result<Fluid, String>,
    never: &'static str,
    said: Vec<Said>,
    fills: Vec<FillRow>,
    stays_in: &'static str,
    fits: Fits,
    drained: Vec<Drained>,
    looks: Looks,
    /// What `Note it` takes behind `#look-`.
    look_at: String,
    cautions: Vec<Caution>,
    asked: Asked,
    answered: Option<Answered>,
    slips: Slips,
}

impl FluidPage {
    #[expect(clippy::too_many_arguments, reason = "one page of many parts, made in one place")]
    pub fn new(
        page: Page,
        under: &WholeCar,
        spec: &Spec,
        family: &Family<'_>,
        class: Result<Fluid, String>,
        asked: Asked,
        answered: Option<Answered>,
        slips: Slips,
    ) -> FluidPage {
        let book = format!("/cars/{}/specs", spec.car);
        let named = family.fluid.unwrap_or(spec);
        let drained = drained(under, family);
        FluidPage {
            page,
            car: spec.car,
            base: format!("{book}/{}", spec.id),
            never: class.as_ref().ok().and_then(never).unwrap_or_default(),
            said: family.fluid.map(said).unwrap_or_default(),
            fills: fills(&book, family),
            stays_in: stays_in(family.kind),
            fits: Fits::of(family.kind),
            looks: Looks::of(under, family),
            look_at: look_at(family),
            cautions: cautions(family.kind),
            asked: filled_in(asked, family, &drained),
            item: named.facts.item.clone(),
            book,
            class,
            drained,
            answered,
            slips,
        }
    }

    fn named(&self, class: &Fluid) -> String {
        capital(&class.to_string())
    }
}

fn look_at(family: &Family<'_>) -> String {
    let kind = || family.kind.map(|kind| kind.name().to_owned());
    let spec = family.fluid.filter(|_| family.kind.is_some()).map(|fluid| fluid.id.to_string());
    spec.or_else(kind).unwrap_or_default()
}

/// Fields that nobody typed into hold what the book and the record know.
fn filled_in(asked: Asked, family: &Family<'_>, drained: &[Drained]) -> Asked {
    let known = |dry: bool| {
        let volume = family.volumes.iter().find(|volume| is_dry(volume) == dry)?;
        volume_of(volume).ok().map(|volume| volume.written().to_owned())
    };
    let whole = || known(true).or_else(|| known(false)).unwrap_or_default();
    let or = |typed: String, form: &str, known: String| if asked.ask == form { typed } else { known };
    let out = drained.first().map(|drained| drained.typed.clone()).unwrap_or_default();
    Asked {
        whole: or(asked.whole.clone(), "renew", whole()),
        out: or(asked.out.clone(), "renew", out),
        fresh: or(asked.fresh.clone(), "renew", "90 %".into()),
        system: or(asked.system.clone(), "mix", whole()),
        strength: or(asked.strength.clone(), "mix", "50 %".into()),
        ..asked
    }
}

/// What two sources mean alike is told once.
fn said(fluid: &Spec) -> Vec<Said> {
    let mut told = Vec::new();
    let mut means = |written: &str| {
        let known = marking::read(written).into_iter().filter(|reading| reading.subject != Subject::NotKnown);
        let fresh: Vec<_> = known.filter(|reading| !told.contains(&reading.means)).collect();
        told.extend(fresh.iter().map(|reading| reading.means.clone()));
        fresh.into_iter().map(ShownReading::from).collect()
    };
    let one = |says: &Says| Said {
        written: says.facts.written.clone(),
        code: source_code(says.facts.source),
        source: says.facts.source.label(),
        citation: citation_line(says),
        means: means(&says.facts.written),
    };
    fluid.says.iter().map(one).collect()
}

fn fills(book: &str, family: &Family<'_>) -> Vec<FillRow> {
    let is_beside = |dry: &Spec| {
        family
            .volumes
            .iter()
            .any(|service| !is_dry(service) && family.dry_beside(service).is_some_and(|beside| beside.id == dry.id))
    };
    let rows = family.volumes.iter().filter(|volume| !is_dry(volume) || !is_beside(volume));
    rows.map(|volume| fill_row(book, family, volume)).collect()
}

fn fill_row(book: &str, family: &Family<'_>, volume: &Spec) -> FillRow {
    let dry = family.dry_beside(volume).filter(|_| !is_dry(volume));
    let row = |says: String, dry| FillRow {
        href: format!("{book}/{}", volume.id),
        shown: ShownSpec::from(volume),
        variant: volume.facts.variant.clone(),
        is_dry: is_dry(volume),
        says,
        dry,
    };
    let fill = || -> Result<Fill, String> {
        let dry = dry.map(volume_of).transpose()?;
        Fill::new(volume_of(volume)?, dry).map_err(|why| why.to_string())
    };
    let fill = match fill() {
        Ok(fill) => fill,
        Err(why) => return row(why, None),
    };
    if is_dry(volume) {
        return row("Dry fill, for parts that were apart. After a drain less goes in: go by the mark.".into(), None);
    }
    let beside = dry.and_then(|dry| dry_fill(book, &fill, dry));
    if family.kind == Some(FluidKind::Brake) {
        return row("Keep the reservoir full while it is bled, and go by its marks at the end.".into(), beside);
    }
    row(fill.to_pour(Emptied::Drained).says, beside)
}

fn dry_fill(book: &str, fill: &Fill, dry: &Spec) -> Option<DryFill> {
    let apart = fill.to_pour(Emptied::Apart);
    let service = fill.to_pour(Emptied::Drained).volume;
    let more = apart.volume.checked_sub(&service).ok()?;
    Some(DryFill {
        href: format!("{book}/{}", dry.id),
        amount: apart.volume.in_unit(apart.volume.unit()).to_string(),
        more: more.in_unit(more.unit()).to_string(),
        says: apart.says,
    })
}

/// Where the old fluid stays when the plug is out.
fn stays_in(kind: Option<FluidKind>) -> &'static str {
    match kind {
        Some(FluidKind::AutomaticTransmission) => "the converter, the cooler and its pipes",
        Some(FluidKind::EngineOil) => "the galleries, the pump and the filter’s seat",
        Some(FluidKind::Coolant) => "the block and the heater",
        Some(FluidKind::PowerSteering) => "the pump, the rack and its hoses",
        Some(FluidKind::Brake) => "the cylinders and the pipes",
        Some(FluidKind::GearOil) => "the pockets of the casing and on the teeth",
        Some(FluidKind::Grease | FluidKind::Washer | FluidKind::Refrigerant) | None => "the parts",
    }
}

fn cautions(kind: Option<FluidKind>) -> Vec<Caution> {
    let own: &[Caution] = match kind {
        Some(FluidKind::Brake) => &[Caution::BrakeFluidPaintAndEyes, Caution::BrakePipePressure, Caution::PumpThePedal],
        Some(FluidKind::EngineOil | FluidKind::GearOil | FluidKind::AutomaticTransmission) => {
            &[Caution::CarOnJackAlone, Caution::HotOil, Caution::UsedOilSkin]
        }
        Some(FluidKind::PowerSteering) => &[Caution::HighPressureFluid, Caution::HotOil, Caution::UsedOilSkin],
        Some(FluidKind::Coolant) => &[Caution::HotCoolant, Caution::CoolantPoison],
        Some(FluidKind::Refrigerant) => return vec![Caution::Refrigerant],
        Some(FluidKind::Grease | FluidKind::Washer) | None => &[],
    };
    own.iter().copied().chain([Caution::UsedFluidDisposal]).collect()
}

/// Whether a spec has a page of this kind.
pub fn has_page(kind: Kind) -> bool {
    matches!(kind, Kind::Fluid | Kind::Volume)
}
