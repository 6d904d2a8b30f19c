//! Whether a wrench suits a torque, and the mark to set it to.

use rust_decimal::Decimal;

use super::calibration::CalibrationState;
use super::day::Day;
use super::offset::{Offset, OffsetError};
use super::wrench::Wrench;
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{Span, Torque, TorqueUnit, UnitSet};

/// Below this share of its highest mark a wrench is not tested. Source: ISO 6789, test points at 20, 60 and 100 % of
/// the highest mark, read in a tool maker's review.
const LOWER_PART: Decimal = Decimal::from_parts(20, 0, 0, false, 2);

closed_set! {
    /// How a torque lies in the range of a wrench, the best first.
    pub enum Fitness {
        Suits = "suits", "within its range";
        LowerPart = "lower-part", "in the untested lowest part of its range";
        TooCoarse = "too-coarse", "its marks are too far apart";
        Below = "below", "below its lowest mark";
        Above = "above", "above its highest mark";
    }
}

impl Fitness {
    /// Whether the wrench can be set at all.
    pub const fn can_be_set(self) -> bool {
        match self {
            Self::Suits | Self::LowerPart | Self::TooCoarse => true,
            Self::Below | Self::Above => false,
        }
    }
}

/// A mark on the scale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Setting {
    /// What to set, exactly a mark, in the unit of the scale.
    pub mark: Torque,
    /// How far the mark lies from what is wanted, in percent to one place; negative below it. For a wanted range zero
    /// when the mark lies inside.
    pub off: Decimal,
    /// What the bolt gets when the wrench is true: the mark itself, or through an adapter more or less than it.
    pub at_bolt: Decimal,
    /// What the bolt may get, the permitted deviation taken off and added; in the unit of the scale.
    pub between: (Decimal, Decimal),
}

/// What a wrench can do for a torque.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Suitability {
    pub fitness: Fitness,
    /// Only where it can be set.
    pub setting: Option<Setting>,
    /// Permitted, in percent either way.
    pub deviation: Decimal,
    pub calibration: CalibrationState,
    /// All of it for a person.
    pub sentence: String,
}

impl Suitability {
    /// The most that the bolt may differ, in percent: mark and deviation together.
    pub(super) fn total_error(&self) -> Decimal {
        self.deviation + self.setting.as_ref().map_or(Decimal::ZERO, |setting| setting.off.abs())
    }
}

/// Judges a wrench for a wanted torque or range on a day.
pub fn suitability(wrench: &Wrench, wanted: &Span<TorqueUnit>, today: Day) -> Suitability {
    judged(wrench, &Wanted { at_bolt: wanted, on_scale: wanted, factor: Decimal::ONE }, today)
}

/// The same through a crowfoot or offset adapter: `wanted` is what the bolt is to get. Errors when no wrench could be
/// set so high.
pub fn suitability_with(
    wrench: &Wrench,
    wanted: &Span<TorqueUnit>,
    offset: &Offset,
    today: Day,
) -> Result<Suitability, OffsetError> {
    let corrected = offset.correct(wanted)?;
    let wanted = Wanted { at_bolt: wanted, on_scale: &corrected.torque, factor: corrected.factor };
    Ok(judged(wrench, &wanted, today))
}

/// What is wanted at the bolt, what it makes on the scale, and the factor from one to the other.
struct Wanted<'a> {
    at_bolt: &'a Span<TorqueUnit>,
    on_scale: &'a Span<TorqueUnit>,
    factor: Decimal,
}

fn judged(wrench: &Wrench, wanted: &Wanted<'_>, today: Day) -> Suitability {
    let unit = wrench.unit();
    let (low, high) = (wanted.on_scale.low().to(unit), wanted.on_scale.high().to(unit));
    let (lowest, highest) = (wrench.lowest().number(), wrench.highest().number());
    let deviation = wrench.deviation();
    let calibration = wrench.calibration().state(today);
    let outside = match () {
        () if high < lowest => Some(Fitness::Below),
        () if low > highest => Some(Fitness::Above),
        () => None,
    };
    if let Some(fitness) = outside {
        let sentence = outside_sentence(wrench, wanted.on_scale, fitness);
        return Suitability { fitness, setting: None, deviation, calibration, sentence };
    }
    let setting = setting_for(wrench, low.max(lowest), high.min(highest), wanted.factor);
    let fitness = match &setting {
        Some(setting) if setting.off.abs() > deviation => Fitness::TooCoarse,
        Some(setting) if setting.mark.number() < highest * LOWER_PART => Fitness::LowerPart,
        Some(_) | None => Fitness::Suits,
    };
    let sentence = setting.as_ref().map_or_else(String::new, |setting| {
        [told(wrench, wanted, setting), lacking(wrench, fitness), calibration.sentence()].join("")
    });
    Suitability { fitness, setting, deviation, calibration, sentence }
}

/// The mark nearest to the middle of what is wanted, `low` to `high` in the unit of the scale and both on it.
fn setting_for(wrench: &Wrench, low: Decimal, high: Decimal, factor: Decimal) -> Option<Setting> {
    let mark = wrench.nearest_mark((low + high) / Decimal::TWO);
    let nearest_wanted = mark.clamp(low, high);
    let off = (mark - nearest_wanted) * Decimal::ONE_HUNDRED;
    let off = off.checked_div(nearest_wanted)?.round_dp(1).normalize();
    let at_bolt = mark.checked_div(factor)?;
    let share = wrench.deviation() / Decimal::ONE_HUNDRED;
    let between = (at_bolt * (Decimal::ONE - share), at_bolt * (Decimal::ONE + share));
    Some(Setting { mark: Torque::computed(mark, wrench.unit()).ok()?, off, at_bolt, between })
}

fn outside_sentence(wrench: &Wrench, on_scale: &Span<TorqueUnit>, fitness: Fitness) -> String {
    let shown = on_scale.in_unit(wrench.unit());
    let name = wrench.name();
    match fitness {
        Fitness::Below => format!(
            "{name} begins at {}, above the {shown} to be set: below its lowest mark it does not click in time.",
            wrench.lowest()
        ),
        Fitness::Above | Fitness::Suits | Fitness::LowerPart | Fitness::TooCoarse => {
            format!("{name} ends at {}, below the {shown} to be set.", wrench.highest())
        }
    }
}

fn told(wrench: &Wrench, wanted: &Wanted<'_>, setting: &Setting) -> String {
    let unit = wrench.unit().name();
    let at_bolt = wanted.at_bolt;
    let from_wanted = match setting.off {
        off if off.is_zero() && at_bolt.is_single() => format!("right on the {at_bolt} that are wanted"),
        off if off.is_zero() => format!("within the {at_bolt} that are wanted"),
        off if off.is_sign_negative() => format!("{} % under the {at_bolt} that are wanted", off.abs()),
        off => format!("{off} % over the {at_bolt} that are wanted"),
    };
    let through = if wanted.factor == Decimal::ONE {
        String::new()
    } else {
        format!(" on its scale; through the adapter that makes {} {unit}", figures(setting.at_bolt))
    };
    format!(
        "Set {} to {}{through}, {from_wanted}. It may be {} % out either way, so the bolt gets {} to {} {unit}. ",
        wrench.name(),
        setting.mark,
        wrench.deviation(),
        figures(setting.between.0),
        figures(setting.between.1),
    )
}

/// To three figures, so that no false exactness is shown.
fn figures(number: Decimal) -> Decimal {
    number.round_sf(3).unwrap_or(number).normalize()
}

fn lacking(wrench: &Wrench, fitness: Fitness) -> String {
    match fitness {
        Fitness::LowerPart => format!(
            "That is below a fifth of its highest mark of {}, where a wrench is not tested: a smaller one is surer. ",
            wrench.highest()
        ),
        Fitness::TooCoarse => "Its marks are too far apart for this torque: take one with finer marks. ".to_owned(),
        Fitness::Suits | Fitness::Below | Fitness::Above => String::new(),
    }
}
