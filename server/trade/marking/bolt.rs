//! Strength markings of bolt heads and nuts.

use super::{Reading, Subject};
use crate::trade::citation::Citation;
use crate::trade::closed_set::closed_set;
use crate::trade::tokens::Tokens;

closed_set! {
    /// A property class of metric bolts and screws.
    pub enum BoltClass {
        C4_6 = "4.6", "4.6";
        C4_8 = "4.8", "4.8";
        C5_6 = "5.6", "5.6";
        C5_8 = "5.8", "5.8";
        C6_8 = "6.8", "6.8";
        C8_8 = "8.8", "8.8";
        C9_8 = "9.8", "9.8";
        C10_9 = "10.9", "10.9";
        C12_9 = "12.9", "12.9";
    }
}

closed_set! {
    /// A grade of inch bolts, told by the radial lines on the head.
    pub enum LineGrade {
        Grade2 = "2", "grade 2";
        Grade5 = "5", "grade 5";
        Grade8 = "8", "grade 8";
    }
}

const METRIC: Citation = Citation::memory("ISO 898-1");
const INCH: Citation = Citation::quoted("SAE J429; the number of lines from memory");

impl BoltClass {
    /// Nominal tensile strength in N/mm²: a hundred times the first number.
    pub fn tensile(self) -> u32 {
        match self {
            Self::C4_6 | Self::C4_8 => 400,
            Self::C5_6 | Self::C5_8 => 500,
            Self::C6_8 => 600,
            Self::C8_8 => 800,
            Self::C9_8 => 900,
            Self::C10_9 => 1000,
            Self::C12_9 => 1200,
        }
    }

    /// Nominal stress in N/mm² at which it stays stretched: the second number in tenths of the first.
    pub fn yields_at(self) -> u32 {
        match self {
            Self::C4_6 => 240,
            Self::C4_8 => 320,
            Self::C5_6 => 300,
            Self::C5_8 => 400,
            Self::C6_8 => 480,
            Self::C8_8 => 640,
            Self::C9_8 => 720,
            Self::C10_9 => 900,
            Self::C12_9 => 1080,
        }
    }
}

impl LineGrade {
    pub fn of_lines(lines: u32) -> Option<Self> {
        match lines {
            0 => Some(Self::Grade2),
            3 => Some(Self::Grade5),
            6 => Some(Self::Grade8),
            _ => None,
        }
    }

    /// Proof and tensile strength in ksi, of the sizes up to 3/4 in (grade 2) and 1 in (grade 5).
    pub fn strengths(self) -> (u32, u32) {
        match self {
            Self::Grade2 => (55, 74),
            Self::Grade5 => (85, 120),
            Self::Grade8 => (120, 150),
        }
    }
}

const REPLACE: &str = "Replace it by the same class: a stronger bolt may be more brittle or shear less as it was meant to, a weaker \
                       one stretches.";

pub(super) fn reading(text: &str) -> Option<Reading> {
    let tokens = Tokens::read(text);
    lines(&tokens, text).or_else(|| metric(&tokens, text))
}

fn metric(tokens: &Tokens, text: &str) -> Option<Reading> {
    let says_bolt = tokens.has_any(&["BOLT", "SCREW", "HEAD", "CLASS", "STUD"]);
    let class = tokens.iter().find_map(BoltClass::from_name)?;
    if tokens.len() > 1 && !says_bolt {
        return None;
    }
    let means = format!(
        "Metric bolt of property class {class}: breaks at about {} N/mm² and stays stretched from about {} N/mm².",
        class.tensile(),
        class.yields_at()
    );
    let notes = vec![
        REPLACE.to_owned(),
        "The class gives no torque: that hangs on thread, friction and what it holds. Use the maker's figure."
            .to_owned(),
    ];
    Some(Reading { subject: Subject::Bolt, read: text.to_owned(), means, notes, source: METRIC })
}

fn lines(tokens: &Tokens, text: &str) -> Option<Reading> {
    if !tokens.has_any(&["LINE", "LINES", "DASHES", "MARKS"]) {
        return None;
    }
    let count = tokens.iter().find_map(number_word)?;
    let grade = LineGrade::of_lines(count)?;
    let (proof, tensile) = grade.strengths();
    let means =
        format!("Inch bolt of SAE {grade}: holds {proof} ksi without lasting stretch, breaks at about {tensile} ksi.");
    let mut notes = vec![REPLACE.to_owned()];
    if grade == LineGrade::Grade2 {
        notes.push("A head without lines may also be ungraded, or a metric bolt: measure its thread.".to_owned());
    }
    Some(Reading { subject: Subject::Bolt, read: text.to_owned(), means, notes, source: INCH })
}

fn number_word(token: &str) -> Option<u32> {
    match token {
        "NO" | "NONE" | "ZERO" => Some(0),
        "THREE" => Some(3),
        "SIX" => Some(6),
        digits => digits.parse().ok(),
    }
}
