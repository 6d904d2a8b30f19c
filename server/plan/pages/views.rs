//! What the page of the plan shows.

use super::made::Made;
use super::standing::Standing;
use super::tell::{self, Told};
use super::timeline::{self, Night};
use super::words;
use crate::ids::CarId;
use crate::trade::plan::{Dates, Minutes, dates};
use crate::web::page::{Page, Place};
use crate::web::words::{capital, count, day_and_time};
use askama::Template;

/// Evenings shown unfolded; the rest is opened by a press.
const AT_ONCE: usize = 12;
/// Chance comes from here: the same plan always shows the same figures.
pub const SEED: u64 = 1983;
/// Pieces up to which the plan is worked often, and how often it is worked then and beyond.
const FEW_PIECES: usize = 120;
const OFTEN: u32 = 2_000;
const SELDOM: u32 = 300;

/// How often a plan is worked by chance: seldom where that takes long.
pub fn runs(made: &Made) -> u32 {
    let pieces: usize = made.known.garage.jobs.iter().map(|job| job.pieces.len()).sum();
    if pieces > FEW_PIECES { SELDOM } else { OFTEN }
}

#[derive(Template)]
#[template(path = "plan/plan.html")]
pub struct PlanPage {
    pub page: Page,
    pub car: CarId,
    pub head: Head,
    /// Nothing can be planned until these are mended.
    pub faults: Vec<Told>,
    /// What became otherwise since the plan was made.
    pub stale: Vec<String>,
    pub kept: bool,
    pub plan: Option<Planned>,
    pub no_jobs: bool,
}

/// The wanted day and its chance.
#[derive(Default)]
pub struct Head {
    /// `72`, of a hundred; empty where no day is wanted or no plan can be made.
    pub figure: String,
    /// `Likely ready by Fri 5 Mar 2027`
    pub words: String,
    /// By when it is as likely as not, and by when nearly sure.
    pub when: String,
    pub without: String,
}

/// A plan on the page.
pub struct Planned {
    /// `Made on …, from what was known then.`
    pub age: String,
    pub tally: Vec<(String, String)>,
    pub proof: String,
    pub correction: String,
    pub waits: Vec<Told>,
    pub notes: Vec<Told>,
    pub nights: Vec<Night>,
    /// Those that are folded away, and how many.
    pub later: Vec<Night>,
    /// Evenings behind the last one worked.
    pub spare: String,
    pub pins: Vec<PinRow>,
}

pub struct PinRow {
    pub title: String,
    pub day: String,
    pub job: String,
    /// Why it could not be kept; empty where it was.
    pub broken: String,
}

impl PlanPage {
    pub fn of(page: Page, standing: &Standing) -> PlanPage {
        let car = standing.car.id;
        let known = &standing.known;
        let waits = standing.made.as_ref().map_or(0, |made| tell::notes(made, car).0.len());
        PlanPage {
            page: page.at_desk(car, &standing.car.name, Place::Plan),
            car,
            head: Head::of(standing, waits),
            faults: standing.faults.iter().map(|fault| tell::fault(fault, known, car)).collect(),
            stale: standing.stale.clone(),
            kept: standing.kept,
            plan: standing.made.as_ref().map(|made| Planned::of(made, standing.kept, car)),
            no_jobs: known.garage.jobs.is_empty(),
        }
    }
}

impl Head {
    fn of(standing: &Standing, waits: usize) -> Head {
        let found = standing.made.as_ref().and_then(|made| Some((made, chances(made)?)));
        let Some((made, dates)) = found else { return Head::default() };
        let today = made.known.today();
        let wanted = made.known.garage.wanted;
        let (figure, say) = match wanted {
            Some(day) => {
                let chance = dates.chance_by(day);
                let by = words::short(day, today);
                (words::of_hundred(chance).to_string(), format!("{} ready by {by}", capital(words::chance(chance))))
            }
            None => (String::new(), "No day is wanted for this car yet".to_owned()),
        };
        Head { figure, words: say, when: tell::when(&dates, &made.known), without: tell::without(waits) }
    }
}

/// The plan worked many times over by chance; `None` where nothing is planned.
pub fn chances(made: &Made) -> Option<Dates> {
    if made.plan.evenings.is_empty() {
        return None;
    }
    dates(&made.known.garage, &made.plan, SEED, runs(made)).ok()
}

impl Planned {
    fn of(made: &Made, kept: bool, car: CarId) -> Planned {
        let mut nights = timeline::nights(&made.known, &made.plan);
        let later = if nights.len() > AT_ONCE { nights.split_off(AT_ONCE) } else { Vec::new() };
        let (waits, notes) = tell::notes(made, car);
        let at = day_and_time(made.at);
        Planned {
            age: if kept {
                format!("Made on {at}, from what was known then.")
            } else {
                format!("Worked out on {at} and not kept: keep it, and this page says what changes from now on.")
            },
            tally: tally(made),
            proof: tell::proof(made),
            correction: made.known.correction.clone(),
            waits,
            notes,
            nights,
            later,
            spare: spare(made),
            pins: pins(made),
        }
    }
}

/// Figures with what they are of.
fn tally(made: &Made) -> Vec<(String, String)> {
    let plan = &made.plan;
    let acts = plan.evenings.iter().flat_map(|evening| &evening.acts);
    let work: Minutes = acts
        .filter(|act| matches!(act, crate::trade::plan::Act::Work { .. }))
        .map(crate::trade::plan::Act::minutes)
        .sum();
    let access = plan.objective.time - work;
    let evenings = plan.evenings.len();
    let nights = plan.objective.nights_apart;
    vec![
        (words::minutes(work), "of work".to_owned()),
        (words::minutes(access), "to open up and close again".to_owned()),
        (evenings.to_string(), if evenings == 1 { "evening" } else { "evenings" }.to_owned()),
        (nights.to_string(), if nights == 1 { "night apart" } else { "nights apart" }.to_owned()),
    ]
}

fn spare(made: &Made) -> String {
    let Some(last) = made.plan.evenings.last() else { return String::new() };
    let after = made.known.garage.evenings.iter().filter(|evening| evening.day > last.day).count();
    match after {
        0 => "No evening is entered after the last one: nothing is left if one is lost.".to_owned(),
        many => format!(
            "{} after that, should one be lost.",
            capital(&count(many, "evening is entered", "evenings are entered"))
        ),
    }
}

fn pins(made: &Made) -> Vec<PinRow> {
    let row = |pin: &crate::trade::plan::Pin| {
        let broken = made.broken.iter().find(|(known, _)| known == pin).map_or("", |(_, why)| why.as_str());
        let evening = made.known.garage.evenings.get(pin.evening);
        let title = made.known.title(&pin.job);
        PinRow {
            title: if title.is_empty() { "A job that is no longer planned".to_owned() } else { capital(title) },
            day: evening.map_or(String::new(), |evening| words::short(evening.day, made.known.today())),
            job: pin.job.0.clone(),
            broken: words::said(broken, made.known.today()),
        }
    };
    let over = |job: &crate::trade::plan::JobId| PinRow {
        title: capital(made.known.title(job)),
        day: String::new(),
        job: job.0.clone(),
        broken: "Its evening is over.".to_owned(),
    };
    made.known.pins.iter().map(row).chain(made.known.over_pins.iter().map(over)).collect()
}
