//! The rules a person may choose for a reading, what each needs to be told, and how the readings are then judged.

use rust_decimal::Decimal;
use thiserror::Error;

use super::battery::{Gravity, Nominal, corrected_gravity, judge_cells};
use super::brakes::{LiningRule, disc_limit, lining_limit};
use super::compression::{CompressionRule, judge_compression};
use super::sides::{Side, Sides};
use super::steering::{SteeringBox, linkage_limit, play_limit_uk, play_limit_us};
use super::toe::{toe_length, toe_limit};
use super::tread::{DEEPEST, TreadRule, tread_limit};
use super::wheels::wheel_run_out_limit;
use super::{Judged, Outcome};
use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{Angle, Dimension, Length, Pressure, Quantity, Temperature, Unit};

closed_set! {
    /// Whose limit a reading is held against.
    pub enum Rule {
        Own = "own", "the car’s own figure, from its spec book";
        TreadUk = "tread-uk", "tread: at least 1.6 mm over the central three quarters (United Kingdom)";
        TreadUs = "tread-us", "tread: at least 2/32 in, about 1.6 mm (United States)";
        LiningUk = "lining-uk", "brake lining or pad: at least 1.5 mm at any point (United Kingdom)";
        LiningUs = "lining-us", "brake lining or pad: at least 1/32 in, about 0.8 mm, over rivets where riveted (United States)";
        Disc = "disc", "brake disc: the least thickness cast into it";
        WheelRunOut = "wheel-run-out", "run-out of a wheel: at most 1/8 in, about 3.2 mm (United States)";
        PlayUs = "play-us", "play at the steering wheel, by its diameter (United States)";
        PlayUkRack = "play-uk-rack", "play at the steering wheel, rack and pinion (United Kingdom)";
        PlayUkBox = "play-uk-box", "play at the steering wheel, steering box (United Kingdom)";
        Linkage = "linkage", "play at the tread of a front tyre: at most 1/4 in, about 6.4 mm (United States)";
        Toe = "toe", "toe: at most one and a half times the maker’s figure (United States)";
        Battery6 = "battery-6", "6 V battery at rest, by its voltage (common practice)";
        Battery12 = "battery-12", "12 V battery at rest, by its voltage (common practice)";
        Cells = "cells", "battery acid: the cells against each other, by their gravity";
        ThreeQuarters = "three-quarters", "compression: lowest at least 75 % of the highest (petrol engine)";
        BelowMean = "below-mean", "compression: none more than 20 % below the average (aircraft piston engine)";
        TenPercent = "ten-percent", "compression: all within 10 % of the highest (common practice)";
        Spread10 = "spread-10-psi", "compression: all within 10 psi (low-compression petrol engine)";
        Spread25 = "spread-25-psi", "compression: all within 25 psi (two-stroke diesel, running)";
        Spread100 = "spread-100-psi", "compression: all within 100 psi (diesel, cranking)";
    }
}

closed_set! {
    /// What a rule needs to be told.
    pub enum Input {
        Cylinders = "cylinders", "Number of cylinders";
        Cells = "cells", "Number of cells";
        Wheel = "wheel", "Diameter of the steering wheel";
        Figure = "figure", "The figure itself";
        Rim = "rim", "Rim, where the gauge touches";
    }
}

/// What was typed for a rule; empty where it needs nothing of the kind.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Inputs {
    pub cylinders: String,
    pub cells: String,
    pub wheel: String,
    pub figure: String,
    pub rim: String,
}

/// Why a rule or a reading cannot be used. Sentences for the person at the form.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum RuleError {
    #[error("{0}")]
    Unreadable(String),

    #[error("{0} is far from any such reading: is the unit right, and was the right thing measured?")]
    NoSuchReading(String),

    #[error("‘{0}’ is no unit for this: it wants {1}, such as {2}.")]
    WrongUnit(String, &'static str, &'static str),

    #[error("Choose at least one side: the figure that it must not fall below, or the one that it must not pass.")]
    NoSide,

    #[error(
        "At least {0} and at most {1} contradict each other: nothing could hold both. Are they the wrong way round?"
    )]
    Contradiction(String, String),

    #[error("The two figures measure different things: {0} and {1}.")]
    TwoKinds(&'static str, &'static str),

    #[error("‘{0}’ is no margin: write a number in the unit of the limit, such as 0.5, or leave it empty.")]
    NoMargin(String),

    #[error("‘{0}’ is no number of {1}: write a whole number from {2} to {3}.")]
    NoCount(String, &'static str, usize, usize),

    #[error("Still to be measured: {0}.")]
    Missing(String),
}

/// A number with the code of its unit, as a reading keeps them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Entry<'a> {
    pub number: &'a str,
    pub unit: &'a str,
}

impl Entry<'_> {
    /// Its unit, if it is one of this dimension.
    pub fn unit_of(&self, dimension: Dimension) -> Result<Unit, RuleError> {
        let unit = Unit::from_code(self.unit).filter(|unit| unit.dimension() == dimension);
        unit.ok_or_else(|| RuleError::WrongUnit(self.named(), dimension.noun(), dimension.example()))
    }

    /// As a parser takes it.
    pub fn text(&self, unit: Unit) -> String {
        format!("{} {}", self.number, unit.code())
    }

    fn named(&self) -> String {
        Unit::from_code(self.unit).map_or_else(|| self.unit.to_owned(), |unit| unit.name().to_owned())
    }

    /// As a person reads it: `10.2 mm`.
    pub fn shown(&self) -> String {
        let unit = Unit::from_code(self.unit).map_or("", Unit::name);
        let gap = if matches!(unit, "" | "°" | "′") { "" } else { " " };
        format!("{}{gap}{unit}", self.number.trim().replace(',', "."))
    }
}

/// How the readings of one limit are judged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Plan {
    Sides(Sides),
    /// Cylinders against each other.
    Spread(CompressionRule, usize),
    /// Cells of a battery against each other.
    Cells(usize),
}

impl Plan {
    /// The ends of the names of its readings, in order; one empty end where it is a single reading.
    pub fn parts(&self) -> Vec<String> {
        match self {
            Plan::Sides(_) => vec![String::new()],
            Plan::Spread(_, cylinders) => (1..=*cylinders).map(|n| format!(", cylinder {n}")).collect(),
            Plan::Cells(cells) => {
                (1..=*cells).map(|n| format!(", cell {n}")).chain([", acid temperature".to_owned()]).collect()
            }
        }
    }

    /// Ends of names that belong to it without being judged: a cylinder with oil in it.
    pub fn extra_parts(&self) -> Vec<String> {
        match self {
            Plan::Spread(_, cylinders) => (1..=*cylinders).map(|n| format!(", cylinder {n}, with oil")).collect(),
            Plan::Sides(_) | Plan::Cells(_) => Vec::new(),
        }
    }

    /// What is measured; `None` for the gravity of acid, which is a bare number.
    pub fn dimension(&self) -> Option<Dimension> {
        match self {
            Plan::Sides(sides) => Some(sides.dimension),
            Plan::Spread(..) => Some(Dimension::Pressure),
            Plan::Cells(_) => None,
        }
    }

    /// Judges the readings, one for each of [`Plan::parts`]. Errors: one is missing, or none of them can be used.
    pub fn judge(&self, what: &str, readings: &[Option<Entry<'_>>]) -> Result<(Outcome, String), RuleError> {
        let all: Option<Vec<Entry<'_>>> = readings.iter().copied().collect();
        let Some(all) = all.filter(|all| all.len() == self.parts().len()) else {
            return Err(RuleError::Missing(self.missing(readings)));
        };
        match self {
            Plan::Sides(sides) => all
                .first()
                .map_or_else(|| Err(RuleError::Missing(what.to_owned())), |reading| sides.judge(what, reading)),
            Plan::Spread(rule, _) => spread(*rule, &all),
            Plan::Cells(_) => cells(&all),
        }
    }

    fn missing(&self, readings: &[Option<Entry<'_>>]) -> String {
        let parts = self.parts();
        let lacks = parts.iter().enumerate().filter(|(at, _)| readings.get(*at).is_none_or(Option::is_none));
        let names: Vec<&str> = lacks.map(|(_, part)| part.trim_start_matches(", ")).collect();
        if names == [""] { "it has not been read yet".to_owned() } else { names.join(", ") }
    }
}

fn sentence(why: impl std::fmt::Display) -> RuleError {
    RuleError::Unreadable(why.to_string())
}

fn spread(rule: CompressionRule, readings: &[Entry<'_>]) -> Result<(Outcome, String), RuleError> {
    let pressure = |reading: &Entry<'_>| {
        let unit = reading.unit_of(Dimension::Pressure)?;
        Pressure::parse(&reading.text(unit)).map_err(sentence)
    };
    let cylinders: Vec<Pressure> = readings.iter().map(pressure).collect::<Result<_, _>>()?;
    let Judged { outcome, says, .. } = judge_compression(rule, &cylinders).map_err(sentence)?;
    Ok((outcome, says))
}

/// The last of them is the temperature of the acid.
fn cells(readings: &[Entry<'_>]) -> Result<(Outcome, String), RuleError> {
    let Some((acid, cells)) = readings.split_last() else {
        return Err(RuleError::Missing("acid temperature".into()));
    };
    let acid = Temperature::parse(&acid.text(acid.unit_of(Dimension::Temperature)?)).map_err(sentence)?;
    let gravity = |cell: &Entry<'_>| Gravity::parse(cell.number).map(|read| corrected_gravity(read, &acid));
    let cells: Vec<Gravity> = cells.iter().map(gravity).collect::<Result<_, _>>().map_err(sentence)?;
    let Judged { outcome, says, .. } = judge_cells(&cells).map_err(sentence)?;
    Ok((outcome, format!("At 26.7 °C (80 °F): {says}")))
}

impl Rule {
    /// What is measured; `None` where any kind of thing may be, or a bare number.
    pub fn dimension(self) -> Option<Dimension> {
        match self {
            Rule::Own | Rule::Cells => None,
            Rule::TreadUk
            | Rule::TreadUs
            | Rule::LiningUk
            | Rule::LiningUs
            | Rule::Disc
            | Rule::WheelRunOut
            | Rule::PlayUs
            | Rule::PlayUkRack
            | Rule::PlayUkBox
            | Rule::Linkage
            | Rule::Toe => Some(Dimension::Length),
            Rule::Battery6 | Rule::Battery12 => Some(Dimension::Voltage),
            Rule::ThreeQuarters
            | Rule::BelowMean
            | Rule::TenPercent
            | Rule::Spread10
            | Rule::Spread25
            | Rule::Spread100 => Some(Dimension::Pressure),
        }
    }

    /// Words by which a reading's name shows that the rule may be meant.
    fn hints(self) -> &'static [&'static str] {
        match self {
            Rule::Own => &[],
            Rule::TreadUk | Rule::TreadUs => &["tread"],
            Rule::LiningUk | Rule::LiningUs => &["lining", "pad", "shoe"],
            Rule::Disc => &["disc", "disk", "rotor"],
            Rule::WheelRunOut => &["run-out", "runout", "run out"],
            Rule::PlayUs | Rule::PlayUkRack | Rule::PlayUkBox => &["steering", "play", "wheel"],
            Rule::Linkage => &["play", "linkage", "track rod", "track-rod"],
            Rule::Toe => &["toe"],
            Rule::Battery6 | Rule::Battery12 => &["battery", "rest"],
            Rule::Cells => &["gravity", "acid", "battery", "cell"],
            Rule::ThreeQuarters
            | Rule::BelowMean
            | Rule::TenPercent
            | Rule::Spread10
            | Rule::Spread25
            | Rule::Spread100 => &["compression"],
        }
    }

    /// Whether a reading of this name, in this dimension where one is known, may be held against it.
    pub fn fits(self, what: &str, dimension: Option<Dimension>) -> bool {
        if self == Rule::Own {
            return true;
        }
        let what = what.to_lowercase();
        let is_kind = match (self.dimension(), dimension) {
            (Some(own), Some(read)) => own == read,
            (None, Some(_)) => false,
            (_, None) => true,
        };
        is_kind && self.hints().iter().any(|hint| what.contains(hint))
    }

    /// What it needs to be told besides its name. The car's own figure comes from the spec book instead.
    pub fn needs(self) -> &'static [Input] {
        match self {
            Rule::Disc => &[Input::Figure],
            Rule::PlayUs | Rule::PlayUkRack | Rule::PlayUkBox => &[Input::Wheel],
            Rule::Toe => &[Input::Figure, Input::Rim],
            Rule::Cells => &[Input::Cells],
            Rule::ThreeQuarters
            | Rule::BelowMean
            | Rule::TenPercent
            | Rule::Spread10
            | Rule::Spread25
            | Rule::Spread100 => &[Input::Cylinders],
            Rule::Own
            | Rule::TreadUk
            | Rule::TreadUs
            | Rule::LiningUk
            | Rule::LiningUs
            | Rule::WheelRunOut
            | Rule::Linkage
            | Rule::Battery6
            | Rule::Battery12 => &[],
        }
    }

    /// The plan of a published rule and whose it is. Errors: an input that cannot be used; and the car's own figure, which is
    /// made by [`own`].
    pub fn plan(self, inputs: &Inputs) -> Result<(Plan, Citation), RuleError> {
        let held = |held: super::bound::Held<_>| Ok((Plan::Sides(Sides::held(&held)?), held.source));
        let length = |text: &str| Length::parse(text).map_err(sentence);
        let compression = |rule: CompressionRule| {
            Ok((Plan::Spread(rule, count(&inputs.cylinders, "cylinders", 2, 16)?), rule.source()))
        };
        match self {
            Rule::Own => Err(RuleError::NoSide),
            Rule::TreadUk => tread(TreadRule::Uk),
            Rule::TreadUs => tread(TreadRule::Us),
            Rule::LiningUk => held(lining_limit(LiningRule::Uk)),
            Rule::LiningUs => held(lining_limit(LiningRule::Us)),
            Rule::Disc => held(disc_limit(&length(&inputs.figure)?).map_err(sentence)?),
            Rule::WheelRunOut => held(wheel_run_out_limit()),
            Rule::PlayUs => held(play_limit_us(&length(&inputs.wheel)?).map_err(sentence)?),
            Rule::PlayUkRack => held(play_limit_uk(&length(&inputs.wheel)?, SteeringBox::Rack).map_err(sentence)?),
            Rule::PlayUkBox => held(play_limit_uk(&length(&inputs.wheel)?, SteeringBox::Other).map_err(sentence)?),
            Rule::Linkage => held(linkage_limit()),
            Rule::Toe => held(toe_limit(&toe_figure(inputs)?).map_err(sentence)?),
            Rule::Battery6 => Ok((Plan::Sides(Sides::battery(Nominal::Six)?), Citation::PRACTICE)),
            Rule::Battery12 => Ok((Plan::Sides(Sides::battery(Nominal::Twelve)?), Citation::PRACTICE)),
            Rule::Cells => {
                Ok((Plan::Cells(count(&inputs.cells, "cells", 2, 24)?), Citation::read("US Army TM 9-6140-200-14")))
            }
            Rule::ThreeQuarters => compression(CompressionRule::ThreeQuarters),
            Rule::BelowMean => compression(CompressionRule::BelowMean),
            Rule::TenPercent => compression(CompressionRule::TenPercent),
            Rule::Spread10 => compression(CompressionRule::Spread10),
            Rule::Spread25 => compression(CompressionRule::Spread25),
            Rule::Spread100 => compression(CompressionRule::Spread100),
        }
    }
}

fn tread(rule: TreadRule) -> Result<(Plan, Citation), RuleError> {
    let held = tread_limit(rule);
    let sides = Sides { possible: Some((Decimal::ZERO, DEEPEST)), ..Sides::held(&held)? };
    Ok((Plan::Sides(sides), held.source))
}

/// The maker's toe as a length: as it was given, or worked out from an angle and the rim.
fn toe_figure(inputs: &Inputs) -> Result<Length, RuleError> {
    let Ok(angle) = Angle::parse(&inputs.figure) else {
        return Length::parse(&inputs.figure).map_err(sentence);
    };
    toe_length(&angle, &Length::parse(&inputs.rim).map_err(sentence)?).map_err(sentence)
}

fn count(typed: &str, of: &'static str, least: usize, most: usize) -> Result<usize, RuleError> {
    let number = typed.trim().parse().ok().filter(|number| (least..=most).contains(number));
    number.ok_or_else(|| RuleError::NoCount(typed.trim().chars().take(20).collect(), of, least, most))
}

/// The car's own figures as a limit: the low end of `least`, the high end of `most`, and a margin in their unit.
///
/// Errors: no side, two kinds of quantity, sides that nothing could hold, or a margin that is none.
pub fn own(least: Option<&Quantity>, most: Option<&Quantity>, margin: &str) -> Result<Sides, RuleError> {
    let dimension = least.or(most).ok_or(RuleError::NoSide)?.dimension();
    if let Some(most) = most.filter(|most| most.dimension() != dimension) {
        return Err(RuleError::TwoKinds(dimension.noun(), most.dimension().noun()));
    }
    let margin = read_margin(margin)?;
    let side = |is_least: bool, quantity: &Quantity| {
        let (low, high) = quantity.to(quantity.unit()).ok_or(RuleError::NoSide)?;
        let end = if is_least { low } else { high };
        Side::read(dimension, is_least, &format!("{} {}", end.normalize(), quantity.unit().name()), margin)
    };
    let sides: Vec<Side> = (least.map(|one| side(true, one)).into_iter())
        .chain(most.map(|one| side(false, one)))
        .collect::<Result<_, _>>()?;
    if let [least, most] = sides.as_slice()
        && least.limit > most.limit
    {
        return Err(RuleError::Contradiction(least.text.clone(), most.text.clone()));
    }
    Ok(Sides { dimension, sides, possible: None, battery: None })
}

fn read_margin(typed: &str) -> Result<Decimal, RuleError> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Ok(Decimal::ZERO);
    }
    let number = typed.replace(',', ".").parse::<Decimal>().ok().filter(|number| !number.is_sign_negative());
    number.ok_or_else(|| RuleError::NoMargin(typed.chars().take(20).collect()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn quantity(dimension: Dimension, text: &str) -> Quantity {
        Quantity::parse(dimension, text).unwrap()
    }

    #[test]
    fn the_cars_own_figure_may_have_two_sides_that_do_not_contradict() {
        let pressure = |text| quantity(Dimension::Pressure, text);
        let sides = own(Some(&pressure("2.0-2.4 bar")), Some(&pressure("2.0-2.4 bar")), "0.1").unwrap();
        let outcome = |number, unit| sides.judge("It", &Entry { number, unit }).map(|(outcome, _)| outcome);
        assert_eq!(outcome("28", "psi"), Ok(Outcome::Fail));
        assert_eq!(outcome("32", "psi"), Ok(Outcome::Pass));
        assert_eq!(outcome("2,35", "bar"), Ok(Outcome::Watch));
        assert!(matches!(outcome("2", "mm"), Err(RuleError::WrongUnit(..))));
        assert!(matches!(outcome("soft", "bar"), Err(RuleError::Unreadable(_))));
        let (high, low) = (pressure("2.4 bar"), pressure("30 psi"));
        assert!(matches!(own(Some(&high), Some(&low), ""), Err(RuleError::Contradiction(..))));
        assert_eq!(own(None, None, ""), Err(RuleError::NoSide));
        assert!(matches!(own(Some(&high), None, "some"), Err(RuleError::NoMargin(_))));
        let volts = quantity(Dimension::Voltage, "12 V");
        assert!(matches!(own(Some(&high), Some(&volts), ""), Err(RuleError::TwoKinds(..))));
    }

    #[test]
    fn a_rule_without_what_it_needs_is_asked_back() {
        let typed = Inputs { figure: "10 mm".into(), ..Inputs::default() };
        for rule in Rule::ALL.iter().copied().filter(|rule| *rule != Rule::Own) {
            assert_eq!(rule.plan(&Inputs::default()).is_ok(), rule.needs().is_empty(), "{rule}");
        }
        assert!(Rule::Disc.plan(&typed).is_ok());
        assert!(Rule::Toe.plan(&Inputs { figure: "30′".into(), ..Inputs::default() }).is_err());
        assert!(Rule::ThreeQuarters.plan(&Inputs { cylinders: "one".into(), ..Inputs::default() }).is_err());
    }

    #[test]
    fn cells_are_compared_at_one_temperature_and_not_without_it() {
        let plan = Plan::Cells(2);
        let cell = |number| Some(Entry { number, unit: "count" });
        let missing = plan.judge("It", &[cell("1.265"), cell("1.260"), None]);
        assert_eq!(missing, Err(RuleError::Missing("acid temperature".into())));
        let warm = Some(Entry { number: "26.7", unit: "degC" });
        assert_eq!(plan.judge("It", &[cell("1.265"), cell("1.230"), warm]).unwrap().0, Outcome::Fail);
    }

    #[test]
    fn rules_are_offered_by_the_name_and_kind_of_a_reading() {
        assert!(Rule::TreadUk.fits("Front left tread", Some(Dimension::Length)));
        assert!(!Rule::TreadUk.fits("Front left tread", Some(Dimension::Pressure)));
        assert!(!Rule::TreadUk.fits("valve gap", None));
        assert!(Rule::Own.fits("anything", Some(Dimension::Torque)));
    }
}
