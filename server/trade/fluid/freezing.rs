//! When a coolant begins to freeze. Always two figures: tables that were measured with care differ by up to 6 K, so the
//! warmer one is the one to count on.
//!
//! By volume: the ethylene glycol curve of the ASHRAE handbook as CoolProp 8.0.0 fits it, and two service tables of one
//! maker of heavy diesel engines (1997 and later), which are for inhibited concentrate. By mass: CoolProp's curve of pure
//! ethylene glycol, and the ASHRAE table from memory. Above 60 % laboratories disagree, and the curve ends.

use rust_decimal::Decimal;
use thiserror::Error;

use super::mixture::Strength;
use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;
use crate::trade::quantity::{Percent, PercentUnit, Temperature, TemperatureUnit};

closed_set! {
    /// What a percentage is a share of. The same mix has two numbers.
    pub enum Basis {
        Volume = "volume", "by volume";
        Mass = "mass", "by mass";
    }
}

closed_set! {
    /// A published table of freezing points.
    pub enum Table {
        AshraeByVolume = "ashrae-by-volume", "ASHRAE by volume, as CoolProp 8.0.0 has it";
        Service1997 = "service-1997", "a heavy diesel maker's service table of 1997";
        ServiceLater = "service-later", "a later service table of the same maker";
        PureByMass = "pure-by-mass", "pure ethylene glycol by mass, as CoolProp 8.0.0 has it";
        AshraeByMass = "ashrae-by-mass", "ASHRAE by mass, from memory";
    }
}

impl Table {
    fn curve(self) -> Curve {
        match self {
            Self::AshraeByVolume => ASHRAE_BY_VOLUME,
            Self::Service1997 => SERVICE_1997,
            Self::ServiceLater => SERVICE_LATER,
            Self::PureByMass => PURE_BY_MASS,
            Self::AshraeByMass => ASHRAE_BY_MASS,
        }
    }
}

/// What one published table says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TableSays {
    pub table: Table,
    pub freezes: Temperature,
}

/// Where ice begins, as published tables have it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Frost {
    /// Each table that reaches this strength.
    pub tables: Vec<TableSays>,
    /// The warmest figure of all tables: count on this one.
    pub count_on: Temperature,
    /// The coldest figure of all tables.
    pub at_best: Temperature,
    pub says: String,
    pub source: Citation,
}

/// Why no freezing point can be given.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum FrostError {
    #[error(
        "Beyond 60 % no freezing point can be given: measurements disagree, and a stronger mix freezes sooner again. Bring it \
         to 60 % or less."
    )]
    BeyondCurve,

    #[error("No mix of ethylene glycol and water is sure to stay liquid at {0}: 60 % is the end of what is known.")]
    TooCold(String),
}

/// Freezing points in tenths of a degree Celsius below zero at (percent, tenths).
type Curve = &'static [(u32, u32)];

const ASHRAE_BY_VOLUME: Curve = &[
    (0, 0),
    (10, 36),
    (15, 62),
    (20, 90),
    (25, 121),
    (30, 157),
    (35, 199),
    (40, 248),
    (45, 305),
    (50, 371),
    (55, 444),
    (60, 520),
];
const SERVICE_1997: Curve = &[(15, 70), (20, 100), (25, 140), (30, 180), (35, 240), (40, 300), (45, 380), (50, 400)];
const SERVICE_LATER: Curve =
    &[(15, 60), (20, 90), (25, 120), (30, 160), (35, 220), (40, 270), (45, 320), (50, 460), (60, 550)];
const PURE_BY_MASS: Curve = &[
    (0, 0),
    (10, 34),
    (15, 54),
    (20, 79),
    (25, 110),
    (30, 146),
    (35, 188),
    (40, 238),
    (45, 295),
    (50, 360),
    (55, 432),
    (60, 512),
];
const ASHRAE_BY_MASS: Curve = &[(0, 0), (10, 32), (20, 78), (30, 141), (40, 223), (50, 338), (60, 483)];

const END_OF_CURVE: u32 = 60;
const BY_VOLUME: Citation =
    Citation::quoted("ASHRAE curve by volume as CoolProp 8.0.0 has it; two service tables of a maker of heavy diesels");
const BY_MASS: Citation = Citation::memory("ASHRAE table by mass; CoolProp 8.0.0 by mass was run");

/// Density of ethylene glycol against water. Source: the worked example of a glossary after ASHRAE 1993.
const GLYCOL_DENSITY: Decimal = Decimal::from_parts(11_155, 0, 0, false, 4);

/// Where ice begins in ethylene glycol and water of `percent` (0 to 100) on its basis.
pub fn frost(percent: &Percent, basis: Basis) -> Result<Frost, FrostError> {
    let (tables, source): (&[Table], _) = match basis {
        Basis::Volume => (&[Table::AshraeByVolume, Table::Service1997, Table::ServiceLater], BY_VOLUME),
        Basis::Mass => (&[Table::PureByMass, Table::AshraeByMass], BY_MASS),
    };
    if percent.number() > Decimal::from(END_OF_CURVE) {
        return Err(FrostError::BeyondCurve);
    }
    let depth = |table: &Table| below_zero(table.curve(), percent.number()).map(|depth| (*table, depth));
    let depths: Vec<(Table, Decimal)> = tables.iter().filter_map(depth).collect();
    // The first curve of each basis reaches from 0 to 60 %, so that neither list nor bound is ever empty.
    let least = depths.iter().map(|(_, depth)| *depth).min().unwrap_or_default();
    let most = depths.iter().map(|(_, depth)| *depth).max().unwrap_or_default();
    let says = format!(
        "Ice begins at about {}; tables reach to {}. Count on the warmer one, and choose a strength with 5 °C in hand.",
        celsius(least).in_unit(TemperatureUnit::Celsius),
        celsius(most).in_unit(TemperatureUnit::Celsius)
    );
    let tables = depths.into_iter().map(|(table, depth)| TableSays { table, freezes: celsius(depth) }).collect();
    Ok(Frost { tables, count_on: celsius(least), at_best: celsius(most), says, source })
}

/// The least whole percent by volume that stays liquid at `coldest` by the warmest table.
pub fn strength_for(coldest: &Temperature) -> Result<Strength, FrostError> {
    let wanted = coldest.to(TemperatureUnit::Celsius);
    for whole in 0..=END_OF_CURVE {
        let percent = share(Decimal::from(whole));
        let holds = frost(&percent, Basis::Volume)?.count_on.number() <= wanted;
        if let (true, Ok(strength)) = (holds, Strength::new(&percent)) {
            return Ok(strength);
        }
    }
    Err(FrostError::TooCold(coldest.to_string()))
}

/// The share by volume of what is `percent` (0 to 100) by mass: 1/(1 + ρ·(1−p)/p).
pub fn by_volume(percent: &Percent) -> Percent {
    let mass = (percent.number() / Decimal::ONE_HUNDRED).min(Decimal::ONE);
    if mass.is_zero() {
        return share(Decimal::ZERO);
    }
    let water = (GLYCOL_DENSITY * (Decimal::ONE - mass)).checked_div(mass);
    // More water than a decimal can hold leaves no share.
    let part = water.and_then(|water| Decimal::ONE.checked_div(water.checked_add(Decimal::ONE)?)).unwrap_or_default();
    share(part * Decimal::ONE_HUNDRED)
}

/// Degrees below zero by straight lines between the points of a curve; none outside it.
fn below_zero(curve: Curve, percent: Decimal) -> Option<Decimal> {
    curve.windows(2).find_map(|pair| {
        let [(from, high), (to, low)] =
            [pair[0], pair[1]].map(|(at, tenths)| (Decimal::from(at), Decimal::new(tenths.into(), 1)));
        (from..=to).contains(&percent).then(|| high + (low - high) * (percent - from) / (to - from))
    })
}

fn celsius(below_zero: Decimal) -> Temperature {
    // The curves stay between 0 and −60 °C, where every temperature is possible.
    Temperature::computed(-below_zero, TemperatureUnit::Celsius).unwrap_or_else(|_| unreachable!())
}

fn share(percent: Decimal) -> Percent {
    // From 0 to 100, which every percentage may be.
    Percent::computed(percent, PercentUnit::Percent).unwrap_or_else(|_| unreachable!())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn curves_only_fall() {
        for curve in Table::ALL.iter().map(|table| table.curve()) {
            assert!(curve.windows(2).all(|pair| pair[0].0 < pair[1].0 && pair[0].1 < pair[1].1));
        }
    }

    #[test]
    fn beyond_the_end_of_the_curve_no_figure_is_made_up() {
        assert_eq!(frost(&Percent::parse("61 %").unwrap(), Basis::Volume), Err(FrostError::BeyondCurve));
        let antarctic = Temperature::parse("-70 °C").unwrap();
        assert!(strength_for(&antarctic).unwrap_err().to_string().contains("-70 °C"));
    }

    #[test]
    fn the_strength_for_a_frost_holds_by_every_table_and_one_percent_less_does_not() {
        let frost_of = |percent: Decimal| frost(&share(percent), Basis::Volume).unwrap().count_on.number();
        for degrees in [-5, -10, -18, -25, -35] {
            let wanted = Decimal::from(degrees);
            let strength = strength_for(&Temperature::parse(&format!("{degrees} °C")).unwrap()).unwrap();
            assert!(frost_of(strength.percent()) <= wanted);
            assert!(frost_of(strength.percent() - Decimal::ONE) > wanted);
        }
        assert_eq!(strength_for(&Temperature::parse("20 °C").unwrap()), Ok(Strength::WATER));
    }
}
