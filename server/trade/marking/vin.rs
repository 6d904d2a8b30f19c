//! The 17-character vehicle identification number: check digit and model year.

use thiserror::Error;

use super::{Reading, Subject};
use crate::trade::citation::Citation;

/// A number of 17 characters, none of them I, O or Q.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Vin(String);

/// What position 9 says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CheckDigit {
    /// It is the one that the other sixteen give.
    Holds,
    /// It is another; the right one is given.
    Differs(char),
}

/// Why a number was not taken as a 17-character one.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum VinError {
    #[error(
        "‘{letter}’ at position {position} cannot be: I, O and Q are never used, as they look like 1 and 0. Is it {instead}?"
    )]
    LookAlike { letter: char, position: usize, instead: &'static str },

    #[error("‘{letter}’ at position {position} cannot be: only the letters A to Z and figures are used.")]
    OtherLetter { letter: char, position: usize },

    #[error(
        "This has {0} characters, and the form in use since model year 1981 has 17. For an older car that is right: keep its \
         number as plain text, nothing in it can be checked. Otherwise count again."
    )]
    NotSeventeen(usize),
}

const CHECK: Citation = Citation::read("49 CFR 565.15(c)");
const LENGTH: usize = 17;

/// Place 9 carries the check digit and counts nothing.
const WEIGHTS: [u32; LENGTH] = [8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2];

/// The letters of model years, from 1980 on; from 2001 the figures 1 to 9, then again from the start.
const YEARS: &str = "ABCDEFGHJKLMNPRSTVWXY123456789";

impl Vin {
    /// Gaps and hyphens are passed over, small letters taken as capitals.
    pub fn parse(text: &str) -> Result<Self, VinError> {
        let vin: String =
            text.to_uppercase().chars().filter(|letter| !letter.is_whitespace() && *letter != '-').collect();
        for (at, letter) in vin.chars().enumerate().take(LENGTH) {
            let position = at + 1;
            match letter {
                'I' => return Err(VinError::LookAlike { letter, position, instead: "1" }),
                'O' | 'Q' => return Err(VinError::LookAlike { letter, position, instead: "0" }),
                letter if letter.is_ascii_alphanumeric() => {}
                letter => return Err(VinError::OtherLetter { letter, position }),
            }
        }
        if vin.chars().count() != LENGTH {
            return Err(VinError::NotSeventeen(vin.chars().count()));
        }
        Ok(Self(vin))
    }

    pub fn as_str(&self) -> &str {
        &self.0
    }

    fn at(&self, position: usize) -> char {
        // Seventeen ASCII characters since it was parsed.
        char::from(self.0.as_bytes()[position - 1])
    }

    /// The sum over all places of value times weight, modulo 11, is position 9, where 10 is written X.
    pub fn check_digit(&self) -> CheckDigit {
        let sum: u32 = self.0.chars().zip(WEIGHTS).map(|(letter, weight)| value(letter) * weight).sum();
        let right = char::from_digit(sum % 11, 10).unwrap_or('X');
        if self.at(9) == right { CheckDigit::Holds } else { CheckDigit::Differs(right) }
    }

    /// Whether the check digit is compulsory: numbers given out for North America begin with 1 to 5.
    pub fn is_north_american(&self) -> bool {
        ('1'..='5').contains(&self.at(1))
    }

    /// The years that position 10 may mean, thirty years apart; empty if it is no year code.
    pub fn model_years(&self) -> Vec<u32> {
        let Some(at) = YEARS.find(self.at(10)) else {
            return Vec::new();
        };
        // At most 29.
        let first = 1980 + at as u32;
        vec![first, first + 30]
    }

    /// Which of them position 7 speaks for, on a car or light truck made for North America: a figure for the first,
    /// a letter for the second.
    pub fn likely_year(&self) -> Option<u32> {
        let years = self.model_years();
        let wanted = if self.at(7).is_ascii_digit() { years.first() } else { years.last() };
        wanted.copied().filter(|_| self.is_north_american())
    }
}

fn value(letter: char) -> u32 {
    match letter {
        'A' | 'J' => 1,
        'B' | 'K' | 'S' => 2,
        'C' | 'L' | 'T' => 3,
        'D' | 'M' | 'U' => 4,
        'E' | 'N' | 'V' => 5,
        'F' | 'W' => 6,
        'G' | 'P' | 'X' => 7,
        'H' | 'Y' => 8,
        'R' | 'Z' => 9,
        figure => figure.to_digit(10).unwrap_or(0),
    }
}

/// For a text that says VIN, or one word of letters and figures as long as such a number may come out.
pub(super) fn reading(text: &str) -> Option<Reading> {
    let upper = text.to_uppercase();
    let named = upper.strip_prefix("VIN").map(|rest| rest.trim_start_matches([':', ' ']));
    let bare = named.unwrap_or(&upper);
    let figures = bare.bytes().filter(u8::is_ascii_digit).count();
    let alone =
        bare.bytes().all(|byte| byte.is_ascii_alphanumeric()) && (14..=20).contains(&bare.len()) && figures >= 4;
    if !alone && named.is_none() {
        return None;
    }
    let (means, notes) = match Vin::parse(bare) {
        Ok(vin) => (says_check(&vin), vec![says_year(&vin)]),
        Err(refusal) => (refusal.to_string(), Vec::new()),
    };
    Some(Reading { subject: Subject::Vin, read: bare.to_owned(), means, notes, source: CHECK })
}

fn says_check(vin: &Vin) -> String {
    match (vin.check_digit(), vin.is_north_american()) {
        (CheckDigit::Holds, _) => "17 characters, and the check digit fits the others: it was copied without a slip.".to_owned(),
        (CheckDigit::Differs(right), true) => format!(
            "17 characters, but the check digit at position 9 should be {right}: one character was probably copied wrong. Read it \
             off the car once more."
        ),
        (CheckDigit::Differs(_), false) => "17 characters. Position 9 is no check digit, which is not required outside North \
                                            America: nothing tells whether it was copied right, so read it off the car twice."
            .to_owned(),
    }
}

fn says_year(vin: &Vin) -> String {
    let years = vin.model_years();
    let [first, second] = years[..] else {
        return "Position 10 is no year code.".to_owned();
    };
    let mut says =
        format!("By position 10 the model year is {first} or {second}: the code comes round every 30 years.");
    if let Some(likely) = vin.likely_year() {
        says.push_str(&format!(" Position 7 speaks for {likely}, if it is a car or light truck."));
    } else {
        says.push_str(" Outside North America the place need not be a year at all.");
    }
    says
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn small_letters_gaps_and_hyphens_do_not_matter() {
        assert_eq!(Vin::parse("1m8gdm9a xkp-042788").unwrap().as_str(), "1M8GDM9AXKP042788");
    }

    #[test]
    fn other_characters_are_named_with_their_place() {
        let refusal = Vin::parse("1M8GDM9AXKP04278é").unwrap_err();
        assert_eq!(refusal, VinError::OtherLetter { letter: 'É', position: 17 });
        assert_eq!(Vin::parse(""), Err(VinError::NotSeventeen(0)));
    }

    #[test]
    fn a_number_from_elsewhere_is_not_called_wrong() {
        let found = reading("WDX1234567Y890123").unwrap();
        assert!(found.means.contains("not required outside North America"), "{}", found.means);
        assert!(!found.means.contains("copied wrong"));
    }
}
