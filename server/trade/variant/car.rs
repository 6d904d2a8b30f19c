//! What is written of the car itself: its codes, and when it was built.

use super::range::Months;

/// Names under which a code says when the car was built.
const BUILT: [&str; 8] =
    ["built", "built in", "built on", "build", "build date", "date of building", "date built", "year"];
/// Last words of a name that say what sort of code it is, not what it is a code of.
const SORTS: [&str; 6] = ["code", "number", "no", "no.", "type", "letters"];

/// The car's codes, read once for all its specs.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TheCar {
    codes: Vec<Code>,
    built: Option<Months>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Code {
    /// Lower case, as typed: `engine code`.
    name: String,
    /// The name without its sort: `engine`.
    of: String,
    /// Without remarks; never empty.
    pub(super) value: String,
}

impl Code {
    fn is_number(&self) -> bool {
        ["number", "no", "no."].iter().any(|sort| self.name.ends_with(sort))
    }
}

impl TheCar {
    /// `codes`: one `name: value` a line; lines that say nothing are passed over. `year`: of building, where it is known.
    pub fn of(codes: &str, year: Option<i64>) -> TheCar {
        let codes: Vec<Code> = codes.lines().filter_map(code).collect();
        let says_when = |code: &&Code| BUILT.contains(&code.name.as_str());
        let built = codes.iter().find(says_when).map_or_else(
            || year.and_then(|year| Months::read(&year.to_string())),
            // Said, but not readable: then the year on the form is not taken in its place.
            |code| Months::read(&code.value),
        );
        TheCar { codes, built }
    }

    pub(super) fn built(&self) -> Option<Months> {
        self.built
    }

    pub(super) fn is_building(name: &str) -> bool {
        name.is_empty() || BUILT.contains(&name)
    }

    /// The codes of this name, for a code to be compared, or for a number in a row of numbers.
    pub(super) fn codes(&self, name: &str, by_number: bool) -> Vec<&Code> {
        let exact: Vec<&Code> = self.codes.iter().filter(|code| code.name == name).collect();
        if !exact.is_empty() {
            return exact;
        }
        let near: Vec<&Code> = self.codes.iter().filter(|code| code.of == name).collect();
        let wanted: Vec<&Code> = near.iter().copied().filter(|code| code.is_number() == by_number).collect();
        if wanted.is_empty() { near } else { wanted }
    }

    /// Whether the car has a code of this name, with or without its sort.
    pub(super) fn knows(&self, name: &str) -> bool {
        self.codes.iter().any(|code| code.name == name || code.of == name)
    }
}

/// The names in a car's codes, as typed.
pub fn names(codes: &str) -> impl Iterator<Item = &str> {
    codes.lines().filter_map(|line| line.split_once(':')).map(|(name, _)| name.trim()).filter(|name| !name.is_empty())
}

fn code(line: &str) -> Option<Code> {
    let (name, value) = line.split_once(':')?;
    let value = value.split(['(', ',', ';']).next().unwrap_or_default().trim();
    let name = name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    if name.is_empty() || value.is_empty() {
        return None;
    }
    let of = SORTS.iter().find_map(|sort| name.strip_suffix(sort)).map_or(name.as_str(), str::trim).to_owned();
    let of = if of.is_empty() { name.clone() } else { of };
    Some(Code { name, of, value: value.to_owned() })
}
