//! What the pages about readings show.

use super::chart::Chart;
use super::form::{LimitForm, TakenForm};
use super::model::{Kept, Limit, key_of};
use super::series::{Taken, Thing, Verdict, outlook, things};
use crate::ids::CarId;
use crate::specs::model::Spec;
use crate::trade::limits::{Input, OilTest, Outcome, Plan, Rule, oil_test};
use crate::trade::quantity::{Dimension, Pressure, Unit};
use crate::web::form::{Choice, Differs, Slips};
use crate::web::page::Page;
use crate::web::words::{self, capital};
use crate::work::whole::WholeCar;
use askama::Template;

/// The address of a thing's page.
pub fn href(car: CarId, what: &str) -> String {
    format!("/cars/{car}/readings/of?what={}", in_query(what))
}

fn limit_href(car: CarId, what: &str) -> String {
    format!("/cars/{car}/readings/limit?what={}", in_query(what))
}

/// RFC 3986: letters and digits stand for themselves in a query.
pub fn in_query(text: &str) -> String {
    let escaped =
        |byte: u8| if byte.is_ascii_alphanumeric() { char::from(byte).to_string() } else { format!("%{byte:02X}") };
    text.bytes().map(escaped).collect()
}

/// How a reading stands, in words with a shape.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told {
    /// Name of the tag: `fine`, `watch`, `act`, `unknown`.
    pub code: &'static str,
    pub word: &'static str,
    pub says: String,
}

/// The name of the tag by which an outcome is shown.
pub fn code_of(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "fine",
        Outcome::Watch => "watch",
        Outcome::Fail => "act",
    }
}

impl Told {
    pub fn of(verdict: &Verdict) -> Told {
        match verdict {
            Ok((outcome, says)) => Told { code: code_of(*outcome), word: word_of(*outcome), says: says.clone() },
            Err(why) => Told { code: "unknown", word: "Not judged", says: why.clone() },
        }
    }
}

/// How an outcome is said, at the desk and on the phone.
pub fn word_of(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Pass => "Holds",
        Outcome::Watch => "Keep an eye on it",
        Outcome::Fail => "Past its limit",
    }
}

struct Row {
    what: String,
    href: String,
    latest: String,
    when: String,
    limit: String,
    source: String,
    told: Option<Told>,
}

impl Row {
    fn of(thing: &Thing<'_>, car: CarId) -> Row {
        let parts = thing.current_parts();
        let shown = |one: &Taken<'_>| one.entry().shown();
        let latest = match parts.as_slice() {
            [] | [_] => thing.latest().map(shown).unwrap_or_default(),
            many => many.iter().map(|part| part.map_or_else(|| "–".into(), shown)).collect::<Vec<_>>().join(" · "),
        };
        Row {
            what: capital(&thing.what),
            href: href(car, &thing.what),
            latest,
            when: thing.latest().map(|one| words::day(one.at)).unwrap_or_default(),
            limit: thing.limit.map(Limit::words).unwrap_or_default(),
            source: thing.limit.map(|limit| limit.source.clone()).unwrap_or_default(),
            told: thing.verdict().as_ref().map(Told::of),
        }
    }
}

#[derive(Template)]
#[template(path = "readings/list.html")]
pub struct ListPage {
    page: Page,
    car: CarId,
    judged: Vec<Row>,
    others: Vec<Row>,
    form: TakenForm,
    slips: Slips,
    units: Vec<UnitGroup>,
}

/// The units of one dimension, in a form.
pub struct UnitGroup {
    pub label: String,
    pub units: Vec<Choice>,
}

fn unit_groups(dimension: Option<Dimension>, chosen: &str) -> Vec<UnitGroup> {
    let mut groups: Vec<UnitGroup> = Dimension::ALL
        .into_iter()
        .filter(|known| dimension.is_none_or(|wanted| wanted == *known))
        .map(|dimension| UnitGroup {
            label: capital(dimension.code()),
            units: Unit::all(dimension)
                .into_iter()
                .map(|unit| Choice::new(unit.code(), unit.name(), unit.code() == chosen))
                .collect(),
        })
        .collect();
    if dimension.is_none() {
        let count = Choice::new("count", "pieces", chosen == "count");
        groups.push(UnitGroup { label: "Count".into(), units: vec![count] });
    }
    groups
}

impl ListPage {
    pub fn new(page: Page, whole: &WholeCar, form: TakenForm, slips: Slips) -> ListPage {
        let all = things(&whole.done, &whole.state.limits);
        let (judged, others): (Vec<_>, Vec<_>) = all.iter().partition(|thing| thing.limit.is_some());
        let rows = |some: Vec<&Thing<'_>>| some.into_iter().map(|thing| Row::of(thing, whole.car.id)).collect();
        ListPage {
            page,
            car: whole.car.id,
            judged: worst_first(rows(judged)),
            others: rows(others),
            units: unit_groups(None, &form.unit),
            form,
            slips,
        }
    }

    fn number(&self) -> &str {
        self.form.number.first().map_or("", String::as_str)
    }
}

fn worst_first(mut rows: Vec<Row>) -> Vec<Row> {
    let weight = |row: &Row| match row.told.as_ref().map(|told| told.code) {
        Some("act") => 0,
        Some("watch") => 1,
        Some("unknown") => 2,
        Some(_) | None => 3,
    };
    rows.sort_by_key(weight);
    rows
}

struct TableRow {
    when: String,
    what: String,
    read: String,
    note: String,
    told: Option<Told>,
    corrected: bool,
}

/// A number to be typed for one part.
struct PartField {
    label: String,
    value: String,
    oiled: Option<String>,
}

#[derive(Template)]
#[template(path = "readings/thing.html")]
pub struct ThingPage {
    page: Page,
    car: CarId,
    what: String,
    row: Row,
    limit_href: String,
    whose: &'static str,
    outlook: Vec<String>,
    oil: Vec<String>,
    chart: Option<Chart>,
    table: Vec<TableRow>,
    fields: Vec<PartField>,
    is_acid: bool,
    units: Vec<UnitGroup>,
    temperatures: Vec<UnitGroup>,
    form: TakenForm,
    slips: Slips,
}

impl ThingPage {
    /// A thing that was never measured and has no limit is an empty page that can be written on.
    pub fn new(page: Page, whole: &WholeCar, form: TakenForm, slips: Slips) -> ThingPage {
        let all = things(&whole.done, &whole.state.limits);
        let key = key_of(&form.what);
        let empty = || Thing { what: form.what.trim().to_owned(), key: key.clone(), limit: None, taken: Vec::new() };
        let part_of = |thing: &&Thing<'_>| thing.limit.is_some_and(|limit| limit.part(&key).is_some());
        let found = all.iter().find(|thing| thing.key == key).or_else(|| all.iter().find(part_of));
        let thing = found.cloned().unwrap_or_else(empty);
        let plan = thing.limit.and_then(|limit| limit.plan.as_ref().ok());
        let unit = if form.unit.is_empty() { last_unit(&thing) } else { form.unit.clone() };
        ThingPage {
            page,
            car: whole.car.id,
            what: thing.what.clone(),
            row: Row::of(&thing, whole.car.id),
            limit_href: limit_href(whole.car.id, &thing.what),
            whose: thing.limit.map_or("", Limit::whose),
            outlook: outlook(&thing),
            oil: oil(&thing),
            chart: Chart::of(&thing),
            table: thing.taken.iter().rev().map(|one| table_row(one, &thing)).collect(),
            fields: plan.map(|plan| part_fields(plan, &form)).unwrap_or_default(),
            is_acid: matches!(plan, Some(Plan::Cells(_))),
            units: unit_groups(plan.and_then(Plan::dimension).or_else(|| dimension_of(&thing)), &unit),
            temperatures: unit_groups(Some(Dimension::Temperature), &form.temperature_unit),
            form,
            slips,
        }
    }

    fn number(&self) -> &str {
        self.form.number.first().map_or("", String::as_str)
    }
}

fn last_unit(thing: &Thing<'_>) -> String {
    thing.latest().map(|one| one.body.unit.clone()).unwrap_or_default()
}

fn dimension_of(thing: &Thing<'_>) -> Option<Dimension> {
    Unit::from_code(&last_unit(thing)).map(Unit::dimension)
}

fn table_row(one: &Taken<'_>, thing: &Thing<'_>) -> TableRow {
    let part = one.body.what.get(thing.what.len()..).unwrap_or_default().trim_start_matches(", ");
    TableRow {
        when: words::day_and_time(one.at),
        what: capital(part),
        read: one.entry().shown(),
        note: one.body.note.clone().unwrap_or_default(),
        told: one.verdict.as_ref().map(Told::of),
        corrected: one.corrected,
    }
}

fn part_fields(plan: &Plan, form: &TakenForm) -> Vec<PartField> {
    let typed = |list: &[String], at: usize| list.get(at).cloned().unwrap_or_default();
    let field = |(at, part): (usize, String), oiled: bool| PartField {
        label: capital(part.trim_start_matches(", ")),
        value: typed(&form.number, at),
        oiled: oiled.then(|| typed(&form.oiled, at)),
    };
    match plan {
        Plan::Sides(_) => Vec::new(),
        Plan::Spread(..) => plan.parts().into_iter().enumerate().map(|part| field(part, true)).collect(),
        Plan::Cells(cells) => {
            plan.parts().into_iter().take(*cells).enumerate().map(|part| field(part, false)).collect()
        }
    }
}

/// What the oil in a cylinder tells, for each that was measured dry and with oil.
fn oil(thing: &Thing<'_>) -> Vec<String> {
    let Some(Ok(plan @ Plan::Spread(..))) = thing.limit.map(|limit| &limit.plan) else { return Vec::new() };
    let pressure = |one: &Taken<'_>| Pressure::parse(&format!("{} {}", one.body.number, one.body.unit)).ok();
    let dry: Vec<Option<Pressure>> = thing.current_parts().into_iter().map(|one| one.and_then(pressure)).collect();
    let numbers = dry.iter().flatten().map(|one| one.number());
    let highest = numbers.max().unwrap_or_default();
    let is_low = |at: usize| {
        dry.get(at).and_then(Option::as_ref).is_some_and(|one| {
            one.number() * rust_decimal::Decimal::new(4, 0) < highest * rust_decimal::Decimal::new(3, 0)
        })
    };
    let last = |end: &str| {
        let name = key_of(&format!("{}{end}", thing.what));
        thing.taken.iter().rev().find(|one| key_of(&one.body.what) == name).and_then(pressure)
    };
    let tell = |(at, end): (usize, String)| {
        let (dry, oiled) = (dry.get(at)?.as_ref()?, last(&end)?);
        let beside = (at > 0 && is_low(at - 1)) || is_low(at + 1);
        let OilTest { may_be, source } = oil_test(dry, &oiled, beside);
        Some(format!("Cylinder {}: {may_be} ({source})", at + 1))
    };
    plan.extra_parts().into_iter().enumerate().filter_map(tell).collect()
}

/// A rule that may be chosen.
struct Offer {
    href: String,
    label: &'static str,
    source: String,
}

#[derive(Template)]
#[template(path = "readings/limit.html")]
pub struct LimitPage {
    page: Page,
    car: CarId,
    back: String,
    what: String,
    /// The rule being filled in; none: it is still to be chosen.
    rule: Option<Rule>,
    fitting: Vec<Offer>,
    others: Vec<Offer>,
    specs_least: Vec<Choice>,
    specs_most: Vec<Choice>,
    inputs: Vec<InputField>,
    is_kept: bool,
    form: LimitForm,
    slips: Slips,
    differs: Option<Vec<Differs>>,
}

struct InputField {
    name: &'static str,
    label: &'static str,
    hint: &'static str,
    value: String,
    is_optional: bool,
}

impl LimitPage {
    pub fn new(page: Page, whole: &WholeCar, kept: Option<&Kept>, form: LimitForm, slips: Slips) -> LimitPage {
        let rule = form.rule();
        let all = things(&whole.done, &whole.state.limits);
        let key = key_of(&form.what);
        let dimension = all.iter().find(|thing| thing.key == key).and_then(dimension_of);
        let offer = |rule: &Rule| Offer {
            href: format!("{}&rule={}", limit_href(whole.car.id, &form.what), rule.name()),
            label: rule.label(),
            source: source_of(*rule),
        };
        let (fitting, others): (Vec<&Rule>, Vec<&Rule>) =
            Rule::ALL.iter().partition(|rule| rule.fits(&form.what, dimension));
        let specs = |chosen: &str| spec_choices(&whole.state.specs, dimension, chosen);
        LimitPage {
            page,
            car: whole.car.id,
            back: href(whole.car.id, &form.what),
            what: form.what.trim().to_owned(),
            fitting: fitting.into_iter().map(offer).collect(),
            others: others.into_iter().map(offer).collect(),
            specs_least: specs(&form.least),
            specs_most: specs(&form.most),
            inputs: rule.map(|rule| inputs(rule, &form)).unwrap_or_default(),
            is_kept: kept.is_some(),
            rule,
            form,
            slips,
            differs: None,
        }
    }

    fn rules_title(&self) -> &'static str {
        if self.rule.is_some() { "Or another rule" } else { "Whose limit is it?" }
    }

    /// Tells what is there now, as the limit was changed while the form was open.
    pub fn collided(page: Page, whole: &WholeCar, kept: &Kept, typed: LimitForm) -> LimitPage {
        let differs = typed.differing(kept);
        let again = LimitForm { rev: kept.rev, ..typed };
        let shown = LimitPage::new(page, whole, Some(kept), again, Slips::default());
        LimitPage { differs: Some(differs), ..shown }
    }
}

/// Where a rule stands written, also before what it needs is known.
fn source_of(rule: Rule) -> String {
    let typed = crate::trade::limits::Inputs {
        cylinders: "4".into(),
        cells: "6".into(),
        wheel: "400 mm".into(),
        figure: "10 mm".into(),
        rim: "350 mm".into(),
    };
    rule.plan(&typed).map(|(_, source)| source.to_string()).unwrap_or_default()
}

fn spec_choices(specs: &[Spec], dimension: Option<Dimension>, chosen: &str) -> Vec<Choice> {
    let is_kind = |spec: &&Spec| match (spec.facts.kind.dimension(), dimension) {
        (Some(own), Some(read)) => own == read,
        (Some(_), None) => true,
        (None, _) => false,
    };
    let choice = |spec: &Spec| {
        let says = spec.trust().1.map(|says| says.facts.written.clone()).unwrap_or_else(|| "no value yet".into());
        let id = spec.id.to_string();
        let is_chosen = id == chosen;
        Choice::new(id, format!("{} ({says})", spec.facts.item), is_chosen)
    };
    specs.iter().filter(is_kind).map(choice).collect()
}

fn inputs(rule: Rule, form: &LimitForm) -> Vec<InputField> {
    let field = |input: &Input| {
        let (value, hint) = match input {
            Input::Cylinders => (&form.cylinders, "A reading is taken from each."),
            Input::Cells => (&form.cells, "Six in a 12 V battery, three in a 6 V one."),
            Input::Wheel => (&form.wheel, "Across its rim, such as 380 mm or 15 in."),
            Input::Figure if rule == Rule::Toe => (&form.figure, "The maker’s toe, such as 3 mm or 20′."),
            Input::Figure => {
                (&form.figure, "As it stands on the disc or its hub, often after ‘MIN TH’, such as 10 mm.")
            }
            Input::Rim => {
                (&form.rim, "Needed where the maker’s toe is an angle: across the edge where the gauge touches.")
            }
        };
        InputField {
            name: input.name(),
            label: input.label(),
            hint,
            value: value.clone(),
            is_optional: *input == Input::Rim,
        }
    };
    rule.needs().iter().map(field).collect()
}
