//! One test of a variant: a name with a code, a range, or something that the car has or has not.

use super::car::{Code, TheCar};
use super::range::Range;
use super::{behind, is};

const YES: [&str; 4] = ["yes", "fitted", "with", "present"];
const NO: [&str; 5] = ["no", "none", "not fitted", "without", "absent"];

/// What the car says to a test, as the end of a sentence that begins with 'this car'; or why it says nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outcome {
    Holds(String),
    Fails(String),
    /// A whole sentence.
    Unclear(String),
}

impl Outcome {
    pub fn holds(&self) -> Option<&str> {
        if let Outcome::Holds(has) = self { Some(has) } else { None }
    }

    pub fn fails(&self) -> Option<&str> {
        if let Outcome::Fails(has) = self { Some(has) } else { None }
    }

    pub fn unclear(&self) -> Option<&str> {
        if let Outcome::Unclear(why) = self { Some(why) } else { None }
    }
}

/// A test that was read, beside what the car has of it.
pub struct Test<'a> {
    name: String,
    asked: Asked,
    car: &'a TheCar,
}

enum Asked {
    Value(String),
    Within(Range),
    Fitted,
}

/// Reads `test or test …`. `None` where a word has no place in the grammar.
pub fn read<'a>(words: &[&str], car: &'a TheCar) -> Option<Vec<Test<'a>>> {
    let mut tests: Vec<Test<'a>> = Vec::new();
    for words in words.split(|word| is(word, "or")) {
        let test = match (words, tests.last()) {
            ([], _) => return None,
            // A further code under the name of the one before it.
            ([code], Some(Test { name, asked: Asked::Value(_), .. })) if looks_like_code(code) => {
                Test { name: name.clone(), asked: Asked::Value((*code).to_owned()), car }
            }
            _ => one(behind(words, &[&["with"]]).unwrap_or(words), car)?,
        };
        tests.push(test);
    }
    Some(tests)
}

fn one<'a>(words: &[&str], car: &'a TheCar) -> Option<Test<'a>> {
    if words.iter().any(|word| is_of_range(word)) {
        let (name, range) = range(words)?;
        return Some(Test { name, asked: Asked::Within(range), car });
    }
    // The longest name that the car knows, and behind it one word or several.
    for at in (1..=words.len()).rev() {
        let name = joined(&words[..at]);
        if car.knows(&name) {
            let value = words[at..].join(" ");
            let asked = match words.len() - at {
                0 => Asked::Fitted,
                1 => Asked::Value(value),
                // Several words are read only where the car's own code has the same ones.
                _ if car.codes(&name, false).iter().any(|code| same_code(&code.value, &value) == Some(true)) => {
                    Asked::Value(value)
                }
                _ => return None,
            };
            return Some(Test { name, asked, car });
        }
    }
    // A name that the car has no code for yet: what is asked is clear, the answer is not.
    let (value, name) = words.split_last()?;
    let is_name = !name.is_empty() && name.iter().all(|word| is_plain(word));
    (is_name && looks_like_code(value)).then(|| Test {
        name: joined(name),
        asked: Asked::Value((*value).to_owned()),
        car,
    })
}

fn joined(words: &[&str]) -> String {
    words.join(" ").to_lowercase()
}

/// A word of letters alone, no code.
fn is_plain(word: &str) -> bool {
    word.chars().all(char::is_alphabetic) && !looks_like_code(word)
}

/// Whether a word is a code: it has a digit, or is two capitals or more.
pub fn looks_like_code(word: &str) -> bool {
    let letters = || word.chars().filter(|c| c.is_alphabetic());
    word.chars().any(|c| c.is_ascii_digit()) || (letters().count() > 1 && letters().all(char::is_uppercase))
}

const LOW: [&str; 3] = ["from", "since", "after"];
const HIGH: [&str; 4] = ["to", "until", "till", "before"];

fn is_of_range(word: &str) -> bool {
    LOW.iter().chain(&HIGH).chain(&["onwards"]).any(|keyword| is(word, keyword))
}

/// Reads the name and the two ends of a range.
fn range(words: &[&str]) -> Option<(String, Range)> {
    let (mut name, mut range) = (Vec::new(), Range::default());
    let (mut awaited, mut plain): (Option<&str>, Option<&str>) = (None, None);
    let mut values = 0;
    for (at, word) in words.iter().enumerate() {
        if is(word, "up") && words.get(at + 1).is_some_and(|next| is(next, "to")) {
            continue;
        }
        if is(word, "onwards") {
            let low = plain.take().or_else(|| range.low.as_ref().map(|_| ""));
            let is_last = at + 1 == words.len() && range.high.is_none() && awaited.is_none();
            let low = low.filter(|_| is_last)?;
            if !low.is_empty() {
                range.low = Some((low.to_owned(), true));
            }
        } else if is_of_range(word) {
            if awaited.is_some() {
                return None;
            }
            if let Some(low) = plain.take() {
                // `100 to 200`; nothing else follows a bare value.
                range.low = is(word, "to").then(|| Some((low.to_owned(), true)))?;
            }
            awaited = Some(word);
        } else if word.chars().any(|c| c.is_ascii_digit()) {
            values += 1;
            match awaited.take() {
                Some(keyword) => set(&mut range, keyword, word)?,
                None if values == 1 => plain = Some(word),
                None => return None,
            }
        } else if values == 0 {
            name.push(*word);
        } else {
            return None;
        }
    }
    let is_whole = awaited.is_none() && plain.is_none() && (range.low.is_some() || range.high.is_some());
    is_whole.then(|| (joined(&name), range))
}

/// Sets the end that `keyword` speaks of, unless it is set.
fn set(range: &mut Range, keyword: &str, value: &str) -> Option<()> {
    let within = !(is(keyword, "before") || is(keyword, "after"));
    let end = if LOW.iter().any(|low| is(keyword, low)) { &mut range.low } else { &mut range.high };
    if end.is_some() {
        return None;
    }
    *end = Some((value.to_owned(), within));
    Some(())
}

impl Test<'_> {
    pub fn outcome(&self) -> Outcome {
        match &self.asked {
            Asked::Within(range) if TheCar::is_building(&self.name) => self.built_within(range),
            Asked::Within(range) => self.only(true, |code| match range.has_serial(&code.value) {
                Some(true) => Outcome::Holds(format!("has {}", code.value)),
                Some(false) => Outcome::Fails(format!("has {}", code.value)),
                None => self.not_comparable(code),
            }),
            Asked::Value(value) => self.only(false, |code| match same_code(&code.value, value) {
                Some(true) => Outcome::Holds(format!("has {}", code.value)),
                Some(false) => Outcome::Fails(format!("has {}", code.value)),
                None => self.not_comparable(code),
            }),
            Asked::Fitted => self.only(false, |code| {
                let value = code.value.to_lowercase();
                match (YES.contains(&value.as_str()), NO.contains(&value.as_str())) {
                    (true, _) => Outcome::Holds("has it".into()),
                    (_, true) => Outcome::Fails("has none".into()),
                    (false, false) => self.not_comparable(code),
                }
            }),
        }
    }

    /// Asks the one code of this name; of several nobody can say which is meant.
    fn only(&self, by_number: bool, ask: impl Fn(&Code) -> Outcome) -> Outcome {
        match self.car.codes(&self.name, by_number).as_slice() {
            [] => Outcome::Unclear(format!(
                "Nothing is written of this car’s {}: read it off and add it to its codes.",
                self.name
            )),
            [code] => ask(code),
            [_, _, ..] => Outcome::Unclear(format!("This car has several codes for its {}.", self.name)),
        }
    }

    fn built_within(&self, range: &Range) -> Outcome {
        let Some(built) = self.car.built() else {
            return Outcome::Unclear(
                "Nothing readable is written of when this car was built: add ‘built: 1981-06’ to its codes.".into(),
            );
        };
        let (year, month) = (built.first / 12, built.first % 12 + 1);
        let when = if built.first == built.last { format!("{year}-{month:02}") } else { year.to_string() };
        match range.has_months(built) {
            Some(true) => Outcome::Holds(format!("was built in {when}")),
            Some(false) => Outcome::Fails(format!("was built in {when}")),
            None => Outcome::Unclear(format!("This car was built in {when}, which does not decide it.")),
        }
    }

    fn not_comparable(&self, code: &Code) -> Outcome {
        Outcome::Unclear(format!("This car’s {} is {}, and no rule says whether that is meant.", self.name, code.value))
    }
}

/// Whether two codes are the same, apart from case, blanks and hyphens. `None`: it cannot be said, as where one is the
/// beginning of the other (a family of codes), or where they are not even built alike (a code and a size).
fn same_code(own: &str, asked: &str) -> Option<bool> {
    let fold = |text: &str| -> String {
        text.chars().filter(|c| !c.is_whitespace() && *c != '-').flat_map(char::to_uppercase).collect()
    };
    let (a, b) = (fold(own), fold(asked));
    if a == b {
        return Some(true);
    }
    let is_code = |text: &str| text.split_whitespace().count() == 1 && looks_like_code(text);
    let is_family = a.starts_with(&b) || b.starts_with(&a);
    (is_code(own) && is_code(asked) && !is_family && shape(&a) == shape(&b)).then_some(false)
}

/// The runs of letters, digits and other signs in a code: `HS18` is letters, digits.
fn shape(code: &str) -> Vec<u8> {
    let sort = |c: char| {
        if c.is_alphabetic() {
            b'a'
        } else if c.is_ascii_digit() {
            b'0'
        } else {
            b'.'
        }
    };
    let mut runs: Vec<u8> = code.chars().map(sort).collect();
    runs.dedup();
    runs
}
