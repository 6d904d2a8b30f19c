//! Toe as an angle and as a length: what a gauge at the rim shows for what the manual gives in degrees.
//!
//! Total toe of an axle, in positive: the distance between the rims at the rear minus that at the front, at hub height.
//! Each wheel turns by half the total angle θ, so that the difference is 2·D·sin(θ/2) at a rim of diameter D.

use rust_decimal::Decimal;
use thiserror::Error;

use super::Judged;
use super::bound::{Bound, Held};
use crate::trade::citation::Citation;
use crate::trade::quantity::{Angle, AngleUnit, Length, LengthUnit, SizeError};

pub const GEOMETRY: Citation = Citation::worked_out("geometry of two wheels turned by half the angle each");

/// Why a toe was not converted or judged.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ToeError {
    #[error("{0} is no rim: measure across the edge where the gauge touches, such as 350 mm.")]
    NoRim(String),

    #[error("A toe of {0} is no wheel alignment: most are below one degree, or a few millimetres. Is the unit right?")]
    TooLarge(String),

    #[error(transparent)]
    Size(#[from] SizeError),
}

/// Beyond this in degrees nobody sets a toe.
const LARGEST: f64 = 10.0;

/// Difference between the rims for a total toe angle; the sign is the angle's, given apart as a length has none.
pub fn toe_length(angle: &Angle, rim: &Length) -> Result<Length, ToeError> {
    let degrees = float(angle.to(AngleUnit::Degree).abs());
    if degrees > LARGEST {
        return Err(ToeError::TooLarge(angle.to_string()));
    }
    let difference = 2.0 * rim_in_mm(rim)? * (degrees.to_radians() / 2.0).sin();
    Ok(Length::computed(decimal(difference), LengthUnit::Millimetre)?)
}

/// Total toe angle for a difference between the rims.
pub fn toe_angle(difference: &Length, rim: &Length) -> Result<Angle, ToeError> {
    let sine = float(difference.to(LengthUnit::Millimetre)) / (2.0 * rim_in_mm(rim)?);
    let degrees = 2.0 * sine.asin().to_degrees();
    if degrees.is_nan() || degrees > LARGEST {
        return Err(ToeError::TooLarge(difference.to_string()));
    }
    Ok(Angle::computed(decimal(degrees), AngleUnit::Degree)?)
}

/// One and a half times the maker's figure.
pub fn toe_limit(makers: &Length) -> Result<Held<LengthUnit>, ToeError> {
    let most = makers.checked_mul(Decimal::new(15, 1))?;
    let margin = makers.checked_mul(Decimal::new(25, 2))?;
    Ok(Held { bound: Bound::AtMost(most), margin, source: Citation::read("49 CFR 570.7(d)") })
}

/// Toe against one and a half times the maker's figure, both in the same sense.
pub fn judge_toe(measured: &Length, makers: &Length) -> Result<Judged, ToeError> {
    Ok(toe_limit(makers)?.judge("Toe", measured))
}

fn rim_in_mm(rim: &Length) -> Result<f64, ToeError> {
    let millimetres = rim.to(LengthUnit::Millimetre);
    let possible = Decimal::from(150)..=Decimal::from(1000);
    possible.contains(&millimetres).then(|| float(millimetres)).ok_or_else(|| ToeError::NoRim(rim.to_string()))
}

fn float(number: Decimal) -> f64 {
    // Every decimal has a nearest float.
    f64::try_from(number).unwrap_or_default()
}

/// To a thousandth of a millionth, far finer than any gauge.
fn decimal(number: f64) -> Decimal {
    Decimal::try_from(number).unwrap_or_default().round_dp(9)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nonsense_is_asked_back() {
        let rim = Length::parse("350 mm").unwrap();
        let length = |text| Length::parse(text).unwrap();
        assert!(matches!(toe_length(&Angle::parse("45 deg").unwrap(), &rim), Err(ToeError::TooLarge(_))));
        assert!(matches!(toe_angle(&length("900 mm"), &rim), Err(ToeError::TooLarge(_))));
        assert!(matches!(toe_angle(&length("2 mm"), &length("14 mm")), Err(ToeError::NoRim(_))));
    }

    #[test]
    fn the_way_there_and_back_ends_where_it_began() {
        let rim = Length::parse("14 in").unwrap();
        for minutes in [0, 5, 20, 60, 300] {
            let angle = Angle::parse(&format!("{minutes} arcmin")).unwrap();
            let back = toe_angle(&toe_length(&angle, &rim).unwrap(), &rim).unwrap();
            assert!((back.to(AngleUnit::ArcMinute) - angle.number()).abs() < Decimal::new(1, 4), "{minutes}");
        }
    }
}
