//! Distances and times as a person says them.

use rust_decimal::Decimal;

use crate::trade::calendar::Date;

/// Days of a month, on average over the 400 years of the Gregorian calendar.
pub(super) const MONTH: f64 = 146_097.0 / 4800.0;

/// Thousands apart, by a blank that does not break the line: `134 820`, `84 012.5`.
pub fn grouped(number: Decimal) -> String {
    let text = number.normalize().to_string();
    let (whole, rest) = text.split_once('.').map_or((text.as_str(), None), |(whole, rest)| (whole, Some(rest)));
    let mut out = String::new();
    for (at, digit) in whole.chars().enumerate() {
        let left = whole.len() - at;
        if at > 0 && left.is_multiple_of(3) && !out.ends_with('-') {
            out.push('\u{a0}');
        }
        out.push(digit);
    }
    match rest {
        Some(rest) => format!("{out}.{rest}"),
        None => out,
    }
}

/// A day within a sentence: `16 Nov 2026`.
pub fn said_day(day: Date) -> String {
    const NAMES: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    let (year, month, day) = day.parts();
    // Months run from 1 to 12.
    let name = NAMES.get(usize::from(month) - 1).copied().unwrap_or_default();
    format!("{day} {name} {year}")
}

/// So many days in the largest unit that still tells something: days up to two weeks, weeks up to two months, then months,
/// and years from three on. Rounded; the sign is dropped.
pub fn time_span(days: i32) -> String {
    let days = days.unsigned_abs();
    let say = |count: u32, one: &str, many: &str| format!("{count} {}", if count == 1 { one } else { many });
    // Rounded counts of a number of days fit.
    let months = (f64::from(days) / MONTH).round() as u32;
    match days {
        0..14 => say(days, "day", "days"),
        14..60 => say((days + 3) / 7, "week", "weeks"),
        60..1096 => say(months, "month", "months"),
        1096.. => say((months + 6) / 12, "year", "years"),
    }
}
