//! A reading against a least or a most.

use rust_decimal::Decimal;

use super::{Judged, Outcome};
use crate::trade::citation::Citation;
use crate::trade::quantity::{Amount, UnitSet};

/// A limit on one side. The reading at the limit itself still holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Bound<U> {
    AtLeast(Amount<U>),
    AtMost(Amount<U>),
}

impl<U: UnitSet> Bound<U> {
    pub fn limit(&self) -> &Amount<U> {
        match self {
            Self::AtLeast(limit) | Self::AtMost(limit) => limit,
        }
    }

    /// How far inside the limit a reading is, in the limit's unit; negative beyond it.
    pub fn room(&self, reading: &Amount<U>) -> Decimal {
        let unit = self.limit().unit();
        match self {
            Self::AtLeast(least) => reading.to(unit) - least.number(),
            Self::AtMost(most) => most.number() - reading.to(unit),
        }
    }

    fn words(&self) -> &'static str {
        match self {
            Self::AtLeast(_) => "at least",
            Self::AtMost(_) => "at most",
        }
    }
}

/// A limit with the margin inside it from which a reading is watched, and whose it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held<U> {
    pub bound: Bound<U>,
    pub margin: Amount<U>,
    pub source: Citation,
}

impl<U: UnitSet> Held<U> {
    /// `what` begins the sentence, as in 'The tread'.
    pub fn judge(&self, what: &str, reading: &Amount<U>) -> Judged {
        judge(what, reading, &self.bound, &self.margin, self.source)
    }
}

/// `reading` against `bound`: to be watched while it is inside by less than `margin`. `what` begins the sentence, as in
/// 'The tread'.
pub fn judge<U: UnitSet>(
    what: &str,
    reading: &Amount<U>,
    bound: &Bound<U>,
    margin: &Amount<U>,
    source: Citation,
) -> Judged {
    let limit = bound.limit();
    let room = bound.room(reading);
    let shown = reading.in_unit(reading.unit());
    let asked = format!("{} {}", bound.words(), limit.in_unit(limit.unit()));
    let (outcome, says) = if room < Decimal::ZERO {
        (Outcome::Fail, format!("{what} reads {shown}, and the limit is {asked}: past it."))
    } else if room < margin.to(limit.unit()) {
        (Outcome::Watch, format!("{what} reads {shown}, close to the limit of {asked}: measure again soon."))
    } else {
        (Outcome::Pass, format!("{what} reads {shown}; the limit is {asked}."))
    };
    Judged { outcome, says, source }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::quantity::Pressure;

    #[test]
    fn a_reading_is_held_against_its_limit_whatever_the_units() {
        let pressure = |text| Pressure::parse(text).unwrap();
        let least = Bound::AtLeast(pressure("2.0 bar"));
        let most = Bound::AtMost(pressure("10 psi"));
        let margin = pressure("0.2 bar");
        for (bound, reading, outcome) in [
            (&least, "1.99 bar", Outcome::Fail),
            (&least, "2 bar", Outcome::Watch),
            (&least, "30 psi", Outcome::Watch),
            (&least, "32 psi", Outcome::Pass),
            (&most, "0.4 bar", Outcome::Pass),
            (&most, "0.6 bar", Outcome::Watch),
            (&most, "0.7 bar", Outcome::Fail),
            (&most, "-5 inHg", Outcome::Pass),
        ] {
            let judged = judge("Oil pressure", &pressure(reading), bound, &margin, Citation::PRACTICE);
            assert_eq!(judged.outcome, outcome, "{reading}: {}", judged.says);
        }
    }
}
