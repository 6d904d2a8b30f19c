//! Reading a thread as people write it: `M10x1.25`, `M 12x1.5 LH`, `3/8-16 UNC`, `1/4"-28`, `#10-32`.

use rust_decimal::Decimal;
use thiserror::Error;

use super::scan::{Scan, tidied};
use super::{Series, Thread, table};
use crate::trade::mechanics::double;

/// Longer texts are notes, not threads.
const LONGEST: usize = 60;
/// No known thread is as coarse as this, so a number from here on is the length of a bolt, as in `M8x30`.
const SHORTEST_LENGTH: i64 = 8;

/// A thread together with what else was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Read {
    pub thread: Thread,
    pub left_handed: bool,
    /// What stood after the thread, in lower case, such as `hollow` or `in alloy`; often empty.
    pub words: String,
}

/// Why a text was not taken as a thread.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum ThreadError {
    #[error("No thread was written: write one such as M10x1.25 or 3/8-16 UNC.")]
    Empty,

    #[error("‘{read}’ is not a thread that can be read: write one such as M10x1.25 or 3/8-16 UNC.")]
    Unreadable { read: String },

    #[error(
        "There is no thread {read}; the nearest that exist are {nearest}. Measure again, or ask for the right one."
    )]
    NoSuch { read: String, nearest: String },

    #[error("‘{read}’ can be {choices}: write the one that a pitch gauge shows.")]
    Undecided { read: String, choices: String },

    #[error("The {number} of ‘{read}’ looks like a length: write the pitch after the diameter, such as {coarse}.")]
    LengthForPitch { read: String, number: String, coarse: String },

    #[error("‘{read}’ contradicts itself: {thread} is {series}.")]
    WrongSeries { read: String, thread: String, series: Series },

    #[error("‘{read}’ is {what}, and only metric and Unified threads are known here.")]
    OtherForm { read: String, what: &'static str },

    #[error("‘{words}’ after the thread was not understood: write the thread alone, such as M10x1.25.")]
    LeftOver { words: String },
}

impl ThreadError {
    /// These words were written after a thread where nothing else belongs.
    pub(super) fn left_over(words: &str) -> Self {
        Self::LeftOver { words: quoted(words) }
    }
}

/// Reads a thread from the start of `text`, and gives the words after it.
pub fn read(text: &str) -> Result<Read, ThreadError> {
    let tidy = tidied(text);
    if tidy.is_empty() {
        return Err(ThreadError::Empty);
    }
    let unreadable = || ThreadError::Unreadable { read: quoted(text) };
    if tidy.len() > LONGEST {
        return Err(unreadable());
    }
    if let Some(what) = other_form(&tidy) {
        return Err(ThreadError::OtherForm { read: quoted(text), what });
    }
    let mut scan = Scan(&tidy);
    let thread = if metric_begins(&tidy) { metric(&mut scan, text)? } else { unified(&mut scan, text)? };
    skip_tolerance_class(&mut scan);
    let left_handed = take_hand(&mut scan);
    if scan.rest().starts_with(char::is_alphanumeric) && glued(&tidy, scan) {
        return Err(unreadable());
    }
    let words = scan.rest().trim_matches([' ', ',', ';', '-', '.']).to_owned();
    Ok(Read { thread, left_handed, words })
}

/// Whether the rest hangs on what was read without a gap, as in `M10x1.25q`.
fn glued(tidy: &str, scan: Scan<'_>) -> bool {
    !tidy[..tidy.len() - scan.rest().len()].ends_with([' ', ',', ';'])
}

fn metric_begins(tidy: &str) -> bool {
    tidy.strip_prefix('m').is_some_and(|rest| rest.trim_start().starts_with(|next: char| next.is_ascii_digit()))
}

fn metric(scan: &mut Scan<'_>, text: &str) -> Result<Thread, ThreadError> {
    let unreadable = || ThreadError::Unreadable { read: quoted(text) };
    scan.take("m");
    let diameter = scan.decimal().ok_or_else(unreadable)?;
    let pitch = take_pitch(scan);
    let of_that_size: Vec<Thread> =
        table::metric().filter(|thread| Decimal::new(i64::from(thread.diameter), 3) == diameter).collect();
    let Some(pitch) = pitch else {
        return metric_without_pitch(scan, text, diameter, &of_that_size);
    };
    if pitch >= Decimal::from(SHORTEST_LENGTH) {
        let coarse = of_that_size.first().map_or_else(|| "M10x1.25".to_owned(), ToString::to_string);
        let number = pitch.normalize().to_string();
        return Err(ThreadError::LengthForPitch { read: quoted(text), number, coarse });
    }
    // A second number is the length of the bolt, which says nothing of the thread.
    let mut ahead = *scan;
    if ahead.take("x") && ahead.decimal().is_some() {
        ahead.take_word(&["mm"]);
        *scan = ahead;
    }
    let found = of_that_size.into_iter().find(|thread| Decimal::new(i64::from(thread.pitch), 3) == pitch);
    found.ok_or_else(|| {
        let read = format!("M{}×{}", diameter.normalize(), pitch.normalize());
        ThreadError::NoSuch { read, nearest: nearest(table::metric(), double(diameter), Some(double(pitch))) }
    })
}

/// The number after an `x`, a dash or a blank, unless it is a tolerance class, as in `M10-6g`.
fn take_pitch(scan: &mut Scan<'_>) -> Option<Decimal> {
    let mut ahead = *scan;
    let joined = ahead.take("x") || ahead.take("-") || ahead.rest().starts_with(' ');
    if !joined {
        return None;
    }
    let pitch = ahead.decimal()?;
    if ahead.rest().starts_with(['g', 'h', 'e', 'f']) {
        return None;
    }
    ahead.take_word(&["mm"]);
    *scan = ahead;
    Some(pitch)
}

fn metric_without_pitch(
    scan: &mut Scan<'_>,
    text: &str,
    diameter: Decimal,
    of_that_size: &[Thread],
) -> Result<Thread, ThreadError> {
    if of_that_size.is_empty() {
        let read = format!("M{}", diameter.normalize());
        return Err(ThreadError::NoSuch { read, nearest: nearest(table::metric(), double(diameter), None) });
    }
    let fine = scan.take_word(&["fine"]);
    scan.take_word(&["coarse"]);
    let wanted = if fine { Series::MetricFine } else { Series::MetricCoarse };
    let fitting: Vec<Thread> = of_that_size.iter().copied().filter(|thread| thread.series == wanted).collect();
    match fitting.as_slice() {
        [only] => Ok(*only),
        [] => Err(ThreadError::Undecided { read: quoted(text), choices: listed(of_that_size, "or") }),
        several => Err(ThreadError::Undecided { read: quoted(text), choices: listed(several, "or") }),
    }
}

fn unified(scan: &mut Scan<'_>, text: &str) -> Result<Thread, ThreadError> {
    let unreadable = || ThreadError::Unreadable { read: quoted(text) };
    let inches = take_inch_size(scan).ok_or_else(unreadable)?;
    let per_inch = take_per_inch(scan);
    let series = take_series(scan);
    if per_inch.is_none() && series == Named::None {
        return unified_undecided(text, inches);
    }
    let of_that_size: Vec<Thread> =
        table::unified().filter(|thread| Decimal::new(i64::from(thread.diameter), 4) == inches).collect();
    let found = of_that_size.iter().copied().find(|thread| match per_inch {
        Some(count) => thread.pitch == count,
        None => series == Named::Series(thread.series),
    });
    let Some(thread) = found else {
        let pitch = per_inch.map(|count| 25.4 / f64::from(count.max(1)));
        let near = nearest(table::unified(), double(inches) * 25.4, pitch);
        return Err(ThreadError::NoSuch { read: quoted(text), nearest: near });
    };
    match series {
        Named::Series(named) if named != thread.series => {
            Err(ThreadError::WrongSeries { read: quoted(text), thread: thread.to_string(), series: thread.series })
        }
        Named::Series(_) | Named::None => Ok(thread),
    }
}

/// `3/8` alone: coarse and fine are both common, so nothing is taken for granted.
fn unified_undecided(text: &str, inches: Decimal) -> Result<Thread, ThreadError> {
    let choices: Vec<Thread> = table::unified()
        .filter(|thread| Decimal::new(i64::from(thread.diameter), 4) == inches)
        .filter(|thread| matches!(thread.series, Series::Unc | Series::Unf))
        .collect();
    match choices.as_slice() {
        [] => Err(ThreadError::Unreadable { read: quoted(text) }),
        several => Err(ThreadError::Undecided { read: quoted(text), choices: listed(several, "or") }),
    }
}

fn take_inch_size(scan: &mut Scan<'_>) -> Option<Decimal> {
    let numbered = scan.take("#") || scan.take_word(&["no.", "no", "nr.", "nr"]);
    if !numbered {
        let inches = scan.inches()?;
        let _ = scan.take("\"") || scan.take_word(&["inches", "inch", "in"]);
        return Some(inches);
    }
    let number = scan.whole()?;
    // Source of the rule: ASME B1.1, size number n is 0.060 in + n × 0.013 in.
    Decimal::from(number).checked_mul(Decimal::new(13, 3))?.checked_add(Decimal::new(60, 3))
}

fn take_per_inch(scan: &mut Scan<'_>) -> Option<u32> {
    let mut ahead = *scan;
    let _ = ahead.take("-") || ahead.take("x");
    let count = ahead.whole()?;
    ahead.take_word(&["tpi"]);
    *scan = ahead;
    Some(count)
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Named {
    Series(Series),
    None,
}

fn take_series(scan: &mut Scan<'_>) -> Named {
    // The rolled-root forms of the standard (UNRC, UNRF …) screw into the same nuts.
    const NAMES: [(&[&str], Series); 4] = [
        (&["unc", "unrc", "nc"], Series::Unc),
        (&["unf", "unrf", "nf"], Series::Unf),
        (&["unef", "unref", "nef"], Series::Unef),
        (&["uns", "unrs"], Series::Uns),
    ];
    NAMES.into_iter().find(|(words, _)| scan.take_word(words)).map_or(Named::None, |(_, series)| Named::Series(series))
}

/// `-6g`, `6H`, `-2A`, `5g6g`: how closely the thread was made, which says nothing of its size.
fn skip_tolerance_class(scan: &mut Scan<'_>) {
    let mut ahead = *scan;
    ahead.take("-");
    ahead.skip_blanks();
    let word = ahead.rest().split([' ', ',', '-']).next().unwrap_or_default();
    let pairs = word.as_bytes().chunks(2);
    let is_class = !word.is_empty()
        && pairs.clone().count() <= 2
        && pairs.clone().all(|pair| matches!(pair, [b'1'..=b'9', b'a' | b'b' | b'e'..=b'h']));
    if is_class {
        *scan = Scan(&ahead.rest()[word.len()..]);
    }
}

fn take_hand(scan: &mut Scan<'_>) -> bool {
    scan.take_word(&["rh", "right-hand", "right hand"]);
    let mut ahead = *scan;
    ahead.take("-");
    ahead.take(",");
    let left = ahead.take_word(&["lh", "left-handed", "left-hand", "left hand", "left"]);
    if left {
        ahead.take_word(&["thread"]);
        *scan = ahead;
    }
    left
}

/// Threads of other forms that old cars carry, told by their letters.
fn other_form(tidy: &str) -> Option<&'static str> {
    const WORDS: [(&[&str], &str); 6] = [
        (&["bsw", "bsf", "whit", "whitworth"], "a Whitworth-form thread (55°)"),
        (&["ba"], "a British Association thread (47.5°)"),
        (&["bsp", "bspp", "g"], "a parallel pipe thread (ISO 228)"),
        (&["bspt", "npt", "nptf", "r", "rc", "rp"], "a taper pipe thread"),
        (&["tr"], "a trapezoidal thread"),
        (&["cei", "bsc", "cycle"], "a cycle thread (60°)"),
    ];
    // A single letter counts at the start only: the g of 6g is a tolerance class.
    tidy.split(|letter: char| !letter.is_ascii_alphabetic())
        .enumerate()
        .filter(|(place, word)| *place == 0 || word.len() > 1)
        .find_map(|(_, word)| WORDS.iter().find(|(words, _)| words.contains(&word)).map(|(_, what)| *what))
}

/// The three known threads nearest by diameter and pitch; diameters count double, since a caliper is surer than a
/// ruler.
fn nearest(known: impl Iterator<Item = Thread>, millimetres: f64, pitch: Option<f64>) -> String {
    let mut ranked: Vec<(f64, Thread)> = known
        .map(|thread| {
            let size = thread.dimensions();
            let off = 2.0 * (size.outside - millimetres).abs() / size.outside;
            (off + pitch.map_or(0.0, |pitch| (size.pitch - pitch).abs() / size.pitch), thread)
        })
        .collect();
    ranked.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut three: Vec<Thread> = ranked.into_iter().take(3).map(|(_, thread)| thread).collect();
    three.sort_by(|a, b| a.dimensions().outside.total_cmp(&b.dimensions().outside));
    listed(&three, "and")
}

/// `M10×1, M10×1.25 and M10×1.5`.
fn listed(threads: &[Thread], joint: &str) -> String {
    let names: Vec<String> = threads.iter().map(ToString::to_string).collect();
    match names.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [most @ .., last] => format!("{} {joint} {last}", most.join(", ")),
    }
}

/// What was typed, short and without control characters, to be quoted in a sentence.
fn quoted(text: &str) -> String {
    text.trim().chars().filter(|letter| !letter.is_control()).take(40).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str) -> String {
        Thread::parse(text).map_or_else(|error| error.to_string(), |thread| thread.to_string())
    }

    #[test]
    fn metric_threads_are_read_as_people_write_them() {
        for (text, expected) in [
            ("M10x1.25", "M10×1.25"),
            ("m10X1,25", "M10×1.25"),
            ("M10 × 1,25", "M10×1.25"),
            ("M10", "M10×1.5"),
            ("M 10 coarse", "M10×1.5"),
            ("M6 fine", "M6×0.75"),
            ("M10-1.25", "M10×1.25"),
            ("M10x1.25-6g", "M10×1.25"),
            ("M10-6H", "M10×1.5"),
            ("M10 1.25", "M10×1.25"),
            ("M8x1.25x30", "M8×1.25"),
            ("M8 x 1.25 x 30 mm", "M8×1.25"),
            ("M8x1.0", "M8×1"),
        ] {
            assert_eq!(shown(text), expected, "{text}");
        }
    }

    #[test]
    fn unified_threads_are_read_as_people_write_them() {
        for (text, expected) in [
            ("3/8-16 UNC", "3/8-16 UNC"),
            ("3/8 UNC", "3/8-16 UNC"),
            ("7/16-20 UNF", "7/16-20 UNF"),
            ("7/16 unf", "7/16-20 UNF"),
            ("1/4\"-28", "1/4-28 UNF"),
            ("1/4” x 20", "1/4-20 UNC"),
            ("1/4 in - 20 UNC-2A", "1/4-20 UNC"),
            ("1/4 28 tpi", "1/4-28 UNF"),
            ("0.375-24", "3/8-24 UNF"),
            ("#10-32", "#10-32 UNF"),
            ("No. 10-24 UNC", "#10-24 UNC"),
            ("1-14", "1-14 UNS"),
            ("1 1/8-12 UNF", "1 1/8-12 UNF"),
        ] {
            assert_eq!(shown(text), expected, "{text}");
        }
    }

    #[test]
    fn the_hand_and_the_words_after_a_thread_are_kept() {
        let left = read("M 12x1.5 LH").unwrap();
        assert_eq!((left.thread.to_string().as_str(), left.left_handed, left.words.as_str()), ("M12×1.5", true, ""));
        assert!(read("3/8-24 UNF-2A-LH").unwrap().left_handed);
        assert!(!read("M12x1.5").unwrap().left_handed);
        assert_eq!(read("M10x1 hollow").unwrap().words, "hollow");
        assert_eq!(read("M18x1.5, in alloy").unwrap().words, "in alloy");
    }

    #[test]
    fn a_thread_that_does_not_exist_is_answered_with_the_nearest_that_do() {
        assert_eq!(
            shown("M10x1.1"),
            "There is no thread M10×1.1; the nearest that exist are M10×1, M10×1.25 and M10×1.5. \
             Measure again, or ask for the right one."
        );
        assert!(shown("M13x1.5").contains("M12×1.5"), "{}", shown("M13x1.5"));
        assert!(shown("3/8-20").contains("3/8-24 UNF"), "{}", shown("3/8-20"));
        assert!(shown("M21").starts_with("There is no thread M21;"));
    }

    #[test]
    fn what_leaves_a_choice_open_is_asked_back() {
        assert_eq!(shown("3/8"), "‘3/8’ can be 3/8-16 UNC or 3/8-24 UNF: write the one that a pitch gauge shows.");
        assert!(shown("M10 fine").contains("M10×1.25, M10×1 or M10×0.75"));
        assert!(shown("M15").contains("M15×1.5 or M15×1"));
    }

    #[test]
    fn slips_and_other_thread_forms_are_named() {
        assert_eq!(
            shown("M8x30"),
            "The 30 of ‘M8x30’ looks like a length: write the pitch after the diameter, such as M8×1.25."
        );
        assert_eq!(shown("3/8-24 UNC"), "‘3/8-24 UNC’ contradicts itself: 3/8-24 UNF is UNF.");
        assert!(shown("3/8 BSF").contains("Whitworth"));
        assert!(shown("R 1/4 taper").contains("taper pipe thread"));
        assert!(shown("G 1/4").contains("ISO 228"));
    }

    #[test]
    fn nonsense_is_refused_without_a_panic() {
        for text in [
            "",
            " ",
            "M",
            "x",
            "M10x",
            "Mx1",
            "M10xx1",
            "1/0-16",
            "#",
            "#999999999999-3",
            "worm drive band",
            "M99999999999999999999999999999999",
            "M10x1.25q",
            "3/8-0",
            "½-13",
            "M10x1.25 bolt",
            "\u{0}",
        ] {
            assert!(Thread::parse(text).is_err(), "{text}: {:?}", Thread::parse(text));
        }
        assert!(Thread::parse(&"M10 ".repeat(500)).is_err());
    }

    proptest::proptest! {
        #[test]
        fn whatever_is_typed_gets_a_thread_or_a_sentence(text in "\\PC{0,30}", shaped in "[mM#0-9/ x.,\"×-]{0,16}[a-zA-Zé ]{0,8}") {
            for text in [text, shaped] {
                match read(&text) {
                    Ok(found) => proptest::prop_assert_eq!(Thread::parse(&found.thread.to_string()), Ok(found.thread)),
                    Err(error) => proptest::prop_assert!(error.to_string().ends_with('.')),
                }
            }
        }
    }
}
