//! The check trees on the phone: one page that needs neither script nor signal. A question or end shows while its name stands
//! behind the page's address; an end is kept as a finding.

use crate::checks;
use crate::error::AppError;
use crate::ids::CarId;
use crate::patterns::library::Library;
use crate::trade::cautions::Caution;
use crate::trade::checks::{Check, Reply};
use crate::web::page::Page;
use crate::work::whole::WholeCar;
use askama::Template;

/// A caution as it is said: harm, and how to avoid it.
pub struct Said {
    harm: &'static str,
    avoid: &'static str,
}

fn said(cautions: &[Caution]) -> Vec<Said> {
    cautions.iter().map(|caution| Said { harm: caution.harm(), avoid: caution.avoid() }).collect()
}

struct Tree {
    title: String,
    intro: String,
    cautions: Vec<Said>,
    /// Name of its first question on the page.
    start: String,
    steps: Vec<Step>,
    ends: Vec<End>,
}

struct Step {
    id: String,
    ask: String,
    look: String,
    helper: bool,
    cautions: Vec<Said>,
    /// What is answered, and the name that follows.
    answers: Vec<(&'static str, String)>,
}

struct End {
    id: String,
    say: String,
    place: String,
    weight: &'static str,
    weight_word: &'static str,
    next: String,
    mends: Vec<String>,
    workshop: String,
    cautions: Vec<Said>,
}

/// Two trees may use the same name.
fn id(check: &Check, key: &str) -> String {
    format!("{}--{key}", check.key())
}

impl Tree {
    fn of(check: &Check) -> Tree {
        let steps: Vec<Step> = check
            .questions()
            .iter()
            .map(|question| Step {
                id: id(check, &question.key),
                ask: question.ask.clone(),
                look: question.look.clone(),
                helper: question.helper,
                cautions: said(&question.cautions),
                answers: Reply::ALL.iter().map(|reply| (reply.label(), id(check, question.after(*reply)))).collect(),
            })
            .collect();
        let known = &Library::embedded().patterns;
        let title = |name: &String| known.get(name).map(|kept| kept.pattern.title.replace(['{', '}'], ""));
        let ends = check.ends().iter().map(|end| End {
            id: id(check, &end.key),
            say: end.say.clone(),
            place: end.place.clone(),
            weight: end.weight.name(),
            weight_word: end.weight.label(),
            next: end.next.clone(),
            mends: end.mends.iter().filter_map(title).collect(),
            workshop: end.workshop.clone(),
            cautions: said(&end.cautions),
        });
        Tree {
            title: check.title().to_owned(),
            intro: check.intro().to_owned(),
            cautions: said(check.cautions()),
            start: steps.first().map(|step| step.id.clone()).unwrap_or_default(),
            ends: ends.collect(),
            steps,
        }
    }
}

#[derive(Template)]
#[template(path = "under/checks.html")]
pub struct ChecksPage {
    page: Page,
    car: CarId,
    trees: Vec<Tree>,
}

impl ChecksPage {
    pub fn of(page: Page, under: &WholeCar) -> Result<ChecksPage, AppError> {
        let car = under.car.id;
        let trees = checks::all().iter().map(Tree::of).collect();
        Ok(ChecksPage { page: page.script("checks").under_car(car, &under.car.name, None, "note"), car, trees })
    }
}
