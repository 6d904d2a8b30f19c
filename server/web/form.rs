//! What forms have in common: slips told at their fields, choices in lists, and a text kept when it collides
//! with somebody else's change.

use crate::error::AppError;
use askama::Template;
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use jiff::civil::Date;

/// Years that can be planned for.
const YEARS: std::ops::RangeInclusive<i16> = 2000..=2199;

/// Something typed that cannot be taken, with the sentence that stands at its field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Slip {
    pub field: &'static str,
    pub say: String,
}

/// The slips of one form, in the order of its fields.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Slips(Vec<Slip>);

impl Slips {
    pub fn say(&mut self, field: &'static str, say: impl Into<String>) {
        self.0.push(Slip { field, say: say.into() });
    }

    /// The sentence at a field; empty when there is nothing to say.
    pub fn of(&self, field: &str) -> &str {
        self.0.iter().find(|slip| slip.field == field).map_or("", |slip| slip.say.as_str())
    }

    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub fn all(&self) -> &[Slip] {
        &self.0
    }

    /// `1 thing keeps this from being saved`
    pub fn title(&self) -> String {
        match self.0.len() {
            1 => "One thing keeps this from being saved. What you typed is still here.".into(),
            many => format!("{many} things keep this from being saved. What you typed is still here."),
        }
    }

    /// One line of text, blanks at its ends and runs of blanks taken out; at most `most` letters.
    pub fn line(&mut self, field: &'static str, typed: &str, most: usize) -> String {
        self.check(field, typed.trim(), most, |letter| letter.is_control() && !letter.is_whitespace());
        typed.split_whitespace().collect::<Vec<_>>().join(" ")
    }

    /// A line that may not be empty; `say` is the sentence when it is.
    pub fn needed(&mut self, field: &'static str, typed: &str, most: usize, say: &str) -> String {
        let line = self.line(field, typed, most);
        if line.is_empty() {
            self.say(field, say);
        }
        line
    }

    /// Text of several lines, with the line ends of this program; at most `most` letters.
    pub fn text(&mut self, field: &'static str, typed: &str, most: usize) -> String {
        let text = typed.replace("\r\n", "\n").trim().to_owned();
        self.check(field, &text, most, |letter| letter.is_control() && !matches!(letter, '\n' | '\t'));
        text
    }

    /// The lines of a text that hold something, each at most `longest` letters, at most `most` of them.
    pub fn lines(&mut self, field: &'static str, typed: &str, most: usize, longest: usize) -> Vec<String> {
        let lines: Vec<String> = typed.lines().map(|line| self.line(field, line, longest)).collect();
        let lines: Vec<String> = lines.into_iter().filter(|line| !line.is_empty()).collect();
        if lines.len() > most {
            self.say(field, format!("At most {most} lines fit here; these are {}.", lines.len()));
        }
        lines
    }

    /// A day as date fields send it, ISO 8601 `2027-05-01`; empty: none.
    pub fn day(&mut self, field: &'static str, typed: &str) -> Option<String> {
        let typed = typed.trim();
        if typed.is_empty() {
            return None;
        }
        let day = Date::strptime("%Y-%m-%d", typed).ok().filter(|day| YEARS.contains(&day.year()));
        if day.is_none() {
            self.say(field, format!("‘{typed}’ is no day that can be planned for. Write year-month-day: 2027-05-01."));
        }
        day.map(|day| day.to_string())
    }

    fn check(&mut self, field: &'static str, text: &str, most: usize, refused: impl Fn(char) -> bool) {
        let letters = text.chars().count();
        if letters > most {
            self.say(field, format!("At most {most} letters fit here; these are {letters}."));
        }
        if text.chars().any(refused) {
            self.say(field, "This holds a letter that cannot be shown: type it again without it.");
        }
    }
}

/// An entry of a list to choose from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    pub value: String,
    pub label: String,
    pub chosen: bool,
}

impl Choice {
    pub fn new(value: impl Into<String>, label: impl Into<String>, chosen: bool) -> Choice {
        Choice { value: value.into(), label: label.into(), chosen }
    }
}

/// What one field of a form holds now, where somebody else changed it while the form was open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Differs {
    pub label: &'static str,
    pub now: String,
}

/// The fields in which what is there now differs from what was typed.
pub fn differing(now: Vec<(&'static str, String)>, typed: Vec<(&'static str, String)>) -> Vec<Differs> {
    now.into_iter()
        .zip(typed)
        .filter(|((_, now), (_, typed))| now.trim() != typed.trim())
        .map(|((label, now), _)| Differs { label, now: if now.trim().is_empty() { "nothing".into() } else { now } })
        .collect()
}

/// A form shown again because somebody else changed the thing meanwhile: nothing was saved (409).
pub fn show_collision(template: &impl Template) -> Result<Response, AppError> {
    Ok((StatusCode::CONFLICT, Html(template.render()?)).into_response())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_tidied_and_an_over_long_one_is_told_at_its_field() {
        let mut slips = Slips::default();
        assert_eq!(slips.line("item", "  Sump \t plug ", 20), "Sump plug");
        assert!(slips.is_empty());
        slips.line("item", &"x".repeat(21), 20);
        assert_eq!(slips.of("item"), "At most 20 letters fit here; these are 21.");
        assert_eq!(slips.of("place"), "");
    }

    #[test]
    fn lines_drop_empty_ones_and_count_the_rest() {
        let mut slips = Slips::default();
        assert_eq!(slips.lines("tools", "jack\r\n\r\n two stands \n", 2, 20), ["jack", "two stands"]);
        assert!(slips.is_empty());
        slips.lines("tools", "a\nb\nc", 2, 20);
        assert_eq!(slips.of("tools"), "At most 2 lines fit here; these are 3.");
    }

    #[test]
    fn letters_that_cannot_be_shown_are_refused() {
        let mut slips = Slips::default();
        slips.line("item", "sump\u{0}plug", 20);
        slips.text("note", "one\r\ntwo\tthree", 20);
        assert!(slips.of("item").contains("cannot be shown"));
        assert_eq!(slips.of("note"), "");
    }

    #[test]
    fn only_fields_that_differ_are_told() {
        let differs = differing(
            vec![("Item", "Drain plug".into()), ("Place", String::new())],
            vec![("Item", "Drain plug ".into()), ("Place", "rear".into())],
        );
        assert_eq!(differs, [Differs { label: "Place", now: "nothing".into() }]);
    }

    #[test]
    fn days_are_iso_8601_and_exist() {
        let good = [("2027-05-01", "2027-05-01"), (" 2028-02-29 ", "2028-02-29")];
        for (typed, stored) in good {
            let mut slips = Slips::default();
            assert_eq!(slips.day("on", typed).as_deref(), Some(stored));
            assert!(slips.is_empty());
        }
        for typed in ["2027-02-29", "01.05.2027", "1 May", "0027-05-01", "2027-13-01", "9999-01-01"] {
            let mut slips = Slips::default();
            assert_eq!(slips.day("on", typed), None);
            assert!(slips.of("on").contains(typed), "{slips:?}");
        }
    }
}
