//! An entry of the list dealt with: made into a job card, a part to buy, something to watch, or nothing to do.
//!
//! What it becomes and that it became it are one change: of two desks that press at once, the second is told, and makes nothing.

use super::list::{Entry, SurveyList};
use super::routes::{Asked, Walk, frame};
use super::views::{ListPage, Trouble};
use crate::access::Owner;
use crate::app::OwnerState;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{CarId, CardId, PartId};
use crate::jobs::model::CardFacts;
use crate::jobs::store as jobs;
use crate::patterns::library::Library;
use crate::patterns::make::make;
use crate::shelf::store::{self as shelf, PartFacts};
use crate::sync::apply::do_in;
use crate::sync::wire::{Act, DealtBody, Subject};
use crate::trade::calendar::Date;
use crate::trade::spec::System;
use crate::trade::survey::How;
use crate::web::extract::{Form, Path};
use crate::web::page::{Page, show_again};
use crate::work::whole::WholeCar;
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use std::collections::BTreeMap;

/// As long as the forms of cards and parts take.
const LONGEST_TITLE: usize = 120;
const LONGEST_WHY: usize = 2000;
/// Choices of a pattern, as fields.
const CHOICE: &str = "pick-";
const FIELDS: [&str; 7] = ["about", "seen", "how", "pattern", "part", "until", "why"];

/// The form as it was sent: its fields, and the choices of the pattern.
pub type Sent = BTreeMap<String, String>;

fn field<'a>(sent: &'a Sent, name: &str) -> &'a str {
    sent.get(name).map_or("", |text| text.trim())
}

fn invalid(say: impl Into<String>) -> AppError {
    AppError::Invalid("malformed", say.into())
}

/// `POST /cars/{car}/survey/deal`
pub async fn deal(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(sent): Form<Sent>,
) -> Result<Response, AppError> {
    let walk = Walk::at(&state.surveys, &state.clock).await?;
    let library = state.patterns.library().await;
    match carry_out(&state, &owner, car, &walk, &library, &sent).await {
        Ok(about) => Ok(Redirect::to(&format!("/cars/{car}/survey#{}", anchor(&about))).into_response()),
        Err(AppError::Invalid(_, say)) => {
            let whole = state.cars.get(&state.read, car).await?;
            let trouble = Trouble { about: field(&sent, "about").to_owned(), say, sent };
            show_again(&ListPage::new(frame(page, &whole), &whole, &walk, &library, (Asked::whole(), trouble)))
        }
        Err(other) => Err(other),
    }
}

/// An entry's place on the page.
pub fn anchor(about: &str) -> String {
    about.replace(':', "-")
}

async fn carry_out(
    state: &OwnerState,
    owner: &Owner,
    car: CarId,
    walk: &Walk,
    library: &Library,
    sent: &Sent,
) -> Result<String, AppError> {
    if let Some(name) = sent.keys().find(|name| !FIELDS.contains(&name.as_str()) && !name.starts_with(CHOICE)) {
        return Err(invalid(format!("The list has no field ‘{name}’.")));
    }
    let how = How::from_name(field(sent, "how")).ok_or_else(|| invalid("Say what becomes of it."))?;
    let mut tx = state.write.begin(owner).await?;
    let whole = WholeCar::read(&mut tx, car, crate::chest::model::day_of(state.clock.now())?).await?;
    let list = SurveyList::of(&walk.known, &whole, walk.today);
    let about = field(sent, "about");
    let body = match how {
        How::Open => opened_again(&list, about, field(sent, "seen"))?,
        How::Card | How::Part | How::Watch | How::Nothing => {
            let entry = find(&list, about, field(sent, "seen"))?;
            let body = DealtBody {
                about: about.to_owned(),
                say: entry.placed.title.clone(),
                how,
                became: String::new(),
                until: String::new(),
                why: field(sent, "why").replace("\r\n", "\n"),
            };
            become_it(&mut tx, car, entry, library, (sent, walk.today), body).await?
        }
    };
    do_in(&mut tx, owner, state.clock.now(), (car, None, Subject::Car(car)), Act::Dealt(body)).await?;
    tx.commit().await?;
    Ok(about.to_owned())
}

/// The entry, as whoever pressed saw it. Errors: it was dealt with meanwhile, or there never was such a one.
fn find<'a, 'b>(list: &'b SurveyList<'a>, about: &str, seen: &str) -> Result<&'b Entry<'a>, AppError> {
    match list.entry(about) {
        Some(entry) if entry.seen == seen => Ok(entry),
        Some(_) => Err(AppError::ChangedMeanwhile),
        None if list.settled.iter().any(|settled| settled.about == about) => Err(AppError::ChangedMeanwhile),
        None => Err(AppError::NotFound("such entry of the list")),
    }
}

fn opened_again(list: &SurveyList<'_>, about: &str, seen: &str) -> Result<DealtBody, AppError> {
    let settled = match list.settled.iter().find(|settled| settled.about == about) {
        Some(settled) if settled.seen == seen => settled,
        Some(_) => return Err(AppError::ChangedMeanwhile),
        None if list.entry(about).is_some() => return Err(AppError::ChangedMeanwhile),
        None => return Err(AppError::NotFound("such entry of the list")),
    };
    Ok(DealtBody {
        about: about.to_owned(),
        say: settled.say.clone(),
        how: How::Open,
        became: String::new(),
        until: String::new(),
        why: String::new(),
    })
}

async fn become_it(
    tx: &mut WriteTx,
    car: CarId,
    entry: &Entry<'_>,
    library: &Library,
    (sent, today): (&Sent, Date),
    body: DealtBody,
) -> Result<DealtBody, AppError> {
    match body.how {
        How::Card => {
            let pattern = field(sent, "pattern");
            let card = if pattern.is_empty() {
                blank_card(tx, car, entry).await?
            } else {
                card_from(tx, car, entry, library, (pattern, sent)).await?
            };
            Ok(DealtBody { became: card.to_string(), ..body })
        }
        How::Part => {
            let part = wanted_part(tx, car, entry, field(sent, "part")).await?;
            Ok(DealtBody { became: part.to_string(), ..body })
        }
        How::Watch => {
            let until = Date::parse(field(sent, "until")).map_err(|why| invalid(why.to_string()))?;
            if until <= today {
                return Err(invalid("Choose a day that is still to come: until then it is out of the list."));
            }
            Ok(DealtBody { until: until.to_string(), ..body })
        }
        How::Nothing if body.why.is_empty() => {
            Err(invalid("Say why there is nothing to do: it is kept in the logbook."))
        }
        How::Nothing | How::Open => Ok(body),
    }
}

/// At most so many letters, the end left out where there are more.
pub fn shortened(text: &str, most: usize) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() <= most {
        return line;
    }
    let kept: String = line.chars().take(most - 1).collect();
    format!("{}…", kept.trim_end())
}

/// What the card is for: the finding, where it was found, and what was noted.
fn why(entry: &Entry<'_>) -> String {
    let placed = &entry.placed;
    let mut lines = vec![format!("{} ({}: {})", placed.title, placed.standing.label(), entry.found)];
    if !placed.note.is_empty() {
        lines.push(placed.note.clone());
    }
    lines.push(format!("Why it is to be done: {}", placed.stake.label()));
    lines.join("\n").chars().take(LONGEST_WHY).collect()
}

async fn blank_card(tx: &mut WriteTx, car: CarId, entry: &Entry<'_>) -> Result<CardId, AppError> {
    let card = CardId::new();
    let facts = CardFacts {
        title: shortened(&entry.placed.title, LONGEST_TITLE),
        // Of what no question is about nobody knows the system; it can be changed on the card.
        system: entry.question.map_or(System::Body, |question| question.system),
        why: why(entry),
        minutes: None,
        helper: false,
    };
    jobs::add_card(tx, car, card, &facts).await?;
    Ok(card)
}

async fn card_from(
    tx: &mut WriteTx,
    car: CarId,
    entry: &Entry<'_>,
    library: &Library,
    (key, sent): (&str, &Sent),
) -> Result<CardId, AppError> {
    let gone = || format!("There is no pattern ‘{key}’ any more. Make a card without one, or choose another.");
    let kept = library.patterns.get(key).ok_or_else(|| invalid(gone()))?;
    let mut chosen = BTreeMap::new();
    for choice in &kept.pattern.choices {
        let picked = field(sent, &format!("{CHOICE}{}", choice.name));
        if !choice.options.iter().any(|option| option == picked) {
            return Err(invalid(format!("Choose for the card: {}.", choice.options.join(" or "))));
        }
        chosen.insert(choice.name.clone(), picked.to_owned());
    }
    let id = make(tx, car, &kept.pattern, &chosen).await?;
    let card = jobs::card(tx, car, id).await?;
    let said = format!("{}\n{}", why(entry), card.facts.why).chars().take(LONGEST_WHY).collect();
    jobs::change_card(tx, car, id, card.rev, &CardFacts { why: said, ..card.facts }).await?;
    Ok(id)
}

async fn wanted_part(tx: &mut WriteTx, car: CarId, entry: &Entry<'_>, named: &str) -> Result<PartId, AppError> {
    let name = if named.is_empty() { part_name(entry) } else { named.to_owned() };
    let part = PartId::new();
    let facts = PartFacts { note: why(entry), ..PartFacts::wanted(&shortened(&name, LONGEST_TITLE)) };
    shelf::add(tx, car, part, &facts, None).await?;
    Ok(part)
}

/// What is ordered for it: as its question says, else for what was found.
pub fn part_name(entry: &Entry<'_>) -> String {
    let said = entry.question.map_or("", |question| question.part.as_str());
    let name = if said.is_empty() { format!("For: {}", entry.placed.title) } else { said.to_owned() };
    shortened(&name, LONGEST_TITLE)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_finding_is_cut_where_it_names_a_card() {
        assert_eq!(shortened("Brake  hose\ncracked", 120), "Brake hose cracked");
        let long = shortened(&"ä".repeat(121), 120);
        assert_eq!((long.chars().count(), long.ends_with('…')), (120, true));
    }
}
