//! What was answered and found on a car as one list, the most urgent first, and what was dealt with beside it.

use super::library::Known;
use crate::clock::Moment;
use crate::ids::{CardId, OpId, PartId};
use crate::logbook::found;
use crate::logbook::store::Things;
use crate::logbook::words::{Context, Picture};
use crate::sync::hlc::Hlc;
use crate::sync::wire::{Act, DealtBody, SurveyBody};
use crate::trade::calendar::Date;
use crate::trade::survey::{Answer, Area, Back, Dealt, Found, Given, How, Origin, Placed, Question, back, rank};
use crate::web::words;
use crate::work::store::{Done, StandingOp};
use crate::work::whole::WholeCar;
use std::collections::HashMap;

/// An entry of the list.
#[derive(Debug, Clone)]
pub struct Entry<'a> {
    /// `question:<name>` or `finding:<operation id>`
    pub about: String,
    /// The operation that dealt with it last; empty where none did.
    pub seen: String,
    pub placed: Placed,
    /// The question that it is, or that it is about.
    pub question: Option<&'a Question>,
    /// `Brakes, survey of 12 Nov, 19:20` or `Rear brake shoes, 14 Nov, 21:10`
    pub found: String,
    pub pictures: Vec<Picture>,
    pub back: Option<Back>,
}

/// What an entry became.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Became {
    Card(CardId, String),
    Part(PartId, String),
    Nothing,
}

/// An entry that was dealt with.
#[derive(Debug, Clone)]
pub struct Settled {
    pub about: String,
    pub seen: String,
    pub say: String,
    pub how: How,
    pub became: Became,
    pub until: String,
    pub why: String,
    pub at: Moment,
}

/// How far an area is.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Tally {
    pub asked: usize,
    pub answered: usize,
    pub act: usize,
    pub watch: usize,
    pub unknown: usize,
}

impl Tally {
    fn of<'a>(questions: impl Iterator<Item = &'a Question>, answers: &Answers<'_>) -> Tally {
        Tally::count(questions.map(|question| answers.get(question.key.as_str()).map(|(_, body)| body.answer.into())))
    }

    /// Counts the answers to questions; `None`: not answered yet. The phone does the same: `static/js/work/survey.js`.
    pub fn count(given: impl Iterator<Item = Option<Answer>>) -> Tally {
        let mut tally = Tally::default();
        for answer in given {
            tally.asked += 1;
            let Some(answer) = answer else { continue };
            tally.answered += 1;
            match answer {
                Answer::Fine => {}
                Answer::Watch => tally.watch += 1,
                Answer::Act => tally.act += 1,
                Answer::Unknown => tally.unknown += 1,
            }
        }
        tally
    }

    /// `2 to be done, 1 not known`; empty where all is fine.
    pub fn words(&self) -> String {
        let said = [(self.act, "to be done"), (self.unknown, "not known"), (self.watch, "to watch")];
        let said: Vec<String> = said.iter().filter(|(n, _)| *n > 0).map(|(n, words)| format!("{n} {words}")).collect();
        said.join(", ")
    }
}

/// An answer whose question this survey does not have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stranger {
    pub say: String,
    pub answer: Answer,
    pub note: String,
}

/// Everything that the pages of the survey show.
pub struct SurveyList<'a> {
    pub entries: Vec<Entry<'a>>,
    /// The latest first.
    pub settled: Vec<Settled>,
    pub areas: Vec<(&'a Area, Tally)>,
    pub whole: Tally,
    pub strangers: Vec<Stranger>,
    /// When the last question was answered.
    pub last: Option<Moment>,
}

/// The answers that stand, by question.
pub type Answers<'a> = HashMap<&'a str, (&'a StandingOp, &'a SurveyBody)>;

/// The answers that stand on a car.
pub fn answers(under: &WholeCar) -> Answers<'_> {
    let mut found = Answers::new();
    for op in &under.state.standing {
        if let Act::Survey(body) = &op.act {
            found.insert(&body.question, (op, body));
        }
    }
    found
}

fn dealings(under: &WholeCar) -> HashMap<&str, (&StandingOp, &DealtBody)> {
    let mut found = HashMap::new();
    for op in &under.state.standing {
        if let Act::Dealt(body) = &op.act {
            found.insert(body.about.as_str(), (op, body));
        }
    }
    found
}

/// When an operation was made.
pub fn moment(hlc: &str) -> Moment {
    hlc.parse::<Hlc>().map_or(Moment(0), Hlc::moment)
}

impl<'a> SurveyList<'a> {
    pub fn of(known: &'a Known, under: &WholeCar, today: Date) -> SurveyList<'a> {
        let survey = &known.survey;
        let (answers, dealings) = (answers(under), dealings(under));
        let came_back =
            |about: &str| dealings.get(about).map(|dealt| comes_back(under, &answers, about, *dealt, today));
        let is_open = |about: &str| came_back(about).is_none_or(|back| back.is_some());
        let mut given: Vec<Given> = answers
            .iter()
            .filter(|(key, _)| is_open(&format!("question:{key}")))
            .map(|(key, (_, body))| Given {
                question: (*key).to_owned(),
                answer: body.answer.into(),
                note: body.note.clone(),
            })
            .collect();
        given.sort_by(|one, other| one.question.cmp(&other.question));
        let findings: Vec<Found> =
            under.done.iter().filter_map(finding).filter(|found| is_open(&format!("finding:{}", found.id))).collect();
        let pictures = pictures(under);
        let entries = rank(survey, &given, &findings).places.into_iter().map(|placed| {
            let about = about(&placed.origin);
            let question = key_of(&placed.origin).and_then(|key| survey.question(key)).map(|(_, question)| question);
            Entry {
                seen: dealings.get(about.as_str()).map(|(op, _)| op.op_id.clone()).unwrap_or_default(),
                found: where_found(known, under, &answers, &placed.origin),
                pictures: pictures.get(&about).cloned().unwrap_or_default(),
                back: came_back(&about).flatten(),
                placed,
                question,
                about,
            }
        });
        let entries: Vec<Entry<'a>> = entries.collect();
        let mut settled: Vec<Settled> = dealings
            .iter()
            .filter(|(about, (_, body))| body.how != How::Open && came_back(about).is_some_and(|back| back.is_none()))
            .map(|(_, (op, body))| settled(under, op, body))
            .collect();
        settled.sort_by(|one, other| (other.at, &other.about).cmp(&(one.at, &one.about)));
        SurveyList {
            entries,
            settled,
            areas: survey.areas().iter().map(|area| (area, Tally::of(area.questions.iter(), &answers))).collect(),
            whole: Tally::of(survey.questions(), &answers),
            strangers: strangers(known, &answers),
            last: answers.values().map(|(op, _)| moment(&op.hlc)).max(),
        }
    }

    /// The entry of this name, which nobody dealt with.
    pub fn entry(&self, about: &str) -> Option<&Entry<'a>> {
        self.entries.iter().find(|entry| entry.about == about)
    }

    /// How many entries are to be done, not known, and to be watched.
    pub fn words(&self) -> String {
        use crate::trade::survey::Standing;
        let count = |standing| self.entries.iter().filter(|entry| entry.placed.standing == standing).count();
        let of = Tally {
            act: count(Standing::Act),
            unknown: count(Standing::Due),
            watch: count(Standing::Watch),
            ..Tally::default()
        };
        of.words()
    }
}

fn comes_back(
    under: &WholeCar,
    answers: &Answers<'_>,
    about: &str,
    (op, body): (&StandingOp, &DealtBody),
    today: Date,
) -> Option<Back> {
    let answer = about.strip_prefix("question:").and_then(|key| answers.get(key));
    let after = answer.filter(|(answer, _)| answer.order() > op.order()).map(|(_, body)| Answer::from(body.answer));
    let became_stands = match body.how {
        How::Card | How::Part => became(under, body) != Became::Nothing,
        How::Watch | How::Nothing | How::Open => true,
    };
    let until = Date::parse(&body.until).ok();
    back(Dealt { how: body.how, until, became_stands }, after, today)
}

fn became(under: &WholeCar, body: &DealtBody) -> Became {
    let card = || {
        let found = under.state.cards.iter().find(|state| state.card.id.to_string() == body.became)?;
        Some(Became::Card(found.card.id, found.card.facts.title.clone()))
    };
    let part = || {
        let found = under.state.parts.iter().find(|part| part.id.to_string() == body.became)?;
        Some(Became::Part(found.id, found.facts.name.clone()))
    };
    let found = match body.how {
        How::Card => card(),
        How::Part => part(),
        How::Watch | How::Nothing | How::Open => None,
    };
    found.unwrap_or(Became::Nothing)
}

fn settled(under: &WholeCar, op: &StandingOp, body: &DealtBody) -> Settled {
    Settled {
        about: body.about.clone(),
        seen: op.op_id.clone(),
        say: body.say.clone(),
        how: body.how,
        became: became(under, body),
        until: body.until.clone(),
        why: body.why.clone(),
        at: moment(&op.hlc),
    }
}

fn finding(done: &Done) -> Option<Found> {
    let Act::Finding(body) = &done.act else { return None };
    Some(Found {
        id: done.op_id.to_string(),
        text: body.text.clone(),
        place: body.place.clone(),
        weight: body.weight.into(),
        stake: None,
        when: moment(&done.hlc).0,
    })
}

/// How an entry is named in operations and forms.
fn about(origin: &Origin) -> String {
    match origin {
        Origin::Question(key) => format!("question:{key}"),
        Origin::Finding { id, .. } => format!("finding:{id}"),
    }
}

fn key_of(origin: &Origin) -> Option<&str> {
    match origin {
        Origin::Question(key) => Some(key),
        Origin::Finding { about, .. } => about.as_deref(),
    }
}

fn where_found(known: &Known, under: &WholeCar, answers: &Answers<'_>, origin: &Origin) -> String {
    match origin {
        Origin::Question(key) => {
            let holds = |area: &&Area| area.questions.iter().any(|question| question.key == *key);
            let area = known.survey.areas().iter().find(holds).map_or("", |area| area.title.as_str());
            let when = answers.get(key.as_str()).map(|(op, _)| words::day_and_time(moment(&op.hlc)));
            format!("survey, {area}, {}", when.unwrap_or_default())
        }
        Origin::Finding { id, .. } => {
            let Some(done) = id.parse::<OpId>().ok().and_then(|id| under.done.iter().find(|done| done.op_id == id))
            else {
                return String::new();
            };
            let card = done.card.and_then(|card| under.state.card(card)).map(|state| state.card.facts.title.as_str());
            format!("found at {}, {}", card.unwrap_or("the car"), words::day_and_time(moment(&done.hlc)))
        }
    }
}

/// Pictures by what they show: those taken for a question, and those taken along with a finding.
fn pictures(under: &WholeCar) -> HashMap<String, Vec<Picture>> {
    let things = Things::new();
    let context = Context::new(&under.done, &things, &under.pictures);
    let mut found: HashMap<String, Vec<Picture>> = found::findings(&under.done, &context)
        .into_iter()
        .map(|found| (format!("finding:{}", found.op), found.pictures))
        .collect();
    for done in &under.done {
        let Act::Photo(body) = &done.act else { continue };
        let Some(key) = &body.question else { continue };
        let picture = crate::logbook::words::entry(done, &context).picture;
        found.entry(format!("question:{key}")).or_default().extend(picture);
    }
    found
}

fn strangers(known: &Known, answers: &Answers<'_>) -> Vec<Stranger> {
    let mut found: Vec<Stranger> = answers
        .iter()
        .filter(|(key, _)| known.survey.question(key).is_none())
        .map(|(key, (_, body))| Stranger {
            say: if body.say.is_empty() { (*key).to_owned() } else { body.say.clone() },
            answer: body.answer.into(),
            note: body.note.clone(),
        })
        .collect();
    found.sort_by(|one, other| one.say.cmp(&other.say));
    found
}

/// The entries that became this card, in words, the latest first.
pub fn became_card(under: &WholeCar, card: CardId) -> Vec<String> {
    let id = card.to_string();
    let mut from: Vec<String> = under
        .done
        .iter()
        .filter_map(|done| match &done.act {
            Act::Dealt(body) if body.how == How::Card && body.became == id => Some(body.say.clone()),
            _ => None,
        })
        .rev()
        .collect();
    from.dedup();
    from
}
