//! How many, or how much.

use crate::trade::quantity::{Dimension, Quantity, Unit};
use rust_decimal::Decimal;

/// The most pieces that one want can ask for.
const MOST: i64 = 100_000;

/// How many pieces, how much by measure, or words that nobody can add.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Many {
    Pieces(Decimal),
    Measured { number: Decimal, unit: Unit },
    Words(String),
}

impl Many {
    /// Reads `4`, `0,5 l`, `2 m`, `1 pair`. Nothing written means one piece; what is neither a number nor a measure is kept in
    /// its words.
    pub fn parse(text: &str) -> Many {
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        if text.is_empty() {
            return Many::Pieces(Decimal::ONE);
        }
        let bare = text.strip_suffix(['×', 'x']).unwrap_or(&text).trim_end().replace(',', ".");
        if let Ok(pieces) = Decimal::from_str_exact(&bare)
            && pieces > Decimal::ZERO
            && pieces <= Decimal::from(MOST)
        {
            return Many::Pieces(pieces);
        }
        let measured = [Dimension::Volume, Dimension::Length, Dimension::Mass]
            .into_iter()
            .find_map(|dimension| Quantity::parse(dimension, &text).ok().filter(Quantity::is_single));
        let number = measured.as_ref().and_then(|quantity| quantity.to(quantity.unit())).map(|(number, _)| number);
        match (measured, number) {
            (Some(quantity), Some(number)) if number > Decimal::ZERO => {
                Many::Measured { number, unit: quantity.unit() }
            }
            _ => Many::Words(text),
        }
    }

    /// Both together, where that is exact: pieces with pieces, and measures of the same unit.
    pub fn and(&self, other: &Many) -> Option<Many> {
        match (self, other) {
            (Many::Pieces(one), Many::Pieces(two)) => one.checked_add(*two).map(Many::Pieces),
            (Many::Measured { number, unit }, Many::Measured { number: more, unit: same }) if unit == same => {
                number.checked_add(*more).map(|number| Many::Measured { number, unit: *unit })
            }
            (Many::Pieces(_) | Many::Measured { .. } | Many::Words(_), _) => None,
        }
    }

    /// The greater, where they can be compared: one torque wrench serves two jobs.
    pub fn or(&self, other: &Many) -> Option<Many> {
        match (self, other) {
            (Many::Pieces(one), Many::Pieces(two)) => Some(Many::Pieces(*one.max(two))),
            (Many::Measured { number, unit }, Many::Measured { number: more, unit: same }) if unit == same => {
                Some(Many::Measured { number: *number.max(more), unit: *unit })
            }
            (Many::Words(one), Many::Words(two)) if one == two => Some(self.clone()),
            (Many::Pieces(_) | Many::Measured { .. } | Many::Words(_), _) => None,
        }
    }
}

impl std::fmt::Display for Many {
    /// `4 ×`, `0.5 l`, `1 pair`
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Many::Pieces(pieces) => write!(out, "{} ×", pieces.normalize()),
            Many::Measured { number, unit } => write!(out, "{} {}", number.normalize(), unit.name()),
            Many::Words(words) => out.write_str(words),
        }
    }
}
