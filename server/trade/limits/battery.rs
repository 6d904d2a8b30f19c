//! A lead-acid battery by its voltage at rest and by the gravity of its acid.

use rust_decimal::Decimal;
use thiserror::Error;

use super::{Judged, Outcome};
use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{Temperature, TemperatureUnit, Voltage, VoltageUnit};

closed_set! {
    /// What the battery is called.
    pub enum Nominal {
        Six = "6", "6 V";
        Twelve = "12", "12 V";
    }
}

/// Why a battery was not judged.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum BatteryError {
    #[error("{0} is far from what a battery at rest shows: is the meter on volts, and is it a {1} battery?")]
    NotABattery(String, Nominal),

    #[error("{0} is being charged, or was just now: let it rest for some hours, then measure again.")]
    NotAtRest(String),

    #[error("‘{0}’ is no gravity of battery acid: it lies between 1.000 and 1.400, such as 1.265.")]
    NoGravity(String),

    #[error("Measure every cell: at least two are needed to compare them.")]
    TooFewCells,
}

/// State of charge as two published lists have it, in percent; they differ, so that it is always a range.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Charge {
    pub low: Decimal,
    pub high: Decimal,
}

/// Volts in hundredths of a 12 V battery at (percent).
type List = [(u32, u32)];

/// Common practice: values vary with the acid, and no standard was found.
const LIST_1: &List = &[(1160, 0), (1200, 25), (1220, 50), (1240, 75), (1260, 100)];
const LIST_2: &List = &[(1160, 0), (1215, 25), (1230, 50), (1245, 75), (1266, 100)];

const CELLS: Citation = Citation::read("US Army TM 9-6140-200-14");
const SURFACE_CHARGE: Decimal = Decimal::from_parts(132, 0, 0, false, 1);
const FLATTER_THAN_ANY: Decimal = Decimal::from_parts(8, 0, 0, false, 0);
const HIGHER_THAN_ANY: Decimal = Decimal::from_parts(16, 0, 0, false, 0);

/// Charge from the voltage after some hours at rest with everything off.
pub fn charge_at_rest(volts: &Voltage, nominal: Nominal) -> Result<Charge, BatteryError> {
    let scale = match nominal {
        Nominal::Six => Decimal::TWO,
        Nominal::Twelve => Decimal::ONE,
    };
    let as_twelve = volts.to(VoltageUnit::Volt) * scale;
    if !(FLATTER_THAN_ANY..=HIGHER_THAN_ANY).contains(&as_twelve) {
        return Err(BatteryError::NotABattery(volts.to_string(), nominal));
    }
    if as_twelve > SURFACE_CHARGE {
        return Err(BatteryError::NotAtRest(volts.to_string()));
    }
    let (first, second) = (percent(LIST_1, as_twelve), percent(LIST_2, as_twelve));
    Ok(Charge { low: first.min(second), high: first.max(second) })
}

/// Volts of a battery of this kind at the borders of [`judge_rest_voltage`]: no battery below the first or above the last; past
/// its limit below the second, watched below the third. Read off the two lists, and held to them by a test.
pub fn rest_borders(nominal: Nominal) -> [Decimal; 4] {
    let scale = match nominal {
        Nominal::Six => Decimal::TWO,
        Nominal::Twelve => Decimal::ONE,
    };
    [FLATTER_THAN_ANY, Decimal::new(1220, 2), Decimal::new(1245, 2), SURFACE_CHARGE].map(|volts| volts / scale)
}

/// By straight lines between the points of a list, 0 below it and 100 above.
fn percent(list: &List, volts: Decimal) -> Decimal {
    let point = |(hundredths, percent): (u32, u32)| (Decimal::new(hundredths.into(), 2), Decimal::from(percent));
    let between = list.windows(2).find_map(|pair| {
        let [(low, from), (high, to)] = [point(pair[0]), point(pair[1])];
        (low..=high).contains(&volts).then(|| from + (to - from) * (volts - low) / (high - low))
    });
    between.unwrap_or(if volts > Decimal::from(12) { Decimal::ONE_HUNDRED } else { Decimal::ZERO })
}

/// The voltage at rest as a verdict: below three quarters it ages, below half it may not start the car and can freeze.
pub fn judge_rest_voltage(volts: &Voltage, nominal: Nominal) -> Result<Judged, BatteryError> {
    let charge = charge_at_rest(volts, nominal)?;
    let shown = volts.in_unit(volts.unit());
    let share = format!("{} to {} %", charge.low.round(), charge.high.round());
    let (outcome, next) = if charge.high < Decimal::from(50) {
        (Outcome::Fail, "Charge it now: a flat battery sulphates and freezes. If it falls back, have it load-tested.")
    } else if charge.low < Decimal::from(75) {
        (Outcome::Watch, "Charge it, and measure again a day later.")
    } else {
        (Outcome::Pass, "Voltage alone does not show how much it can still give.")
    };
    Ok(Judged {
        outcome,
        says: format!("{shown} at rest is about {share} charged. {next}"),
        source: Citation::PRACTICE,
    })
}

/// Gravity of battery acid against water.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Gravity(Decimal);

impl Gravity {
    /// Reads `1.265`, `1,265` or `1265`. Errors outside 1.000 to 1.400.
    pub fn parse(text: &str) -> Result<Self, BatteryError> {
        let refused = || BatteryError::NoGravity(text.trim().chars().take(20).collect());
        let number: Decimal = text.trim().replace(',', ".").parse().map_err(|_| refused())?;
        let number = if number >= Decimal::ONE_THOUSAND { number / Decimal::ONE_THOUSAND } else { number };
        let possible = Decimal::ONE..=Decimal::new(14, 1);
        possible.contains(&number).then_some(Self(number)).ok_or_else(refused)
    }

    pub fn number(self) -> Decimal {
        self.0
    }
}

/// To three places, as a hydrometer is marked.
impl std::fmt::Display for Gravity {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "{:.3}", self.0.round_dp(3))
    }
}

/// What the reading would be at 80 °F (26.7 °C): 0.004 for each 10 °F.
///
/// Source: an engine maker's service manual, read in a copy.
pub fn corrected_gravity(reading: Gravity, acid: &Temperature) -> Gravity {
    let above = acid.to(TemperatureUnit::Fahrenheit) - Decimal::from(80);
    Gravity(reading.0 + above / Decimal::TEN * Decimal::new(4, 3))
}

/// Corrected gravities of all cells: a charged battery with more than 0.025 between two cells has had its day.
pub fn judge_cells(cells: &[Gravity]) -> Result<Judged, BatteryError> {
    let (Some(lowest), Some(highest), true) = (cells.iter().min(), cells.iter().max(), cells.len() > 1) else {
        return Err(BatteryError::TooFewCells);
    };
    let spread = highest.0 - lowest.0;
    let weak = cells.iter().position(|cell| cell == lowest).map_or(1, |at| at + 1);
    let (outcome, next) = if spread > Decimal::new(25, 3) {
        (Outcome::Fail, "More than 0.025 apart: if it was fully charged, this cell is failing and the battery is done.")
    } else if lowest.0 < Decimal::new(1215, 3) {
        (Outcome::Watch, "Below 1.215: charge it and measure again.")
    } else if spread > Decimal::new(20, 3) {
        (Outcome::Watch, "Close to the 0.025 that is allowed between cells: charge it and measure again.")
    } else {
        (Outcome::Pass, "The cells stand close together.")
    };
    let says = format!("Lowest {lowest} in cell {weak}, highest {highest}. {next}");
    Ok(Judged { outcome, says, source: CELLS })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn volts(text: &str) -> Voltage {
        Voltage::parse(text).unwrap()
    }

    #[test]
    fn readings_that_are_no_battery_at_rest_are_asked_back() {
        let charging = charge_at_rest(&volts("14.2 V"), Nominal::Twelve).unwrap_err();
        assert!(matches!(charging, BatteryError::NotAtRest(_)));
        assert!(matches!(charge_at_rest(&volts("12.6 V"), Nominal::Six), Err(BatteryError::NotABattery(..))));
        assert!(matches!(charge_at_rest(&volts("-12.6 V"), Nominal::Twelve), Err(BatteryError::NotABattery(..))));
        assert!(charge_at_rest(&volts("12600 mV"), Nominal::Twelve).is_ok());
    }

    #[test]
    fn a_six_volt_battery_is_half_a_twelve_volt_one() {
        let six = charge_at_rest(&volts("6.2 V"), Nominal::Six).unwrap();
        assert_eq!(six, charge_at_rest(&volts("12.4 V"), Nominal::Twelve).unwrap());
    }

    #[test]
    fn a_gravity_is_read_as_hydrometers_print_it() {
        assert_eq!(Gravity::parse("1265"), Gravity::parse("1,265"));
        for text in ["", "0.9", "1.5", "12.6", "acid"] {
            assert!(matches!(Gravity::parse(text), Err(BatteryError::NoGravity(_))), "{text}");
        }
        assert_eq!(judge_cells(&[]), Err(BatteryError::TooFewCells));
    }

    #[test]
    fn a_flat_battery_is_to_be_charged() {
        let outcome = |text| judge_rest_voltage(&volts(text), Nominal::Twelve).unwrap().outcome;
        assert_eq!(outcome("12.7 V"), Outcome::Pass);
        assert_eq!(outcome("12.35 V"), Outcome::Watch);
        assert_eq!(outcome("11.9 V"), Outcome::Fail);
        assert_eq!(outcome("10.5 V"), Outcome::Fail);
    }
}
