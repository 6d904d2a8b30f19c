//! What the page of symptoms shows.

use crate::ids::CarId;
use crate::logbook::words::moment;
use crate::sync::wire::Act;
use crate::trade::symptom::{Heat, Load, SymptomKind};
use crate::web::form::Choice;
use crate::web::page::Page;
use crate::web::words::{capital, day_and_time};
use crate::work::store::Done;
use crate::work::whole::WholeCar;
use askama::Template;
use serde::Deserialize;

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SymptomForm {
    #[serde(default)]
    pub kind: String,
    pub text: String,
    #[serde(default)]
    pub when: String,
    #[serde(default)]
    pub heat: String,
    #[serde(default)]
    pub speed: String,
    #[serde(default)]
    pub load: String,
}

struct Row {
    what: String,
    circumstances: String,
    when: String,
    /// It can be recorded.
    is_noise: bool,
}

#[derive(Template)]
#[template(path = "symptoms/list.html")]
pub struct SymptomsPage {
    page: Page,
    car: CarId,
    rows: Vec<Row>,
    kinds: Vec<Choice>,
    heats: Vec<Choice>,
    loads: Vec<Choice>,
    form: SymptomForm,
    error: String,
}

impl SymptomsPage {
    pub fn new(page: Page, whole: &WholeCar, form: SymptomForm, error: String) -> SymptomsPage {
        let row = |done: &Done| {
            let Act::Symptom(symptom) = &done.act else { return None };
            Some(Row {
                what: symptom.words(),
                circumstances: symptom.circumstances(),
                when: day_and_time(moment(done)),
                is_noise: symptom.kind == SymptomKind::Noise,
            })
        };
        let kinds = SymptomKind::ALL.iter().map(|one| (one.name(), one.label()));
        let heats = Heat::ALL.iter().map(|one| (one.name(), one.label()));
        let loads = Load::ALL.iter().map(|one| (one.name(), one.label()));
        SymptomsPage {
            page,
            car: whole.car.id,
            rows: whole.done.iter().rev().filter_map(row).collect(),
            kinds: choices(kinds, &form.kind, SymptomKind::Noise.name()),
            heats: choices(heats, &form.heat, Heat::Unknown.name()),
            loads: choices(loads, &form.load, Load::Unknown.name()),
            form,
            error,
        }
    }
}

fn choices(all: impl Iterator<Item = (&'static str, &'static str)>, typed: &str, usual: &str) -> Vec<Choice> {
    let chosen = if typed.is_empty() { usual } else { typed };
    all.map(|(name, label)| Choice::new(name, capital(label), name == chosen)).collect()
}
