//! Prices as they are typed: exact hundredths, read digit by digit, never through a fraction of two.

/// The most that can be typed, in whole units.
const MOST_DIGITS: usize = 7;

/// Why a price cannot be taken, as a sentence for the person who typed it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PriceError {
    #[error("A price is written with figures and one comma or point, for instance 12,50.")]
    NoPrice,
    #[error("Two figures at most stand after the comma or point. For thousands, leave the mark out: 1250,00.")]
    TooFine,
    #[error("That is more than fits here.")]
    TooMuch,
}

/// Reads `12`, `12,5`, `12.50` as hundredths. Errors: a sign, a thousands mark, letters, more than two
/// decimals, ten million or more.
pub fn parse(typed: &str) -> Result<i64, PriceError> {
    let typed = typed.trim();
    let (whole, decimals) = typed.split_once([',', '.']).unwrap_or((typed, "00"));
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(whole) || !digits(decimals) {
        return Err(PriceError::NoPrice);
    }
    if decimals.len() > 2 {
        return Err(PriceError::TooFine);
    }
    if whole.trim_start_matches('0').len() > MOST_DIGITS {
        return Err(PriceError::TooMuch);
    }
    // At most nine significant digits are left, so that neither step can overflow.
    format!("{whole}{decimals:0<2}").parse().map_err(|_| PriceError::TooMuch)
}

/// As it is typed: `12.50`.
pub fn typed(minor: i64) -> String {
    format!("{}.{:02}", minor / 100, minor % 100)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn comma_and_point_are_the_same() {
        let cases = [("12,50", 1250), ("12.50", 1250), ("12", 1200), ("12,5", 1250), ("0,07", 7), (" 0445.00 ", 44500)];
        for (text, minor) in cases {
            assert_eq!(parse(text), Ok(minor), "{text}");
        }
    }

    #[test]
    fn what_is_no_price_is_refused_with_a_reason() {
        let cases = [
            ("", PriceError::NoPrice),
            ("-5", PriceError::NoPrice),
            ("+5", PriceError::NoPrice),
            ("12 EUR", PriceError::NoPrice),
            (",50", PriceError::NoPrice),
            ("12,", PriceError::NoPrice),
            ("1.234,50", PriceError::NoPrice),
            ("1e3", PriceError::NoPrice),
            ("1.234", PriceError::TooFine),
            ("12,505", PriceError::TooFine),
            ("10000000", PriceError::TooMuch),
            ("99999999999999999999", PriceError::TooMuch),
        ];
        for (text, error) in cases {
            assert_eq!(parse(text), Err(error), "{text}");
        }
    }

    proptest! {
        #[test]
        fn what_was_stored_is_read_again_to_the_hundredth(minor in 0_i64..1_000_000_000) {
            prop_assert_eq!(parse(&typed(minor)), Ok(minor));
            prop_assert_eq!(parse(&typed(minor).replace('.', ",")), Ok(minor));
        }

        #[test]
        fn nothing_that_is_typed_breaks_it(text in ".{0,30}") {
            let _ = parse(&text);
        }
    }
}
