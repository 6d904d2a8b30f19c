//! Whether a written torque can belong to its bolt.
//!
//! It only ever flags. It never says what the torque should be: that is the maker's to say. It refuses whatever the
//! relation of torque and preload does not hold for, and says why.
//!
//! Limits, common practice, no source: at the usual friction, a torque is *too high* when it would bring the bolt to 95
//! % of yield, and *too low* when it would not reach 30 % of the proof load. A factor of 1.36 between
//! lbf·ft and N·m therefore shows on a well-tightened bolt only when it makes the torque too high; one that makes it
//! a quarter too low is within what makers write, and cannot be seen.
//!
//! | file | holds |
//! |---|---|
//! | `joint.rs` | kinds of joint, and those that are refused |
//! | `slip.rs` | the likely slips of whoever wrote or typed the torque |
//! | `verdict.rs` | the judgement |

mod joint;
mod otherwise;
mod slip;
mod verdict;

#[cfg(test)]
mod tests;

use super::fastener_strength::{Class, ClassError, ClassRead};
use super::preload::{Friction, Lubrication};
use super::quantity::{Span, TorqueUnit};
use super::spec::Fastener;
use super::thread::{self, ThreadError};

pub use joint::Joint;
pub use otherwise::lubricated_otherwise;
pub use slip::Slip;
pub use verdict::{Assessment, Verdict, judge};

/// What is asked: a torque and all that is known of its fastener.
#[derive(Clone, Debug, PartialEq)]
pub struct Asked {
    pub torque: Span<TorqueUnit>,
    pub thread: Result<thread::Thread, ThreadError>,
    pub class: Result<ClassRead, ClassError>,
    /// Empty when nothing is known.
    pub lubrication: Vec<Lubrication>,
    /// What the source says of it; it may name nothing known.
    pub lubrication_written: String,
    pub joint: Joint,
    /// Whether it is turned on by an angle after this torque.
    pub turned_further: bool,
}

impl Asked {
    /// Reads a fastener as its source wrote it. `about` is whatever else is written of it (item, place, note), from
    /// which the kind of joint is told.
    pub fn read(torque: Span<TorqueUnit>, fastener: &Fastener, about: &str, turned_further: bool) -> Self {
        let found = thread::read(&fastener.thread).map(|read| read.thread);
        let class = Class::read(&fastener.class, found.as_ref().ok().copied());
        let words = [about, &fastener.thread, &fastener.head].join(" ");
        Self {
            torque,
            thread: found,
            class,
            lubrication: Lubrication::read(&fastener.lubrication),
            lubrication_written: fastener.lubrication.trim().to_owned(),
            joint: Joint::from_words(&words),
            turned_further,
        }
    }

    pub(super) fn friction(&self) -> Friction {
        Friction::of(&self.lubrication)
    }
}
