//! The survey on the phone: the walk, area by area, one question at a time; and what comes first of all that was found.
//!
//! The questions are data, which the script shows one by one: each as a page of its own would weigh more than the rest of the
//! copy. Without scripts the areas lead to the desk's forms.

use super::live;
use super::looks;
use crate::error::AppError;
use crate::readings::model::key_of;
use crate::readings::phone::limits_json;
use crate::survey::list::{Answers, SurveyList, answers};
use crate::survey::phone::{for_scripts, limits, readings};
use crate::survey::routes::Walk;
use crate::survey::views::{ANSWERS, ShownArea, code_of};
use crate::sync::wire::{Act, Weight};
use crate::web::page::Page;
use crate::web::words;
use crate::work::store::Done;
use crate::work::whole::WholeCar;
use askama::Template;
use std::collections::HashSet;

/// So many entries of the ranked list go under the car.
const FIRST: usize = 5;

/// An entry of the ranked list, in a line.
pub struct TopRow {
    pub place: usize,
    pub title: String,
    pub code: &'static str,
    pub standing: &'static str,
    pub reason: String,
}

/// The beginning of the ranked list, as the garage knew it when the page was drawn.
pub struct Top {
    pub rows: Vec<TopRow>,
    pub all: usize,
    /// `3 to be done, 2 not known`
    pub words: String,
    /// Empty while nothing is on the list.
    pub as_of: String,
}

impl Top {
    pub fn of(list: &SurveyList<'_>, walk: &Walk, most: usize) -> Top {
        let row = |(at, entry): (usize, &crate::survey::list::Entry<'_>)| TopRow {
            place: at + 1,
            title: entry.placed.title.clone(),
            code: code_of(entry.placed.standing),
            standing: entry.placed.standing.label(),
            reason: entry.placed.reason.clone(),
        };
        let as_of = if list.entries.is_empty() { String::new() } else { words::day_and_time(walk.now) };
        Top {
            rows: list.entries.iter().take(most).enumerate().map(row).collect(),
            all: list.entries.len(),
            words: list.words(),
            as_of,
        }
    }
}

#[derive(Template)]
#[template(path = "under/survey.html")]
pub struct SurveyPage {
    page: Page,
    car: String,
    answered: usize,
    asked: usize,
    areas: Vec<ShownArea>,
    top: Top,
    answers: [(Weight, &'static str); 4],
    survey_json: String,
    ops_json: String,
    limits_json: String,
    units_json: &'static str,
    looks_json: &'static str,
}

impl SurveyPage {
    pub fn of(page: Page, under: &WholeCar, walk: &Walk) -> Result<SurveyPage, AppError> {
        let id = under.car.id;
        let list = SurveyList::of(&walk.known, under, walk.today);
        let ranked_at = under.done.last().map_or("", |done| done.hlc.as_str());
        let (stand, asked) = (answers(under), readings(&walk.known));
        let ours = under.done.iter().filter(|done| is_of_survey(done, &stand, &asked));
        let limits = limits(&walk.known, &under.state.limits);
        Ok(SurveyPage {
            page: page.script("survey").under_car(id, &under.car.name, None, "card"),
            car: id.to_string(),
            answered: list.whole.answered,
            asked: list.whole.asked,
            areas: list.areas.iter().map(ShownArea::of).collect(),
            top: Top::of(&list, walk, FIRST),
            answers: [ANSWERS[0], (Weight::Watch, "Watch"), (Weight::Act, "Act"), (Weight::Unknown, "Not known")],
            survey_json: live::for_script(&for_scripts(&walk.known, ranked_at))?,
            ops_json: live::for_script(&live::ops(id, ours))?,
            limits_json: live::for_script(&limits_json(&limits))?,
            units_json: live::UNITS.as_str(),
            looks_json: looks::NAMES.as_str(),
        })
    }

    /// Where the walk goes on for who has no scripts.
    fn first_open(&self) -> &str {
        let open = self.areas.iter().find(|area| area.mark != "done").or_else(|| self.areas.first());
        open.map_or("", |area| area.key.as_str())
    }
}

/// The answers that stand, the photos taken for a question, and the readings that the survey asks for.
fn is_of_survey(done: &Done, stand: &Answers<'_>, asked: &HashSet<String>) -> bool {
    if let Act::Survey(body) = &done.act {
        let stands = stand.get(body.question.as_str());
        return stands.is_some_and(|(op, _)| op.op_id == done.op_id.to_string());
    }
    if let Act::Reading(body) = &done.act {
        return asked.contains(&key_of(&body.what));
    }
    matches!(&done.act, Act::Photo(body) if body.question.is_some())
}
