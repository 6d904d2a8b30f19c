//! When a tyre was made: the last figures of the code after DOT on its sidewall.

use thiserror::Error;

use super::{Reading, Subject};
use crate::trade::citation::Citation;

/// Week and year of a tyre.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DateCode {
    /// 1 to 53.
    pub week: u32,
    /// One year, or the likely ones where only its last figure is written.
    pub years: Vec<u32>,
}

/// Why a date code was not taken.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum DateError {
    #[error("‘{0}’ is no date code: take the last three or four figures of the code that begins with DOT.")]
    NoCode(String),

    #[error(
        "Week {0} does not exist: the first two figures are the week, 01 to 53. Is the code read from the right end?"
    )]
    NoSuchWeek(u32),
}

const FOUR_FIGURES: Citation = Citation::quoted("49 CFR 574.5; final rule 64 FR 36807 of 8 July 1999");
const THREE_FIGURES: Citation = Citation::quoted("49 CFR 574.5 before July 2000");

impl DateCode {
    /// Reads `2501` (week 25 of 2001) or `031` (week 3 of a year that ends in 1, before 2000).
    pub fn parse(text: &str) -> Result<Self, DateError> {
        let code = text.trim();
        let known = matches!(code.len(), 3 | 4) && code.bytes().all(|byte| byte.is_ascii_digit());
        let (week, year) = code.split_at_checked(2).filter(|_| known).ok_or_else(|| refused(code))?;
        let week: u32 = week.parse().map_err(|_| refused(code))?;
        let figures: u32 = year.parse().map_err(|_| refused(code))?;
        if !(1..=53).contains(&week) {
            return Err(DateError::NoSuchWeek(week));
        }
        let years = if year.len() == 2 { vec![2000 + figures] } else { vec![1980 + figures, 1990 + figures] };
        Ok(Self { week, years })
    }

    /// Whether the decade is not written.
    pub fn is_ambiguous(&self) -> bool {
        self.years.len() > 1
    }

    fn reading(&self, read: String) -> Reading {
        let week = self.week;
        if let [year] = self.years[..] {
            let means = format!("Made in week {week} of {year}.");
            let notes = vec![
                "Many makers ask for a look by a tyre fitter from six years on, and for a new tyre after ten."
                    .to_owned(),
            ];
            return Reading { subject: Subject::TyreDate, read, means, notes, source: FOUR_FIGURES };
        }
        let years: Vec<_> = self.years.iter().map(u32::to_string).collect();
        let means =
            format!("Made before 2000, in week {week} of {}: three figures do not say the decade.", years.join(" or "));
        let notes = vec!["Either way the tyre is far over age: do not drive on it, whatever its tread.".to_owned()];
        Reading { subject: Subject::TyreDate, read, means, notes, source: THREE_FIGURES }
    }
}

fn refused(code: &str) -> DateError {
    DateError::NoCode(code.chars().take(20).collect())
}

/// Bare figures, or the last ones of a code after DOT.
pub(super) fn reading(text: &str) -> Option<Reading> {
    let upper = text.to_uppercase();
    let is_code = |part: &&str| matches!(part.len(), 3 | 4) && part.bytes().all(|byte| byte.is_ascii_digit());
    let code = match upper.strip_prefix("DOT") {
        // A plant code has two characters at least; a single figure is a brake fluid's grade.
        Some(rest) if rest.split_whitespace().next().is_some_and(|plant| plant.len() > 1) => {
            rest.split_whitespace().last().filter(is_code)?
        }
        Some(_) => return None,
        None => Some(upper.as_str()).filter(is_code)?,
    };
    let date = DateCode::parse(code).ok()?;
    Some(date.reading(text.to_owned()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weeks_that_do_not_exist_and_other_figures_are_refused() {
        assert_eq!(DateCode::parse("5401"), Err(DateError::NoSuchWeek(54)));
        assert_eq!(DateCode::parse("001"), Err(DateError::NoSuchWeek(0)));
        for text in ["", "25", "25011", "2a01", "½01", "25 01"] {
            assert!(matches!(DateCode::parse(text), Err(DateError::NoCode(_))), "{text}");
        }
    }

    #[test]
    fn dot_four_is_no_date() {
        assert_eq!(reading("DOT 4"), None);
        assert_eq!(reading("DOT 4 500"), None);
        assert!(reading("DOT AB12 CDE 2501").is_some());
    }
}
