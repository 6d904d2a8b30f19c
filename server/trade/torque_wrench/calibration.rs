//! Whether a wrench's last calibration still counts.
//!
//! Source: ISO 6789-1:2017, from memory and not read in the standard: twelve months or 5000 uses, whichever comes
//! first, where the user has no rule of his own. After a drop or an overload at once: AC 43.13-1B, read second-hand.

use super::day::Day;

const USES: u32 = 5000;

/// What is known of the last calibration.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub struct Calibration {
    pub on: Option<Day>,
    /// How often it was used since; unknown when nobody counts.
    pub uses: Option<u32>,
}

/// Whether it still counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum CalibrationState {
    /// Until that day.
    Current(Day),
    Unknown,
    /// It ran out on that day.
    TooOld(Day),
    TooManyUses(u32),
    /// Its day is still to come: a slip of the pen.
    InFuture(Day),
}

impl Calibration {
    pub fn state(self, today: Day) -> CalibrationState {
        let Some(on) = self.on else {
            return CalibrationState::Unknown;
        };
        let until = on.a_year_later();
        match self.uses {
            _ if on > today => CalibrationState::InFuture(on),
            _ if until < today => CalibrationState::TooOld(until),
            Some(uses) if uses > USES => CalibrationState::TooManyUses(uses),
            Some(_) | None => CalibrationState::Current(until),
        }
    }
}

impl CalibrationState {
    pub const fn counts(self) -> bool {
        match self {
            Self::Current(_) => true,
            Self::Unknown | Self::TooOld(_) | Self::TooManyUses(_) | Self::InFuture(_) => false,
        }
    }

    /// For whoever picks up the wrench.
    pub fn sentence(self) -> String {
        match self {
            Self::Current(until) => {
                format!("Its calibration counts until {until}, unless it is dropped or overloaded before.")
            }
            Self::Unknown => "When it was last calibrated is not known, so how true it is nobody can say.".into(),
            Self::TooOld(until) => {
                format!("Its calibration ran out on {until}: have it checked before a joint that matters.")
            }
            Self::TooManyUses(uses) => {
                format!("It was used {uses} times since its calibration, more than {USES}: have it checked.")
            }
            Self::InFuture(on) => format!("Its calibration is dated {on}, which is still to come: correct the date."),
        }
    }
}
