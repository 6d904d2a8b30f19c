//! What is typed of a car, checked field by field so that nothing has to be typed twice.

use super::store::{Car, CarFacts};
use crate::web::form::{day, in_length, lines};
use jiff::civil::Date;
use serde::Deserialize;
use sha2::{Digest, Sha256};

const LONGEST_NAME: usize = 60;
const LONGEST_LINE: usize = 120;
const LONGEST_TEXT: usize = 4000;
/// The first motor cars (from memory).
const FIRST_YEAR: i64 = 1886;

/// The form as it was sent. `seen` says what the car was when the form was filled in.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CarForm {
    pub name: String,
    pub make: String,
    pub model: String,
    pub year: String,
    pub codes: String,
    pub story: String,
    pub wanted_on: String,
    pub wanted_for: String,
    #[serde(default)]
    pub seen: String,
}

/// What was wrong, a sentence for each field; empty where nothing was.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct CarSlips {
    pub name: String,
    pub make: String,
    pub model: String,
    pub year: String,
    pub codes: String,
    pub story: String,
    pub wanted_on: String,
    pub wanted_for: String,
}

impl CarForm {
    /// The form as it stands for a car that is known.
    pub fn of(car: &Car) -> CarForm {
        CarForm {
            name: car.name.clone(),
            make: car.make.clone(),
            model: car.model.clone(),
            year: car.year.map(|year| year.to_string()).unwrap_or_default(),
            codes: car.codes.clone(),
            story: car.story.clone(),
            wanted_on: car.wanted_on.clone().unwrap_or_default(),
            wanted_for: car.wanted_for.clone(),
            seen: seen(car),
        }
    }

    /// Errors: what is wrong with each field. `today` bounds the year of building.
    pub fn read(&self, today: Date) -> Result<CarFacts, CarSlips> {
        let mut slips = CarSlips::default();
        let facts = CarFacts {
            name: in_length(&self.name, LONGEST_NAME, &mut slips.name),
            make: in_length(&self.make, LONGEST_LINE, &mut slips.make),
            model: in_length(&self.model, LONGEST_LINE, &mut slips.model),
            year: year(&self.year, today, &mut slips.year),
            codes: codes(&self.codes, &mut slips.codes),
            story: in_length(&lines(&self.story), LONGEST_TEXT, &mut slips.story),
            wanted_on: day(&self.wanted_on, &mut slips.wanted_on),
            wanted_for: in_length(&self.wanted_for, LONGEST_LINE, &mut slips.wanted_for),
        };
        if facts.name.is_empty() {
            slips.name = "Give it a name: it stands on the sign of every page.".into();
        }
        if slips == CarSlips::default() { Ok(facts) } else { Err(slips) }
    }
}

fn year(typed: &str, today: Date, slip: &mut String) -> Option<i64> {
    let typed = typed.trim();
    if typed.is_empty() {
        return None;
    }
    let latest = i64::from(today.year()) + 1;
    let year = typed.parse().ok().filter(|year| (FIRST_YEAR..=latest).contains(year));
    if year.is_none() {
        *slip = format!("‘{typed}’ is no year of building. Between {FIRST_YEAR} and {latest}, or leave it empty.");
    }
    year
}

/// One `name: value` a line; empty lines go.
fn codes(typed: &str, slip: &mut String) -> String {
    let text = in_length(&lines(typed), LONGEST_TEXT, slip);
    let kept: Vec<&str> = text.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    let wrong = kept.iter().find(|line| line.split_once(':').is_none_or(|(name, _)| name.trim().is_empty()));
    if let Some(line) = wrong {
        *slip = format!("‘{line}’ does not say what it is. Write a name, a colon and the code: ‘engine code: …’.");
    }
    kept.join("\n")
}

/// Stands for everything that is known of a car, so that a form can tell whether it changed meanwhile.
pub fn seen(car: &Car) -> String {
    let Car { id, name, make, model, year, codes, story, wanted_on, wanted_for, invented: _ } = car;
    let all = format!("{:?}", (id, name, make, model, year, codes, story, wanted_on, wanted_for));
    hex::encode(&Sha256::digest(all)[..8])
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    const TODAY: Date = date(2026, 11, 17);

    fn typed() -> CarForm {
        CarForm { name: " Skarv ".into(), year: "1983".into(), wanted_on: "2027-05-01".into(), ..CarForm::default() }
    }

    #[test]
    fn what_is_not_known_may_stay_empty() {
        let facts = typed().read(TODAY).unwrap();
        assert_eq!((facts.name.as_str(), facts.year), ("Skarv", Some(1983)));
        assert_eq!(facts.wanted_on.as_deref(), Some("2027-05-01"));
        let bare = CarForm { name: "Skarv".into(), ..CarForm::default() };
        assert_eq!(bare.read(TODAY).unwrap().year, None);
    }

    #[test]
    fn a_year_of_building_is_a_year_in_which_there_were_cars() {
        for year in ["1885", "2028", "83", "nineteen", "1983.5", "-1983"] {
            let slips = CarForm { year: year.into(), ..typed() }.read(TODAY).unwrap_err();
            assert!(slips.year.contains(year), "{slips:?}");
        }
        for year in ["1886", "2027", " 1983 "] {
            assert!(CarForm { year: year.into(), ..typed() }.read(TODAY).is_ok(), "{year}");
        }
    }

    #[test]
    fn every_slip_is_told_at_once() {
        let form = CarForm { name: "  ".into(), year: "x".into(), wanted_on: "1 May".into(), ..typed() };
        let slips = form.read(TODAY).unwrap_err();
        assert!(!slips.name.is_empty() && !slips.year.is_empty() && !slips.wanted_on.is_empty());
        assert!(slips.make.is_empty());
    }

    #[test]
    fn a_code_says_what_it_is() {
        let with = |codes: &str| CarForm { codes: codes.into(), ..typed() }.read(TODAY);
        assert_eq!(with("engine code: X\r\n\r\npaint: 61").unwrap().codes, "engine code: X\npaint: 61");
        assert!(with("RUGDE-793").unwrap_err().codes.contains("RUGDE-793"));
        assert!(with(": 61").is_err());
    }
}
