//! Run-out of wheels.

use rust_decimal::Decimal;

use super::Judged;
use super::bound::{Bound, Held};
use crate::trade::citation::Citation;
use crate::trade::quantity::{Length, LengthUnit};

/// The most run-out of a wheel by the United States rule: 1/8 in.
pub fn wheel_run_out_limit() -> Held<LengthUnit> {
    let eighth = |share: Decimal| Length::computed(Decimal::new(125, 3) * share, LengthUnit::Inch);
    // An eighth of an inch is a possible length.
    let most = eighth(Decimal::ONE).unwrap_or_else(|_| unreachable!());
    // A fifth of the limit is watched: common practice, no source.
    let margin = eighth(Decimal::new(2, 1)).unwrap_or_else(|_| most.clone());
    Held { bound: Bound::AtMost(most), margin, source: Citation::read("49 CFR 570.10(b)") }
}

/// Total indicator reading at the bead seat, sideways or up and down.
pub fn judge_wheel_run_out(reading: &Length) -> Judged {
    wheel_run_out_limit().judge("The wheel's run-out", reading)
}
