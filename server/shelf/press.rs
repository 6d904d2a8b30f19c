//! Moving things of the buy list on: from wanted to ordered, here and fitted, and back; one or several at once.

use super::around::Shelf;
use super::form::latest;
use super::store::{self, Order, Part, PartFacts};
use super::wants::{Chosen, Wants};
use crate::access::Owner;
use crate::app::OwnerState;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{CarId, PartId};
use crate::sync::apply;
use crate::sync::wire::{Act, QuantityBody, Subject};
use crate::trade::buying::{Stage, Want, rest};
use crate::web::form::Slips;
use serde::Deserialize;

const LONGEST_WORD: usize = 60;

/// What is pressed on the list.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PressForm {
    /// What is ticked: keys of things, blanks between those of one line.
    #[serde(default)]
    pub thing: Vec<String>,
    /// Where to, of all that is ticked.
    #[serde(default)]
    pub to: String,
    /// One line alone: the stage, a bar, and the line's keys.
    #[serde(default)]
    pub one: String,
    #[serde(default)]
    pub supplier: String,
    #[serde(default)]
    pub expected_on: String,
    #[serde(default)]
    pub expected_latest: String,
    /// The chosen jobs, to come back to.
    #[serde(default)]
    pub cards: String,
    #[serde(default)]
    pub rest: String,
    #[serde(default)]
    pub chosen: String,
}

/// A thing as a form names it.
enum Key<'a> {
    Part {
        id: PartId,
        rev: i64,
    },
    /// A bottle of the plan, or a tool that the chest lacks.
    Planned(&'a str),
}

impl PressForm {
    /// Where to, and what.
    fn pressed(&self, slips: &mut Slips) -> Option<(Stage, Vec<Key<'_>>)> {
        let (to, lines) = match self.one.split_once('|') {
            Some((to, line)) => (to, vec![line]),
            None => (self.to.as_str(), self.thing.iter().map(String::as_str).collect()),
        };
        let Some(to) = Stage::from_name(to) else {
            slips.say("to", "Press what became of it: ordered, here, fitted, sent back or wanted.");
            return None;
        };
        let keys: Option<Vec<Key<'_>>> = lines.iter().flat_map(|line| keys(line)).collect();
        match keys.filter(|keys| !keys.is_empty()) {
            Some(keys) => Some((to, keys)),
            None => {
                slips.say("thing", "Tick first what it is about.");
                None
            }
        }
    }

    /// Where and until when, where it is ordered.
    fn order<'a>(&self, slips: &mut Slips, kept: &'a mut (String, Option<String>, Option<String>)) -> Order<'a> {
        kept.0 = slips.line("supplier", &self.supplier, LONGEST_WORD);
        kept.1 = slips.day("expected_on", &self.expected_on);
        kept.2 = latest(&self.expected_latest, kept.1.as_deref(), slips);
        Order { supplier: &kept.0, on: kept.1.as_deref(), latest: kept.2.as_deref() }
    }
}

fn keys(line: &str) -> Vec<Option<Key<'_>>> {
    if line.starts_with("tool:") || line.starts_with("fluid:") {
        return vec![Some(Key::Planned(line))];
    }
    let part = |word: &str| {
        let (id, rev) = word.split_once(':')?;
        Some(Key::Part { id: id.parse().ok()?, rev: rev.parse().ok()? })
    };
    line.split_whitespace().map(part).collect()
}

/// What became of a press.
pub enum Pressed {
    Done(Stage),
    /// Nothing was changed; the slips say why, and whether somebody else came between.
    Refused {
        slips: Slips,
        changed: bool,
    },
}

/// Moves all that is pressed, or nothing.
pub async fn press(
    state: &OwnerState,
    owner: &Owner,
    shelf: &Shelf,
    chosen: &Chosen,
    form: &PressForm,
) -> Result<Pressed, AppError> {
    let mut slips = Slips::default();
    let mut kept = Default::default();
    let order = form.order(&mut slips, &mut kept);
    let Some((to, keys)) = form.pressed(&mut slips).filter(|_| slips.is_empty()) else {
        return Ok(Pressed::Refused { slips, changed: false });
    };
    let mut tx = state.write.begin(owner).await?;
    let car = shelf.car.id;
    let now = store::of_car(&mut tx, car).await?;
    let wants = shelf.wants(chosen);
    let mut changed = false;
    let mut moving = Vec::new();
    for key in &keys {
        match thing(key, &now, &wants, to) {
            Ok(one) => moving.push(one),
            Err(Stopped { say, meanwhile }) => {
                changed |= meanwhile;
                slips.say("thing", say);
            }
        }
    }
    if !slips.is_empty() {
        return Ok(Pressed::Refused { slips, changed });
    }
    let at = Moving { state, owner, car, order: &order };
    for one in moving {
        at.go(&mut tx, one, to).await?;
    }
    tx.commit().await?;
    Ok(Pressed::Done(to))
}

/// What is to be moved.
enum Thing<'a> {
    Part(&'a Part),
    Planned(&'a Want),
}

struct Stopped {
    say: String,
    meanwhile: bool,
}

fn thing<'a>(key: &Key<'_>, now: &'a [Part], wants: &'a Wants<'_>, to: Stage) -> Result<Thing<'a>, Stopped> {
    let stop = |say: String, meanwhile| Err(Stopped { say, meanwhile });
    let (name, from, found) = match key {
        Key::Part { id, rev } => match now.iter().find(|part| part.id == *id) {
            None => return stop("One of these was taken off the list meanwhile.".into(), true),
            Some(part) if part.rev != *rev => {
                let say = format!("{}: somebody changed it meanwhile. Look at it again, then press.", part.facts.name);
                return stop(say, true);
            }
            Some(part) => (&part.facts.name, part.facts.state, Thing::Part(part)),
        },
        Key::Planned(id) => match wants.item(id).filter(|item| item.part.is_none()) {
            None => return stop("One of these is no longer wanted, or stands on the list by now.".into(), true),
            Some(item) => (&item.want.name, Stage::Wanted, Thing::Planned(&item.want)),
        },
    };
    match from.to(to) {
        Ok(_) => Ok(found),
        Err(why) => stop(format!("{name}: {why}"), false),
    }
}

struct Moving<'a> {
    state: &'a OwnerState,
    owner: &'a Owner,
    car: CarId,
    order: &'a Order<'a>,
}

impl Moving<'_> {
    async fn go(&self, tx: &mut WriteTx, thing: Thing<'_>, to: Stage) -> Result<(), AppError> {
        match thing {
            Thing::Part(part) => self.part(tx, part, to).await,
            Thing::Planned(want) => {
                let id = PartId::new();
                let facts = facts_of(want);
                store::add(tx, self.car, id, &facts, Some(self.state.clock.now())).await?;
                self.part(tx, &Part::new(id, facts), to).await
            }
        }
    }

    /// What comes and what goes onto the car are operations, as on the phone: the logbook knows them, and the stage follows.
    async fn part(&self, tx: &mut WriteTx, part: &Part, to: Stage) -> Result<(), AppError> {
        let now = self.state.clock.now();
        match to {
            Stage::Here if part.facts.state != Stage::Fitted => {
                let quantity = rest(&part.many(), part.standing.partly_here.as_ref()).written();
                self.note(tx, part.id, Act::Arrival(QuantityBody { quantity })).await
            }
            Stage::Fitted => {
                let quantity = rest(&part.many(), part.standing.partly_fitted.as_ref()).written();
                self.note(tx, part.id, Act::PartUsed(QuantityBody { quantity })).await
            }
            Stage::Ordered => {
                let supplier = if self.order.supplier.is_empty() { &part.facts.supplier } else { self.order.supplier };
                let order = Order { supplier, ..*self.order };
                store::ordered_at(tx, self.car, part.id, &order).await?;
                store::say(tx, self.car, part, to, now).await
            }
            Stage::Wanted | Stage::SentBack | Stage::Here => store::say(tx, self.car, part, to, now).await,
        }
    }

    async fn note(&self, tx: &mut WriteTx, part: PartId, act: Act) -> Result<(), AppError> {
        let on = (self.car, None, Subject::Part(part));
        apply::do_in(tx, self.owner, self.state.clock.now(), on, act).await?;
        Ok(())
    }
}

fn facts_of(want: &Want) -> PartFacts {
    PartFacts {
        sort: want.sort,
        number: want.number.clone(),
        quantity: want.many.written(),
        price_minor: want.price.map(|price| price.hundredths()),
        currency: want.price.map(|price| price.currency().to_string()).unwrap_or_default(),
        ..PartFacts::wanted(&want.name)
    }
}
