//! What the templates of evenings show.

use super::form::{EveningForm, MOST_AT_ONCE, ManyForm, WEEKDAYS};
use crate::ids::{CarId, EveningId};
use crate::plan::model::Evening;
use crate::web::form::{Choice, Differs, Slips};
use crate::web::page::Page;
use crate::web::words;
use askama::Template;
use jiff::civil::DateTime;

/// An evening as a row.
pub struct Row {
    pub id: EveningId,
    /// `Tue 2 Mar 2027`
    pub day: String,
    /// `19:00, 2 h`
    pub when: String,
    pub helper: bool,
    pub note: String,
}

impl Row {
    fn of(evening: &Evening) -> Row {
        let facts = &evening.facts;
        Row {
            id: evening.id,
            day: facts.day.strftime("%a %-d %b %Y").to_string(),
            when: format!("{}, {}", facts.starts.strftime("%H:%M"), words::minutes(facts.minutes.into())),
            helper: facts.helper,
            note: facts.note.clone(),
        }
    }
}

#[derive(Template)]
#[template(path = "plan/evenings.html")]
pub struct EveningsPage {
    page: Page,
    car: CarId,
    coming: Vec<Row>,
    gone: Vec<Row>,
    /// `12 evenings, 24 h in all, 3 with a helper`
    sum: String,
    one: EveningForm,
    many: ManyForm,
    slips: Slips,
    /// Whether the slips are those of many at once.
    of_many: bool,
}

impl EveningsPage {
    pub fn new(page: Page, car: CarId, evenings: &[Evening], now: DateTime) -> EveningsPage {
        let (gone, coming): (Vec<&Evening>, Vec<&Evening>) =
            evenings.iter().partition(|evening| evening.facts.is_over(now));
        EveningsPage {
            page,
            car,
            sum: sum(&coming),
            coming: coming.into_iter().map(Row::of).collect(),
            gone: gone.into_iter().rev().map(Row::of).collect(),
            one: EveningForm { starts: "19:00".into(), minutes: "2:00".into(), ..EveningForm::default() },
            many: ManyForm { starts: "19:00".into(), minutes: "2:00".into(), ..ManyForm::default() },
            slips: Slips::default(),
            of_many: false,
        }
    }

    pub fn with_one(self, one: EveningForm, slips: Slips) -> EveningsPage {
        EveningsPage { one, slips, of_many: false, ..self }
    }

    pub fn with_many(self, many: ManyForm, slips: Slips) -> EveningsPage {
        EveningsPage { many, slips, of_many: true, ..self }
    }

    fn slip_of_one(&self, field: &str) -> &str {
        if self.of_many { "" } else { self.slips.of(field) }
    }

    fn slip_of_many(&self, field: &str) -> &str {
        if self.of_many { self.slips.of(field) } else { "" }
    }

    fn weekdays(&self) -> Vec<Choice> {
        WEEKDAYS
            .iter()
            .map(|(_, name, label)| Choice::new(*name, *label, self.many.weekday.iter().any(|day| day == name)))
            .collect()
    }

    fn most(&self) -> usize {
        MOST_AT_ONCE
    }
}

fn sum(coming: &[&Evening]) -> String {
    let minutes: i64 = coming.iter().map(|evening| i64::from(evening.facts.minutes)).sum();
    let helped = coming.iter().filter(|evening| evening.facts.helper).count();
    let count = words::count(coming.len(), "evening", "evenings");
    let helped = if helped == 0 { "none with a helper".to_owned() } else { format!("{helped} with a helper") };
    format!("{count}, {} in all, {helped}", words::minutes(minutes))
}

#[derive(Template)]
#[template(path = "plan/evening.html")]
pub struct EveningPage {
    page: Page,
    car: CarId,
    evening: EveningId,
    called: String,
    form: EveningForm,
    slips: Slips,
    differs: Option<Vec<Differs>>,
}

impl EveningPage {
    pub fn new(page: Page, car: CarId, evening: &Evening, form: EveningForm, slips: Slips) -> EveningPage {
        let row = Row::of(evening);
        let called = format!("{}, {}", row.day, row.when);
        EveningPage { page, car, evening: evening.id, called, form, slips, differs: None }
    }

    pub fn collided(page: Page, car: CarId, evening: &Evening, typed: EveningForm) -> EveningPage {
        let differs = Some(typed.differing(evening));
        let again = EveningForm { rev: evening.rev, ..typed };
        EveningPage { differs, ..EveningPage::new(page, car, evening, again, Slips::default()) }
    }
}
