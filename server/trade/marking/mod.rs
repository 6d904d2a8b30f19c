//! What is moulded on a cap, stamped on a bolt head or a tyre, printed on a bottle or a fuse: what it means, who says so,
//! and 'not known' otherwise. Public standards only; never a product's name.
//!
//! - `bolt`: property classes and radial lines   - `tyre`: sizes, loads, speeds   - `tyre_date`: week and year
//! - `vin`: check digit and model year   - `electric`: fuses, wires, terminals, bulbs   - `fluids`: grades and classes
//!
//! Threads are measured, not read: see `thread`.

mod bolt;
mod electric;
mod fluids;
mod tyre;
mod tyre_date;
mod vin;

pub use bolt::{BoltClass, LineGrade};
pub use tyre::{Build, SpeedSymbol, TyreSize, Width, load_of_index};
pub use tyre_date::{DateCode, DateError};
pub use vin::{CheckDigit, Vin, VinError};

use super::citation::Citation;
use super::closed_set::closed_set;

closed_set! {
    /// What a marking is about.
    pub enum Subject {
        BrakeFluid = "brake-fluid", "Brake fluid";
        Fluid = "fluid", "Fluid";
        Bolt = "bolt", "Bolt or nut";
        TyreSize = "tyre-size", "Tyre size";
        TyreDate = "tyre-date", "Tyre date";
        Vin = "vin", "Vehicle identification number";
        Fuse = "fuse", "Fuse";
        Wire = "wire", "Wire";
        Terminal = "terminal", "Terminal";
        Bulb = "bulb", "Bulb";
        NotKnown = "not-known", "Not known";
    }
}

/// One thing that a marking may mean.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    pub subject: Subject,
    /// The part that was read, tidied.
    pub read: String,
    /// In one or two sentences.
    pub means: String,
    /// What to mind about it, each a sentence.
    pub notes: Vec<String>,
    pub source: Citation,
}

/// Every meaning that the standards known here give to `text`; never empty: what nobody knows is said to be not known.
pub fn read(text: &str) -> Vec<Reading> {
    let tidy: String = text.split_whitespace().collect::<Vec<_>>().join(" ").chars().take(LONGEST).collect();
    if let Some(vin) = vin::reading(&tidy) {
        return vec![vin];
    }
    let tyre: Vec<_> = tyre::reading(&tidy).into_iter().chain(tyre_date::reading(&tidy)).collect();
    if !tyre.is_empty() {
        return tyre;
    }
    let mut found: Vec<_> = bolt::reading(&tidy).into_iter().chain(electric::readings(&tidy)).collect();
    if found.is_empty() {
        found.extend(fluids::readings(&tidy));
    }
    if found.is_empty() {
        found.push(not_known(tidy));
    }
    found
}

const LONGEST: usize = 120;

fn not_known(read: String) -> Reading {
    let means = "Not known: no public standard known here gives this a meaning. It may be a maker's own number or the name it is \
                 sold by: ask the maker's manual."
        .to_owned();
    Reading { subject: Subject::NotKnown, read, means, notes: Vec::new(), source: Citation::PRACTICE }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_marking_is_read_as_what_it_is() {
        for (text, subject) in [
            ("DOT 4", Subject::BrakeFluid),
            ("SAE 20W-50", Subject::Fluid),
            ("NLGI 2 GC-LB", Subject::Fluid),
            ("8.8", Subject::Bolt),
            ("3 lines", Subject::Bolt),
            ("185/65 R14 86T", Subject::TyreSize),
            ("DOT AB12 CDE 2501", Subject::TyreDate),
            ("2501", Subject::TyreDate),
            ("1M8GDM9AXKP042788", Subject::Vin),
            ("16 A", Subject::Fuse),
            ("red fuse", Subject::Fuse),
            ("1.5 rt/sw", Subject::Wire),
            ("87a", Subject::Terminal),
            ("P21/5W", Subject::Bulb),
            ("12V 21W", Subject::Bulb),
            ("hello", Subject::NotKnown),
            ("", Subject::NotKnown),
            ("🛞", Subject::NotKnown),
        ] {
            let found = read(text);
            assert_eq!(found[0].subject, subject, "{text}: {found:?}");
        }
    }

    proptest::proptest! {
        #[test]
        fn no_text_makes_it_panic_or_goes_unanswered(text in ".{0,60}", marking in "[0-9]{0,32}[ ./-]?(R|W|V|A|SR|DOT|LINES|FUSE|VIN)? ?[0-9A-Z]{0,20}") {
            for text in [text, marking] {
                let found = read(&text);
                proptest::prop_assert!(!found.is_empty());
                proptest::prop_assert!(found.iter().all(|reading| reading.means.ends_with('.') || reading.means.ends_with('?')));
            }
        }
    }

    #[test]
    fn a_cap_that_names_two_grades_explains_both() {
        let found = read("USE DOT 3 OR DOT 4 FLUID");
        let read: Vec<_> = found.iter().map(|reading| reading.read.as_str()).collect();
        assert_eq!(read, ["DOT 3", "DOT 4"]);
    }

    #[test]
    fn what_is_not_known_is_said_to_be_and_never_guessed() {
        for text in ["SUPER 2000", "XYZ 99", "7 lines", "9.9", "999/99 R99", "fuse 13 A", "terminal 99", "???"] {
            let found = read(text);
            assert_eq!(found[0].subject, Subject::NotKnown, "{text}: {found:?}");
        }
    }
}
