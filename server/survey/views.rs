//! What the desk's pages of the survey show.

use super::answers::{Sent, Slips, typed};
use super::deal::{self, anchor, part_name};
use super::library::{Broken, Known};
use super::list::{Answers, Became, Entry, Settled, Stranger, SurveyList, Tally, answers};
use super::routes::{Asked, Show, Walk};
use crate::ids::CarId;
use crate::jobs::views::ShownCaution;
use crate::logbook::evening::short_day;
use crate::logbook::words::Picture;
use crate::patterns::library::Library;
use crate::patterns::text::Pattern;
use crate::readings::series::{Thing, things};
use crate::readings::views::{Told, href};
use crate::sync::wire::Weight;
use crate::trade::quantity::Unit;
use crate::trade::survey::{Area, Origin, Question, Standing};
use crate::web::form::Choice;
use crate::web::page::Page;
use crate::web::words;
use crate::work::whole::WholeCar;
use askama::Template;

/// So many entries are shown before the others are asked for.
const FIRST: usize = 12;

/// An entry whose form could not be taken, with what was typed.
#[derive(Debug, Clone, Default)]
pub struct Trouble {
    pub about: String,
    pub say: String,
    pub sent: deal::Sent,
}

/// An area with how far it is.
pub struct ShownArea {
    pub key: String,
    pub title: String,
    pub count: String,
    pub words: String,
    /// `done`, `now` (begun) or `todo`
    pub mark: &'static str,
}

impl ShownArea {
    pub fn of((area, tally): &(&Area, Tally)) -> ShownArea {
        ShownArea {
            key: area.key.clone(),
            title: area.title.clone(),
            count: format!("{} of {} answered", tally.answered, tally.asked),
            words: tally.words(),
            mark: match tally.answered {
                0 => "todo",
                all if all == tally.asked => "done",
                _ => "now",
            },
        }
    }
}

/// The tag of a standing, as the style sheets know it.
pub fn code_of(standing: Standing) -> &'static str {
    match standing {
        Standing::Act => "act",
        Standing::Due => "unknown",
        Standing::Watch => "watch",
    }
}

/// A pattern that fits.
pub struct Fits {
    pub key: String,
    pub title: String,
    pub choices: Vec<(String, Vec<Choice>)>,
}

pub struct ShownEntry {
    pub place: usize,
    pub about: String,
    pub anchor: String,
    pub seen: String,
    pub title: String,
    pub note: String,
    pub code: &'static str,
    pub standing: String,
    pub stake: String,
    pub reason: String,
    pub found: String,
    pub pictures: Vec<Picture>,
    pub back: &'static str,
    /// What can be done about it that is no press: look closer, a workshop.
    pub advice: Vec<String>,
    pub patterns: Vec<Fits>,
    pub part: String,
    /// The question says what is ordered.
    pub part_known: bool,
    pub until: String,
    pub why: String,
    pub trouble: String,
}

pub struct ShownSettled {
    pub about: String,
    pub anchor: String,
    pub seen: String,
    pub say: String,
    pub how: String,
    pub href: String,
    pub became: String,
    pub why: String,
    pub when: String,
}

pub struct Filter {
    pub href: String,
    pub label: String,
    pub current: bool,
}

#[derive(Template)]
#[template(path = "survey/list.html")]
pub struct ListPage {
    page: Page,
    car: CarId,
    answered: usize,
    asked: usize,
    /// When the last question was answered.
    last: String,
    words: String,
    areas: Vec<ShownArea>,
    /// Where the walk goes on: address and words.
    go_on: (String, String),
    filters: Vec<Filter>,
    entries: Vec<ShownEntry>,
    /// How many the list has in all.
    all: usize,
    settled: Vec<ShownSettled>,
    strangers: Vec<Stranger>,
    broken: Vec<Broken>,
    trouble: String,
}

impl ListPage {
    pub fn new(
        page: Page,
        whole: &WholeCar,
        walk: &Walk,
        library: &Library,
        (asked, trouble): (Asked, Trouble),
    ) -> ListPage {
        let car = whole.car.id;
        let list = SurveyList::of(&walk.known, whole, walk.today);
        let shown = list.entries.iter().enumerate().filter(|(at, entry)| is_asked_for(asked.show, *at, entry));
        let entry = |(at, entry): (usize, &Entry<'_>)| shown_entry(at, entry, walk, library, &trouble);
        ListPage {
            page,
            car,
            answered: list.whole.answered,
            asked: list.whole.asked,
            last: list.last.map(words::day_and_time).unwrap_or_default(),
            words: list.words(),
            go_on: go_on(car, &list),
            areas: list.areas.iter().map(ShownArea::of).collect(),
            filters: filters(car, &list, asked.show),
            entries: shown.map(entry).collect(),
            all: list.entries.len(),
            settled: list.settled.iter().map(|settled| shown_settled(car, settled, walk)).collect(),
            strangers: list.strangers,
            broken: walk.known.broken.clone(),
            trouble: trouble.say,
        }
    }
}

fn is_asked_for(show: Show, at: usize, entry: &Entry<'_>) -> bool {
    match show {
        Show::First => at < FIRST,
        Show::All => true,
        Show::Found => matches!(entry.placed.origin, Origin::Finding { .. }),
        Show::Act | Show::Due | Show::Watch => show.standing() == Some(entry.placed.standing),
    }
}

fn go_on(car: CarId, list: &SurveyList<'_>) -> (String, String) {
    let open = list.areas.iter().find(|(_, tally)| tally.answered < tally.asked);
    let begun = if list.whole.answered == 0 { "Begin the walk" } else { "Go on" };
    let (area, words) = match (open, list.areas.first()) {
        (Some((area, _)), _) => (*area, format!("{begun}: {}", area.title)),
        (None, Some((first, _))) => (*first, format!("Walk round again: {}", first.title)),
        (None, None) => return (format!("/cars/{car}"), "To the car".into()),
    };
    (format!("/cars/{car}/survey/areas/{}", area.key), words)
}

fn filters(car: CarId, list: &SurveyList<'_>, show: Show) -> Vec<Filter> {
    let count = |of: Show| list.entries.iter().filter(|entry| is_asked_for(of, usize::MAX, entry)).count();
    let all = list.entries.len();
    let first = if all > FIRST { Some((Show::First, "first", format!("The first {FIRST}"))) } else { None };
    let others = [
        (Show::All, "all", format!("All {all}")),
        (Show::Act, "act", format!("To be done {}", count(Show::Act))),
        (Show::Due, "due", format!("Not known {}", count(Show::Due))),
        (Show::Watch, "watch", format!("To be watched {}", count(Show::Watch))),
        (Show::Found, "found", format!("Found at work {}", count(Show::Found))),
    ];
    let filter = |(of, name, label): (Show, &str, String)| Filter {
        href: format!("/cars/{car}/survey?show={name}"),
        label,
        current: of == show || (of == Show::All && show == Show::First && all <= FIRST),
    };
    first.into_iter().chain(others).map(filter).collect()
}

fn shown_entry(at: usize, entry: &Entry<'_>, walk: &Walk, library: &Library, trouble: &Trouble) -> ShownEntry {
    let placed = &entry.placed;
    let is_wrong = trouble.about == entry.about;
    let typed = |name: &str| if is_wrong { trouble.sent.get(name).cloned() } else { None };
    let months = entry.question.and_then(|question| question.again.months).unwrap_or(1);
    let until = walk.today.plus_months(months).map(|day| day.to_string()).unwrap_or_default();
    let mends = entry.question.map_or(&[][..], |question| question.mends.as_slice());
    let about = format!("{} {}", placed.title, placed.note).to_lowercase();
    ShownEntry {
        place: at + 1,
        about: entry.about.clone(),
        anchor: anchor(&entry.about),
        seen: entry.seen.clone(),
        title: placed.title.clone(),
        note: placed.note.clone(),
        code: code_of(placed.standing),
        standing: words::capital(placed.standing.label()),
        stake: words::capital(placed.stake.label()),
        reason: placed.reason.clone(),
        found: words::capital(&entry.found),
        pictures: entry.pictures.clone(),
        back: entry.back.map_or("", |back| back.label()),
        advice: advice(entry),
        patterns: mends
            .iter()
            .filter_map(|key| library.patterns.get(key).map(|kept| fits(&kept.pattern, &about)))
            .collect(),
        part: part_name(entry),
        part_known: entry.question.is_some_and(|question| !question.part.is_empty()),
        until: typed("until").unwrap_or(until),
        why: typed("why").unwrap_or_default(),
        trouble: if is_wrong { trouble.say.clone() } else { String::new() },
    }
}

/// What the question says beside a card and a part: what to look at, what a workshop does, from when on it is to be done.
fn advice(entry: &Entry<'_>) -> Vec<String> {
    use crate::trade::survey::Suggestion;
    let said = |suggestion: &Suggestion| match suggestion {
        Suggestion::Job { .. } | Suggestion::OwnCard | Suggestion::Order { .. } => None,
        Suggestion::Workshop { .. } | Suggestion::Look { .. } | Suggestion::Watch { .. } => {
            Some(suggestion.to_string())
        }
    };
    entry.placed.suggestions.iter().filter_map(said).collect()
}

/// A pattern with what it asks; chosen already where the finding's own words name exactly one of the options.
fn fits(pattern: &Pattern, about: &str) -> Fits {
    let choice = |choice: &crate::patterns::text::Choice| {
        let named: Vec<&String> = choice.options.iter().filter(|option| about.contains(option.as_str())).collect();
        let options = choice.options.iter().map(|option| Choice::new(option, option, named == [option])).collect();
        (choice.name.clone(), options)
    };
    Fits {
        key: pattern.key.clone(),
        title: crate::patterns::views::open_words(pattern, &pattern.title),
        choices: pattern.choices.iter().map(choice).collect(),
    }
}

fn shown_settled(car: CarId, settled: &Settled, walk: &Walk) -> ShownSettled {
    let (href, became) = match &settled.became {
        Became::Card(id, title) => (format!("/cars/{car}/cards/{id}"), title.clone()),
        Became::Part(id, name) => (format!("/cars/{car}/parts/{id}"), name.clone()),
        Became::Nothing => (String::new(), String::new()),
    };
    let day = settled.until.parse().ok().map(|day| short_day(day, walk.now.local().date()));
    let until = day.map(|day| format!(" until {day}")).unwrap_or_default();
    ShownSettled {
        about: settled.about.clone(),
        anchor: anchor(&settled.about),
        seen: settled.seen.clone(),
        say: settled.say.clone(),
        how: words::capital(&format!("{}{until}", settled.how.label())),
        href,
        became,
        why: settled.why.clone(),
        when: words::day_and_time(settled.at),
    }
}

/// The reading of a question.
pub struct ShownReading {
    pub what: String,
    pub href: String,
    pub units: Vec<Choice>,
    pub number: String,
    /// `12.4 V`; empty where it was not read yet.
    pub last: String,
    pub told: Option<Told>,
}

pub struct ShownQuestion {
    pub key: String,
    pub number: usize,
    pub ask: String,
    pub look: String,
    pub ways: [(&'static str, String); 3],
    pub helper: bool,
    pub photo: String,
    pub cautions: Vec<ShownCaution>,
    pub items: String,
    /// What is chosen: as typed, else as it stands.
    pub answer: String,
    pub note: String,
    /// As it stood when the form was opened.
    pub was: String,
    pub noted: String,
    pub when: String,
    pub reading: Option<ShownReading>,
    pub trouble: String,
}

#[derive(Template)]
#[template(path = "survey/area.html")]
pub struct AreaPage {
    page: Page,
    car: CarId,
    area: String,
    title: String,
    intro: String,
    count: String,
    questions: Vec<ShownQuestion>,
    answers: [(Weight, &'static str); 4],
    before: (String, String),
    next: (String, String),
    wrong: usize,
}

/// The four answers, in words that fit a button.
pub const ANSWERS: [(Weight, &str); 4] = [
    (Weight::Fine, "Fine"),
    (Weight::Watch, "Keep an eye on it"),
    (Weight::Act, "To be done"),
    (Weight::Unknown, "Not known"),
];

impl AreaPage {
    pub fn new(page: Page, whole: &WholeCar, known: &Known, area: &Area, sent: &Sent, slips: &Slips) -> AreaPage {
        let car = whole.car.id;
        let stand = answers(whole);
        let all = things(&whole.done, &whole.state.limits);
        let form = Form { car, stand: &stand, all: &all, sent, slips };
        let questions = area.questions.iter().enumerate().map(|(at, question)| form.question(at, question)).collect();
        let (before, next) = beside(car, known, area);
        let answered = area.questions.iter().filter(|question| stand.contains_key(question.key.as_str())).count();
        AreaPage {
            page,
            car,
            area: area.key.clone(),
            title: area.title.clone(),
            intro: area.intro.clone(),
            count: format!("{answered} of {} answered", area.questions.len()),
            questions,
            answers: ANSWERS,
            before,
            next,
            wrong: slips.len(),
        }
    }
}

/// What the questions of a form are drawn from.
struct Form<'a> {
    car: CarId,
    stand: &'a Answers<'a>,
    all: &'a [Thing<'a>],
    sent: &'a Sent,
    slips: &'a Slips,
}

impl Form<'_> {
    fn question(&self, at: usize, question: &Question) -> ShownQuestion {
        let key = question.key.as_str();
        let (was, noted, when) = match self.stand.get(key) {
            Some((op, body)) => {
                let when = words::day_and_time(super::list::moment(&op.hlc));
                (body.answer.name().to_owned(), body.note.clone(), when)
            }
            None => Default::default(),
        };
        let again = |field: &str, stands: &str| {
            if self.sent.is_empty() { stands.to_owned() } else { typed(self.sent, field, key).to_owned() }
        };
        let Question { fine, watch, act, .. } = question;
        ShownQuestion {
            number: at + 1,
            ask: question.ask.clone(),
            look: question.look.clone(),
            ways: [("fine", fine.clone()), ("watch", watch.clone()), ("act", act.clone())],
            helper: question.helper,
            photo: question.photo.clone(),
            cautions: question.cautions.iter().map(|caution| ShownCaution::of(caution.name())).collect(),
            items: items(question),
            answer: again("answer", &was),
            note: again("note", &noted),
            was: again("was", &was),
            noted: again("noted", &noted),
            when,
            reading: reading(self.car, question, self.all, self.sent),
            trouble: self.slips.get(key).cloned().unwrap_or_default(),
            key: key.to_owned(),
        }
    }
}

/// Published items that a question follows, with how far their words were followed back.
fn items(question: &Question) -> String {
    let said: Vec<String> =
        question.items.iter().map(|cited| format!("{} ({})", cited.item, cited.standing.label())).collect();
    said.join("; ")
}

fn reading(car: CarId, question: &Question, all: &[Thing<'_>], sent: &Sent) -> Option<ShownReading> {
    let ask = &question.reading.as_ref()?.ask;
    let key = crate::readings::model::key_of(&ask.what);
    let thing = all.iter().find(|thing| thing.key == key && !thing.taken.is_empty());
    let latest = thing.and_then(Thing::latest);
    let unit = match typed(sent, "unit", &question.key) {
        "" => latest.map_or("", |taken| taken.body.unit.as_str()),
        typed => typed,
    };
    let units: Vec<(&str, &str)> = match ask.kind.dimension() {
        Some(dimension) => Unit::all(dimension).into_iter().map(|unit| (unit.code(), unit.name())).collect(),
        None => vec![("count", "pieces")],
    };
    Some(ShownReading {
        href: href(car, &ask.what),
        units: units.into_iter().map(|(code, name)| Choice::new(code, name, code == unit)).collect(),
        number: typed(sent, "number", &question.key).to_owned(),
        last: latest.map(|taken| taken.entry().shown()).unwrap_or_default(),
        told: thing.and_then(Thing::verdict).as_ref().map(Told::of),
        what: ask.what.clone(),
    })
}

type Link = (String, String);

fn beside(car: CarId, known: &Known, area: &Area) -> (Link, Link) {
    let areas = known.survey.areas();
    let at = areas.iter().position(|other| other.key == area.key).unwrap_or_default();
    let link = |found: Option<&Area>| match found {
        Some(area) => (format!("/cars/{car}/survey/areas/{}", area.key), area.title.clone()),
        None => (String::new(), String::new()),
    };
    (link(at.checked_sub(1).and_then(|before| areas.get(before))), link(areas.get(at + 1)))
}
