//! Reading a number as people write it: `45`, `4,2`, `.028`, `2 1/2`, `2-1/2`, `2½`, `11/16`.

use rust_decimal::Decimal;

use super::error::{ParseError, quoted};

/// An exact number: a decimal over a small whole number, so that a third of a turn stays a third.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Number {
    pub(super) top: Decimal,
    /// From 1 to [`LARGEST_BOTTOM`].
    pub(super) bottom: u32,
}

pub(super) const LARGEST_BOTTOM: u32 = 1000;

impl Number {
    pub(super) const fn plain(top: Decimal) -> Self {
        Self { top, bottom: 1 }
    }

    /// As a decimal: exact unless the fraction has no end, and then right to 28 digits.
    pub(super) fn decimal(self) -> Decimal {
        self.top.checked_div(Decimal::from(self.bottom)).unwrap_or(self.top).normalize()
    }
}

/// A number together with the characters it was read from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Figure {
    pub(super) number: Number,
    pub(super) text: String,
}

/// Takes a number from the start of `text`, giving it and what follows; `None` when there is no number there.
/// `text` has single plain spaces only (see `reading::tidy`).
pub(super) fn take(text: &str) -> Result<Option<(Figure, &str)>, ParseError> {
    let start = text.trim_start();
    let (negative, unsigned) = take_sign(start);
    let Some((size, rest)) = take_unsigned(unsigned)? else {
        return Ok(None);
    };
    let number = Number { top: if negative { -size.top } else { size.top }, bottom: size.bottom };
    let read = &start[..start.len() - rest.len()];
    refuse_gap(read, rest)?;
    let text = read.trim().to_owned();
    Ok(Some((Figure { number, text }, rest)))
}

/// Whether a number begins here.
pub(super) fn starts_number(text: &str) -> bool {
    let (_, unsigned) = take_sign(text.trim_start());
    let mut letters = unsigned.chars();
    match letters.next() {
        Some('.' | ',') => letters.next().is_some_and(|next| next.is_ascii_digit()),
        Some(first) => first.is_ascii_digit() || vulgar(first).is_some(),
        None => false,
    }
}

fn take_sign(text: &str) -> (bool, &str) {
    if let Some(rest) = text.strip_prefix(['-', '−']) {
        return (true, rest.trim_start());
    }
    (false, text.strip_prefix('+').map_or(text, str::trim_start))
}

fn take_unsigned(text: &str) -> Result<Option<(Number, &str)>, ParseError> {
    if let Some((part, rest)) = take_vulgar(text) {
        return Ok(Some((part, rest)));
    }
    let digits = digits_and_marks(text);
    if digits.is_empty() {
        return Ok(None);
    }
    let rest = &text[digits.len()..];
    if let Some((bottom, after)) = take_bottom(rest) {
        return Ok(Some((fraction(digits, bottom)?, after)));
    }
    let whole = decimal(digits)?;
    if let Some((part, after)) = take_fraction_part(digits, rest)? {
        let read = &text[..text.len() - after.len()];
        return Ok(Some((joined(whole, part, read)?, after)));
    }
    Ok(Some((Number::plain(whole), rest)))
}

/// The longest run of digits and marks, where a mark counts only before a digit: `45..50` gives `45`.
fn digits_and_marks(text: &str) -> &str {
    let bytes = text.as_bytes();
    let is_digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut end = 0;
    while is_digit(end) || (matches!(bytes.get(end), Some(b'.' | b',')) && is_digit(end + 1)) {
        end += 1;
    }
    &text[..end]
}

/// `/16` at the start of what follows a whole number.
fn take_bottom(text: &str) -> Option<(&str, &str)> {
    let after = text.strip_prefix(['/', '⁄'])?;
    let digits = leading_digits(after);
    (!digits.is_empty()).then(|| (digits, &after[digits.len()..]))
}

fn leading_digits(text: &str) -> &str {
    let end = text.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(text.len());
    &text[..end]
}

/// The fraction of a mixed number: ` 1/2`, `-1/2`, `½` or ` ½`.
fn take_fraction_part<'a>(whole: &str, rest: &'a str) -> Result<Option<(Number, &'a str)>, ParseError> {
    let spaced = rest.trim_start();
    if let Some(found) = take_vulgar(spaced) {
        return Ok(Some(found));
    }
    let hyphened = rest.strip_prefix(['-', '‐', '‑']);
    // 2-1/2 can only be two and a half, since a range would run backwards; 0-1/2 is a range.
    let hyphen_joins = whole.bytes().any(|digit| digit != b'0');
    let part = match hyphened {
        Some(after) if hyphen_joins => after,
        Some(_) => return Ok(None),
        None if spaced.len() < rest.len() => spaced,
        None => return Ok(None),
    };
    let top = leading_digits(part);
    let Some((bottom, after)) = take_bottom(&part[top.len()..]).filter(|_| !top.is_empty()) else {
        return Ok(None);
    };
    let part = fraction(top, bottom)?;
    if hyphened.is_some() && part.top >= Decimal::from(part.bottom) {
        return Ok(None);
    }
    Ok(Some((part, after)))
}

fn fraction(top: &str, bottom: &str) -> Result<Number, ParseError> {
    let refused = || ParseError::BadFraction { read: quoted(&format!("{top}/{bottom}")) };
    let whole = |digits: &str| digits.parse::<u32>().map_err(|_| refused());
    let (top, bottom) = (whole(top)?, whole(bottom)?);
    if !(1..=LARGEST_BOTTOM).contains(&bottom) {
        return Err(refused());
    }
    Ok(Number { top: Decimal::from(top), bottom })
}

fn joined(whole: Decimal, part: Number, read: &str) -> Result<Number, ParseError> {
    let bottom = Decimal::from(part.bottom);
    let sensible = whole.scale() == 0 && part.top < bottom;
    let top = whole
        .checked_mul(bottom)
        .and_then(|parts| parts.checked_add(part.top))
        .filter(|_| sensible)
        .ok_or_else(|| ParseError::BadFraction { read: quoted(read) })?;
    Ok(Number { top, bottom: part.bottom })
}

/// Digits with at most one decimal mark; anything that may be a thousands mark is refused rather than guessed.
fn decimal(read: &str) -> Result<Decimal, ParseError> {
    let marks = read.matches([',', '.']).count();
    if marks > 1 {
        return Err(ParseError::ThousandsMark { read: quoted(read), plain: quoted(&without_thousands(read)) });
    }
    if let Some((lead, after)) = read.split_once(',')
        && after.len() == 3
        && lead.bytes().any(|digit| digit != b'0')
    {
        return Err(ParseError::AmbiguousComma {
            read: quoted(read),
            decimal: format!("{lead}.{after}"),
            whole: format!("{lead}{after}"),
        });
    }
    Decimal::from_str_exact(&read.replace(',', ".")).map_err(|_| ParseError::TooManyDigits { read: quoted(read) })
}

/// How the number would read if its last mark, where it differs from the first, is the decimal one.
fn without_thousands(read: &str) -> String {
    let first = read.find([',', '.']);
    let last = read.rfind([',', '.']);
    let (Some(first), Some(last)) = (first, last) else {
        return read.to_owned();
    };
    let bare = |part: &str| part.replace([',', '.'], "");
    if read[first..].chars().next() == read[last..].chars().next() {
        return bare(read);
    }
    format!("{}.{}", bare(&read[..last]), bare(&read[last..]))
}

/// `1 200 Nm` and `2.5 1/2` are slips or thousands gaps: refused.
fn refuse_gap(read: &str, rest: &str) -> Result<(), ParseError> {
    let gap = rest
        .strip_prefix(' ')
        .is_some_and(|after| after.starts_with(|letter: char| letter.is_ascii_digit() || vulgar(letter).is_some()));
    if !gap {
        return Ok(());
    }
    Err(ParseError::GapInNumber { read: quoted(&format!("{read}{rest}")) })
}

fn take_vulgar(text: &str) -> Option<(Number, &str)> {
    let first = text.chars().next()?;
    let (top, bottom) = vulgar(first)?;
    let number = Number { top: Decimal::from(top), bottom };
    Some((number, &text[first.len_utf8()..]))
}

const fn vulgar(letter: char) -> Option<(u32, u32)> {
    Some(match letter {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> (String, String) {
        let (figure, rest) = take(text).unwrap().unwrap();
        (figure.number.decimal().to_string(), rest.to_owned())
    }

    #[test]
    fn numbers_are_read_as_people_write_them() {
        for (text, value, rest) in [
            ("45 Nm", "45", " Nm"),
            ("4,2 l", "4.2", " l"),
            ("0,028 in", "0.028", " in"),
            (".028 in", "0.028", " in"),
            ("1.234 in", "1.234", " in"),
            ("2 1/2 US qt", "2.5", " US qt"),
            ("2-1/2 US qt", "2.5", " US qt"),
            ("2½ US qt", "2.5", " US qt"),
            ("2 ½ US qt", "2.5", " US qt"),
            ("½ turn", "0.5", " turn"),
            ("11/16 in", "0.6875", " in"),
            ("-5 °C", "-5", " °C"),
            ("−5 °C", "-5", " °C"),
            ("45..50 Nm", "45", "..50 Nm"),
            ("40-45 Nm", "40", "-45 Nm"),
            ("0-1/2 turn", "0", "-1/2 turn"),
        ] {
            assert_eq!(read(text), (value.to_owned(), rest.to_owned()), "{text}");
        }
    }

    #[test]
    fn a_third_stays_a_third() {
        let (figure, _) = take("1/3 turn").unwrap().unwrap();
        assert_eq!((figure.number.top, figure.number.bottom), (Decimal::ONE, 3));
    }

    #[test]
    fn what_may_be_a_thousands_mark_is_refused_with_the_way_to_write_it() {
        for (text, sentence) in [
            (
                "1,234.5 l",
                "‘1,234.5’ may hold a thousands mark: write the number without it, as 1234.5 if that is what is meant.",
            ),
            (
                "1.234,5 l",
                "‘1.234,5’ may hold a thousands mark: write the number without it, as 1234.5 if that is what is meant.",
            ),
            (
                "1.234.567 l",
                "‘1.234.567’ may hold a thousands mark: write the number without it, as 1234567 if that is what is meant.",
            ),
            ("1,234 l", "‘1,234’ could mean 1.234 or 1234: write 1.234 or 1234."),
        ] {
            assert_eq!(take(text).unwrap_err().to_string(), sentence);
        }
    }

    #[test]
    fn fractions_that_mean_nothing_are_refused() {
        for text in ["1/0 in", "2 5/4 in", "2 1/0 in", "1/99999999999 in", "1,5/2 in"] {
            assert!(matches!(take(text), Err(ParseError::BadFraction { .. })), "{text}");
        }
    }

    #[test]
    fn a_gap_inside_a_number_is_refused() {
        assert!(matches!(take("1 200 Nm"), Err(ParseError::GapInNumber { .. })));
    }

    #[test]
    fn more_digits_than_can_be_kept_are_refused() {
        assert!(matches!(take(&"9".repeat(40)), Err(ParseError::TooManyDigits { .. })));
    }
}
