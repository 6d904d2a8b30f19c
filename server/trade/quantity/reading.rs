//! Splitting a text into its numbers and unit words: `45 Nm`, `40–45 Nm`, `45 ± 5 Nm`. Knows no units.

use super::dimension::Dimension;
use super::error::{ParseError, quoted};
use super::figure::{self, Figure};

/// Longer texts are notes, not values.
const LONGEST: usize = 100;

/// A number and the unit words after it, which may be missing.
#[derive(Debug)]
pub(super) struct Piece<'a> {
    pub(super) figure: Figure,
    pub(super) unit: &'a str,
}

#[derive(Debug)]
pub(super) enum Reading<'a> {
    One(Piece<'a>),
    Range(Piece<'a>, Piece<'a>),
    Around(Piece<'a>, Piece<'a>),
}

#[derive(Clone, Copy)]
enum Joint {
    Range,
    Around,
}

/// Trims, turns every run of white space into one plain space and refuses what is empty or too long.
pub(super) fn tidy(text: &str, dimension: Dimension) -> Result<String, ParseError> {
    let tidied = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if tidied.is_empty() {
        return Err(ParseError::Empty(dimension));
    }
    if text.len() > LONGEST {
        let start = quoted(&tidied);
        return Err(ParseError::TooLong { start, dimension });
    }
    Ok(tidied)
}

/// `text` must have been tidied.
pub(super) fn read(text: &str, dimension: Dimension) -> Result<Reading<'_>, ParseError> {
    let (first, rest) = take_figure(text, dimension)?;
    let Some((unit, joint, after)) = split_at_joint(rest) else {
        let unit = rest.trim();
        return Ok(Reading::One(Piece { figure: first, unit }));
    };
    let (second, rest) = take_figure(after, dimension)?;
    let first = Piece { figure: first, unit: unit.trim() };
    let second = Piece { figure: second, unit: rest.trim() };
    Ok(match joint {
        Joint::Range => Reading::Range(first, second),
        Joint::Around => Reading::Around(first, second),
    })
}

fn take_figure(text: &str, dimension: Dimension) -> Result<(Figure, &str), ParseError> {
    figure::take(text)?.ok_or_else(|| ParseError::NoNumber { read: quoted(text), dimension })
}

/// The words before the first joint that has a number behind it, the joint, and the rest: the dash of `lb-ft` is no joint.
fn split_at_joint(text: &str) -> Option<(&str, Joint, &str)> {
    text.char_indices().find_map(|(at, _)| {
        let (before, here) = text.split_at(at);
        let (joint, after) = take_joint(before, here)?;
        figure::starts_number(after).then_some((before, joint, after))
    })
}

fn take_joint<'a>(before: &str, here: &'a str) -> Option<(Joint, &'a str)> {
    const AROUND: [&str; 4] = ["±", "+/-", "+/−", "+-"];
    const RANGE: [&str; 8] = ["...", "..", "…", "-", "–", "—", "‒", "−"];
    let strip = |marks: &[&str]| marks.iter().find_map(|mark| here.strip_prefix(mark));
    if let Some(after) = strip(&AROUND) {
        return Some((Joint::Around, after));
    }
    if let Some(after) = strip(&RANGE) {
        return Some((Joint::Range, after));
    }
    let after = here.strip_prefix("to ")?;
    (before.is_empty() || before.ends_with(' ')).then_some((Joint::Range, after))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shape(text: &str) -> String {
        let piece = |piece: &Piece<'_>| format!("[{}|{}]", piece.figure.text, piece.unit);
        match read(text, Dimension::Torque).unwrap() {
            Reading::One(one) => piece(&one),
            Reading::Range(low, high) => format!("{} to {}", piece(&low), piece(&high)),
            Reading::Around(middle, by) => format!("{} around {}", piece(&middle), piece(&by)),
        }
    }

    #[test]
    fn ranges_and_tolerances_are_told_from_unit_dashes() {
        for (text, expected) in [
            ("62 lb-ft", "[62|lb-ft]"),
            ("40-45 Nm", "[40|] to [45|Nm]"),
            ("40…45 Nm", "[40|] to [45|Nm]"),
            ("40...45 Nm", "[40|] to [45|Nm]"),
            ("40 – 45 Nm", "[40|] to [45|Nm]"),
            ("40 to 45 Nm", "[40|] to [45|Nm]"),
            ("40 Nm to 45 Nm", "[40|Nm] to [45|Nm]"),
            ("30-35 lb-ft", "[30|] to [35|lb-ft]"),
            ("-10 - -5 °C", "[-10|] to [-5|°C]"),
            ("1/4-1/2 turn", "[1/4|] to [1/2|turn]"),
            ("45 ± 5 Nm", "[45|] around [5|Nm]"),
            ("45 +/- 5 Nm", "[45|] around [5|Nm]"),
            ("45 Nm ±10%", "[45|Nm] around [10|%]"),
        ] {
            assert_eq!(shape(text), expected, "{text}");
        }
    }

    #[test]
    fn words_without_a_number_are_refused() {
        assert_eq!(
            read("hand tight", Dimension::Torque).unwrap_err().to_string(),
            "‘hand tight’ does not begin with a number: write the number first, then the unit, such as 45 N·m."
        );
    }

    #[test]
    fn empty_and_endless_texts_are_refused() {
        assert_eq!(tidy(" \u{a0} ", Dimension::Volume), Err(ParseError::Empty(Dimension::Volume)));
        assert!(matches!(tidy(&"9 ".repeat(99), Dimension::Volume), Err(ParseError::TooLong { .. })));
    }
}
