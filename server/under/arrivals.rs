//! What is on its way, and what of it has come: noted where the parcel is opened.

use super::live;
use super::views::Trouble;
use crate::error::AppError;
use crate::ids::PartId;
use crate::shelf::store::Part;
use crate::shelf::views::partly;
use crate::sync::wire::Act;
use crate::trade::buying::{Many, Stage, rest};
use crate::web::page::Page;
use crate::web::words;
use crate::work::store::Done;
use crate::work::whole::WholeCar;
use askama::Template;
use serde_json::json;
use std::collections::BTreeSet;

/// Something that may come.
pub struct Row {
    pub id: PartId,
    pub name: String,
    pub numbers: String,
    pub supplier: String,
    pub stage: &'static str,
    pub stage_word: String,
    pub partly: String,
    /// How much of it is still to come, as an operation has it.
    pub rest: String,
    /// How many of how many; empty where it cannot be counted.
    pub figure: String,
    pub unit: &'static str,
    pub is_here: bool,
    /// What is found by: lower case.
    pub find: String,
    pub expected: String,
}

#[derive(Template)]
#[template(path = "under/arrivals.html")]
pub struct ArrivalsPage {
    page: Page,
    car: String,
    rows: Vec<Row>,
    waited_for: usize,
    trouble: Trouble,
    parts_json: String,
    ops_json: String,
}

impl ArrivalsPage {
    pub fn of(page: Page, under: &WholeCar, trouble: Trouble) -> Result<ArrivalsPage, AppError> {
        let id = under.car.id;
        let parts: Vec<&Part> = under.state.parts.iter().filter(|part| part.said.stage.is_missing()).collect();
        let shown: BTreeSet<String> = parts.iter().map(|part| part.id.to_string()).collect();
        let moves = under.done.iter().filter(|done| shown.contains(&done.subject_id) && is_move(done));
        let mut rows: Vec<Row> = parts.iter().map(|part| row(part)).collect();
        // What was ordered is looked for first.
        rows.sort_by_key(|row| (row.is_here, row.stage != Stage::Ordered.name()));
        Ok(ArrivalsPage {
            page: page.script("arrivals").under_car(id, &under.car.name, None, "card"),
            car: id.to_string(),
            waited_for: rows.iter().filter(|row| !row.is_here).count(),
            rows,
            trouble,
            parts_json: live::for_script(&parts.iter().map(|part| for_script(part)).collect::<Vec<_>>())?,
            ops_json: live::for_script(&live::ops(id, moves))?,
        })
    }
}

fn is_move(done: &Done) -> bool {
    matches!(done.act, Act::Arrival(_) | Act::PartUsed(_))
}

fn for_script(part: &Part) -> serde_json::Value {
    let many = part.many();
    let words = many.number().is_none();
    json!({
        "id": part.id, "said": part.said.stage, "after": part.said.after, "wanted": many.written(), "words": words,
        "unit": many.unit_name(), "numbers": [part.facts.number, part.facts.barcode],
    })
}

/// `30 Nov`: a page of the copy knows no today to be near or far from.
fn day_of(day: &str) -> String {
    day.parse::<jiff::civil::Date>().map_or_else(|_| day.to_owned(), |day| day.strftime("%-d %b").to_string())
}

fn row(part: &Part) -> Row {
    let (facts, many) = (&part.facts, part.many());
    let left = rest(&many, part.standing.partly_here.as_ref());
    let figure = |many: &Many| many.number().map(|number| number.normalize().to_string()).unwrap_or_default();
    Row {
        id: part.id,
        name: facts.name.clone(),
        numbers: [facts.number.as_str(), &facts.barcode]
            .into_iter()
            .filter(|number| !number.is_empty())
            .collect::<Vec<_>>()
            .join(" · "),
        supplier: facts.supplier.clone(),
        stage: facts.state.name(),
        stage_word: words::capital(facts.state.label()),
        partly: partly(part),
        rest: left.written(),
        figure: figure(&left),
        unit: many.unit_name(),
        is_here: !facts.state.is_missing(),
        find: format!("{} {} {} {}", facts.name, facts.number, facts.barcode, facts.supplier).to_lowercase(),
        expected: facts
            .expected_latest
            .as_ref()
            .or(facts.expected_on.as_ref())
            .map(|day| day_of(day))
            .unwrap_or_default(),
    }
}
