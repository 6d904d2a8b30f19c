//! What the garage and a car's home show.

use super::form::CarForm;
use super::home::{BY_NEED, Home, by_condition};
use super::loose::{closed_by, left_by, since};
use super::store::Car;
use crate::ids::CarId;
use crate::jobs::checked::stops;
use crate::jobs::paper::Shelves;
use crate::jobs::views::condition_code;
use crate::logbook::evening::{short_day, weekday};
use crate::logbook::found::Found;
use crate::logbook::words::Picture;
use crate::survey::list::SurveyList;
use crate::sync::wire::{Tick, Weight};
use crate::trade::buying::Stage;
use crate::trade::condition::Condition;
use crate::trade::ledger::LooseEnd;
use crate::trade::trust::Trust;
use crate::web::car_picture::CarPicture;
use crate::web::form::{Differs, Slips};
use crate::web::page::{Page, Place};
use crate::web::words;
use crate::work::model::{CarState, CardState};
use askama::Template;
use jiff::civil::Date;

#[derive(Template)]
#[template(path = "cars/garage.html")]
pub struct GaragePage {
    pub page: Page,
    pub cars: Vec<GarageCar>,
    /// That there is no good backup of late; empty: there is.
    pub unsaved: String,
}

pub struct GarageCar {
    pub id: CarId,
    pub name: String,
    pub kind: String,
    pub invented: bool,
    pub loose_ends: String,
    pub conditions: Vec<Counted>,
    pub wanted: String,
}

/// Cards in one condition.
pub struct Counted {
    pub code: &'static str,
    pub words: String,
}

impl GarageCar {
    pub fn new(car: Car, state: &CarState, today: Date) -> GarageCar {
        let loose = state.loose_ends.len();
        GarageCar {
            id: car.id,
            kind: kind(&car),
            invented: car.invented,
            loose_ends: if loose == 0 { String::new() } else { words::count(loose, "loose end", "loose ends") },
            conditions: by_condition(state)
                .into_iter()
                .map(|(condition, n)| Counted { code: condition_code(condition), words: format!("{n} {condition}") })
                .collect(),
            wanted: wanted(&car, today).map(|wanted| wanted.line).unwrap_or_default(),
            name: car.name,
        }
    }
}

/// `Halden Skarv 1.8 estate, 1983`
pub fn kind(car: &Car) -> String {
    let named = [car.make.as_str(), car.model.as_str()].join(" ").trim().to_owned();
    match (named.is_empty(), car.year) {
        (_, None) => named,
        (true, Some(year)) => year.to_string(),
        (false, Some(year)) => format!("{named}, {year}"),
    }
}

/// The day the car is wanted on.
pub struct Wanted {
    /// `wanted on 5 Feb: in 80 days`
    pub line: String,
    pub day: String,
    /// Negative where it has passed.
    pub days: i64,
}

fn wanted(car: &Car, today: Date) -> Option<Wanted> {
    let day: Date = car.wanted_on.as_deref()?.parse().ok()?;
    let days = i64::from(today.until(day).ok()?.get_days());
    let shown = short_day(day, today);
    let left = match days {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        2.. => format!("in {days} days"),
        -1 => "yesterday".to_owned(),
        _ => format!("{} days ago", days.abs()),
    };
    Some(Wanted { line: format!("wanted on {shown}: {left}"), day: shown, days })
}

#[derive(Template)]
#[template(path = "cars/home.html")]
pub struct HomePage {
    pub page: Page,
    pub car: CarId,
    pub called: String,
    pub kind: String,
    pub invented: bool,
    pub story: String,
    pub codes: Vec<(String, String)>,
    pub odometer: String,
    pub wanted: Option<Wanted>,
    pub wanted_for: String,
    pub tally: Tally,
    pub survey: SurveyLine,
    pub loose_ends: Vec<ShownLooseEnd>,
    /// Where the loose ends are.
    pub picture: CarPicture,
    pub groups: Vec<CardGroup>,
    pub findings: Vec<ShownFinding>,
    pub evenings: Vec<ShownEvening>,
}

/// The survey in a line.
pub struct SurveyLine {
    pub words: String,
    pub done: String,
}

impl SurveyLine {
    pub fn of(list: &SurveyList<'_>) -> SurveyLine {
        let words = match (list.whole.answered, list.words()) {
            (0, said) if said.is_empty() => "not begun".to_owned(),
            (_, said) if said.is_empty() => "nothing left on its list".to_owned(),
            (_, said) => said,
        };
        let last = list.last.map(|last| format!(", the last on {}", words::day(last))).unwrap_or_default();
        let done = format!("{} of {} questions answered{last}", list.whole.answered, list.whole.asked);
        SurveyLine { words, done }
    }
}

pub struct Tally {
    pub loose_ends: usize,
    pub apart: usize,
    pub disputed: usize,
    pub to_buy: usize,
}

pub struct ShownLooseEnd {
    pub what: String,
    /// Where on the car; empty where the words say it.
    pub place: String,
    pub since: String,
    pub closes: String,
    pub href: String,
    /// The newest picture of the step that left it so: SHA-256 and caption.
    pub photo: Option<(String, String)>,
}

pub struct CardGroup {
    pub code: &'static str,
    pub label: String,
    pub cards: Vec<ShownCard>,
}

pub struct ShownCard {
    pub href: String,
    pub title: String,
    pub more: String,
    /// What the checker stops at: `2 stops by the checker`; empty where it stops at nothing.
    pub stops: String,
    /// One word for each step; empty before the first is ticked.
    pub ruler: Vec<&'static str>,
}

pub struct ShownFinding {
    pub what: String,
    pub more: String,
    pub weight: Weight,
    pub pictures: Vec<Picture>,
}

pub struct ShownEvening {
    pub day: String,
    pub line: String,
}

impl HomePage {
    pub fn new(page: Page, home: Home, survey: SurveyLine, today: Date) -> HomePage {
        let Home { car, state, findings, lately, odometer, photos } = home;
        HomePage {
            page: page.at_desk(car.id, &car.name, Place::Car),
            car: car.id,
            kind: kind(&car),
            invented: car.invented,
            codes: car.code_lines(),
            odometer: odometer.map(|read| format!("{} {}", words::figure(&read.number), read.unit)).unwrap_or_default(),
            wanted: wanted(&car, today),
            tally: tally(&state),
            survey,
            loose_ends: state
                .loose_ends
                .iter()
                .map(|end| ShownLooseEnd {
                    photo: end.step.as_ref().and_then(|step| photos.get(step).cloned()),
                    ..loose_end(&state, end, car.id, today)
                })
                .collect(),
            picture: CarPicture::of(&state.loose_ends, &state.true_now),
            groups: groups(&state, car.id),
            findings: findings.into_iter().map(|found| finding(found, today)).collect(),
            evenings: lately
                .into_iter()
                .map(|evening| ShownEvening {
                    day: format!("{} {}", weekday(evening.day), short_day(evening.day, today)),
                    line: evening.line,
                })
                .collect(),
            called: car.name,
            story: car.story,
            wanted_for: car.wanted_for,
        }
    }
}

fn tally(state: &CarState) -> Tally {
    Tally {
        loose_ends: state.loose_ends.len(),
        apart: state.cards.iter().filter(|card| card.condition == Condition::Apart).count(),
        disputed: state.specs.iter().filter(|spec| spec.trust().0 == Trust::Open).count(),
        to_buy: state.parts.iter().filter(|part| part.facts.state == Stage::Wanted).count(),
    }
}

fn loose_end(state: &CarState, end: &LooseEnd, car: CarId, today: Date) -> ShownLooseEnd {
    let at = since(end);
    let left_by = left_by(state, end);
    ShownLooseEnd {
        what: words::capital(&end.words),
        place: end.place.trim().to_owned(),
        since: format!("since {}, {}", short_day(at.local().date(), today), words::time(at)),
        closes: closes(state, end),
        href: match (left_by, &end.step) {
            (Some(card), Some(step)) => format!("/cars/{car}/cards/{}#step-{step}", card.card.id),
            _ => format!("/under/{car}/loose"),
        },
        photo: None,
    }
}

fn closes(state: &CarState, end: &LooseEnd) -> String {
    let Some(closer) = closed_by(state, end) else {
        return match end.step {
            Some(_) => "no step closes it: it has to be closed by hand".into(),
            None => "closed by hand".into(),
        };
    };
    let step = format!("closed by step {}: {}", closer.number, closer.words);
    if closer.same_card { step } else { format!("{step} ({})", closer.card.card.facts.title) }
}

fn groups(state: &CarState, car: CarId) -> Vec<CardGroup> {
    let shelves = Shelves::of(&state.specs, &state.parts);
    BY_NEED
        .into_iter()
        .map(|condition| CardGroup {
            code: condition_code(condition),
            label: words::capital(condition.label()),
            cards: state
                .cards
                .iter()
                .filter(|card| card.condition == condition)
                .map(|card| shown_card(card, car, &shelves))
                .collect(),
        })
        .filter(|group| !group.cards.is_empty())
        .collect()
}

fn shown_card(card: &CardState, car: CarId, shelves: &Shelves<'_>) -> ShownCard {
    let facts = card.facts;
    let mut more = vec![match facts.steps {
        0 => "no steps yet".to_owned(),
        steps => format!("{} of {} settled", facts.settled_steps, words::count(steps, "step", "steps")),
    }];
    if facts.missing_parts > 0 {
        more.push(format!("{} short of a part", words::count(facts.missing_parts, "step", "steps")));
    }
    if facts.missing_tools > 0 {
        more.push(format!("{} short of a tool", words::count(facts.missing_tools, "step", "steps")));
    }
    if facts.missing_specs > 0 {
        more.push(format!("{} short of a spec", words::count(facts.missing_specs, "step", "steps")));
    }
    if let Some(minutes) = card.card.facts.minutes.filter(|_| facts.settled_steps < facts.steps) {
        more.push(format!("about {} in all", words::minutes(minutes.likely)));
    }
    if card.condition == Condition::ClosedUp {
        more.push("to be looked at again after the road check".into());
    }
    let begun = facts.settled_steps > 0 && facts.settled_steps < facts.steps;
    ShownCard {
        href: format!("/cars/{car}/cards/{}", card.card.id),
        title: card.card.facts.title.clone(),
        more: more.join(" · "),
        stops: match stops(card, shelves) {
            0 => String::new(),
            n => words::count(n, "stop by the checker", "stops by the checker"),
        },
        ruler: if begun { ruler(card) } else { Vec::new() },
    }
}

fn ruler(card: &CardState) -> Vec<&'static str> {
    card.steps
        .iter()
        .map(|step| match card.tick(step.id) {
            Tick::Done => "done",
            Tick::Skipped => "skip",
            Tick::Open => "todo",
        })
        .collect()
}

fn finding(found: Found, today: Date) -> ShownFinding {
    let day = short_day(found.entry.at.local().date(), today);
    // The first word says that it was found, which the plate says already.
    let more: Vec<String> = found.entry.more.into_iter().skip(1).chain([day, found.entry.who]).collect();
    ShownFinding { what: found.entry.what, more: more.join(" · "), weight: found.weight, pictures: found.pictures }
}

#[derive(Template)]
#[template(path = "cars/form.html")]
pub struct CarFormPage {
    pub page: Page,
    /// `None` for a car that is not written down yet.
    pub car: Option<CarId>,
    pub form: CarForm,
    pub slips: Slips,
    /// Names of codes in use, with commas between.
    pub code_names: String,
    /// Somebody else changed the car since the form was opened.
    pub differs: Option<Vec<Differs>>,
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn car(wanted_on: &str) -> Car {
        Car {
            id: CarId::new(),
            name: "Skarv".into(),
            make: "Halden".into(),
            model: String::new(),
            year: Some(1983),
            codes: String::new(),
            story: String::new(),
            wanted_on: Some(wanted_on.into()),
            wanted_for: String::new(),
            invented: true,
        }
    }

    #[test]
    fn the_days_left_are_counted_over_months_and_years() {
        let today = date(2026, 11, 17);
        let cases = [
            ("2026-11-17", "wanted on 17 Nov: today"),
            ("2026-11-18", "wanted on 18 Nov: tomorrow"),
            ("2027-02-05", "wanted on 5 Feb 2027: in 80 days"),
            ("2026-11-07", "wanted on 7 Nov: 10 days ago"),
        ];
        for (day, line) in cases {
            assert_eq!(wanted(&car(day), today).unwrap().line, line);
        }
        assert!(wanted(&Car { wanted_on: None, ..car("") }, today).is_none());
    }

    #[test]
    fn a_car_is_named_by_what_is_known_of_it() {
        assert_eq!(kind(&car("")), "Halden, 1983");
        assert_eq!(kind(&Car { make: String::new(), ..car("") }), "1983");
        assert_eq!(kind(&Car { year: None, model: "Skarv 1.8".into(), ..car("") }), "Halden Skarv 1.8");
    }
}
