//! How much a bolt can bear: property classes of ISO 898-1 and grades of SAE J429.
//!
//! | file | holds |
//! |---|---|
//! | `class.rs` | the classes and grades, and reading one off a head or a drawing |
//! | `figures.rs` | their proof, yield and tensile stresses, by size |

mod class;
mod figures;

use std::fmt;

use thiserror::Error;

use super::mechanics::{Area, Force, Stress};
use super::thread::Thread;

pub use class::{Class, ClassError, ClassRead, PropertyClass, SaeGrade};

/// What the standard promises of a bolt's steel; MPa inside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figures {
    /// Carried without any lasting stretch.
    pub proof: Stress,
    /// From here it stays stretched.
    pub yielding: Stress,
    /// Least stress at which it may break.
    pub tensile: Stress,
}

/// A bolt of a known thread and class, of a size that its standard covers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bolt {
    thread: Thread,
    class: Class,
    figures: Figures,
}

/// Why there are no figures for a bolt.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum StrengthError {
    #[error("A bolt of {class} has {of} thread, but {thread} is none: check the marks on the head, and the thread.")]
    WrongFamily { class: Class, of: &'static str, thread: Thread },
    #[error("The standard of {class} has no figures for {thread}.")]
    SizeNotCovered { class: Class, thread: Thread },
}

impl Bolt {
    /// Errors when class and thread belong to different families, or the standard ends before that size.
    pub fn new(thread: Thread, class: Class) -> Result<Self, StrengthError> {
        if class.is_metric() != thread.is_metric() {
            let of = if class.is_metric() { "a metric" } else { "an inch" };
            return Err(StrengthError::WrongFamily { class, of, thread });
        }
        let figures = figures::of(class, thread).ok_or(StrengthError::SizeNotCovered { class, thread })?;
        Ok(Self { thread, class, figures })
    }

    pub const fn thread(self) -> Thread {
        self.thread
    }

    pub const fn class(self) -> Class {
        self.class
    }

    pub const fn figures(self) -> Figures {
        self.figures
    }

    /// The pull it must carry without lasting stretch: stress area × proof stress.
    pub fn proof_load(self) -> Force {
        self.figures.proof.over(self.nominal_area())
    }

    /// The least pull at which it may break.
    pub fn ultimate_load(self) -> Force {
        self.figures.tensile.over(self.nominal_area())
    }

    /// ISO 898-1 reckons its loads with areas rounded to three figures.
    fn nominal_area(self) -> Area {
        let exact = self.thread.stress_area();
        if self.thread.is_metric() { exact.to_three_figures() } else { exact }
    }
}

/// `M10×1.25, class 8.8`.
impl fmt::Display for Bolt {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}, {}", self.thread, self.class)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bolt(thread: &str, class: &str) -> Result<Bolt, StrengthError> {
        let thread = Thread::parse(thread).unwrap();
        Bolt::new(thread, Class::read(class, Some(thread)).unwrap().class)
    }

    #[test]
    fn a_class_must_be_of_the_family_of_its_thread() {
        let thread = Thread::parse("3/8-16 UNC").unwrap();
        let error = Bolt::new(thread, Class::Metric(PropertyClass::C8_8)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "A bolt of class 8.8 has a metric thread, but 3/8-16 UNC is none: check the marks on the head, and the \
             thread."
        );
    }

    #[test]
    fn sizes_beyond_the_standard_have_no_figures() {
        for (thread, class) in [("M42", "8.8"), ("M20", "9.8"), ("#10-32", "grade 5"), ("7/8-9", "grade 5")] {
            let covered = bolt(thread, class).is_ok();
            assert_eq!(covered, thread == "7/8-9", "{thread} {class}");
        }
    }

    #[test]
    fn a_stronger_class_bears_more_of_every_kind() {
        let mut last = 0.0;
        for class in PropertyClass::ALL.iter().filter(|class| **class != PropertyClass::C4_8) {
            let bolt = Bolt::new(Thread::parse("M10").unwrap(), Class::Metric(*class)).unwrap();
            let Figures { proof, yielding, tensile } = bolt.figures();
            assert!(proof < yielding && yielding < tensile, "{class}");
            assert!(bolt.ultimate_load().newtons() > last, "{class}");
            last = bolt.ultimate_load().newtons();
        }
    }
}
