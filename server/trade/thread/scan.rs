//! Taking a written thread apart: a cursor over tidied text. Knows no threads.

use rust_decimal::Decimal;

/// Lower case, single blanks, `x` for every multiplication sign, `-` for every dash, `"` for every inch mark, and a
/// point for a comma between digits.
pub(super) fn tidied(text: &str) -> String {
    let plain: String = text
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
        .to_lowercase()
        .replace("''", "\"")
        .chars()
        .map(|letter| match letter {
            '×' | '*' | '✕' => 'x',
            '–' | '—' | '−' | '‐' | '‑' => '-',
            '″' | '”' | '“' => '"',
            '⁄' => '/',
            other => other,
        })
        .collect();
    let letters: Vec<char> = plain.chars().collect();
    let digit = |at: usize| letters.get(at).is_some_and(char::is_ascii_digit);
    let comma_is_point = |at: usize| at > 0 && digit(at - 1) && digit(at + 1);
    letters
        .iter()
        .enumerate()
        .map(|(at, letter)| if *letter == ',' && comma_is_point(at) { '.' } else { *letter })
        .collect()
}

/// What is left to read.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scan<'a>(pub(super) &'a str);

impl<'a> Scan<'a> {
    pub(super) fn skip_blanks(&mut self) {
        self.0 = self.0.trim_start();
    }

    /// Takes `mark` if it comes next, after blanks.
    pub(super) fn take(&mut self, mark: &str) -> bool {
        let Some(rest) = self.0.trim_start().strip_prefix(mark) else { return false };
        self.0 = rest;
        true
    }

    /// Takes one of `words` if it comes next as a whole word.
    pub(super) fn take_word(&mut self, words: &[&str]) -> bool {
        let start = self.0.trim_start();
        let ends = |rest: &str| !rest.starts_with(|next: char| next.is_alphanumeric());
        let found = words.iter().filter_map(|word| start.strip_prefix(word)).find(|rest| ends(rest));
        let Some(rest) = found else { return false };
        self.0 = rest;
        true
    }

    /// Takes digits only.
    pub(super) fn whole(&mut self) -> Option<u32> {
        let start = self.0.trim_start();
        let end = start.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(start.len());
        let number = start[..end].parse().ok()?;
        self.0 = &start[end..];
        Some(number)
    }

    /// Takes digits with at most one point; a point counts only with digits after it.
    pub(super) fn decimal(&mut self) -> Option<Decimal> {
        let start = self.0.trim_start();
        let digits = |text: &str| text.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(text.len());
        let mut end = digits(start);
        if let Some(after) = start[end..].strip_prefix('.') {
            let places = digits(after);
            end += if places > 0 { places + 1 } else { 0 };
        }
        let number = Decimal::from_str_exact(&start[..end]).ok()?;
        self.0 = &start[end..];
        Some(number)
    }

    /// Takes `3/8` and gives it as a decimal.
    pub(super) fn fraction(&mut self) -> Option<Decimal> {
        let mut ahead = *self;
        let top = ahead.whole()?;
        let bottom = ahead.take("/").then(|| ahead.whole()).flatten()?;
        let value = Decimal::from(top).checked_div(Decimal::from(bottom))?;
        *self = ahead;
        Some(value)
    }

    /// Takes `3/8`, `1 1/8`, `1-1/8`, `1` or `0.375`.
    pub(super) fn inches(&mut self) -> Option<Decimal> {
        if let Some(value) = self.fraction() {
            return Some(value);
        }
        let whole = self.decimal()?;
        let mut ahead = *self;
        let joined = ahead.take("-") || ahead.0.starts_with(' ');
        let part = joined.then(|| ahead.fraction()).flatten().filter(|part| *part < Decimal::ONE && whole.scale() == 0);
        let Some(part) = part else { return Some(whole) };
        *self = ahead;
        whole.checked_add(part)
    }

    pub(super) fn rest(self) -> &'a str {
        self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn marks_are_made_plain() {
        assert_eq!(tidied(" M10 × 1,25 "), "m10 x 1.25");
        assert_eq!(tidied("M10x1, hollow"), "m10x1, hollow");
        assert_eq!(tidied("1/4”–28"), "1/4\"-28");
    }

    #[test]
    fn inches_are_read_with_and_without_fraction() {
        for (text, value, rest) in [
            ("3/8-16", "0.375", "-16"),
            ("1-8 unc", "1", "-8 unc"),
            ("1 1/8-7", "1.125", "-7"),
            ("1-1/8-7", "1.125", "-7"),
            ("0.375-16", "0.375", "-16"),
        ] {
            let mut scan = Scan(text);
            assert_eq!((scan.inches().unwrap().normalize().to_string().as_str(), scan.rest()), (value, rest));
        }
        assert_eq!(Scan("3/0").inches().map(|whole| whole.to_string()), Some("3".into()));
    }
}
