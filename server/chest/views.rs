//! What the tool chest shows.

use super::adapter::{AdapterForm, Answer, Between};
use super::form::WrenchForm;
use super::model::Kept;
use super::pick::{Pick, Wanted, picks};
use super::tools::form::SetForm;
use super::tools::model::KeptTool;
use super::tools::views::ShownTools;
use crate::ids::WrenchId;
use crate::specs::from_car::FromCar;
use crate::specs::model::Spec;
use crate::specs::shown::ShownHolding;
use crate::trade::quantity::UnitSet;
use crate::trade::torque_wrench::{Day, WrenchKind};
use crate::web::form::{Choice, Differs, Slips};
use crate::web::page::Page;
use crate::web::words::capital;
use askama::Template;

/// A wrench of the chest as a row.
pub struct ShownWrench {
    pub href: String,
    pub name: String,
    pub kind: String,
    pub range: String,
    pub step: String,
    pub deviation: String,
    /// Whether its calibration counts, and what is to be said of it.
    pub counts: bool,
    pub calibration: String,
    pub serial: String,
}

impl ShownWrench {
    fn new(kept: &Kept, from: FromCar, today: Day) -> ShownWrench {
        let wrench = &kept.wrench;
        let state = wrench.calibration().state(today);
        ShownWrench {
            href: format!("/chest/{}{}", kept.id, from.tail()),
            name: wrench.name().to_owned(),
            kind: capital(wrench.kind().label()),
            range: wrench.range().in_unit(wrench.unit()).to_string(),
            step: format!("marked every {} {}", wrench.graduation().normalize(), wrench.unit().name()),
            deviation: format!("±{} %", wrench.deviation().normalize()),
            counts: state.counts(),
            calibration: state.sentence(),
            serial: kept.facts.serial.clone(),
        }
    }
}

#[derive(Template)]
#[template(path = "chest/chest.html")]
pub struct ChestPage {
    page: Page,
    from: FromCar,
    wrenches: Vec<ShownWrench>,
    tools: ShownTools,
    /// What was typed of a whole set, and what is wrong with it.
    set: SetForm,
    slips: Slips,
}

impl ChestPage {
    pub fn new(page: Page, from: FromCar, chest: &[Kept], tools: &[KeptTool], today: Day) -> ChestPage {
        let wrenches = chest.iter().map(|kept| ShownWrench::new(kept, from, today)).collect();
        let tools = ShownTools::of(tools, from);
        ChestPage { page, from, wrenches, tools, set: SetForm::default(), slips: Slips::default() }
    }

    /// The same with a whole set that could not be read.
    pub fn with_set(self, set: SetForm, slips: Slips) -> ChestPage {
        ChestPage { set, slips, ..self }
    }
}

/// The form for a wrench.
#[derive(Template)]
#[template(path = "chest/wrench.html")]
pub struct WrenchPage {
    page: Page,
    from: FromCar,
    /// `None` for one that does not lie in the chest yet.
    wrench: Option<WrenchId>,
    called: String,
    form: WrenchForm,
    slips: Slips,
    /// What is there now, where the wrench was changed while the form was open.
    differs: Option<Vec<Differs>>,
}

impl WrenchPage {
    pub fn new(page: Page, from: FromCar, kept: Option<&Kept>, form: WrenchForm, slips: Slips) -> WrenchPage {
        let called = kept.map(|kept| kept.facts.name.clone()).unwrap_or_default();
        WrenchPage { page, from, wrench: kept.map(|kept| kept.id), called, form, slips, differs: None }
    }

    /// The same where somebody else changed it meanwhile: whoever saves now puts theirs in its place.
    pub fn collided(page: Page, from: FromCar, kept: &Kept, form: WrenchForm) -> WrenchPage {
        let differs = Some(form.differing(kept));
        let form = WrenchForm { rev: kept.rev, ..form };
        WrenchPage { differs, ..WrenchPage::new(page, from, Some(kept), form, Slips::default()) }
    }

    fn kinds(&self) -> Vec<Choice> {
        let choice = |kind: &WrenchKind| Choice::new(kind.name(), capital(kind.label()), kind.name() == self.form.kind);
        WrenchKind::ALL.iter().map(choice).collect()
    }

    fn action(&self) -> String {
        let id = self.wrench.map(|id| format!("/{id}")).unwrap_or_default();
        format!("/chest{id}{}", self.from.tail())
    }
}

/// Which wrench for a spec's torque: what the spec's page and the page of its wrenches share.
pub struct Which {
    pub picks: Vec<Pick>,
    /// Why no wrench is named; empty where some are.
    pub why_not: &'static str,
    pub chest_is_empty: bool,
    pub chest: String,
}

impl Which {
    pub fn new(spec: &Spec, chest: &[Kept], today: Day) -> Which {
        let (wanted, why_not) = match super::pick::wanted(spec) {
            Ok(wanted) => (wanted, ""),
            Err(why) => (Vec::new(), why),
        };
        Which {
            picks: picks(wanted, chest, today),
            why_not,
            chest_is_empty: chest.is_empty(),
            chest: format!("/chest?car={}", spec.car),
        }
    }

    /// The chest in the order of the first thing wanted, so that the best wrench is offered first.
    fn best_first(&self, chest: &[Kept]) -> Vec<Kept> {
        let rows = self.picks.iter().map(|pick| &pick.rows).find(|rows| !rows.is_empty());
        rows.map_or_else(|| chest.to_vec(), |rows| rows.iter().map(|row| chest[row.at].clone()).collect())
    }

    fn wanted(&self) -> Vec<Wanted> {
        self.picks.iter().map(|pick| pick.wanted.clone()).collect()
    }
}

/// All wrenches for one spec, and what an adapter changes.
#[derive(Template)]
#[template(path = "chest/which.html")]
pub struct WhichPage {
    page: Page,
    book: String,
    base: String,
    item: String,
    holding: Option<ShownHolding>,
    which: Which,
    form: AdapterForm,
    answer: Option<Answer>,
    wrenches: Vec<Choice>,
    torques: Vec<Choice>,
    slips: Slips,
}

impl WhichPage {
    pub fn new(page: Page, spec: &Spec, chest: &[Kept], form: AdapterForm, today: Day) -> WhichPage {
        let book = format!("/cars/{}/specs", spec.car);
        let which = Which::new(spec, chest, today);
        let wanted = which.wanted();
        let chest = &which.best_first(chest);
        let mut slips = Slips::default();
        let answer = form.answer(&wanted, chest, today, &mut slips);
        let torque = |(at, one): (usize, &Wanted)| {
            let words = format!("{} {}", one.stage, one.words).trim().to_owned();
            one.torque.as_ref().map(|_| Choice::new(at.to_string(), words, at == form.torque))
        };
        WhichPage {
            page,
            base: format!("{book}/{}", spec.id),
            book,
            item: spec.facts.item.clone(),
            holding: ShownHolding::of(spec),
            wrenches: chest.iter().map(|kept| wrench_choice(kept, &form.wrench)).collect(),
            torques: wanted.iter().enumerate().filter_map(torque).collect(),
            which,
            answer,
            slips,
            form,
        }
    }

    pub fn has_slips(&self) -> bool {
        !self.slips.is_empty()
    }

    fn between(&self) -> Vec<Choice> {
        let chosen = if self.form.between.is_empty() { Between::Offset.name() } else { self.form.between.as_str() };
        Between::ALL.iter().map(|one| Choice::new(one.name(), capital(one.label()), one.name() == chosen)).collect()
    }
}

fn wrench_choice(kept: &Kept, chosen: &str) -> Choice {
    let id = kept.id.to_string();
    let lever = if kept.facts.lever.is_empty() { String::new() } else { format!(", lever {}", kept.facts.lever) };
    let is_chosen = id == chosen;
    Choice::new(id, format!("{} ({}{lever})", kept.facts.name, kept.wrench.range()), is_chosen)
}
