//! What is it that whines? A clip's tones, divided by the speed of the engine or the road, against what turns on this car.
//!
//! | file | holds |
//! |---|---|
//! | `frequency.rs` | frequencies and orders |
//! | `clip.rs` | a recorded clip: one channel of samples, long enough and loud enough to say something |
//! | `spectrum.rs` | its averaged spectrum; `transform.rs`: the windowed transform under it |
//! | `peaks.rs` | the tones that stand out of it |
//! | `speed.rs`, `firing.rs` | how fast a shaft turned, entered or read off the firing, and how well that is known |
//! | `steady.rs` | whether it was held while the clip was taken |
//! | `bearing.rs` | the published frequencies of a rolling bearing |
//! | `part.rs`, `written.rs` | what turns on the car: its ratio, its counts, its bearing; and the words it is entered in |
//! | `series.rs` | a tone and its whole multiples at a place where a part would sound, and how soon chance does as much |
//! | `shortlist.rs`, `why.rs` | which parts fit, which do not, how sure and why |
//! | `before_after.rs` | the same clip before and after a repair |
//! | `spectrogram.rs` | level over time and frequency, to be drawn |
//!
//! A shortlist, never a verdict: a tone that fits a part does not prove it worn, and a worn part may make no tone. Samples and
//! spectra are floating point: they are measured, not written in a source, and nothing here is kept as a spec.

mod bearing;
mod before_after;
mod clip;
mod firing;
mod frequency;
mod part;
mod peaks;
mod series;
mod shortlist;
mod spectrogram;
mod spectrum;
mod speed;
mod steady;
mod transform;
mod why;
mod written;

#[cfg(test)]
mod properties;
#[cfg(test)]
mod synthetic;

pub use bearing::{Bearing, BearingError, BearingLine, FORMULAS, Ring};
pub use before_after::{Change, Fate, Heard, changes};
pub use clip::{Clip, ClipError};
pub use firing::{Cycle, Engine, EngineError, Firing, FiringError, read_firing};
pub use frequency::{Frequency, FrequencyError, Order};
pub use part::{Count, CountKind, Drive, Line, LineKind, Part, PartError, Shaft};
pub use peaks::{Peak, peaks};
pub use shortlist::{LineFit, PartFit, Shortlist, Sure, shortlist};
pub use spectrogram::Spectrogram;
pub use spectrum::Spectrum;
pub use speed::{Rate, SpeedError, Speeds};
pub use steady::wander;
pub use written::{DriveKind, WrittenError, WrittenPart};
