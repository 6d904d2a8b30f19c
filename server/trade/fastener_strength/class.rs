//! The strength classes, and reading one: `8.8`, `class 10.9`, `grade 5`, `Gr. 8`, and the `8` on a metric nut.

use std::fmt;

use serde::{Deserialize, Serialize};
use thiserror::Error;

use crate::trade::closed_set::closed_set;
use crate::trade::thread::Thread;

closed_set! {
    /// Property classes of metric bolts and screws. Source: ISO 898-1.
    pub enum PropertyClass {
        C4_6 = "4.6", "class 4.6";
        C4_8 = "4.8", "class 4.8";
        C5_6 = "5.6", "class 5.6";
        C5_8 = "5.8", "class 5.8";
        C6_8 = "6.8", "class 6.8";
        C8_8 = "8.8", "class 8.8";
        C9_8 = "9.8", "class 9.8";
        C10_9 = "10.9", "class 10.9";
        C12_9 = "12.9", "class 12.9";
    }
}

closed_set! {
    /// Grades of inch bolts and screws. Source: SAE J429.
    pub enum SaeGrade {
        Two = "grade-2", "SAE grade 2";
        Five = "grade-5", "SAE grade 5";
        Eight = "grade-8", "SAE grade 8";
    }
}

/// The strength of a bolt by the standard of its thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Class {
    Metric(PropertyClass),
    Inch(SaeGrade),
}

/// A class as it was read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ClassRead {
    pub class: Class,
    /// A sentence where more was read into it than was written.
    pub note: Option<String>,
}

/// Why a text was not taken as a class.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ClassError {
    #[error("No class is written: read it off the head, such as 8.8 on a metric bolt, or the rays of an inch one.")]
    Empty,
    #[error(
        "‘{0}’ is no class known here: write such as 8.8 or 10.9 for a metric bolt, grade 5 or grade 8 for an inch \
         bolt."
    )]
    Unknown(String),
    #[error(
        "‘{0}’ can be a metric class or an inch grade: write the thread too, or the full class such as 8.8 or grade 8."
    )]
    Unclear(String),
    #[error("A bolt of stainless steel such as ‘{0}’ has its own standard, which is not known here.")]
    Stainless(String),
}

impl Class {
    /// Reads a class. A bare `8` or `10` beside a metric thread is the mark of a nut and is read as the strongest bolt
    /// class that nut is made for, with a note; beside an inch thread it is a grade.
    pub fn read(text: &str, thread: Option<Thread>) -> Result<ClassRead, ClassError> {
        let shown = || text.trim().chars().take(30).collect::<String>();
        let tidy = text.trim().to_lowercase().replace(',', ".");
        if tidy.is_empty() {
            return Err(ClassError::Empty);
        }
        if ["a2", "a4"].iter().any(|steel| tidy.starts_with(steel)) {
            return Err(ClassError::Stainless(shown()));
        }
        let is_grade = ["grade", "gr.", "gr ", "sae"].iter().any(|word| tidy.contains(word));
        let figure: String = tidy
            .chars()
            .skip_while(|letter| !letter.is_ascii_digit())
            .take_while(|letter| letter.is_ascii_digit() || *letter == '.')
            .collect();
        let figure = figure.trim_end_matches('.');
        let bare = |class| Ok(ClassRead { class, note: None });
        if let Some(class) = PropertyClass::from_name(figure).filter(|_| figure.contains('.')) {
            return bare(Self::Metric(class));
        }
        let grade = SaeGrade::from_name(&format!("grade-{figure}"));
        match (grade, nut(figure), thread.map(Thread::is_metric)) {
            (Some(grade), _, Some(false)) => bare(Self::Inch(grade)),
            (Some(grade), _, _) if is_grade => bare(Self::Inch(grade)),
            (_, Some(class), Some(true)) => Ok(nut_class(class, figure)),
            (_, Some(_), None) => Err(ClassError::Unclear(shown())),
            (_, _, Some(_)) | (_, None, None) => Err(ClassError::Unknown(shown())),
        }
    }

    pub const fn is_metric(self) -> bool {
        match self {
            Self::Metric(_) => true,
            Self::Inch(_) => false,
        }
    }

    /// Every class that a bolt with this thread may have, the weakest first.
    pub fn all_for(thread: Thread) -> Vec<Self> {
        if thread.is_metric() {
            PropertyClass::ALL.iter().copied().map(Self::Metric).collect()
        } else {
            SaeGrade::ALL.iter().copied().map(Self::Inch).collect()
        }
    }
}

impl fmt::Display for Class {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Metric(class) => class.fmt(out),
            Self::Inch(grade) => grade.fmt(out),
        }
    }
}

/// The strongest bolt class a metric nut is made for. Source: ISO 898-2, from memory.
fn nut(mark: &str) -> Option<PropertyClass> {
    match mark {
        "5" => Some(PropertyClass::C5_8),
        "6" => Some(PropertyClass::C6_8),
        "8" => Some(PropertyClass::C8_8),
        "9" => Some(PropertyClass::C9_8),
        "10" => Some(PropertyClass::C10_9),
        "12" => Some(PropertyClass::C12_9),
        _ => None,
    }
}

fn nut_class(class: PropertyClass, mark: &str) -> ClassRead {
    let note =
        format!("{mark} alone is the mark of a nut: taken as made for a bolt of {class}; look at the bolt itself.");
    ClassRead { class: Class::Metric(class), note: Some(note) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn class(text: &str, thread: Option<&str>) -> Result<ClassRead, ClassError> {
        Class::read(text, thread.map(|thread| Thread::parse(thread).unwrap()))
    }

    #[test]
    fn classes_and_grades_are_read_as_people_write_them() {
        for (text, thread, expected) in [
            ("8.8", Some("M10"), "class 8.8"),
            ("class 10.9", None, "class 10.9"),
            ("12,9", None, "class 12.9"),
            ("grade 5", None, "SAE grade 5"),
            ("Gr. 8", None, "SAE grade 8"),
            ("SAE J429 grade 2", None, "class"),
            ("5", Some("3/8-16"), "SAE grade 5"),
        ] {
            let read = class(text, thread).map(|read| read.class.to_string());
            if expected == "class" {
                assert!(read.is_err(), "a number of the standard before the grade is not guessed at");
            } else {
                assert_eq!(read, Ok(expected.to_owned()), "{text}");
            }
        }
    }

    #[test]
    fn the_mark_of_a_nut_is_read_with_a_note() {
        let read = class("10", Some("M8x1")).unwrap();
        assert_eq!(read.class, Class::Metric(PropertyClass::C10_9));
        assert!(read.note.unwrap().contains("mark of a nut"));
    }

    #[test]
    fn what_is_unclear_or_unknown_is_refused() {
        assert!(matches!(class("8", None), Err(ClassError::Unclear(_))));
        assert!(matches!(class("7.7", Some("M8")), Err(ClassError::Unknown(_))));
        assert!(matches!(class("4", Some("3/8-16")), Err(ClassError::Unknown(_))));
        assert!(matches!(class("strong", Some("M8")), Err(ClassError::Unknown(_))));
        assert!(matches!(class("A2-70", Some("M8")), Err(ClassError::Stainless(_))));
        assert_eq!(class("  ", Some("M8")), Err(ClassError::Empty));
    }

    proptest::proptest! {
        #[test]
        fn whatever_is_typed_gets_a_class_or_a_sentence(text in "\\PC{0,20}", shaped in "[a-zA-Z. ]{0,6}[0-9.,]{0,5}[a-z ]{0,4}") {
            for text in [text, shaped] {
                if let Err(error) = class(&text, Some("M10")) {
                    proptest::prop_assert!(error.to_string().ends_with('.'));
                }
            }
        }
    }
}
