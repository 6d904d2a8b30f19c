//! Readings against limits: what still holds, what to keep an eye on, what is past its limit, and when it will be.
//!
//! - `bound`: any reading against a least or a most, such as the car's own figure
//! - `compression`, `battery`, `tread`, `brakes`, `steering`, `toe`, `wheels`: published limits, each named with its rule
//! - `rule`: every rule that a person may choose for a reading, with what it needs to be told; `sides`: a rule that comes to a
//!   least or a most, as data that a phone can hold a reading against
//! - `trend`: dated readings, and the day on which a limit would be reached
//!
//! A rule is always chosen by the person, never guessed: limits differ by country, age and engine. The car's own figure
//! comes first. None of them says that a car is safe or legal.

mod battery;
mod bound;
mod brakes;
mod compression;
mod rule;
mod sides;
mod steering;
mod toe;
mod tread;
mod trend;
mod wheels;

pub use battery::{
    BatteryError, Charge, Gravity, Nominal, charge_at_rest, corrected_gravity, judge_cells, judge_rest_voltage,
    rest_borders,
};
pub use bound::{Bound, Held, judge};
pub use brakes::{
    DiscError, LiningRule, PedalError, disc_limit, judge_disc, judge_lining, judge_pedal_travel, judge_run_out,
    lining_limit,
};
pub use compression::{CompressionError, CompressionRule, DropFrom, OilTest, judge_compression, oil_test};
pub use rule::{Entry, Input, Inputs, Plan, Rule, RuleError, own};
pub use sides::{Side, Sides};
pub use steering::{
    SteeringBox, SteeringError, judge_linkage_play, judge_play_uk, judge_play_us, linkage_limit, play_limit_uk,
    play_limit_us,
};
pub use toe::{GEOMETRY, ToeError, judge_toe, toe_angle, toe_length, toe_limit};
pub use tread::{TreadError, TreadRule, judge_tread, tread_limit};
pub use trend::{Day, LEAST_SQUARES, Outlook, Trend, TrendError};
pub use wheels::{judge_wheel_run_out, wheel_run_out_limit};

use super::citation::Citation;
use super::closed_set::closed_set;

closed_set! {
    /// How a reading stands to its limit.
    pub enum Outcome {
        Pass = "pass", "holds";
        Watch = "watch", "keep an eye on it";
        Fail = "fail", "past its limit";
    }
}

/// A reading that was held against a limit, ready to be shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Judged {
    pub outcome: Outcome,
    /// The reading, the limit, and what follows.
    pub says: String,
    /// Whose limit it is.
    pub source: Citation,
}
