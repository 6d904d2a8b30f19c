//! Days, chances and sentences of the planner as the plan's pages say them.

use crate::plan::model::day_number;
use crate::trade::limits::Day;
use crate::trade::plan::Minutes;
use jiff::civil::Date;

/// The day of the calendar; the planner counts days from 1 January 1970. `None` beyond the calendar.
pub fn date(day: Day) -> Option<Date> {
    jiff::civil::date(1970, 1, 1).checked_add(jiff::Span::new().try_days(day.0).ok()?).ok()
}

/// `Thu 26 Nov`, with its year where that is not this one.
pub fn short(day: Day, today: Day) -> String {
    told(day, today, "%a %-d %b", "%a %-d %b %Y")
}

/// `Thursday 26 November`, with its year where that is not this one.
pub fn long(day: Day, today: Day) -> String {
    told(day, today, "%A %-d %B", "%A %-d %B %Y")
}

fn told(day: Day, today: Day, this_year: &str, other: &str) -> String {
    let Some(found) = date(day) else { return "a day far off".to_owned() };
    let same = date(today).is_some_and(|today| today.year() == found.year());
    found.strftime(if same { this_year } else { other }).to_string()
}

/// A sentence of the planner with its days as people say them (`2026-11-27` becomes `Fri 27 Nov`) and no mark doubled: some
/// of them put a title in quotation marks that it has already.
pub fn said(sentence: &str, today: Day) -> String {
    let sentence = &sentence.replace("‘‘", "‘").replace("’’", "’");
    let mut out = String::with_capacity(sentence.len());
    let mut rest = sentence.as_str();
    while let Some(letter) = rest.chars().next() {
        let found = rest.get(..10).filter(|_| !out.ends_with(|before: char| before.is_ascii_digit()));
        match found.filter(|text| is_day(text)).and_then(|text| text.parse::<Date>().ok()) {
            Some(found) => {
                out.push_str(&short(day_number(found), today));
                rest = &rest[10..];
            }
            None => {
                out.push(letter);
                rest = &rest[letter.len_utf8()..];
            }
        }
    }
    out
}

/// Digits and dashes as ISO 8601 has them.
fn is_day(text: &str) -> bool {
    let fits = |(at, byte): (usize, u8)| if at == 4 || at == 7 { byte == b'-' } else { byte.is_ascii_digit() };
    text.len() == 10 && text.bytes().enumerate().all(fits)
}

/// A chance from 0 to 1 in words. Where one word ends and the next begins is common practice, no source.
pub fn chance(share: f64) -> &'static str {
    match share {
        share if share >= 0.95 => "nearly sure",
        share if share >= 0.8 => "likely",
        share if share >= 0.55 => "more likely than not",
        share if share > 0.45 => "as likely as not",
        share if share > 0.2 => "less likely than not",
        share if share > 0.05 => "unlikely",
        _ => "hardly possible",
    }
}

/// `72`, of a hundred. Never all and never none unless every run said so.
pub fn of_hundred(share: f64) -> u32 {
    let whole = (share * 100.0).round().clamp(0.0, 100.0) as u32;
    match whole {
        0 if share > 0.0 => 1,
        100 if share < 1.0 => 99,
        whole => whole,
    }
}

/// `2 h 30 min`, `45 min`
pub fn minutes(minutes: Minutes) -> String {
    crate::web::words::minutes(i64::from(minutes.0))
}

/// `a`, `a and b`, `a, b and c`
pub fn listed(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TODAY: Day = Day(20_782);

    #[test]
    fn days_are_told_with_their_weekday_and_their_year_where_it_is_another() {
        assert_eq!(short(TODAY, TODAY), "Wed 25 Nov");
        assert_eq!(long(Day(20_783), TODAY), "Thursday 26 November");
        assert_eq!(short(Day(20_820), TODAY), "Sat 2 Jan 2027");
        assert_eq!(short(Day(i32::MAX), TODAY), "a day far off");
        assert_eq!(day_number(jiff::civil::date(2026, 11, 25)), TODAY);
    }

    #[test]
    fn only_days_of_a_sentence_are_told_otherwise() {
        let cases = [
            ("expected on 2026-11-27.", "expected on Fri 27 Nov."),
            ("2026-11-27", "Fri 27 Nov"),
            ("part 12026-11-27 is no day, nor is 2026-13-27", "part 12026-11-27 is no day, nor is 2026-13-27"),
            ("ééé 2027-01-02 ‘é’", "ééé Sat 2 Jan 2027 ‘é’"),
            ("it comes after ‘‘axle oil’’", "it comes after ‘axle oil’"),
            ("", ""),
        ];
        for (sentence, told) in cases {
            assert_eq!(said(sentence, TODAY), told);
        }
    }

    #[test]
    fn a_chance_is_only_all_or_nothing_where_every_run_said_so() {
        for (share, figure, word) in [
            (0.0, 0, "hardly possible"),
            (0.001, 1, "hardly possible"),
            (0.5, 50, "as likely as not"),
            (0.724, 72, "more likely than not"),
            (0.999, 99, "nearly sure"),
            (1.0, 100, "nearly sure"),
        ] {
            assert_eq!((of_hundred(share), chance(share)), (figure, word));
        }
    }
}
