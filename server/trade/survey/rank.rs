//! All that was answered and found, in the order in which it is to be done.
//!
//! The order is total and depends on nothing but what is given: first what can hurt somebody, then what ruins something dearer,
//! then what can leave the car standing, then comfort; within these what is to be done before what nobody knows before what is
//! watched; then along the walk, a finding after the question that it is about; then by when it was found. It is our own
//! order of urgency, common practice, and no assessment that a car is safe.

use super::question::{Answer, Question, Stake, Survey};
use super::suggest::{Suggestion, heard, suggest};
use crate::trade::closed_set::closed_set;
use serde::Serialize;
use std::collections::BTreeMap;

/// An answer to a question. Of several to one question the last in the list counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Given {
    pub question: String,
    pub answer: Answer,
    pub note: String,
}

/// Something found in the middle of a job, in free words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    pub id: String,
    pub text: String,
    pub place: String,
    pub weight: Answer,
    /// What a person said is at stake; `None`: as the question that it is about, see [`heard`].
    pub stake: Option<Stake>,
    /// When it was found, as any number that grows.
    pub when: i64,
}

closed_set! {
    /// How it stands, the most urgent first.
    pub enum Standing {
        Act = "act", "to be done";
        Due = "due", "not known, counts as due";
        Watch = "watch", "to be watched";
    }
}

impl Standing {
    fn of(answer: Answer) -> Option<Standing> {
        match answer {
            Answer::Fine => None,
            Answer::Act => Some(Standing::Act),
            Answer::Unknown => Some(Standing::Due),
            Answer::Watch => Some(Standing::Watch),
        }
    }
}

/// Where a place in the list comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    Question(String),
    /// A finding's id, and the question that it was taken for.
    Finding {
        id: String,
        about: Option<String>,
    },
}

/// One place in the list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Placed {
    pub origin: Origin,
    /// The finding's own words, or the question.
    pub title: String,
    /// What was noted beside the answer, or where it was found.
    pub note: String,
    pub stake: Stake,
    pub standing: Standing,
    /// Why it stands here, in a sentence or two.
    pub reason: String,
    pub suggestions: Vec<Suggestion>,
}

/// The list, and what is still to be asked.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Ranking {
    pub places: Vec<Placed>,
    /// Questions without an answer, in walking order.
    pub open: Vec<String>,
    /// Answers to questions that this survey does not have; kept in sight, as its text may have been changed.
    pub strangers: Vec<String>,
}

/// What the order goes by, and nothing besides.
type Order = (Stake, Standing, usize, bool, i64, String);

/// Ranks answers and findings.
pub fn rank(survey: &Survey, given: &[Given], found: &[Found]) -> Ranking {
    let standing: BTreeMap<&str, &Given> = given.iter().map(|one| (one.question.as_str(), one)).collect();
    let answered = survey.questions().enumerate().filter_map(|(at, question)| {
        standing.get(question.key.as_str()).and_then(|given| of_question(at, question, given))
    });
    let mut places: Vec<(Order, Placed)> =
        answered.chain(found.iter().filter_map(|found| of_finding(survey, found))).collect();
    places.sort_by(|one, other| one.0.cmp(&other.0));
    let mut ranking = Ranking {
        places: Vec::new(),
        open: survey
            .questions()
            .map(|question| &question.key)
            .filter(|key| !standing.contains_key(key.as_str()))
            .cloned()
            .collect(),
        strangers: standing.keys().filter(|key| survey.question(key).is_none()).map(|key| (*key).to_owned()).collect(),
    };
    for (_, mut place) in places {
        place.reason = reason(&place, is_weighed(&place, found), ranking.places.last());
        ranking.places.push(place);
    }
    ranking
}

fn of_question(at: usize, question: &Question, given: &Given) -> Option<(Order, Placed)> {
    let standing = Standing::of(given.answer)?;
    let place = Placed {
        origin: Origin::Question(question.key.clone()),
        title: question.ask.clone(),
        note: given.note.clone(),
        stake: question.stake,
        standing,
        reason: String::new(),
        suggestions: suggest(Some(question), given.answer),
    };
    Some(((question.stake, standing, at, false, 0, String::new()), place))
}

/// What nobody weighed, and no question is about, counts as grave until somebody says otherwise.
fn of_finding(survey: &Survey, found: &Found) -> Option<(Order, Placed)> {
    let standing = Standing::of(found.weight)?;
    let about = heard(survey, &format!("{} {}", found.text, found.place));
    let question = about.map(|(_, question)| question);
    let stake = found.stake.or(question.map(|question| question.stake)).unwrap_or(Stake::Safety);
    let place = Placed {
        origin: Origin::Finding { id: found.id.clone(), about: question.map(|question| question.key.clone()) },
        title: found.text.clone(),
        note: found.place.clone(),
        stake,
        standing,
        reason: String::new(),
        suggestions: suggest(question, found.weight),
    };
    let at = about.map_or(usize::MAX, |(at, _)| at);
    Some(((stake, standing, at, true, found.when, found.id.clone()), place))
}

fn is_weighed(place: &Placed, found: &[Found]) -> bool {
    match &place.origin {
        Origin::Question(_) | Origin::Finding { about: Some(_), .. } => true,
        Origin::Finding { id, about: None } => found.iter().any(|found| found.id == *id && found.stake.is_some()),
    }
}

/// The order's reason; `weighed`: somebody, or a question, said what is at stake.
fn reason(place: &Placed, weighed: bool, above: Option<&Placed>) -> String {
    let stake = match place.stake {
        Stake::Safety if !weighed => "Nobody said what it can do, so it counts as able to hurt somebody",
        Stake::Safety => "It can hurt somebody",
        Stake::RuinsDearer => "Left alone it ruins something dearer",
        Stake::Reliability => "It can leave the car standing",
        Stake::Comfort => "It is about comfort",
    };
    let standing = match place.standing {
        Standing::Act => "it is past what is fine",
        Standing::Due => "nobody knows how it is, which counts as due",
        Standing::Watch => "it is not yet to be done, so it is watched",
    };
    let is_grave = (place.stake, place.standing) == (Stake::Safety, Standing::Act);
    let off_the_road = if is_grave { " The car stays off the road until that is mended." } else { "" };
    let first = format!("{stake}, and {standing}.{off_the_road}");
    let equals = above.is_some_and(|above| (above.stake, above.standing) == (place.stake, place.standing));
    match (equals, &place.origin) {
        (false, _) => first,
        (true, Origin::Question(_)) => format!("{first} As urgent as the one above it, which comes first on the walk."),
        (true, Origin::Finding { about: Some(_), .. }) => {
            format!("{first} As urgent as the one above it; it stands where the walk would have met it.")
        }
        (true, Origin::Finding { about: None, .. }) => {
            format!("{first} As urgent as the one above it; no place of the walk is about it, so it comes after.")
        }
    }
}
