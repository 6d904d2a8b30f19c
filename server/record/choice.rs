//! What is left out of a record, and the paper it is for.

use crate::error::AppError;
use crate::trade::closed_set::closed_set;
use serde::Deserialize;

closed_set! {
    /// What can be left out.
    pub enum LeaveOut {
        Prices = "prices", "what parts cost";
        Places = "places", "where parts were bought";
        Names = "names", "names of people and devices";
        Photos = "photos", "photos";
        Guards = "guards", "guards that were passed over, and why";
        Codes = "codes", "codes of the car, such as chassis number and number plate";
    }
}

impl LeaveOut {
    /// What a stranger has least need of.
    const AT_FIRST: [LeaveOut; 3] = [LeaveOut::Prices, LeaveOut::Places, LeaveOut::Names];
}

closed_set! {
    /// A4 is 210 mm × 297 mm (ISO 216); US Letter 8.5 in × 11 in (ANSI/ASME Y14.1).
    pub enum Paper {
        A4 = "a4", "A4";
        Letter = "letter", "US Letter";
    }
}

/// The longest list of words to blot out, and the longest of them.
const MOST_WORDS: usize = 50;
const LONGEST_WORD: usize = 200;
/// A single letter would blot out everything.
const SHORTEST_WORD: usize = 2;

/// The form as it is sent. Without `paper` it was not sent yet.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Question {
    #[serde(default)]
    leave: Vec<String>,
    #[serde(default)]
    words: String,
    #[serde(default)]
    paper: String,
    /// `plain`: the head of the paper names no car.
    #[serde(default)]
    head: String,
}

/// What was chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice {
    leave: Vec<LeaveOut>,
    /// Words that must not be in the record, as they were typed.
    pub words: Vec<String>,
    pub paper: Paper,
    /// The head of the paper names no car.
    pub plain_head: bool,
}

impl Choice {
    /// Errors: something that cannot be left out, a paper that is not known, words that cannot be blotted out.
    pub fn read(question: &Question) -> Result<Choice, AppError> {
        let invalid = |say: String| AppError::Invalid("malformed", say);
        let unknown = |name: &str| invalid(format!("‘{name}’ is nothing that can be left out of a record."));
        let leave = |name: &String| LeaveOut::from_name(name).ok_or_else(|| unknown(name));
        let words: Vec<String> = question.words.lines().map(one_line).filter(|word| !word.is_empty()).collect();
        if words.len() > MOST_WORDS {
            return Err(invalid(format!(
                "At most {MOST_WORDS} lines of words can be left out; these are {}.",
                words.len()
            )));
        }
        if let Some(word) = words.iter().find(|word| !(SHORTEST_WORD..=LONGEST_WORD).contains(&word.chars().count())) {
            let say =
                format!("Words to leave out have {SHORTEST_WORD} to {LONGEST_WORD} letters a line: ‘{word}’ does not.");
            return Err(invalid(say));
        }
        let plain_head = question.head == "plain";
        if question.paper.is_empty() {
            return Ok(Choice { leave: LeaveOut::AT_FIRST.to_vec(), words, paper: Paper::A4, plain_head });
        }
        let paper = Paper::from_name(&question.paper)
            .ok_or_else(|| invalid(format!("‘{}’ is no paper that is known here.", question.paper)))?;
        Ok(Choice { leave: question.leave.iter().map(leave).collect::<Result<_, _>>()?, words, paper, plain_head })
    }

    /// As it stands behind the question mark of an address, without the words: those that must not be in the record may not
    /// stand in its addresses either, which a browser prints at the edge of the paper.
    pub fn query(&self) -> String {
        let leave = self.leave.iter().map(|what| format!("leave={}&", what.name()));
        format!("{}paper={}", leave.collect::<String>(), self.paper.name())
    }

    pub fn leaves_out(&self, what: LeaveOut) -> bool {
        self.leave.contains(&what)
    }

    /// What is not in the record, in words; empty where all of it is.
    pub fn said(&self) -> String {
        let mut said: Vec<&str> =
            LeaveOut::ALL.iter().filter(|what| self.leaves_out(**what)).map(|what| what.label()).collect();
        if !self.words.is_empty() {
            said.push("some words, each of which is blotted out");
        }
        said.join("; ")
    }
}

fn one_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(leave: &[&str], words: &str, paper: &str) -> Result<Choice, String> {
        let leave = leave.iter().map(|name| (*name).to_owned()).collect();
        let question = Question { leave, words: words.into(), paper: paper.into(), head: String::new() };
        Choice::read(&question).map_err(|cause| cause.to_string())
    }

    #[test]
    fn what_was_chosen_is_left_out_and_nothing_else() {
        let choice = read(&["names", "photos"], "  Old   Barn \r\n\r\nX1 ", "letter").unwrap();
        assert!(choice.leaves_out(LeaveOut::Names) && choice.leaves_out(LeaveOut::Photos));
        assert!(!choice.leaves_out(LeaveOut::Prices));
        assert_eq!((choice.words, choice.paper), (vec!["Old Barn".to_owned(), "X1".to_owned()], Paper::Letter));
        assert_eq!(read(&[], "", "a4").unwrap().said(), "");
        assert_eq!(read(&["names", "photos"], "Thorgerd", "a4").unwrap().query(), "leave=names&leave=photos&paper=a4");
    }

    #[test]
    fn before_anything_is_chosen_prices_places_and_names_are_left_out() {
        let choice = read(&[], "", "").unwrap();
        assert!(LeaveOut::AT_FIRST.iter().all(|what| choice.leaves_out(*what)));
        assert!(!choice.leaves_out(LeaveOut::Photos));
    }

    #[test]
    fn what_cannot_be_left_out_is_refused_with_a_sentence() {
        let many = "ab\n".repeat(MOST_WORDS + 1);
        let long = "x".repeat(LONGEST_WORD + 1);
        let cases: [(&[&str], &str, &str, &str); 6] = [
            (&["rust"], "", "a4", "‘rust’ is nothing"),
            (&["prices", ""], "", "a4", "‘’ is nothing"),
            (&[], "", "a5", "‘a5’ is no paper"),
            (&[], "x", "a4", "2 to 200 letters"),
            (&[], &long, "a4", "2 to 200 letters"),
            (&[], &many, "a4", "At most 50 lines"),
        ];
        for (leave, words, paper, say) in cases {
            let said = read(leave, words, paper).unwrap_err();
            assert!(said.contains(say), "{said}");
        }
    }
}
