//! What forms have in common: each check takes what was typed and says what is wrong in the field's own slip.

use jiff::civil::Date;

/// Days that can be planned for.
const YEARS: std::ops::RangeInclusive<i16> = 2000..=2199;

/// Trimmed, at most `most` characters.
pub fn in_length(typed: &str, most: usize, slip: &mut String) -> String {
    let typed = typed.trim();
    let long = typed.chars().count();
    if long > most {
        *slip = format!("At most {most} characters fit here; these are {long}.");
    }
    typed.to_owned()
}

/// Browsers send line ends as two characters (HTML, form submission); one is kept.
pub fn lines(typed: &str) -> String {
    typed.replace("\r\n", "\n")
}

/// A day as date fields send it, ISO 8601 `2027-05-01`; empty: none.
pub fn day(typed: &str, slip: &mut String) -> Option<String> {
    let typed = typed.trim();
    if typed.is_empty() {
        return None;
    }
    let day = Date::strptime("%Y-%m-%d", typed).ok().filter(|day| YEARS.contains(&day.year()));
    if day.is_none() {
        *slip = format!("‘{typed}’ is no day that can be planned for. Write year-month-day: 2027-05-01.");
    }
    day.map(|day| day.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_iso_8601_and_exist() {
        let good = [("2027-05-01", "2027-05-01"), (" 2028-02-29 ", "2028-02-29")];
        for (typed, stored) in good {
            let mut slip = String::new();
            assert_eq!(day(typed, &mut slip).as_deref(), Some(stored));
            assert!(slip.is_empty());
        }
        for typed in ["2027-02-29", "01.05.2027", "1 May", "0027-05-01", "2027-13-01", "9999-01-01"] {
            let mut slip = String::new();
            assert_eq!(day(typed, &mut slip), None);
            assert!(slip.contains(typed), "{slip}");
        }
    }

    #[test]
    fn length_is_counted_in_characters() {
        let mut slip = String::new();
        assert_eq!(in_length(" äöü ", 3, &mut slip), "äöü");
        assert!(slip.is_empty());
        in_length("äöü!", 3, &mut slip);
        assert!(slip.contains('4'));
    }
}
