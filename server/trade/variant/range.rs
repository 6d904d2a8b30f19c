//! Rows of numbers and of months, and whether something stands between two ends of one.

/// Years that a car of a home restorer can be of. Outside of it a number is no year: 1600 is a size of engine.
const YEARS: std::ops::RangeInclusive<i64> = 1900..=2100;
/// Longer ones fit no whole number of 64 bits.
const MOST_DIGITS: usize = 18;

/// The first and the last of the months that are meant, counted from the year 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Months {
    pub first: i64,
    pub last: i64,
}

impl Months {
    /// Reads `1981` or `1981-06`.
    pub fn read(text: &str) -> Option<Months> {
        let text = text.trim();
        let (year, month) = text.split_once('-').map_or((text, None), |(year, month)| (year, Some(month)));
        let year = digits(year, 4).filter(|year| YEARS.contains(year))?;
        let Some(month) = month else {
            return Some(Months { first: year * 12, last: year * 12 + 11 });
        };
        let month = digits(month, 2).filter(|month| (1..=12).contains(month))?;
        let at = year * 12 + month - 1;
        Some(Months { first: at, last: at })
    }
}

fn digits(text: &str, count: usize) -> Option<i64> {
    (text.len() == count && text.bytes().all(|byte| byte.is_ascii_digit())).then(|| text.parse().ok())?
}

/// A number at the end of a code: what stands before it, and the number.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Serial {
    before: String,
    number: i64,
}

impl Serial {
    fn read(text: &str) -> Option<Serial> {
        let before = text.trim_end_matches(|c: char| c.is_ascii_digit());
        let number = &text[before.len()..];
        let is_plain = !number.is_empty() && number.len() <= MOST_DIGITS && !text.contains(['.', '/']);
        is_plain.then(|| number.parse().ok()).flatten().map(|number| Serial { before: fold(before), number })
    }

    /// Whether both count in the same row. A bare number counts in the row of a code with one number only.
    fn is_comparable(&self, bound: &Serial) -> bool {
        self.before == bound.before || (bound.before.is_empty() && !self.before.chars().any(|c| c.is_ascii_digit()))
    }
}

/// Capitals and digits alone.
fn fold(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_uppercase).collect()
}

/// Two ends, each with whether it belongs to the range itself; one of them may be open.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Range {
    pub low: Option<(String, bool)>,
    pub high: Option<(String, bool)>,
}

impl Range {
    /// Whether the number of a code is within. `None`: it cannot be said.
    pub fn has_serial(&self, value: &str) -> Option<bool> {
        let own = Serial::read(value)?;
        let bound = |end: &Option<(String, bool)>| -> Option<Option<(i64, bool)>> {
            let Some((text, within)) = end else { return Some(None) };
            let bound = Serial::read(text).filter(|bound| own.is_comparable(bound))?;
            Some(Some((bound.number, *within)))
        };
        let (low, high) = (bound(&self.low)?, bound(&self.high)?);
        if let (Some((low, _)), Some((high, _))) = (low, high)
            && low > high
        {
            return None;
        }
        let above = low.is_none_or(|(low, within)| own.number > low || (within && own.number == low));
        let below = high.is_none_or(|(high, within)| own.number < high || (within && own.number == high));
        Some(above && below)
    }

    /// Whether all of these months are within. `None`: only some are, or the ends are no months.
    pub fn has_months(&self, built: Months) -> Option<bool> {
        let read = |end: &Option<(String, bool)>| -> Option<Option<(Months, bool)>> {
            let Some((text, within)) = end else { return Some(None) };
            Some(Some((Months::read(text)?, *within)))
        };
        let low = read(&self.low)?.map_or(i64::MIN, |(low, within)| if within { low.first } else { low.last + 1 });
        let high = read(&self.high)?.map_or(i64::MAX, |(high, within)| if within { high.last } else { high.first - 1 });
        if low > high {
            return None;
        }
        match (low <= built.first && built.last <= high, built.last < low || high < built.first) {
            (true, _) => Some(true),
            (_, true) => Some(false),
            (false, false) => None,
        }
    }
}
