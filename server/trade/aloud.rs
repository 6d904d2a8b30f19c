//! Figures as one person says them to another across a garage: whole words for units, so that a newton metre is never heard
//! as a pound-foot.
//!
//! The words are those of the units' own names: the SI brochure (BIPM, 9th edition, 2019) and NIST SP 811 (2008). How a range and
//! a turning angle are said is common practice, no source.

/// A unit as it is written, and as it is said of one and of several.
type Spoken = (&'static str, &'static str, &'static str);

/// Every unit of the program; the tests hold it against the list of units.
const UNITS: &[Spoken] = &[
    ("N·m", "newton metre", "newton metres"),
    ("N·cm", "newton centimetre", "newton centimetres"),
    ("daN·m", "decanewton metre", "decanewton metres"),
    ("lbf·ft", "pound-foot", "pound-feet"),
    ("lbf·in", "pound-inch", "pound-inches"),
    ("ozf·in", "ounce-inch", "ounce-inches"),
    ("kgf·m", "kilogram-force metre", "kilogram-force metres"),
    ("kgf·cm", "kilogram-force centimetre", "kilogram-force centimetres"),
    ("bar", "bar", "bar"),
    ("mbar", "millibar", "millibar"),
    ("kPa", "kilopascal", "kilopascals"),
    ("MPa", "megapascal", "megapascals"),
    ("psi", "pound to the square inch", "pounds to the square inch"),
    ("kgf/cm²", "kilogram-force to the square centimetre", "kilograms-force to the square centimetre"),
    ("atm", "atmosphere", "atmospheres"),
    ("inHg", "inch of mercury", "inches of mercury"),
    ("mmHg", "millimetre of mercury", "millimetres of mercury"),
    ("mm", "millimetre", "millimetres"),
    ("cm", "centimetre", "centimetres"),
    ("m", "metre", "metres"),
    ("µm", "micrometre", "micrometres"),
    ("in", "inch", "inches"),
    ("ft", "foot", "feet"),
    ("thou", "thousandth of an inch", "thousandths of an inch"),
    ("kg", "kilogram", "kilograms"),
    ("g", "gram", "grams"),
    ("lb", "pound", "pounds"),
    ("oz", "ounce", "ounces"),
    ("l", "litre", "litres"),
    ("dl", "decilitre", "decilitres"),
    ("cl", "centilitre", "centilitres"),
    ("ml", "millilitre", "millilitres"),
    ("cm³", "cubic centimetre", "cubic centimetres"),
    ("US gal", "US gallon", "US gallons"),
    ("US qt", "US quart", "US quarts"),
    ("US pt", "US pint", "US pints"),
    ("US fl oz", "US fluid ounce", "US fluid ounces"),
    ("imp gal", "imperial gallon", "imperial gallons"),
    ("imp qt", "imperial quart", "imperial quarts"),
    ("imp pt", "imperial pint", "imperial pints"),
    ("imp fl oz", "imperial fluid ounce", "imperial fluid ounces"),
    ("°C", "degree Celsius", "degrees Celsius"),
    ("°F", "degree Fahrenheit", "degrees Fahrenheit"),
    ("K", "kelvin", "kelvins"),
    ("°", "degree", "degrees"),
    ("′", "minute of arc", "minutes of arc"),
    ("turn", "turn", "turns"),
    ("V", "volt", "volts"),
    ("mV", "millivolt", "millivolts"),
    ("kV", "kilovolt", "kilovolts"),
    ("%", "per cent", "per cent"),
];

/// A shown value as it is said: `40 newton metres, that is 29.5 pound-feet`. `unit` and `second` may be empty: then the
/// figure is words already, or has no second unit.
pub fn amount(figure: &str, unit: &str, second: &str) -> String {
    if unit.is_empty() {
        return words(figure);
    }
    let first = words(&format!("{figure} {unit}"));
    if second.is_empty() { first } else { format!("{first}, that is {}", words(second)) }
}

/// A line with its figures as they are said; everything else stays: `40 N·m, then 90°` becomes
/// `40 newton metres, then 90 degrees`.
pub fn words(line: &str) -> String {
    let mut said = String::new();
    let mut rest = line;
    while let Some(at) = rest.find(|letter: char| letter.is_ascii_digit()) {
        let (before, from) = rest.split_at(at);
        let (number, after) = from.split_at(length_of_number(from));
        said.push_str(before);
        said.push_str(&number.replace(['–', '…'], " to "));
        rest = match unit_at(after) {
            Some((taken, (_, one, many))) => {
                said.push(' ');
                said.push_str(if number == "1" { one } else { many });
                &after[taken..]
            }
            None => after,
        };
    }
    said.push_str(rest);
    said
}

/// The bytes of the number, or of the range, at the beginning of a text.
fn length_of_number(text: &str) -> usize {
    let belongs = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',' | '–' | '…');
    let run = text.find(|letter| !belongs(letter)).unwrap_or(text.len());
    // A point or comma that ends a sentence is no part of it.
    text[..run].trim_end_matches(|letter: char| !letter.is_ascii_digit()).len()
}

/// The unit at the beginning of what follows a number, the longest that fits, with the bytes up to its end.
fn unit_at(after: &str) -> Option<(usize, &'static Spoken)> {
    let unit = after.trim_start_matches([' ', '\u{a0}', '\u{202f}']);
    let blanks = after.len() - unit.len();
    let fits = |spoken: &&Spoken| {
        unit.strip_prefix(spoken.0).is_some_and(|rest| {
            !rest.starts_with(|letter: char| letter.is_alphanumeric() || letter == '·' || letter == '/')
        })
    };
    let found = UNITS.iter().filter(fits).max_by_key(|spoken| spoken.0.len())?;
    Some((blanks + found.0.len(), found))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::quantity::{Dimension, Unit};

    #[test]
    fn every_unit_of_the_program_has_words() {
        for unit in Dimension::ALL.into_iter().flat_map(Unit::all) {
            assert!(UNITS.iter().any(|(name, ..)| *name == unit.name()), "{} has no words", unit.name());
        }
    }

    // Unit names: BIPM SI brochure (2019), NIST SP 811 (2008); ranges and angles: common practice, no source.
    #[test]
    fn figures_are_said_in_whole_words() {
        for (line, said) in [
            ("40 N·m", "40 newton metres"),
            ("1 bar", "1 bar"),
            ("1 l", "1 litre"),
            ("29.5 lbf·ft", "29.5 pound-feet"),
            ("62 lbf·in", "62 pound-inches"),
            ("0.35–0.40 mm", "0.35 to 0.40 millimetres"),
            ("90°", "90 degrees"),
            ("82 °C", "82 degrees Celsius"),
            ("30 N·m, 22 lbf·ft, then 90°.", "30 newton metres, 22 pound-feet, then 90 degrees."),
            ("4.5 US qt", "4.5 US quarts"),
            ("12 imp fl oz", "12 imperial fluid ounces"),
        ] {
            assert_eq!(words(line), said, "{line}");
        }
    }

    #[test]
    fn what_is_no_figure_with_a_unit_stays_as_it_is() {
        for line in ["M12x1.5", "API GL-4, SAE 80W", "DOT 4", "until it clicks", "2 men", "1 inline four", ""] {
            assert_eq!(words(line), line);
        }
    }

    #[test]
    fn an_amount_names_both_of_its_units() {
        assert_eq!(amount("84", "N·m", "62 lbf·ft"), "84 newton metres, that is 62 pound-feet");
        assert_eq!(amount("4.6", "l", ""), "4.6 litres");
        assert_eq!(amount("API GL-4", "", ""), "API GL-4");
    }
}
