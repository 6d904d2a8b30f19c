//! Screw threads: metric (ISO 261, profile ISO 68-1) and Unified (ASME B1.1).
//!
//! A [`Thread`] is always one that exists: it is read from words ([`Thread::parse`], [`read`]) or found from a
//! measurement ([`from_measured`]), and both look it up in `table.rs`.
//!
//! | file | holds |
//! |---|---|
//! | `table.rs` | every thread that is known |
//! | `written.rs`, `scan.rs` | reading `M10x1.25`, `3/8-16 UNC`, `M12x1.5 LH` |
//! | `measured.rs` | which thread a caliper and a pitch gauge have found |

mod measured;
mod scan;
mod table;
mod written;

use std::fmt;

use rust_decimal::Decimal;

use super::closed_set::closed_set;
use super::mechanics::{Area, INCH, double};
use super::quantity::{Length, LengthUnit};

pub use measured::{Fit, MeasuredPitch, PitchError, Sureness, from_measured};
pub use written::{Read, ThreadError, read};

closed_set! {
    /// The series a thread belongs to.
    pub enum Series {
        MetricCoarse = "metric-coarse", "metric coarse";
        MetricFine = "metric-fine", "metric fine";
        Unc = "unc", "UNC";
        Unf = "unf", "UNF";
        Unef = "unef", "UNEF";
        /// Special: in no standard series.
        Uns = "uns", "UNS";
    }
}

/// One thread that exists. Copied freely; shown as `M10×1.25` or `3/8-16 UNC`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Thread {
    series: Series,
    /// Micrometres if metric, else ten-thousandths of an inch.
    diameter: u32,
    /// Micrometres if metric, else threads to the inch.
    pitch: u32,
}

/// How far apart the threads are, as its standard says it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pitch {
    Millimetres(Decimal),
    PerInch(u32),
}

/// The sizes that the strength of a bolt hangs on, all in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dimensions {
    /// Nominal outside diameter.
    pub outside: f64,
    pub pitch: f64,
    /// Where thread and gap are equally wide: d − 0.64952·P.
    pub flank: f64,
    /// At the bottom of the thread: d − 1.22687·P.
    pub core: f64,
}

impl Thread {
    /// Reads one thread and nothing else, such as `M10x1.25`. Errors are sentences for the person who typed it. To
    /// allow for `LH` and other words use [`read`].
    pub fn parse(text: &str) -> Result<Self, ThreadError> {
        let found = read(text)?;
        if found.words.is_empty() { Ok(found.thread) } else { Err(ThreadError::left_over(&found.words)) }
    }

    /// Every thread that is known, metric first.
    pub fn all() -> impl Iterator<Item = Self> {
        table::all()
    }

    pub const fn series(self) -> Series {
        self.series
    }

    pub const fn is_metric(self) -> bool {
        match self.series {
            Series::MetricCoarse | Series::MetricFine => true,
            Series::Unc | Series::Unf | Series::Unef | Series::Uns => false,
        }
    }

    /// Nominal outside diameter, exact.
    pub fn diameter(self) -> Length {
        let (number, unit) = if self.is_metric() {
            (Decimal::new(i64::from(self.diameter), 3), LengthUnit::Millimetre)
        } else {
            (Decimal::new(i64::from(self.diameter), 4), LengthUnit::Inch)
        };
        #[expect(clippy::expect_used, reason = "every diameter in the table lies between 1 and 60 mm")]
        Length::computed(number, unit).expect("the diameters of the table are lengths a car can have")
    }

    pub fn pitch(self) -> Pitch {
        if self.is_metric() {
            Pitch::Millimetres(Decimal::new(i64::from(self.pitch), 3).normalize())
        } else {
            Pitch::PerInch(self.pitch)
        }
    }

    /// The sizes of the basic profile with its rounded root. Source: ISO 68-1 and ISO 724, H = 0.86603·P; ASME B1.1
    /// shares the profile.
    pub fn dimensions(self) -> Dimensions {
        let (outside, pitch) = if self.is_metric() {
            (f64::from(self.diameter) / 1000.0, f64::from(self.pitch) / 1000.0)
        } else {
            (f64::from(self.diameter) / 10_000.0 * INCH, INCH / f64::from(self.pitch))
        };
        Dimensions { outside, pitch, flank: outside - 0.649_52 * pitch, core: outside - 1.226_87 * pitch }
    }

    /// The section that carries the pull. Source: metric ISO 898-1, π/4·((d2+d3)/2)²; Unified ASME B1.1,
    /// π/4·(d − 0.9743/n)².
    pub fn stress_area(self) -> Area {
        let Dimensions { outside, pitch, flank, core } = self.dimensions();
        Area::of_circle(if self.is_metric() { f64::midpoint(flank, core) } else { outside - 0.9743 * pitch })
    }
}

impl Pitch {
    /// In millimetres, for comparing.
    pub fn in_millimetres(self) -> f64 {
        match self {
            Self::Millimetres(pitch) => double(pitch),
            Self::PerInch(count) => INCH / f64::from(count),
        }
    }
}

/// `1.25 mm` or `20 to the inch`.
impl fmt::Display for Pitch {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Millimetres(pitch) => write!(out, "{pitch} mm"),
            Self::PerInch(count) => write!(out, "{count} to the inch"),
        }
    }
}

impl fmt::Display for Thread {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.is_metric() {
            let of = |micrometres: u32| Decimal::new(i64::from(micrometres), 3).normalize();
            write!(out, "M{}×{}", of(self.diameter), of(self.pitch))
        } else {
            write!(out, "{}-{} {}", table::inch_name(self.diameter), self.pitch, self.series)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_thread_is_shown_so_that_it_can_be_read_again() {
        for thread in Thread::all() {
            assert_eq!(Thread::parse(&thread.to_string()), Ok(thread), "{thread}");
        }
    }

    #[test]
    fn diameters_and_pitches_are_exact() {
        let fine = Thread::parse("M10x1.25").unwrap();
        assert_eq!(fine.diameter().to(LengthUnit::Millimetre), Decimal::from(10));
        assert_eq!(fine.pitch(), Pitch::Millimetres(Decimal::new(125, 2)));
        let inch = Thread::parse("7/16-20 UNF").unwrap();
        assert_eq!(inch.diameter().to(LengthUnit::Millimetre), Decimal::new(111_125, 4));
        assert_eq!(inch.pitch().to_string(), "20 to the inch");
    }
}
