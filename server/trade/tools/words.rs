//! A line of words about tools, taken apart. It only sorts the words; whether they make a tool is judged elsewhere.

use super::kind::{Drive, ToolKind};
use super::size::{Size, SizeError};
use crate::trade::quantity::{Length, ParseError};

/// The tool that a line names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Named {
    One(ToolKind),
    /// A spanner of whatever shape.
    AnyKey,
    /// A bit: six lobes or a hexagon, which its size tells.
    Bit,
}

/// What was found in a line.
#[derive(Clone, Debug, Default)]
pub(super) struct Words {
    pub named: Option<Named>,
    /// Numbers that may be sizes, each with its unit where one stands there.
    numbers: Vec<(String, Option<&'static str>)>,
    /// The last of the numbers is the end of a run.
    pub is_run: bool,
    left_out: Vec<(String, Option<&'static str>)>,
    pub drive: Option<Drive>,
    pub long: bool,
    pub short: bool,
    pub at_most: Option<Length>,
    pub at_least: Option<Length>,
    pub length: Option<Length>,
    pub outer: Option<Length>,
    /// `and` or `or`: more than one tool, or one of several.
    pub joined: bool,
    /// The first word that means nothing here.
    pub unknown: Option<String>,
    /// A length that cannot be read.
    pub unreadable: Option<ParseError>,
}

impl Words {
    pub fn of(text: &str) -> Words {
        let split = split(text);
        let tokens: Vec<&str> = split.iter().map(String::as_str).collect();
        let mut words = Words::default();
        let mut at = 0;
        while at < tokens.len() {
            at += words.take(&tokens[at..]).max(1);
        }
        words
    }

    /// Each size that is written. Errors with the first that cannot be read.
    pub fn sizes(&self) -> Result<Vec<Size>, SizeError> {
        self.read(&self.numbers)
    }

    /// Each size after `without`.
    pub fn left_out(&self) -> Result<Vec<Size>, SizeError> {
        self.read(&self.left_out)
    }

    /// A number without a unit has that of the next one that has a unit, and the last one that of those before it.
    fn read(&self, numbers: &[(String, Option<&'static str>)]) -> Result<Vec<Size>, SizeError> {
        let known = numbers.iter().chain(&self.numbers).rev().find_map(|(_, unit)| *unit);
        let mut later = known;
        let mut read = Vec::new();
        for (number, unit) in numbers.iter().rev() {
            later = unit.or(later);
            let lobes = number.starts_with(['t', 'e']);
            let unit = later.filter(|_| !lobes).unwrap_or_default();
            read.push(Size::parse(&format!("{number} {unit}"))?);
        }
        read.reverse();
        Ok(read)
    }

    /// The numbers as the two squares of an adapter.
    pub fn squares(&self) -> Option<(Drive, Drive)> {
        match self.numbers.as_slice() {
            [(from, _), (onto, _)] => Some((Drive::read(from)?, Drive::read(onto)?)),
            _ => None,
        }
    }

    /// The one number as a length, for what has no size.
    pub fn number_as_length(&self) -> Option<Length> {
        match self.numbers.as_slice() {
            [(number, unit)] => Length::parse(&format!("{number} {}", unit.unwrap_or("mm"))).ok(),
            _ => None,
        }
    }

    /// Takes what stands at the beginning, and says how many words that were.
    fn take(&mut self, tokens: &[&str]) -> usize {
        let taken = [Self::limit, Self::drive, Self::kind, Self::number, Self::plain];
        if let Some(count) = taken.iter().find_map(|take| take(self, tokens)) {
            return count;
        }
        self.unknown.get_or_insert_with(|| tokens[0].to_owned());
        1
    }

    /// `no longer than 40 mm`, `at least 80 mm`, `outside 26 mm`.
    fn limit(&mut self, tokens: &[&str]) -> Option<usize> {
        const MOST: [&[&str]; 7] = [
            &["no", "longer", "than"],
            &["not", "longer", "than"],
            &["shorter", "than"],
            &["at", "most"],
            &["up", "to"],
            &["max"],
            &["maximum"],
        ];
        const LEAST: [&[&str]; 6] = [
            &["no", "shorter", "than"],
            &["not", "shorter", "than"],
            &["longer", "than"],
            &["at", "least"],
            &["min"],
            &["minimum"],
        ];
        const OUTER: [&[&str]; 4] = [&["outside", "diameter"], &["outer", "diameter"], &["outside"], &["outer"]];
        let begins =
            |phrases: &[&[&str]]| phrases.iter().find(|words| tokens.starts_with(words)).map(|words| words.len());
        let (field, words) = if let Some(words) = begins(&MOST) {
            (&mut self.at_most, words)
        } else if let Some(words) = begins(&LEAST) {
            (&mut self.at_least, words)
        } else if let Some(words) = begins(&OUTER) {
            (&mut self.outer, words)
        } else {
            return None;
        };
        let rest = &tokens[words..];
        let number = rest.first().copied().unwrap_or_default();
        let unit = rest.get(1).copied().and_then(unit).map_or(0, |_| 1);
        let measure = rest[..(1 + unit).min(rest.len())].join(" ");
        match Length::parse(&if unit == 0 && ends_in_digit(number) { format!("{number} mm") } else { measure }) {
            Ok(length) => *field = Some(length),
            Err(why) => self.unreadable = Some(why),
        }
        let tail = usize::from(rest.get(1 + unit).is_some_and(|word| matches!(*word, "long" | "deep")));
        Some(words + 1 + unit + tail)
    }

    /// `1/2 drive`, `1/2 in square drive`, `drive 1/2`.
    fn drive(&mut self, tokens: &[&str]) -> Option<usize> {
        if let ["drive" | "square", number, ..] = tokens
            && let Some(drive) = Drive::read(number)
        {
            self.drive = Some(drive);
            return Some(2 + usize::from(tokens.get(2).copied().and_then(unit).is_some()));
        }
        let drive = Drive::read(tokens[0])?;
        let unit = usize::from(tokens.get(1).copied().and_then(unit).is_some());
        let is_key = |word: Option<&&str>| word.is_some_and(|word| is_key(word));
        let words = match &tokens[1 + unit..] {
            ["square" | "sq", "drive", ..] => 2,
            ["drive", next, ..] if matches!(*next, "adapter" | "adaptor") => return None,
            ["drive", ..] => 1,
            ["square" | "sq", rest @ ..] if !is_key(rest.first()) => 1,
            _ => return None,
        };
        self.drive = Some(drive);
        Some(1 + unit + words)
    }

    fn kind(&mut self, tokens: &[&str]) -> Option<usize> {
        use ToolKind::{
            BothKey, Crowfoot, DriveAdapter, Extension, FlareNutKey, HexKey, Joint, LobeBit, NutDriver, OpenKey,
            PlugSocket, RingKey, Socket, SquareKey,
        };
        let one = Named::One;
        let (named, count) = match tokens {
            ["spark", "plug", "socket" | "sockets", ..] => (one(PlugSocket), 3),
            ["plug", "socket" | "sockets", ..] => (one(PlugSocket), 2),
            ["nut", "driver" | "drivers", ..] => (one(NutDriver), 2),
            ["flare", "nut", key, ..] | ["open", "ring", key, ..] if is_key(key) => (one(FlareNutKey), 3),
            ["flare-nut", key, ..] if is_key(key) || *key == "crowfoot" => (one(FlareNutKey), 2),
            ["open", "end" | "ended", key, ..] if is_key(key) => (one(OpenKey), 3),
            ["open-ended" | "open-end" | "open" | "flat", key, ..] if is_key(key) => (one(OpenKey), 2),
            ["ring", key, ..] if is_key(key) => (one(RingKey), 2),
            ["combination", key, ..] if is_key(key) => (one(BothKey), 2),
            ["hex" | "hexagon", key, ..] if is_key(key) || is_bit(key) => (one(HexKey), 2),
            ["hex-lobe" | "six-lobe" | "hexalobular" | "lobe", key, ..] if is_key(key) || is_bit(key) => {
                (one(LobeBit), 2)
            }
            ["square", key, ..] if is_key(key) || is_bit(key) => (one(SquareKey), 2),
            ["drive", "adapter" | "adaptor" | "adapters", ..] => (one(DriveAdapter), 2),
            ["universal", "joint" | "joints", ..] => (one(Joint), 2),
            ["extension" | "extensions", "bar" | "bars", ..] => (one(Extension), 2),
            ["extension" | "extensions", ..] => (one(Extension), 1),
            ["crowfoot" | "crowfeet", ..] => (one(Crowfoot), 1),
            [key, ..] if is_bit(key) => (Named::Bit, 1),
            [key, ..] if is_key(key) => (Named::AnyKey, 1),
            ["socket" | "sockets", ..] => (one(Socket), 1),
            _ => return None,
        };
        self.named = match self.named {
            None => Some(named),
            // `hex bit socket`, `socket bit`: the bit says more.
            Some(Named::One(HexKey | LobeBit | SquareKey) | Named::Bit) if named == one(Socket) => self.named,
            Some(Named::One(Socket)) if named == Named::Bit => Some(Named::Bit),
            Some(_) => {
                self.joined = true;
                self.named
            }
        };
        Some(count)
    }

    /// `19`, `19 mm`, `10 to 19 mm`, `10-19`, `1 1/8 in`, `T40`; a second measure before `long` is the length.
    fn number(&mut self, tokens: &[&str]) -> Option<usize> {
        if tokens[0] == "without" {
            let numbers = tokens[1..].iter().take_while(|word| is_number(word)).count();
            let unit = tokens.get(1 + numbers).copied().and_then(unit);
            self.left_out = tokens[1..=numbers].iter().map(|word| ((*word).to_owned(), unit)).collect();
            return Some(1 + numbers + usize::from(unit.is_some()));
        }
        let (number, mut count) = match tokens {
            [whole, fraction, ..] if is_fraction(fraction) && is_whole(whole) => (format!("{whole} {fraction}"), 2),
            [number, ..] if is_number(number) => ((*number).to_owned(), 1),
            [word, ..] => {
                let (low, high) = word.split_once(['-', '–'])?;
                if !is_number(low) || !is_number(high) {
                    return None;
                }
                self.numbers.push((low.to_owned(), None));
                self.is_run = true;
                (high.to_owned(), 1)
            }
            [] => return None,
        };
        let unit = tokens.get(count).copied().and_then(unit);
        count += usize::from(unit.is_some());
        if tokens.get(count) == Some(&"long") && !self.numbers.is_empty() && !self.is_run {
            match Length::parse(&format!("{number} {}", unit.unwrap_or("mm"))) {
                Ok(length) => self.length = Some(length),
                Err(why) => self.unreadable = Some(why),
            }
            return Some(count + 1);
        }
        self.numbers.push((number, unit));
        if matches!(tokens.get(count), Some(&("to" | "-" | "–")))
            && tokens.get(count + 1).is_some_and(|word| is_number(word))
        {
            self.is_run = true;
            count += 1;
        }
        Some(count)
    }

    fn plain(&mut self, tokens: &[&str]) -> Option<usize> {
        match tokens {
            ["long" | "deep", ..] => self.long = true,
            ["short" | "stubby", ..] => self.short = true,
            ["and" | "or" | "+" | "&", ..] => self.joined = true,
            // Said of nearly every tool, and nothing that is told apart here.
            [
                "a" | "an" | "the" | "one" | "set" | "of" | "with" | "hex" | "hexagon" | "six-point" | "6-point"
                | "twelve-point" | "12-point" | "impact" | "plain",
                ..,
            ] => {}
            _ => return None,
        }
        Some(1)
    }
}

/// Words in lower case; a comma between digits is a decimal one.
fn split(text: &str) -> Vec<String> {
    let plain = text.to_lowercase().replace(['″', '”', '“'], "\"").replace("''", "\"").replace('\u{a0}', " ");
    let letters: Vec<char> = plain.chars().collect();
    let digit = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(char::is_ascii_digit);
    let apart = letters.iter().enumerate().map(|(at, letter)| match letter {
        ',' if digit(at.checked_sub(1)) && digit(Some(at + 1)) => ',',
        ',' | ';' | '(' | ')' => ' ',
        other => *other,
    });
    let words: String = apart.collect();
    words.split_whitespace().flat_map(number_apart).collect()
}

/// `19mm` as `19` and `mm`; `3/4"` as `3/4` and `"`.
fn number_apart(word: &str) -> Vec<String> {
    let glued = ["mm", "inch", "in", "\""].iter().find_map(|unit| Some((word.strip_suffix(unit)?, *unit)));
    match glued.filter(|(number, _)| ends_in_digit(number)) {
        Some((number, unit)) => vec![number.to_owned(), unit.to_owned()],
        None => vec![word.to_owned()],
    }
}

fn unit(word: &str) -> Option<&'static str> {
    match word {
        "mm" | "millimetre" | "millimetres" => Some("mm"),
        "in" | "in." | "inch" | "inches" | "\"" | "af" => Some("in"),
        _ => None,
    }
}

fn ends_in_digit(word: &str) -> bool {
    word.ends_with(|last: char| last.is_ascii_digit())
}

fn is_fraction(word: &str) -> bool {
    word.contains('/') && is_number(word)
}

fn is_whole(word: &str) -> bool {
    word.chars().all(|letter| letter.is_ascii_digit())
}

/// A number, a fraction or a lobe size.
fn is_number(word: &str) -> bool {
    let number = word.strip_prefix(['t', 'e']).unwrap_or(word);
    number.starts_with(|first: char| first.is_ascii_digit())
        && number.chars().all(|letter| letter.is_ascii_digit() || matches!(letter, '/' | '.' | ','))
}

fn is_key(word: &str) -> bool {
    matches!(word, "key" | "keys" | "spanner" | "spanners" | "wrench" | "wrenches")
}

fn is_bit(word: &str) -> bool {
    matches!(word, "bit" | "bits")
}
