//! What is typed of a car, checked field by field so that nothing has to be typed twice.

use super::store::{Car, CarFacts};
use crate::web::form::{Differs, Slips, differing};
use jiff::civil::Date;
use serde::Deserialize;
use sha2::{Digest, Sha256};

const LONGEST_NAME: usize = 60;
const LONGEST_LINE: usize = 120;
const LONGEST_TEXT: usize = 4000;
const MOST_CODES: usize = 40;
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

    /// The facts, unless something cannot be taken; the slips say what. `today` bounds the year of building.
    pub fn read(&self, today: Date, slips: &mut Slips) -> Option<CarFacts> {
        let no_name = "Give it a name: it stands on the sign of every page.";
        let facts = CarFacts {
            name: slips.needed("name", &self.name, LONGEST_NAME, no_name),
            make: slips.line("make", &self.make, LONGEST_LINE),
            model: slips.line("model", &self.model, LONGEST_LINE),
            year: year(&self.year, today, slips),
            codes: codes(&self.codes, slips),
            story: slips.text("story", &self.story, LONGEST_TEXT),
            wanted_on: slips.day("wanted_on", &self.wanted_on),
            wanted_for: slips.line("wanted_for", &self.wanted_for, LONGEST_LINE),
        };
        slips.is_empty().then_some(facts)
    }

    /// Where what is there now differs from what was typed.
    pub fn differing(&self, now: &Car) -> Vec<Differs> {
        differing(CarForm::of(now).fields(), self.fields())
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        let CarForm { name, make, model, year, codes, story, wanted_on, wanted_for, seen: _ } = self.clone();
        vec![
            ("Name", name),
            ("Make", make),
            ("Model", model),
            ("Built in", year),
            ("Codes", codes.replace("\r\n", "\n")),
            ("Wanted on", wanted_on),
            ("What for", wanted_for),
            ("How it came to you", story.replace("\r\n", "\n")),
        ]
    }
}

fn year(typed: &str, today: Date, slips: &mut Slips) -> Option<i64> {
    let typed = typed.trim();
    if typed.is_empty() {
        return None;
    }
    let latest = i64::from(today.year()) + 1;
    let year = typed.parse().ok().filter(|year| (FIRST_YEAR..=latest).contains(year));
    if year.is_none() {
        let between = format!("Between {FIRST_YEAR} and {latest}, or leave it empty.");
        slips.say("year", format!("‘{typed}’ is no year of building. {between}"));
    }
    year
}

/// One `name: value` a line; empty lines go.
fn codes(typed: &str, slips: &mut Slips) -> String {
    let kept = slips.lines("codes", typed, MOST_CODES, LONGEST_LINE);
    let wrong = kept.iter().find(|line| line.split_once(':').is_none_or(|(name, _)| name.trim().is_empty()));
    if let Some(line) = wrong {
        slips.say(
            "codes",
            format!("‘{line}’ does not say what it is. Write a name, a colon and the code: ‘engine code: …’."),
        );
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

    fn read(form: &CarForm) -> Result<CarFacts, Slips> {
        let mut slips = Slips::default();
        form.read(TODAY, &mut slips).ok_or(slips)
    }

    #[test]
    fn what_is_not_known_may_stay_empty() {
        let facts = read(&typed()).unwrap();
        assert_eq!((facts.name.as_str(), facts.year), ("Skarv", Some(1983)));
        assert_eq!(facts.wanted_on.as_deref(), Some("2027-05-01"));
        let bare = CarForm { name: "Skarv".into(), ..CarForm::default() };
        assert_eq!(read(&bare).unwrap().year, None);
    }

    #[test]
    fn a_year_of_building_is_a_year_in_which_there_were_cars() {
        for year in ["1885", "2028", "83", "nineteen", "1983.5", "-1983"] {
            let slips = read(&CarForm { year: year.into(), ..typed() }).unwrap_err();
            assert!(slips.of("year").contains(year), "{slips:?}");
        }
        for year in ["1886", "2027", " 1983 "] {
            assert!(read(&CarForm { year: year.into(), ..typed() }).is_ok(), "{year}");
        }
    }

    #[test]
    fn every_slip_is_told_at_once() {
        let form = CarForm { name: "  ".into(), year: "x".into(), wanted_on: "1 May".into(), ..typed() };
        let slips = read(&form).unwrap_err();
        assert!(["name", "year", "wanted_on"].iter().all(|field| !slips.of(field).is_empty()), "{slips:?}");
        assert_eq!(slips.of("make"), "");
    }

    #[test]
    fn a_code_says_what_it_is() {
        let with = |codes: &str| read(&CarForm { codes: codes.into(), ..typed() });
        assert_eq!(with("engine code: X\r\n\r\npaint: 61").unwrap().codes, "engine code: X\npaint: 61");
        assert!(with("RUGDE-793").unwrap_err().of("codes").contains("RUGDE-793"));
        assert!(with(": 61").is_err());
    }
}
