//! Times and sizes as people read them.

use crate::clock::Moment;

/// `Tue 17 Nov 2026`, in the garage's time zone.
pub fn day(at: Moment) -> String {
    at.local().strftime("%a %-d %b %Y").to_string()
}

/// `19:42`, in the garage's time zone.
pub fn time(at: Moment) -> String {
    at.local().strftime("%H:%M").to_string()
}

/// `Tue 17 Nov 2026, 19:42`
pub fn day_and_time(at: Moment) -> String {
    format!("{}, {}", day(at), time(at))
}

/// With a capital at its beginning, as a label or a sentence stands.
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `1 step`, `3 steps`
pub fn count(n: usize, one: &str, many: &str) -> String {
    if n == 1 { format!("1 {one}") } else { format!("{n} {many}") }
}

/// A number as it was typed, with a decimal point: typing takes a comma too, pages have one mark.
pub fn figure(typed: &str) -> String {
    typed.trim().replace(',', ".")
}

/// `1 h 20 min`
pub fn minutes(n: i64) -> String {
    match (n / 60, n % 60) {
        (0, minutes) => format!("{minutes} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, minutes) => format!("{hours} h {minutes:02} min"),
    }
}

/// An amount in hundredths of a currency: `12.50 EUR`.
pub fn money(minor: i64, currency: &str) -> String {
    let sign = if minor < 0 { "−" } else { "" };
    format!("{sign}{}.{:02} {currency}", minor.abs() / 100, minor.abs() % 100).trim_end().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_label_begins_with_a_capital() {
        assert_eq!(capital("öl is out"), "Öl is out");
        assert_eq!(capital(""), "");
    }

    #[test]
    fn minutes_and_money_read_as_people_say_them() {
        assert_eq!(minutes(45), "45 min");
        assert_eq!(minutes(60), "1 h");
        assert_eq!(minutes(65), "1 h 05 min");
        assert_eq!(money(1250, "EUR"), "12.50 EUR");
        assert_eq!(money(-5, "EUR"), "−0.05 EUR");
    }
}
