//! A torque wrench as its owner describes it.

use rust_decimal::Decimal;
use thiserror::Error;

use super::calibration::Calibration;
use super::day::{Day, DayError};
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{Amount, ParseError, Percent, PercentUnit, Span, Torque, TorqueUnit, UnitSet};

/// More marks than any scale or display has.
const MOST_MARKS: Decimal = Decimal::from_parts(100_000, 0, 0, false, 0);

closed_set! {
    /// How a wrench tells that the torque is reached.
    pub enum WrenchKind {
        Click = "click", "click wrench with a scale";
        Preset = "preset", "click wrench, set once";
        Dial = "dial", "wrench with a dial";
        Beam = "beam", "bending beam";
        Electronic = "electronic", "electronic wrench";
        Screwdriver = "screwdriver", "torque screwdriver";
    }
}

/// What the owner types; everything but name, range and graduation may be empty.
#[derive(Clone, Copy, Debug, Default)]
pub struct Typed<'a> {
    pub name: &'a str,
    /// Lowest to highest mark, such as `40-200 Nm`.
    pub range: &'a str,
    /// From mark to mark, such as `1 Nm` or `1`.
    pub graduation: &'a str,
    /// What its sheet says, such as `3 %`.
    pub deviation: &'a str,
    /// Such as `2026-04-30`.
    pub calibrated: &'a str,
    pub uses: &'a str,
}

/// A wrench that makes sense: its marks run from low to high in whole steps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Wrench {
    name: String,
    kind: WrenchKind,
    range: Span<TorqueUnit>,
    /// In the unit of the range, above zero.
    graduation: Decimal,
    stated: Option<Decimal>,
    calibration: Calibration,
}

/// Why a wrench was not taken.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum WrenchError {
    #[error("Give the wrench a name, so that it can be told from the others.")]
    NoName,
    #[error("Write the lowest and the highest mark of the wrench, such as 40-200 Nm.")]
    NotARange,
    #[error("Write the step from mark to mark in {}, the unit of the range.", .0.name())]
    OtherUnit(TorqueUnit),
    #[error("A step of {step} is wider than the whole range of the wrench: write the step from one mark to the next.")]
    TooCoarse { step: String },
    #[error("A step of {step} is finer than any scale is marked: write the step from one mark to the next.")]
    TooFine { step: String },
    #[error("A deviation of {0} % does not belong to a torque wrench: they are permitted 4 or 6 %.")]
    Deviation(Decimal),
    #[error("‘{0}’ is not a count of uses: write a whole number, or leave it empty.")]
    Uses(String),
    #[error(transparent)]
    Day(#[from] DayError),
    #[error(transparent)]
    Unreadable(#[from] ParseError),
}

impl Wrench {
    /// Reads what the owner typed. Errors are sentences for him.
    pub fn read(kind: WrenchKind, typed: Typed<'_>) -> Result<Self, WrenchError> {
        if typed.name.trim().is_empty() {
            return Err(WrenchError::NoName);
        }
        let range = Span::<TorqueUnit>::parse(typed.range)?;
        if range.is_single() {
            return Err(WrenchError::NotARange);
        }
        Ok(Self {
            name: typed.name.trim().to_owned(),
            kind,
            graduation: graduation(typed.graduation, &range)?,
            range,
            stated: stated(typed.deviation)?,
            calibration: calibration(typed.calibrated, typed.uses)?,
        })
    }

    pub fn name(&self) -> &str {
        &self.name
    }

    pub const fn kind(&self) -> WrenchKind {
        self.kind
    }

    /// The unit of its scale.
    pub const fn unit(&self) -> TorqueUnit {
        self.range.unit()
    }

    pub const fn lowest(&self) -> &Torque {
        self.range.low()
    }

    pub const fn highest(&self) -> &Torque {
        self.range.high()
    }

    pub const fn range(&self) -> &Span<TorqueUnit> {
        &self.range
    }

    /// From mark to mark, in its own unit.
    pub const fn graduation(&self) -> Decimal {
        self.graduation
    }

    pub const fn calibration(&self) -> Calibration {
        self.calibration
    }

    /// By how much the torque may differ from the mark, in percent: what its sheet says, else what ISO 6789-1 permits.
    /// Sources: adjustable click wrench, ±4 %, and ±6 % when its highest mark is 10 N·m or less, read in a tool maker's
    /// review of the standard; the other kinds from memory.
    pub fn deviation(&self) -> Decimal {
        let small = self.highest().to(TorqueUnit::NewtonMetre) <= Decimal::TEN;
        self.stated.unwrap_or(match self.kind {
            WrenchKind::Beam | WrenchKind::Screwdriver => Decimal::from(6),
            WrenchKind::Click | WrenchKind::Preset | WrenchKind::Dial | WrenchKind::Electronic if small => {
                Decimal::from(6)
            }
            WrenchKind::Click | WrenchKind::Preset | WrenchKind::Dial | WrenchKind::Electronic => Decimal::from(4),
        })
    }

    /// The mark nearest to a number of its own unit, and within its range; the lower of two equally near. Marks are
    /// counted from the lowest.
    pub(super) fn nearest_mark(&self, number: Decimal) -> Decimal {
        let (low, high) = (self.lowest().number(), self.highest().number());
        let within = number.clamp(low, high);
        let steps = (within - low).checked_div(self.graduation).unwrap_or_default();
        let below = low + steps.floor() * self.graduation;
        let above = (below + self.graduation).min(high);
        if within - below <= above - within { below } else { above }
    }
}

fn graduation(text: &str, range: &Span<TorqueUnit>) -> Result<Decimal, WrenchError> {
    let bare = text.trim().chars().all(|letter| letter.is_ascii_digit() || matches!(letter, '.' | ',' | '/'));
    let with_unit = if bare { format!("{} {}", text.trim(), range.unit().code()) } else { text.to_owned() };
    let step = Torque::parse(if text.trim().is_empty() { "" } else { &with_unit })?;
    if step.unit() != range.unit() {
        return Err(WrenchError::OtherUnit(range.unit()));
    }
    let width = range.high().number() - range.low().number();
    if step.number() > width {
        return Err(WrenchError::TooCoarse { step: step.to_string() });
    }
    if width.checked_div(step.number()).is_none_or(|steps| steps > MOST_MARKS) {
        return Err(WrenchError::TooFine { step: step.to_string() });
    }
    Ok(step.number())
}

fn stated(text: &str) -> Result<Option<Decimal>, WrenchError> {
    let text = text.trim().trim_start_matches(['±', '+', '-', '/', ' ']);
    if text.is_empty() {
        return Ok(None);
    }
    let with_unit =
        if text.ends_with(|last: char| last.is_ascii_digit()) { format!("{text} %") } else { text.to_owned() };
    let percent: Percent = Amount::<PercentUnit>::parse(&with_unit)?;
    let number = percent.number();
    // A share of ten percent tells more of a spring balance than of a torque wrench.
    if number.is_zero() || number > Decimal::TEN {
        return Err(WrenchError::Deviation(number));
    }
    Ok(Some(number))
}

fn calibration(calibrated: &str, uses: &str) -> Result<Calibration, WrenchError> {
    let on = if calibrated.trim().is_empty() { None } else { Some(Day::parse(calibrated)?) };
    let uses = uses.trim();
    let count = if uses.is_empty() {
        None
    } else {
        Some(uses.parse().map_err(|_| WrenchError::Uses(uses.chars().take(20).collect()))?)
    };
    Ok(Calibration { on, uses: count })
}
