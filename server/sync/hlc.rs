//! Hybrid logical clock: a moment that never runs backwards on one device, and that orders what devices did
//! even where their clocks differ. After Kulkarni et al., "Logical Physical Clocks" (2014).
//!
//! The text form has a fixed width, so comparing texts compares clocks. The phone's half is
//! `static/js/lib/hlc.js`; both run `tests/vectors/hlc.json`.

use crate::clock::Moment;
use std::fmt;
use std::str::FromStr;

const MAX_COUNTER: u32 = 99_999;
const MAX_WALL: i64 = 9_999_999_999_999_999;

/// `wwwwwwwwwwwwwwww-ccccc`: milliseconds since 1970 UTC and a counter for what happened within one of them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Hlc {
    wall: i64,
    counter: u32,
}

#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("‘{0}’ is no clock reading: 16 digits, a dash and 5 digits are expected")]
pub struct NotAnHlc(String);

impl Hlc {
    pub const ZERO: Hlc = Hlc { wall: 0, counter: 0 };

    /// The clock's milliseconds since 1970 UTC.
    pub fn moment(self) -> Moment {
        Moment(self.wall)
    }

    /// The next reading of a device whose last was `self` and whose wall clock says `now`: always greater.
    pub fn next(self, now: Moment) -> Hlc {
        if now.0 > self.wall {
            return Hlc { wall: now.0.min(MAX_WALL), counter: 0 };
        }
        if self.counter < MAX_COUNTER {
            return Hlc { wall: self.wall, counter: self.counter + 1 };
        }
        Hlc { wall: self.wall + 1, counter: 0 }
    }

    /// What a device remembers after it has seen another's reading.
    pub fn having_seen(self, other: Hlc) -> Hlc {
        self.max(other)
    }
}

impl fmt::Display for Hlc {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:016}-{:05}", self.wall, self.counter)
    }
}

impl FromStr for Hlc {
    type Err = NotAnHlc;
    fn from_str(text: &str) -> Result<Hlc, NotAnHlc> {
        let fail = || NotAnHlc(text.chars().take(40).collect());
        let (wall, counter) = text.split_once('-').ok_or_else(fail)?;
        let digits = |part: &str, width| part.len() == width && part.bytes().all(|byte| byte.is_ascii_digit());
        if !digits(wall, 16) || !digits(counter, 5) {
            return Err(fail());
        }
        Ok(Hlc { wall: wall.parse().map_err(|_| fail())?, counter: counter.parse().map_err(|_| fail())? })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_next_reading_is_always_greater() {
        let full = Hlc { wall: 5, counter: MAX_COUNTER };
        for last in [Hlc::ZERO, Hlc { wall: 5, counter: 3 }, full] {
            for now in [0, 5, 6] {
                assert!(last.next(Moment(now)) > last, "{last} at {now}");
            }
        }
    }

    #[test]
    fn text_order_is_clock_order() {
        let readings =
            [Hlc::ZERO, Hlc { wall: 9, counter: 0 }, Hlc { wall: 10, counter: 2 }, Hlc { wall: 10, counter: 10 }];
        for pair in readings.windows(2) {
            assert!(pair[0] < pair[1]);
            assert!(pair[0].to_string() < pair[1].to_string());
        }
    }

    #[test]
    fn nonsense_is_refused() {
        for text in ["", "1-1", "0000000000000001-0000", "000000000000000x-00000", "0000000000000001_00000", "-"] {
            assert!(text.parse::<Hlc>().is_err(), "{text}");
        }
    }
}
