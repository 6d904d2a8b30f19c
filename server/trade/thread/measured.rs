//! Which thread a caliper and a pitch gauge have found on a bolt.
//!
//! A bolt is made a little under its nominal diameter, and wear and rust take more, so a measurement reads under, never
//! over. Limits: ISO 965-1 class 6g, from memory and not read in the standard: fundamental deviation 15 + 11·P µm,
//! diameter tolerance 180·P^⅔ − 3.15/√P µm (P in mm). Unified class 2A lies within the same band. The allowance for
//! wear is common practice, no source.

use std::str::FromStr;

use rust_decimal::Decimal;
use thiserror::Error;

use super::{Pitch, Thread};
use crate::trade::closed_set::closed_set;
use crate::trade::mechanics::millimetres;
use crate::trade::quantity::{Length, LengthUnit};

/// What a worn or rusty thread may have lost beyond what the standard allows; millimetres.
const WEAR: f64 = 0.15;
/// What a caliper, paint or a burr may add; millimetres.
const BURR: f64 = 0.05;
/// Pitches within this share of one another cannot be told apart by eye.
const ALIKE: f64 = 0.04;
/// A reading this near a pitch is that pitch.
const SPOT_ON: f64 = 0.004;

/// A pitch as it was measured: `1.25 mm`, `1.25`, `20 tpi`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MeasuredPitch(Pitch);

/// Why a text was not taken as a pitch.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum PitchError {
    #[error(
        "‘{0}’ is not a pitch: write millimetres from thread to thread, such as 1.25 mm, or threads to the inch, such \
         as 20 tpi."
    )]
    Unreadable(String),
    #[error("‘{0}’ is no pitch of a bolt: they run from 0.2 mm to 6 mm, or from 4 to 80 threads to the inch.")]
    OutOfRange(String),
}

impl MeasuredPitch {
    /// Reads millimetres or threads to the inch. A bare number below 4 is taken as millimetres, a bare whole number
    /// from 7 on as threads to the inch; between them the unit must be written.
    pub fn parse(text: &str) -> Result<Self, PitchError> {
        let tidy = super::scan::tidied(text);
        let shown = || text.trim().chars().take(40).collect::<String>();
        let unreadable = || PitchError::Unreadable(shown());
        let end = tidy.find(|letter: char| !letter.is_ascii_digit() && letter != '.').unwrap_or(tidy.len());
        let number = Decimal::from_str(&tidy[..end]).map_err(|_| unreadable())?;
        let per_inch = match tidy[end..].trim() {
            "mm" | "mm pitch" => false,
            "tpi" | "/in" | "per inch" | "to the inch" | "threads per inch" | "threads to the inch" => true,
            "" if number < Decimal::from(4) => false,
            "" if number >= Decimal::from(7) && number.fract().is_zero() => true,
            _ => return Err(unreadable()),
        };
        let known = if per_inch { 4..=80 } else { 0..=6 };
        let inside = number >= Decimal::new(2, 1)
            && Decimal::from(*known.start()) <= number
            && number <= Decimal::from(*known.end());
        if !inside {
            return Err(PitchError::OutOfRange(shown()));
        }
        if !per_inch {
            return Ok(Self(Pitch::Millimetres(number.normalize())));
        }
        let whole = u32::from_str(&number.normalize().to_string()).map_err(|_| unreadable())?;
        Ok(Self(Pitch::PerInch(whole)))
    }

    pub const fn pitch(self) -> Pitch {
        self.0
    }
}

closed_set! {
    /// How sure it is that a measured thread is this one.
    pub enum Sureness {
        Sure = "sure", "fits";
        Likely = "likely", "fits best, but check";
        Possible = "possible", "cannot be ruled out";
    }
}

/// A thread that a measurement fits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fit {
    pub thread: Thread,
    pub sureness: Sureness,
    /// Each one a sentence; empty when nothing speaks against it.
    pub doubts: Vec<String>,
}

/// The threads that fit an outside diameter and a pitch, the best first; none when nothing known fits. Only for bolts,
/// studs and screws: the bore of a nut is measured at the core.
pub fn from_measured(outside: &Length, pitch: MeasuredPitch) -> Vec<Fit> {
    let read = millimetres(outside);
    let mut close: Vec<(f64, Closeness)> = Thread::all()
        .filter_map(|thread| Closeness::of(thread, read, pitch.0))
        .map(|closeness| (closeness.penalty(), closeness))
        .collect();
    close.sort_by(|a, b| a.0.total_cmp(&b.0));
    let rivals: Vec<Thread> = close.iter().map(|(_, closeness)| closeness.thread).collect();
    close.iter().enumerate().map(|(place, (_, closeness))| closeness.fit(place == 0, outside, &rivals)).collect()
}

/// How a thread compares with what was measured.
#[derive(Clone, Copy, Debug)]
struct Closeness {
    thread: Thread,
    /// Millimetres that the reading lies outside what the standard allows: below zero under it, above zero over it.
    outside_limits: f64,
    /// Share by which the measured pitch differs.
    pitch_off: f64,
    /// The measured pitch was of the other family of threads.
    other_family: bool,
}

impl Closeness {
    /// `None` when the reading is too far off to be this thread.
    fn of(thread: Thread, read: f64, pitch: Pitch) -> Option<Self> {
        let size = thread.dimensions();
        let pitch_off = (pitch.in_millimetres() - size.pitch).abs() / size.pitch;
        let deviation = 0.015 + 0.011 * size.pitch;
        let tolerance = 0.180 * size.pitch.powf(2.0 / 3.0) - 0.003_15 / size.pitch.sqrt();
        let (lowest, highest) = (size.outside - deviation - tolerance, size.outside);
        let outside_limits = if read < lowest { read - lowest } else { (read - highest).max(0.0) };
        let fits = pitch_off <= ALIKE && (-WEAR..=BURR).contains(&outside_limits);
        let other_family = matches!(pitch, Pitch::Millimetres(_)) != thread.is_metric();
        fits.then_some(Self { thread, outside_limits, pitch_off, other_family })
    }

    /// For ranking only: how much each thing off speaks against a thread.
    fn penalty(self) -> f64 {
        self.outside_limits.abs() / WEAR + self.pitch_off / ALIKE + if self.other_family { 0.5 } else { 0.0 }
    }

    fn fit(self, best: bool, outside: &Length, rivals: &[Thread]) -> Fit {
        let mut doubts = self.doubts(outside);
        let others: Vec<String> =
            rivals.iter().filter(|rival| **rival != self.thread).map(ToString::to_string).collect();
        let sureness = match (best, doubts.is_empty() && others.is_empty()) {
            (true, true) => Sureness::Sure,
            (true, false) => Sureness::Likely,
            (false, _) => Sureness::Possible,
        };
        if !others.is_empty() {
            doubts.push(format!(
                "{} would measure much the same: lay the pitch gauge over ten threads, or try a nut that is known; it \
                 must run on by finger.",
                others.join(" or ")
            ));
        }
        Fit { thread: self.thread, sureness, doubts }
    }

    fn doubts(self, outside: &Length) -> Vec<String> {
        let mut doubts = Vec::new();
        let shown = outside.in_unit(outside.unit());
        let nominal = self.thread.diameter().in_unit(if self.thread.is_metric() {
            LengthUnit::Millimetre
        } else {
            LengthUnit::Inch
        });
        if self.outside_limits < 0.0 {
            doubts.push(format!(
                "{shown} is less than a new {} may have: it is worn, stretched or rusty, or it is another thread. \
                 Measure at a part that was never screwed in.",
                self.thread
            ));
        }
        if self.outside_limits > 0.0 {
            doubts.push(format!(
                "{shown} is more than the {nominal} of {}: clean off paint and burrs and measure again.",
                self.thread
            ));
        }
        if self.pitch_off > SPOT_ON {
            doubts.push(format!(
                "The pitch of {} is {}, {} % from the one measured.",
                self.thread,
                self.thread.pitch(),
                (self.pitch_off * 1000.0).round() / 10.0
            ));
        }
        if !self.thread.is_metric() {
            doubts.push(
                "On an old British car it may be a Whitworth-form thread (55° instead of 60°), which this program does \
                 not know: hold the gauge against the light."
                    .to_owned(),
            );
        }
        doubts
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fits(outside: &str, pitch: &str) -> Vec<(String, Sureness)> {
        let found = from_measured(&Length::parse(outside).unwrap(), MeasuredPitch::parse(pitch).unwrap());
        found.into_iter().map(|fit| (fit.thread.to_string(), fit.sureness)).collect()
    }

    #[test]
    fn a_good_bolt_is_found_for_sure() {
        assert_eq!(fits("9.85 mm", "1.25 mm"), [("M10×1.25".into(), Sureness::Sure)]);
        assert_eq!(fits("11.8 mm", "1.75"), [("M12×1.75".into(), Sureness::Sure)]);
    }

    #[test]
    fn a_worn_bolt_is_found_with_a_doubt() {
        let worn = from_measured(&Length::parse("9.6 mm").unwrap(), MeasuredPitch::parse("1.5 mm").unwrap());
        assert_eq!((worn[0].thread.to_string().as_str(), worn[0].sureness), ("M10×1.5", Sureness::Likely));
        assert!(worn[0].doubts[0].contains("worn"), "{:?}", worn[0].doubts);
    }

    #[test]
    fn a_bolt_that_measures_over_its_size_is_doubted() {
        let fat = from_measured(&Length::parse("8.03 mm").unwrap(), MeasuredPitch::parse("1.25 mm").unwrap());
        assert_eq!(fat[0].thread.to_string(), "M8×1.25");
        assert!(fat[0].doubts[0].contains("burrs"));
    }

    #[test]
    fn m5_and_number_ten_fine_are_offered_together() {
        // 0.8 mm against 32 to the inch, 0.794 mm: less than a hundredth apart.
        let both = fits("4.8 mm", "0.8 mm");
        assert_eq!(both[0], ("M5×0.8".into(), Sureness::Likely));
        assert_eq!(both[1], ("#10-32 UNF".into(), Sureness::Possible));
        assert_eq!(fits("0.189 in", "32 tpi")[0].0, "#10-32 UNF");
    }

    #[test]
    fn an_inch_thread_is_told_from_the_metric_one_beside_it() {
        assert_eq!(fits("7.88 mm", "24 tpi")[0].0, "5/16-24 UNF");
        assert_eq!(fits("7.88 mm", "1 mm")[0].0, "M8×1");
        assert!(fits("7.88 mm", "1 mm").iter().all(|(thread, _)| thread != "5/16-24 UNF"));
    }

    #[test]
    fn what_fits_no_known_thread_gives_nothing() {
        assert!(fits("13.1 mm", "1.5 mm").is_empty());
        assert!(fits("900 mm", "1.5 mm").is_empty());
        assert!(fits("0 mm", "1.5 mm").is_empty());
    }

    #[test]
    fn pitches_are_read_and_nonsense_is_refused() {
        assert_eq!(MeasuredPitch::parse("1,25").unwrap().pitch().to_string(), "1.25 mm");
        assert_eq!(MeasuredPitch::parse("20").unwrap().pitch().to_string(), "20 to the inch");
        assert_eq!(MeasuredPitch::parse("20 threads per inch").unwrap().pitch().to_string(), "20 to the inch");
        for text in ["", "fine", "-1", "0", "0.05 mm", "12 mm", "5", "13.5", "13.5 tpi", "900 tpi", "1.25 bar"] {
            assert!(MeasuredPitch::parse(text).is_err(), "{text}");
        }
    }

    proptest::proptest! {
        #[test]
        fn whatever_is_measured_gets_an_answer(pitch in "[0-9]{0,3}[.,]?[0-9]{0,3} ?[a-zé/]{0,5}", tenths in 0_u32..1_000) {
            let outside = Length::computed(Decimal::new(i64::from(tenths), 1), LengthUnit::Millimetre).unwrap();
            if let Ok(pitch) = MeasuredPitch::parse(&pitch) {
                let fits = from_measured(&outside, pitch);
                proptest::prop_assert!(fits.iter().skip(1).all(|fit| fit.sureness == Sureness::Possible));
                proptest::prop_assert!(fits.iter().all(|fit| fit.sureness == Sureness::Sure || !fit.doubts.is_empty()));
            }
        }
    }

    #[test]
    fn a_bolt_in_the_middle_of_its_tolerance_is_found_first() {
        for thread in Thread::all() {
            let size = thread.dimensions();
            let middle = Decimal::try_from(size.outside - 0.07 * size.pitch).unwrap();
            let outside = Length::computed(middle, LengthUnit::Millimetre).unwrap();
            let fits = from_measured(&outside, MeasuredPitch(thread.pitch()));
            assert_eq!(fits.first().map(|fit| fit.thread), Some(thread), "{thread}: {fits:?}");
        }
    }
}
