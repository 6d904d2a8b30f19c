//! Which thread a hexagon head of a given size across flats usually has, and the other way round.
//!
//! A hint only, and worded as one: makers put odd heads on flange bolts, and the same thread has two head sizes by two
//! standards. A head must never decide a thread, let alone a torque.
//!
//! Source: ISO 4014 and ISO 4017, and DIN 931 and DIN 933, by way of an open parts library and a supplier's page that
//! agree; not read in the standards. No table of inch heads was found, so none is given.

use rust_decimal::Decimal;
use thiserror::Error;

use super::quantity::{Length, LengthUnit, ParseError};
use super::thread::Thread;

/// Nominal diameter, across flats by DIN 931 and 933, and by ISO 4014 and 4017; all in millimetres.
const HEADS: [(u32, u32, u32); 12] = [
    (4, 7, 7),
    (5, 8, 8),
    (6, 10, 10),
    (8, 13, 13),
    (10, 17, 16),
    (12, 19, 18),
    (14, 22, 21),
    (16, 24, 24),
    (18, 27, 27),
    (20, 30, 30),
    (22, 32, 34),
    (24, 36, 36),
];

/// What every hint ends with.
const ONLY_A_HINT: &str = "That is a hint only: measure the thread itself.";

/// Which standard gives a head that size.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standard {
    /// DIN 931 and DIN 933, as most old cars have them.
    Din,
    /// ISO 4014 and ISO 4017.
    Iso,
    Both,
}

/// A size of thread that a head suggests.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Suggested {
    /// Nominal diameter of the metric thread, in millimetres; a head says nothing of the pitch.
    pub diameter: u32,
    pub by: Standard,
}

/// What a head suggests, with the sentence to show.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hint {
    /// The commoner on an old car first; empty when the size is in no table.
    pub sizes: Vec<Suggested>,
    pub sentence: String,
}

/// Why a head size cannot be read.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum HeadError {
    #[error("No size of a hexagon head is written: write it across the flats, such as 17 mm.")]
    NoSize,
    #[error(transparent)]
    Unreadable(#[from] ParseError),
}

/// Reads a head as sources write it, `17 mm`, `17 mm hex`, `3/8 in hex, castle nut`, and gives its size across flats.
/// Square and hexagon sockets are not heads to be measured across flats: no size.
pub fn read(text: &str) -> Result<Length, HeadError> {
    let plain = text.to_lowercase();
    if ["socket", "square", "spline", "allen"].iter().any(|word| plain.contains(word)) {
        return Err(HeadError::NoSize);
    }
    let after_number = plain.find(|letter: char| letter.is_ascii_alphabetic() || letter == '"');
    let Some(unit_at) = after_number.filter(|_| plain.trim_start().starts_with(|first: char| first.is_ascii_digit()))
    else {
        return Err(HeadError::NoSize);
    };
    let after_unit = plain[unit_at..].find([' ', ',', ';']).map_or(plain.len(), |end| unit_at + end);
    Ok(Length::parse(&plain[..after_unit])?)
}

/// The threads that usually have a head of that size. A spanner size is whole, so a measurement up to 0.25 mm under it,
/// from wear, still counts as it (common practice, no source; 1/2 in stays apart from 13 mm). A head written in inches
/// suggests nothing.
pub fn of_head(across_flats: &Length) -> Hint {
    if matches!(across_flats.unit(), LengthUnit::Inch | LengthUnit::Foot | LengthUnit::Thou) {
        let sentence = "No table of inch heads is known here: measure the thread itself.".to_owned();
        return Hint { sizes: Vec::new(), sentence };
    }
    let millimetres = across_flats.to(LengthUnit::Millimetre);
    let shown = across_flats.in_unit(across_flats.unit());
    let is = |size: u32| {
        let under = Decimal::from(size) - millimetres;
        (Decimal::new(-1, 1)..=Decimal::new(25, 2)).contains(&under)
    };
    let mut sizes: Vec<Suggested> = HEADS.iter().filter_map(|row| suggested(*row, is)).collect();
    sizes.sort_by_key(|suggested| suggested.by == Standard::Iso);
    let sentence = match sizes.as_slice() {
        [] => format!(
            "A head of {shown} across flats is in neither table known here (metric, M4 to M24): measure the thread \
             itself."
        ),
        several => {
            let named: Vec<String> = several.iter().map(|one| format!("M{} ({})", one.diameter, by(one.by))).collect();
            format!("A head of {shown} across flats is usual on {}. {ONLY_A_HINT}", named.join(" and "))
        }
    };
    Hint { sizes, sentence }
}

/// The spanner that usually fits a bolt of that thread, as a sentence; says so where none is known.
pub fn of_thread(thread: Thread) -> String {
    let nominal = thread.diameter().to(LengthUnit::Millimetre);
    let row = HEADS.iter().find(|row| thread.is_metric() && Decimal::from(row.0) == nominal);
    match row {
        None => format!("No usual head size is known here for {thread}: measure across the flats."),
        Some((_, din, iso)) if din == iso => {
            format!("{thread} usually has a head of {din} mm across flats. A hint only: try the spanner first.")
        }
        Some((_, din, iso)) => format!(
            "{thread} usually has a head of {din} mm across flats on an old car (DIN 931 and 933) or {iso} mm on a \
             newer bolt (ISO 4014 and 4017). A hint only: try the spanner first."
        ),
    }
}

fn suggested((diameter, din, iso): (u32, u32, u32), is: impl Fn(u32) -> bool) -> Option<Suggested> {
    let by = match (is(din), is(iso)) {
        (true, true) => Standard::Both,
        (true, false) => Standard::Din,
        (false, true) => Standard::Iso,
        (false, false) => return None,
    };
    Some(Suggested { diameter, by })
}

const fn by(standard: Standard) -> &'static str {
    match standard {
        Standard::Din => "by DIN 931 and 933, as on most old cars",
        Standard::Iso => "by ISO 4014 and 4017",
        Standard::Both => "by DIN and ISO alike",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(text: &str) -> Vec<(u32, Standard)> {
        of_head(&read(text).unwrap()).sizes.into_iter().map(|one| (one.diameter, one.by)).collect()
    }

    #[test]
    fn heads_suggest_threads_by_both_standards() {
        assert_eq!(of("13 mm"), [(8, Standard::Both)]);
        assert_eq!(of("17 mm hex"), [(10, Standard::Din)]);
        assert_eq!(of("16 mm"), [(10, Standard::Iso)]);
        assert_eq!(of("19 mm hex, castle nut"), [(12, Standard::Din)]);
        assert_eq!(of("12.8 mm"), [(8, Standard::Both)]);
        assert_eq!(of("14 mm"), []);
        assert_eq!(of("1/2 in"), []);
        assert_eq!(of("12.7 mm"), []);
    }

    #[test]
    fn every_hint_says_that_it_is_one() {
        for (_, din, iso) in HEADS {
            for size in [din, iso] {
                let hint = of_head(&read(&format!("{size} mm")).unwrap());
                assert!(hint.sentence.ends_with(ONLY_A_HINT), "{}", hint.sentence);
            }
        }
        for thread in Thread::all() {
            let said = of_thread(thread);
            assert!(said.contains("hint only") || said.starts_with("No usual head size"), "{said}");
        }
    }

    #[test]
    fn the_four_sizes_that_differ_are_told_apart() {
        let differing: Vec<u32> = HEADS.iter().filter(|row| row.1 != row.2).map(|row| row.0).collect();
        assert_eq!(differing, [10, 12, 14, 22]);
        let said = of_thread(Thread::parse("M12x1.25").unwrap());
        assert!(said.contains("19 mm") && said.contains("18 mm"), "{said}");
    }

    #[test]
    fn what_is_no_hexagon_is_not_guessed_at() {
        for text in ["", "hex", "10 mm square socket", "8 mm Allen", "seventeen mm"] {
            assert_eq!(read(text), Err(HeadError::NoSize), "{text}");
        }
        assert!(matches!(read("17 Nm"), Err(HeadError::Unreadable(_))));
        assert!(matches!(read("17"), Err(HeadError::NoSize | HeadError::Unreadable(_))));
    }

    proptest::proptest! {
        #[test]
        fn whatever_is_typed_gets_a_hint_or_a_sentence(text in "\\PC{0,20}", shaped in "[0-9]{0,3}[.,/]?[0-9]{0,2} ?[a-zé\"]{0,4}") {
            for text in [text, shaped] {
                let said = read(&text).map_or_else(|error| error.to_string(), |head| of_head(&head).sentence);
                proptest::prop_assert!(said.ends_with('.'));
            }
        }
    }
}
