//! What the phone's pages can do by plain forms, where no script runs: each form becomes one operation.

use super::views::Trouble;
use crate::error::AppError;
use crate::ids::{CarId, CardId, PartId, SpecId, StepId};
use crate::sync::wire::{Act, QuantityBody, RoadBody, Seen, Subject, Tick};
use crate::trade::closed_set::closed_set;
use crate::work::form::Typed;
use serde::Deserialize;
use std::str::FromStr;

/// The kinds of form.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum What {
    Tick,
    Note,
    Finding,
    Reading,
    Odometer,
    Time,
    Undid,
    Closed,
    Recheck,
    Road,
    Night,
    Bolt,
    FluidLook,
    Arrival,
    Symptom,
}

closed_set! {
    /// How something was undone besides the cards, to be chosen in one tap.
    pub enum Undone {
        Loose = "loose", "left loose";
        Drained = "drained", "drained";
        Parted = "parted", "parted";
        Propped = "propped", "propped";
        Off = "off", "off";
        Other = "other", "other";
    }
}

impl Undone {
    /// What it is called where nobody said what it is.
    pub fn alone(self) -> &'static str {
        match self {
            Undone::Loose => "Something left loose",
            Undone::Drained => "Something drained",
            Undone::Parted => "A connection parted",
            Undone::Propped => "Something propped",
            Undone::Off => "A part off",
            Undone::Other => "",
        }
    }

    /// `lower hose: parted`
    fn of(self, what: &str) -> String {
        match (self, what.trim()) {
            (_, "") => self.alone().to_owned(),
            (Undone::Other, what) => what.to_owned(),
            (_, what) => format!("{what}: {}", self.label()),
        }
    }
}

impl What {
    /// How templates ask whether a form shown again is theirs.
    fn form(self) -> &'static str {
        match self {
            What::Tick => "tick",
            What::Note => "note",
            What::Finding => "finding",
            What::Reading => "reading",
            What::Odometer => "odometer",
            What::Time => "time",
            What::Undid => "undid",
            What::Closed => "closed",
            What::Recheck => "recheck",
            What::Road => "road",
            What::Night => "night",
            What::Bolt => "bolt",
            What::FluidLook => "fluid-look",
            What::Arrival => "arrival",
            What::Symptom => "symptom",
        }
    }
}

/// The page a form stands on, and leads back to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Back {
    Card,
    Loose,
    Note,
    Road,
    Night,
    Arrivals,
}

/// A form as it was sent. Which fields matter depends on `what`; those a form does not have are empty.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Doing {
    what: What,
    pub back: Back,
    #[serde(default)]
    card: String,
    #[serde(default)]
    step: String,
    /// The step's place on its card, to come back to.
    #[serde(default)]
    n: String,
    #[serde(default)]
    state: String,
    #[serde(default)]
    text: String,
    #[serde(default)]
    place: String,
    #[serde(default)]
    weight: String,
    #[serde(default)]
    name: String,
    #[serde(default)]
    number: String,
    #[serde(default)]
    unit: String,
    #[serde(default)]
    key: String,
    /// Of a bolt: its stage and its number.
    #[serde(default)]
    stage: String,
    #[serde(default)]
    bolt: String,
    /// Of something undone: how.
    how: Option<Undone>,
    /// Of a road check's item: its key, and what was seen.
    #[serde(default)]
    item: String,
    seen: Option<Seen>,
    /// Of a look at a fluid: which one, and what was seen.
    #[serde(default)]
    fluid: String,
    #[serde(default)]
    colour: String,
    #[serde(default)]
    smell: String,
    #[serde(default)]
    particles: String,
    /// Of an arrival: what came.
    #[serde(default)]
    part: String,
    /// Of a symptom: its kind, when it is there, how warm, how fast and under which load.
    #[serde(default)]
    kind: String,
    #[serde(default)]
    when: String,
    #[serde(default)]
    heat: String,
    #[serde(default)]
    speed: String,
    #[serde(default)]
    load: String,
    /// Of a tick past a guard: that it was asked, the reason chosen, and the one typed.
    #[serde(default)]
    anyway: String,
    #[serde(default)]
    why: String,
    #[serde(default)]
    more: String,
}

fn id<T: FromStr>(text: &str, what: &'static str) -> Result<Option<T>, AppError> {
    if text.is_empty() {
        return Ok(None);
    }
    text.parse().map(Some).map_err(|_| AppError::NotFound(what))
}

impl Doing {
    pub fn card(&self) -> Result<Option<CardId>, AppError> {
        id(&self.card, "such job card")
    }

    /// What it is about: the step, else the card, else the car. An odometer belongs to the car.
    pub fn subject(&self, car: CarId) -> Result<Subject, AppError> {
        if matches!(self.what, What::Odometer | What::Road | What::Night | What::Symptom) {
            return Ok(Subject::Car(car));
        }
        if matches!(self.what, What::Arrival) {
            let part = id::<PartId>(&self.part, "such part")?;
            return part.map(Subject::Part).ok_or(AppError::NotFound("such part"));
        }
        if matches!(self.what, What::FluidLook) {
            return self.fluid_subject(car);
        }
        if let Some(step) = id::<StepId>(&self.step, "such step")? {
            return Ok(Subject::Step(step));
        }
        Ok(self.card()?.map_or(Subject::Car(car), Subject::Card))
    }

    /// A fluid of the spec book is its spec; another is the car's.
    fn fluid_subject(&self, car: CarId) -> Result<Subject, AppError> {
        let spec = self.fluid.split_once(' ').map_or("", |(_, spec)| spec);
        Ok(id::<SpecId>(spec, "such spec")?.map_or(Subject::Car(car), Subject::Spec))
    }

    /// The step that this form says is done.
    pub fn step_done(&self) -> Result<Option<StepId>, AppError> {
        let is_done = matches!(self.what, What::Tick) && self.state == Tick::Done.name();
        if is_done { id(&self.step, "such step") } else { Ok(None) }
    }

    /// Whether a guard's page was answered by going on.
    pub fn goes_on_anyway(&self) -> bool {
        !self.anyway.is_empty()
    }

    /// Why one goes on past a guard, as it was chosen and typed; empty where neither was.
    pub fn reason(&self) -> String {
        [self.why.trim(), self.more.trim()].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(": ")
    }

    /// The item of the road check that it answers.
    pub fn road_item(&self) -> Option<&str> {
        matches!(self.what, What::Road).then_some(self.item.as_str())
    }

    /// The answer to an item of the road check that says this.
    pub fn road_answer(&self, say: &str) -> Result<Act, AppError> {
        let none =
            || AppError::Invalid("malformed", "Say what was seen: it holds, it does not, or not looked at.".into());
        let seen = self.seen.ok_or_else(none)?;
        let note = self.text.trim().replace("\r\n", "\n");
        Ok(Act::Road(RoadBody { item: self.item.clone(), say: say.to_owned(), seen, note }))
    }

    /// The bolt that it presses: stage, number and state as they were sent.
    pub fn pressed(&self) -> Result<Option<(StepId, [&str; 3])>, AppError> {
        if !matches!(self.what, What::Bolt) {
            return Ok(None);
        }
        let step = id::<StepId>(&self.step, "such step")?.ok_or(AppError::NotFound("such step"))?;
        Ok(Some((step, [self.stage.as_str(), &self.bolt, &self.state])))
    }

    /// What it does. A press of a bolt is made by `bolts::press`, which knows the joint. An answer of the road check is made by [`Doing::road_answer`], which knows the item's words.
    pub fn act(&self) -> Result<Act, AppError> {
        let undone = self.how.map(|how| how.of(&self.text));
        let Doing { state, text, place, weight, name, number, unit, key, .. } = self;
        let Doing { fluid, colour, smell, particles, .. } = self;
        let Doing { kind, when, heat, speed, load, .. } = self;
        match self.what {
            What::Tick => Typed::Tick { state },
            What::Note => Typed::Note { text },
            What::Finding => Typed::Finding { text, place, weight },
            What::Reading => Typed::Reading { what: name, number, unit },
            What::Odometer => Typed::Odometer { number, unit },
            What::Time => Typed::Time { minutes: number },
            What::Undid => Typed::Undid { what: undone.as_deref().unwrap_or(text), place },
            What::Closed => Typed::Closed { key },
            What::Recheck => Typed::Recheck { text },
            What::FluidLook => Typed::FluidLook { fluid, colour, smell, particles, note: text },
            What::Symptom => Typed::Symptom { kind, text, when, heat, speed, load },
            What::Road => return self.road_answer(""),
            What::Bolt => return Err(AppError::Invalid("malformed", "Say which bolt it is.".into())),
            What::Arrival => return arrived(number, unit),
            What::Night => return Typed::Note { text }.act().map(as_night),
        }
        .act()
    }

    /// The page it came from, at the step it was about.
    pub fn way_back(&self, car: CarId) -> Result<String, AppError> {
        let page = match self.back {
            Back::Card => match self.card()? {
                Some(card) => format!("/cards/{card}"),
                None => String::new(),
            },
            Back::Loose => "/loose".to_owned(),
            Back::Road => "/road".to_owned(),
            Back::Night => "/night".to_owned(),
            Back::Note => "/note".to_owned(),
            Back::Arrivals => "/arrivals".to_owned(),
        };
        let at = self.n.parse::<u32>().map(|n| format!("#step-{n}")).unwrap_or_default();
        Ok(format!("/under/{car}{page}{at}"))
    }

    /// The form with what was wrong with it, to be shown again.
    pub fn trouble(&self, say: String) -> Trouble {
        Trouble {
            say,
            form: self.what.form(),
            step: self.step.clone(),
            text: if matches!(self.what, What::Reading) { self.name.clone() } else { self.text.clone() },
            place: self.place.clone(),
            number: self.number.clone(),
            unit: self.unit.clone(),
            chosen: [&self.fluid, &self.colour, &self.smell, &self.particles].map(Clone::clone),
        }
    }
}

/// How many came: above zero where it begins like a number; words only as the page offers them.
fn arrived(number: &str, unit: &str) -> Result<Act, AppError> {
    let quantity = format!("{} {}", number.trim(), unit.trim()).trim().to_owned();
    let is_figure = quantity.starts_with(|letter: char| letter.is_ascii_digit() || matches!(letter, '-' | '+' | '.'));
    let is_none = quantity.starts_with('-') || !quantity.contains(|letter: char| ('1'..='9').contains(&letter));
    if quantity.is_empty() || is_figure && is_none {
        return Err(AppError::Invalid("bad-number", "How many came? Write a number above zero.".into()));
    }
    Ok(Act::Arrival(QuantityBody { quantity }))
}

/// Words that have to be there, kept as the state in which the car was left.
fn as_night(act: Act) -> Act {
    match act {
        Act::Note(body) => Act::Night(body),
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn form(fields: serde_json::Value) -> Doing {
        serde_json::from_value(fields).unwrap()
    }

    #[test]
    fn a_form_is_about_the_narrowest_thing_it_names() {
        let car = CarId::new();
        let (card, step) = (CardId::new(), StepId::new());
        let on = |card: &str, step: &str| {
            form(json!({ "what": "note", "back": "note", "card": card, "step": step, "text": "x" }))
                .subject(car)
                .unwrap()
        };
        assert_eq!(on("", ""), Subject::Car(car));
        assert_eq!(on(&card.to_string(), ""), Subject::Card(card));
        assert_eq!(on(&card.to_string(), &step.to_string()), Subject::Step(step));
    }

    #[test]
    fn an_odometer_is_about_the_car_wherever_it_is_noted() {
        let car = CarId::new();
        let card = CardId::new().to_string();
        let form = form(json!({ "what": "odometer", "back": "note", "card": card, "number": "1", "unit": "km" }));
        assert_eq!(form.subject(car).unwrap(), Subject::Car(car));
    }

    #[test]
    fn a_recheck_is_about_its_card() {
        let card = CardId::new();
        let form = form(json!({ "what": "recheck", "back": "card", "card": card.to_string(), "text": "dry" }));
        assert_eq!(form.subject(CarId::new()).unwrap(), Subject::Card(card));
        assert!(matches!(form.act(), Ok(Act::Recheck(body)) if body.text == "dry"));
    }

    #[test]
    fn a_form_leads_back_to_its_own_page_and_nowhere_else() {
        let (car, card) = (CarId::new(), CardId::new());
        let back = |fields| form(fields).way_back(car).unwrap();
        assert_eq!(
            back(json!({ "what": "tick", "back": "card", "card": card, "n": "9" })),
            format!("/under/{car}/cards/{card}#step-9")
        );
        assert_eq!(back(json!({ "what": "undid", "back": "loose" })), format!("/under/{car}/loose"));
        assert!(serde_json::from_value::<Doing>(json!({ "what": "tick", "back": "//elsewhere" })).is_err());
    }
}
