//! Fuses, wires, terminals and bulbs. All from memory: look at the car's own diagram before you rely on one.

use rust_decimal::Decimal;

use super::{Reading, Subject};
use crate::trade::citation::Citation;
use crate::trade::tokens::Tokens;

const BLADE: Citation = Citation::memory("ISO 8820-3");
const TORPEDO: Citation = Citation::memory("DIN 72581");
const WIRE: Citation = Citation::memory("DIN 72551; colour letters of DIN IEC 757 and older German use");
const TERMINALS: Citation = Citation::memory("DIN 72552");
const BULBS: Citation = Citation::memory("UN Regulation 37");
const OHM: Citation = Citation::worked_out("current is power over voltage");

/// Rating in tenths of an ampere, and colour.
const BLADE_FUSES: [(u32, &str); 13] = [
    (10, "black"),
    (20, "grey"),
    (30, "violet"),
    (40, "pink"),
    (50, "tan"),
    (75, "brown"),
    (100, "red"),
    (150, "blue"),
    (200, "yellow"),
    (250, "white"),
    (300, "green"),
    (350, "blue-green"),
    (400, "orange"),
];

const TORPEDO_FUSES: [(u32, &str); 4] = [(50, "yellow"), (80, "white"), (160, "red"), (250, "blue")];

const WIRE_COLOURS: [(&str, &str); 13] = [
    ("SW", "black"),
    ("WS", "white"),
    ("BR", "brown"),
    ("RT", "red"),
    ("RO", "red"),
    ("GN", "green"),
    ("BL", "blue"),
    ("GE", "yellow"),
    ("GR", "grey"),
    ("VI", "violet"),
    ("LI", "violet"),
    ("RS", "pink"),
    ("OR", "orange"),
];

const TERMINAL_MEANINGS: [(&str, &str); 37] = [
    ("1", "ignition coil, low voltage, to the contact breaker"),
    ("4", "ignition coil, high voltage out"),
    ("15", "live with the ignition on"),
    ("15A", "behind a ballast resistor or fuse, live with the ignition on"),
    ("30", "straight from the battery's plus, always live"),
    ("31", "back to the battery's minus, or earth"),
    ("31B", "to earth through a switch"),
    ("49", "flasher unit, in"),
    ("49A", "flasher unit, out"),
    ("50", "starter solenoid, live while cranking"),
    ("53", "wiper motor, plus in"),
    ("53A", "wiper motor, plus for parking"),
    ("54", "brake lamps"),
    ("55", "fog lamps"),
    ("56", "headlamps, to the dip switch"),
    ("56A", "main beam"),
    ("56B", "dipped beam"),
    ("57A", "parking lamps"),
    ("58", "side, tail, number plate and dash lamps"),
    ("58L", "side and tail lamps, left"),
    ("58R", "side and tail lamps, right"),
    ("61", "charge warning lamp"),
    ("71", "horn"),
    ("75", "radio and accessories"),
    ("85", "relay coil, out, mostly to earth"),
    ("86", "relay coil, in"),
    ("87", "relay contact, out, joined when the relay pulls"),
    ("87A", "relay contact, out, joined while the relay rests"),
    ("B+", "battery plus, at the dynamo or alternator"),
    ("B-", "battery minus, at the dynamo or alternator"),
    ("D+", "dynamo or alternator plus, to the warning lamp"),
    ("D-", "dynamo minus"),
    ("DF", "dynamo or alternator field"),
    ("W", "alternator, rev counter pulse"),
    ("L", "flashers, left"),
    ("R", "flashers, right"),
    ("C", "flasher warning lamp"),
];

/// Category, watts, and what it is.
const BULB_CATEGORIES: [(&str, &str); 15] = [
    ("H1", "halogen headlamp bulb, one filament, 55 W"),
    ("H3", "halogen bulb with a lead, one filament, 55 W"),
    ("H4", "halogen headlamp bulb, main and dipped, 60/55 W"),
    ("H7", "halogen headlamp bulb, one filament, 55 W"),
    ("R2", "headlamp bulb without halogen, main and dipped, 45/40 W"),
    ("P21W", "one filament, bayonet, 21 W: flashers, brake and reversing lamps"),
    ("PY21W", "as P21W but amber: flashers behind clear glass"),
    ("P21/5W", "two filaments, bayonet with uneven pins, 21/5 W: brake and tail lamp in one"),
    ("P21/4W", "two filaments, bayonet with turned pins, 21/4 W: brake and tail lamp in one"),
    ("R5W", "bayonet, 5 W: tail and side lamps"),
    ("R10W", "bayonet, 10 W: side and number plate lamps"),
    ("T4W", "small bayonet, 4 W: side lamps"),
    ("W3W", "glass wedge, 3 W"),
    ("W5W", "glass wedge, 5 W: side and number plate lamps"),
    ("C5W", "festoon, 5 W: number plate and roof lamps"),
];

pub(super) fn readings(text: &str) -> Vec<Reading> {
    let tokens = Tokens::read(text);
    let mut found = fuses(&tokens, text);
    found.extend(bulb(text));
    found.extend(power(&tokens, text));
    found.extend(wire(&tokens, text));
    if found.is_empty() {
        found.extend(terminal(text));
    }
    found
}

fn say(subject: Subject, text: &str, means: String, note: &str, source: Citation) -> Reading {
    Reading { subject, read: text.to_owned(), means, notes: vec![note.to_owned()], source }
}

/// By rating, or by colour where the text says fuse.
fn fuses(tokens: &Tokens, text: &str) -> Vec<Reading> {
    let named = tokens.has_any(&["FUSE", "FUSES", "TORPEDO", "BLADE"]);
    let mut amperes = (0..tokens.len())
        .filter(|at| matches!(tokens.at(at + 1), "A" | "AMP" | "AMPS"))
        .filter_map(|at| tenths(tokens.at(at)));
    let rating = amperes.next().or_else(|| named.then(|| tokens.iter().find_map(tenths)).flatten());
    let is_bare = tokens.len() == 2;
    let worth_reading = named || is_bare && rating.is_some();
    if !worth_reading {
        return Vec::new();
    }
    let fits = |fuse: (u32, &str)| match rating {
        Some(rating) => fuse.0 == rating,
        None => text
            .to_lowercase()
            .split(|letter: char| !letter.is_alphabetic() && letter != '-')
            .any(|word| word == fuse.1),
    };
    let note = "Never a larger fuse than the wire was given: the wire then burns first.";
    let reading = |make: &str, (rating, colour): (u32, &str), source| {
        let means = format!("{make} fuse of {} A, {colour}.", Decimal::new(rating.into(), 1).normalize());
        say(Subject::Fuse, text, means, note, source)
    };
    let blades = BLADE_FUSES.into_iter().filter(|fuse| fits(*fuse)).map(|fuse| reading("Blade", fuse, BLADE));
    let torpedoes = TORPEDO_FUSES.into_iter().filter(|fuse| fits(*fuse));
    let torpedoes = torpedoes.map(|fuse| reading("Ceramic torpedo", fuse, TORPEDO));
    let (skip_blades, skip_torpedoes) = (tokens.has_any(&["TORPEDO", "CERAMIC"]), tokens.has("BLADE"));
    blades.filter(|_| !skip_blades).chain(torpedoes.filter(|_| !skip_torpedoes)).collect()
}

/// A number in tenths.
fn tenths(token: &str) -> Option<u32> {
    let number: Decimal = token.parse().ok()?;
    let tenths = number.checked_mul(Decimal::TEN)?;
    tenths.fract().is_zero().then(|| u32::try_from(tenths).ok()).flatten()
}

/// `1.5 rt/sw`: cross-section in mm², main colour, then the stripe.
fn wire(tokens: &Tokens, text: &str) -> Option<Reading> {
    let colour = |token: &str| WIRE_COLOURS.iter().find(|(letters, _)| *letters == token).map(|(_, name)| *name);
    let words: Vec<_> = tokens.iter().filter(|token| !matches!(*token, "MM" | "MM²" | "WIRE" | "2")).collect();
    let (size, letters) = match words.split_first() {
        Some((first, rest)) if first.parse::<Decimal>().is_ok() => (Some(*first), rest),
        Some(_) | None => (None, &words[..]),
    };
    let colours: Option<Vec<_>> = letters.iter().map(|token| colour(token)).collect();
    let names = colours.filter(|names| (1..=3).contains(&names.len()))?;
    let section = size.map_or(String::new(), |size| format!(" of {size} mm²"));
    let stripes = match names.split_first() {
        Some((main, [])) => (*main).to_owned(),
        Some((main, stripes)) => format!("{main} with {} stripe", stripes.join(" and ")),
        None => return None,
    };
    let note = "Colours were changed on many old cars: trace the wire or measure before you trust it.";
    Some(say(Subject::Wire, text, format!("Wire{section}, {stripes}."), note, WIRE))
}

fn terminal(text: &str) -> Option<Reading> {
    let upper = text.to_uppercase();
    let mark = upper.strip_prefix("TERMINAL").unwrap_or(&upper).trim();
    let (_, means) = TERMINAL_MEANINGS.iter().find(|(known, _)| *known == mark)?;
    let note =
        "If it stands beside a terminal. Measure before you trust it, and take the battery off before you move a wire.";
    Some(say(Subject::Terminal, text, format!("Terminal {mark}: {means}."), note, TERMINALS))
}

fn bulb(text: &str) -> Option<Reading> {
    let upper = text.to_uppercase();
    let word = upper.split_whitespace().find_map(|word| BULB_CATEGORIES.iter().find(|(category, _)| *category == word));
    let (category, means) = word?;
    let note = "Never a stronger bulb than the lamp was made for: reflector and wiring overheat.";
    Some(say(Subject::Bulb, text, format!("Bulb {category}: {means}."), note, BULBS))
}

/// `12V 21W` or `12V 60/55W`: the current that each filament draws.
fn power(tokens: &Tokens, text: &str) -> Option<Reading> {
    let number = |at: usize| tokens.at(at).parse::<Decimal>().ok();
    let ends_at = |unit: &str| (1..tokens.len()).find(|at| tokens.at(*at) == unit && number(at - 1).is_some());
    let volts = number(ends_at("V")? - 1)?;
    let unit = ends_at("W")?;
    let mut watts: Vec<_> = (0..unit).rev().map_while(number).collect();
    watts.reverse();
    let each: Option<Vec<_>> =
        watts.iter().map(|watts| Some((watts, watts.checked_div(volts)?.round_dp(2).normalize()))).collect();
    let each: Vec<_> = each?.into_iter().map(|(watts, amperes)| format!("{watts} W draw about {amperes} A")).collect();
    let note = "A running engine gives more than the printed voltage, so that the true current is some tenth higher.";
    Some(say(Subject::Bulb, text, format!("At {volts} V, {}.", each.join(", ")), note, OHM))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn means(text: &str) -> Vec<String> {
        readings(text).into_iter().map(|reading| reading.means).collect()
    }

    #[test]
    fn fuses_of_both_makes_are_told_apart() {
        assert_eq!(means("red fuse"), ["Blade fuse of 10 A, red.", "Ceramic torpedo fuse of 16 A, red."]);
        assert_eq!(means("16A"), ["Ceramic torpedo fuse of 16 A, red."]);
        assert_eq!(means("torpedo fuse blue"), ["Ceramic torpedo fuse of 25 A, blue."]);
        assert_eq!(means("7,5 A blade fuse"), ["Blade fuse of 7.5 A, brown."]);
        assert_eq!(means("fuse 13 A"), Vec::<String>::new());
    }

    #[test]
    fn wires_terminals_and_bulbs_are_read() {
        assert_eq!(means("1,5 rt/sw"), ["Wire of 1.5 mm², red with black stripe."]);
        assert_eq!(means("BR"), ["Wire, brown."]);
        assert!(means("31")[0].contains("minus"));
        assert!(means("terminal 50")[0].contains("cranking"));
        assert!(means("d+")[0].contains("warning lamp"));
        assert!(means("12V P21/5W")[0].contains("uneven pins"));
        assert_eq!(means("12 V 21 W"), ["At 12 V, 21 W draw about 1.75 A."]);
        assert_eq!(means("12V 60/55W"), ["At 12 V, 60 W draw about 5 A, 55 W draw about 4.58 A."]);
        assert!(means("0V 21W").is_empty());
    }

    #[test]
    fn no_rating_colour_or_terminal_stands_twice() {
        for table in [&BLADE_FUSES[..], &TORPEDO_FUSES[..]] {
            let (ratings, colours): (std::collections::HashSet<_>, std::collections::HashSet<_>) =
                table.iter().copied().unzip();
            assert_eq!((ratings.len(), colours.len()), (table.len(), table.len()));
        }
        let marks: std::collections::HashSet<_> = TERMINAL_MEANINGS.iter().map(|(mark, _)| mark).collect();
        assert_eq!(marks.len(), TERMINAL_MEANINGS.len());
    }
}
