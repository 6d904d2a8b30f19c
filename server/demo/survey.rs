//! The survey of the demo car: what was answered on which evening, and what became of it.

use super::format::{DemoDealing, DemoSurvey};
use super::load::{Loaded, Work, fault};
use crate::db::WriteTx;
use crate::survey::library::embedded;
use crate::sync::hlc::Hlc;
use crate::sync::wire::{Act, DealtBody, ReadingBody, Subject, SurveyBody, Weight};
use crate::trade::survey::How;
use crate::work::store::done_on_car;

const FILE: &str = "survey.toml";

fn say(about: &str, what: &str) -> crate::error::StartError {
    fault(FILE, format!("{about}: {what}"))
}

fn asked(question: &str) -> Loaded<String> {
    let found = embedded().survey.question(question);
    found.map(|(_, question)| question.ask.clone()).ok_or_else(|| say(question, "no such question"))
}

/// Makes the operations as if they had been sent then, a minute for every answer.
pub(super) async fn add(tx: &mut WriteTx, work: &Work<'_>) -> Loaded<()> {
    let demo = super::read::<DemoSurvey>(FILE).map_err(crate::error::StartError::Said)?;
    let on = Subject::Car(work.car);
    let mut hlc = Hlc::ZERO;
    for walk in demo.walk {
        let start = work.start(walk.days_ago, &walk.from)?;
        for (minutes, [question, answer]) in (0..).zip(&walk.answers) {
            hlc = hlc.next(start.plus_minutes(minutes * 3));
            work.put(tx, FILE, question, (None, on, answered(question, answer)?), hlc).await?;
        }
        for reading in walk.readings {
            hlc = hlc.next(start.plus_minutes(reading.after));
            let body = ReadingBody { what: reading.what, number: reading.number, unit: reading.unit, note: None };
            work.put(tx, FILE, "a reading", (None, on, Act::Reading(body)), hlc).await?;
        }
    }
    for evening in demo.dealt {
        let start = work.start(evening.days_ago, &evening.from)?;
        for (minutes, dealing) in (0..).zip(&evening.with) {
            hlc = hlc.next(start.plus_minutes(minutes));
            let act = dealt(tx, work, dealing).await?;
            work.put(tx, FILE, &dealing.about, (None, on, act), hlc).await?;
        }
    }
    Ok(())
}

/// `watch | Squeals when cold.`
fn answered(question: &str, written: &str) -> Loaded<Act> {
    let (answer, note) = written.split_once('|').unwrap_or((written, ""));
    let answer = Weight::from_name(answer.trim()).ok_or_else(|| say(question, "no such answer"))?;
    let body =
        SurveyBody { say: asked(question)?, question: question.to_owned(), answer, note: note.trim().to_owned() };
    Ok(Act::Survey(body))
}

async fn dealt(tx: &mut WriteTx, work: &Work<'_>, dealing: &DemoDealing) -> Loaded<Act> {
    let unknown = |what| say(&dealing.about, what);
    let (about, words) = match dealing.about.strip_prefix("finding: ") {
        Some(begins) => finding(tx, work, begins).await?.ok_or_else(|| unknown("no such finding"))?,
        None => (format!("question:{}", dealing.about), asked(&dealing.about)?),
    };
    let how = How::from_name(&dealing.how).ok_or_else(|| unknown("no such way to deal with it"))?;
    let became = match how {
        How::Card => work.keys.cards.get(&dealing.became).map(ToString::to_string),
        How::Part => work.keys.parts.get(&dealing.became).map(ToString::to_string),
        How::Watch | How::Nothing | How::Open => Some(String::new()),
    };
    Ok(Act::Dealt(DealtBody {
        about,
        say: words,
        how,
        became: became.ok_or_else(|| unknown("no such card or part"))?,
        until: dealing.until_in_days.map(|days| work.day_in(days)).unwrap_or_default(),
        why: dealing.why.clone(),
    }))
}

/// The finding whose text begins so: how entries name it, and its words.
async fn finding(tx: &mut WriteTx, work: &Work<'_>, begins: &str) -> Loaded<Option<(String, String)>> {
    let done = done_on_car(tx, work.car).await?;
    Ok(done.iter().find_map(|done| match &done.act {
        Act::Finding(body) if body.text.starts_with(begins) => {
            Some((format!("finding:{}", done.op_id), body.text.clone()))
        }
        _ => None,
    }))
}
