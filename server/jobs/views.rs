//! What the templates of a job card show.

use super::after::{After, after_each};
use super::checked::{Checked, Compiled, ShownFinding};
use super::form::CardForm;
use super::in_plan::InPlan;
use super::model::{Card, Step, StepPart};
use super::records::{Record, records};
use super::takes::Takes;
use super::trail::{Effects, LeftOpen, follow};
use crate::chest::tools::asked::AskedTool;
use crate::error::AppError;
use crate::ids::{CarId, CardId, PartId, SpecId, StepId};
use crate::plan::model::Planning;
use crate::readings::views::href;
use crate::shelf::store::Part;
use crate::specs::model::Spec;
use crate::specs::shown::ShownSpec;
use crate::specs::whole::Whole;
use crate::survey::list::became_card;
use crate::sync::wire::Tick;
use crate::trade::cautions::Caution;
use crate::trade::condition::{Condition, Facts};
use crate::trade::ledger::LooseEnd;
use crate::trade::spec::System;
use crate::trade::steps::lacks_torque;
use crate::web::form::{Choice, Differs, Slips};
use crate::web::page::{Page, Place};
use crate::web::words;
use crate::work::bolts::StepBolts;
use crate::work::model::CardState;
use crate::work::whole::WholeCar;
use askama::Template;
use std::collections::{HashMap, HashSet};

/// The code of a condition's tag, as the style sheets know it.
pub fn condition_code(condition: Condition) -> &'static str {
    match condition {
        Condition::Sketched => "sketched",
        Condition::Short => "short",
        Condition::Ready => "ready",
        Condition::Apart => "apart",
        Condition::ClosedUp => "closed",
        Condition::Proven => "proven",
    }
}

/// Why a card stands where it stands.
pub fn condition_why(condition: Condition, facts: Facts) -> String {
    match condition {
        Condition::Sketched if facts.steps == 0 => "no steps yet".into(),
        Condition::Sketched => "no step has a spec yet".into(),
        Condition::Short => missing(facts),
        Condition::Ready => "its specs are known and its parts are here".into(),
        Condition::Apart => format!("{} open", words::count(facts.loose_ends, "loose end", "loose ends")),
        Condition::ClosedUp => "all steps done or skipped; look again after the road check".into(),
        Condition::Proven => "looked at again after the road check".into(),
    }
}

fn missing(facts: Facts) -> String {
    let specs = words::count(facts.missing_specs, "step lacks a spec", "steps lack a spec");
    let parts = words::count(facts.missing_parts, "step waits for a part", "steps wait for parts");
    let tools = words::count(facts.missing_tools, "step lacks a tool", "steps lack a tool");
    let all = [(facts.missing_specs, specs), (facts.missing_parts, parts), (facts.missing_tools, tools)];
    let said: Vec<String> = all.into_iter().filter(|(count, _)| *count > 0).map(|(_, words)| words).collect();
    said.join(", ")
}

/// A part as a step needs it.
pub struct ShownPart {
    pub name: String,
    pub quantity: String,
    pub state: &'static str,
    pub missing: bool,
}

fn shown_part(part: &Part, quantity: &str) -> ShownPart {
    ShownPart {
        name: part.facts.name.clone(),
        quantity: quantity.to_owned(),
        state: part.facts.state.label(),
        missing: part.facts.state.is_missing(),
    }
}

/// A caution: a known one with its harm and the way out, or the restorer's own sentence as the harm.
pub struct ShownCaution {
    pub label: String,
    pub harm: String,
    pub avoid: &'static str,
}

impl ShownCaution {
    pub fn of(caution: &str) -> ShownCaution {
        match Caution::from_name(caution) {
            Some(known) => {
                ShownCaution { label: known.label().to_owned(), harm: known.harm().to_owned(), avoid: known.avoid() }
            }
            None => ShownCaution { label: caution.to_owned(), harm: caution.to_owned(), avoid: "" },
        }
    }
}

/// A spec attached to a step, as a link.
pub struct StepSpec {
    pub href: String,
    /// Only for a torque that has more to it than its figure.
    pub whole: Option<Whole>,
    pub shown: ShownSpec,
}

fn step_spec(spec: &Spec) -> StepSpec {
    StepSpec {
        href: format!("/cars/{}/specs/{}", spec.car, spec.id),
        whole: Whole::of(spec).filter(Whole::is_more),
        shown: ShownSpec::from(spec),
    }
}

/// One step of the card.
pub struct StepRow {
    id: StepId,
    number: usize,
    verb: &'static str,
    object: String,
    words: String,
    detail: Vec<String>,
    asks: String,
    /// Where its readings over time are.
    readings: String,
    specs: Vec<StepSpec>,
    bolts: Option<StepBolts>,
    lacks_torque: bool,
    parts: Vec<ShownPart>,
    tools: Vec<AskedTool>,
    cautions: Vec<ShownCaution>,
    opens: Vec<String>,
    closes: Vec<String>,
    findings: Vec<ShownFinding>,
    after: After,
    records: Vec<Record>,
    tick: Tick,
    is_first: bool,
    is_last: bool,
}

impl StepRow {
    /// The code of its mark, as the style sheets know it.
    fn mark(&self) -> &'static str {
        match self.tick {
            Tick::Done => "done",
            Tick::Skipped => "skip",
            Tick::Open => "todo",
        }
    }

    fn tick_words(&self) -> &'static str {
        match self.tick {
            Tick::Done => "done",
            Tick::Skipped => "skipped",
            Tick::Open => "to do",
        }
    }

    fn is_open(&self) -> bool {
        self.tick == Tick::Open
    }
}

/// What everything recorded is looked up in.
struct Around<'a> {
    whole: &'a WholeCar,
    specs: HashMap<SpecId, &'a Spec>,
    parts: HashMap<PartId, &'a Part>,
}

impl<'a> Around<'a> {
    fn of(whole: &'a WholeCar) -> Around<'a> {
        let state = &whole.state;
        Around {
            whole,
            specs: state.specs.iter().map(|spec| (spec.id, spec)).collect(),
            parts: state.parts.iter().map(|part| (part.id, part)).collect(),
        }
    }

    fn specs(&self, attached: &[SpecId]) -> impl Iterator<Item = &'a Spec> {
        attached.iter().filter_map(|id| self.specs.get(id).copied())
    }

    fn parts(&self, attached: &[StepPart]) -> Vec<ShownPart> {
        let part = |used: &StepPart| Some(shown_part(self.parts.get(&used.part)?, &used.quantity));
        attached.iter().filter_map(part).collect()
    }

    fn records(&self, subject: &str) -> Vec<Record> {
        records(&self.whole.done_on(subject), &self.whole.pictures)
    }

    fn row(&self, card: &CardState, at: usize, effects: &Effects, checked: &Checked, after: After) -> StepRow {
        let step = &card.steps[at];
        let attached = &step.attached;
        StepRow {
            id: step.id,
            number: at + 1,
            verb: step.facts.verb.label(),
            object: step.facts.object.clone(),
            words: step.facts.words.clone(),
            detail: step.facts.detail.lines().map(str::to_owned).filter(|line| !line.trim().is_empty()).collect(),
            asks: asks(step),
            readings: step.facts.asks.as_ref().map(|ask| href(card.card.car, &ask.what)).unwrap_or_default(),
            specs: self.specs(&attached.specs).map(step_spec).collect(),
            bolts: StepBolts::of(&self.whole.state, step),
            lacks_torque: lacks_torque(step.facts.verb, self.specs(&attached.specs).map(|spec| spec.facts.kind)),
            parts: self.parts(&attached.parts),
            tools: AskedTool::all(&attached.tools, &self.whole.state.tools),
            cautions: attached.cautions.iter().map(|caution| ShownCaution::of(caution)).collect(),
            opens: opens_words(effects),
            closes: closes_words(effects),
            findings: checked.of_step(step.id),
            after,
            records: self.records(&step.id.to_string()),
            tick: card.tick(step.id),
            is_first: at == 0,
            is_last: at + 1 == card.steps.len(),
        }
    }
}

fn asks(step: &Step) -> String {
    step.facts
        .asks
        .as_ref()
        .map(|ask| format!("{} ({})", ask.what, ask.kind.label().to_lowercase()))
        .unwrap_or_default()
}

/// `Rear axle oil is drained, until step 12`
pub fn opens_words(effects: &Effects) -> Vec<String> {
    let words = |closed_by: Option<usize>| match closed_by {
        Some(number) => format!(", until step {number}"),
        None => ", and no later step closes it".to_owned(),
    };
    effects.opens.iter().map(|opens| format!("Leaves: {}{}", opens.words, words(opens.closed_by))).collect()
}

/// `Closes: rear axle oil is drained`
pub fn closes_words(effects: &Effects) -> Vec<String> {
    effects
        .closes
        .iter()
        .map(|closes| match &closes.opened {
            Some(words) => format!("Closes: {words}"),
            None => format!("Closes {}, which no earlier step of this card opens", closes.object),
        })
        .collect()
}

/// The card as the desk sees it.
#[derive(Template)]
#[template(path = "jobs/card.html")]
pub struct CardPage {
    page: Page,
    car: CarId,
    base: String,
    title: String,
    code: &'static str,
    condition: &'static str,
    condition_why: String,
    /// The answers and findings that it was made for.
    came_from: Vec<String>,
    why: Vec<String>,
    system: &'static str,
    takes: Takes,
    steps: Vec<StepRow>,
    checked: Checked,
    settled: usize,
    open_now: Vec<LeftOpen>,
    left_open: Vec<LeftOpen>,
    records: Vec<Record>,
    place: usize,
    cards: usize,
    tools: Vec<AskedTool>,
    /// The form for looking at it again stands on a card that is closed up.
    recheck: Option<Recheck>,
    /// Where it is kept up, or what is offered for it, on a card that is proven.
    upkeep: Option<KeepUp>,
}

/// How a proven card goes on into upkeep.
struct KeepUp {
    card: CardId,
    /// The item that this card does already.
    known: Option<String>,
    /// `every 10 000 km or 12 months, whichever is first`; empty where nothing is offered.
    every: String,
}

impl KeepUp {
    fn of(whole: &WholeCar, card: &Card) -> KeepUp {
        let known = whole.upkeep.items.iter().find(|kept| kept.item.facts.card == Some(card.id));
        KeepUp {
            card: card.id,
            known: known.map(|kept| format!("/cars/{}/upkeep/{}", whole.car.id, kept.item.id)),
            every: crate::upkeep::views::every_offered(&card.facts.title, &card.facts.why),
        }
    }
}

/// What was typed about looking at the card again, and what was wrong with it.
#[derive(Default)]
struct Recheck {
    text: String,
    error: String,
}

impl CardPage {
    /// Errors where the car has no such card.
    pub fn new(page: Page, whole: &WholeCar, planning: &Planning, card: CardId) -> Result<CardPage, AppError> {
        let on_car = &whole.state;
        let state = on_car.card(card).ok_or(AppError::NotFound("such job card"))?;
        let car = whole.car.id;
        let page = page.at_desk(car, &whole.car.name, Place::Car);
        let around = Around::of(whole);
        let trail = follow(&state.steps);
        let facts = &state.card.facts;
        let compiled = Compiled::of(on_car, state);
        let checked = Checked::of(state, on_car, &compiled);
        let after = after_each(&compiled.programs);
        let rows = after.into_iter().enumerate();
        let steps = rows.map(|(at, after)| around.row(state, at, &trail.effects[at], &checked, after)).collect();
        Ok(CardPage {
            page,
            car,
            base: format!("/cars/{car}/cards/{card}"),
            title: facts.title.clone(),
            code: condition_code(state.condition),
            condition: state.condition.label(),
            condition_why: condition_why(state.condition, state.facts),
            came_from: became_card(whole, card),
            why: facts.why.lines().map(str::to_owned).filter(|line| !line.trim().is_empty()).collect(),
            system: facts.system.label(),
            takes: Takes::of(whole, planning, state),
            steps,
            checked,
            settled: state.facts.settled_steps,
            open_now: on_car.loose_ends.iter().filter_map(|end| left_by(&state.steps, end)).collect(),
            left_open: trail.left_open,
            records: around.records(&card.to_string()),
            place: on_car.cards.iter().take_while(|other| other.card.id != card).count() + 1,
            cards: on_car.cards.len(),
            tools: AskedTool::all(&tools(&state.steps), &on_car.tools),
            recheck: (state.condition == Condition::ClosedUp).then(Recheck::default),
            upkeep: (state.condition == Condition::Proven).then(|| KeepUp::of(whole, &state.card)),
        })
    }

    fn lacks_tool(&self) -> bool {
        self.tools.iter().any(AskedTool::is_missing)
    }

    /// The number of the first step that is still to do; beyond the last where none is.
    fn at_hand(&self) -> usize {
        self.steps.iter().position(StepRow::is_open).unwrap_or(self.steps.len()) + 1
    }

    /// Shows the form for looking at the card again with what was typed into it, and says what was wrong with that.
    pub fn with_recheck(mut self, text: String, error: String) -> CardPage {
        self.recheck = Some(Recheck { text, error });
        self
    }

    /// Shows the form for the time it took with what was typed into it, and says what was wrong with that.
    pub fn with_time(mut self, typed: String, error: String) -> CardPage {
        self.takes.typed = (typed, error);
        self
    }
}

/// A loose end with the step of the card that left it; `None` where another card or a hand did.
fn left_by(steps: &[Step], end: &LooseEnd) -> Option<LeftOpen> {
    let step: StepId = end.step.as_ref()?.parse().ok()?;
    let at = steps.iter().position(|known| known.id == step)?;
    Some(LeftOpen { words: end.words.clone(), number: at + 1, step })
}

/// Every tool of the card, each once, in the order of need.
fn tools(steps: &[Step]) -> Vec<String> {
    let mut seen = HashSet::new();
    let all = steps.iter().flat_map(|step| &step.attached.tools);
    all.filter(|tool| seen.insert(tool.to_lowercase())).cloned().collect()
}

/// The form for a card, new or known.
#[derive(Template)]
#[template(path = "jobs/card_form.html")]
pub struct CardFormPage {
    page: Page,
    car: CarId,
    title: &'static str,
    /// Title of the card that is edited; `None` for a new one.
    known: Option<String>,
    action: String,
    back: String,
    form: CardForm,
    systems: Vec<Choice>,
    /// The other cards of the car.
    others: Vec<Choice>,
    slips: Slips,
    differs: Option<Vec<Differs>>,
}

impl CardFormPage {
    pub fn new_card(page: Page, car: CarId, plan: &InPlan, form: CardForm, slips: Slips) -> CardFormPage {
        CardFormPage {
            page,
            car,
            title: "Add a job card",
            known: None,
            action: format!("/cars/{car}/cards"),
            back: format!("/cars/{car}"),
            systems: system_choices(&form.system),
            others: plan.choices(None, &form),
            form,
            slips,
            differs: None,
        }
    }

    /// `differs`: what is there now, where the card was changed while the form was open.
    pub fn edit(
        page: Page,
        card: &Card,
        plan: &InPlan,
        form: CardForm,
        slips: Slips,
        differs: Option<Vec<Differs>>,
    ) -> CardFormPage {
        let base = format!("/cars/{}/cards/{}", card.car, card.id);
        CardFormPage {
            page,
            car: card.car,
            title: "Edit the card",
            known: Some(card.facts.title.clone()),
            action: format!("{base}/edit"),
            back: base,
            systems: system_choices(&form.system),
            others: plan.choices(Some(card.id), &form),
            form,
            slips,
            differs,
        }
    }
}

fn system_choices(chosen: &str) -> Vec<Choice> {
    System::ALL.iter().map(|system| Choice::new(system.name(), system.label(), system.name() == chosen)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::jobs::trail::{Closes, Opens};

    #[test]
    fn a_condition_says_why() {
        let facts = Facts { steps: 4, missing_specs: 1, missing_parts: 2, ..Facts::default() };
        assert_eq!(condition_why(Condition::Sketched, Facts::default()), "no steps yet");
        assert_eq!(condition_why(Condition::Short, facts), "1 step lacks a spec, 2 steps wait for parts");
        assert_eq!(
            condition_why(Condition::Short, Facts { missing_specs: 0, missing_parts: 1, ..facts }),
            "1 step waits for a part"
        );
        assert_eq!(
            condition_why(Condition::Short, Facts { missing_specs: 0, missing_tools: 2, ..facts }),
            "2 steps wait for parts, 2 steps lack a tool"
        );
        assert_eq!(condition_why(Condition::Apart, Facts { loose_ends: 1, ..facts }), "1 loose end open");
    }

    #[test]
    fn what_a_step_opens_and_closes_is_said_in_words() {
        let effects = Effects {
            opens: vec![
                Opens { words: "axle oil is drained".into(), closed_by: Some(12) },
                Opens { words: "rear end is on stands".into(), closed_by: None },
            ],
            closes: vec![
                Closes { object: "front end".into(), opened: Some("front end is on stands".into()) },
                Closes { object: "bonnet".into(), opened: None },
            ],
        };
        assert_eq!(
            opens_words(&effects),
            [
                "Leaves: axle oil is drained, until step 12",
                "Leaves: rear end is on stands, and no later step closes it"
            ]
        );
        assert_eq!(
            closes_words(&effects),
            ["Closes: front end is on stands", "Closes bonnet, which no earlier step of this card opens"]
        );
    }

    #[test]
    fn a_known_caution_says_harm_and_way_out_and_an_own_one_its_sentence() {
        let known = ShownCaution::of("car-on-jack-alone");
        assert!(!known.harm.is_empty() && !known.avoid.is_empty());
        let own = ShownCaution::of("The bracket has a sharp edge.");
        assert_eq!((own.harm.as_str(), own.avoid), ("The bracket has a sharp edge.", ""));
    }
}
