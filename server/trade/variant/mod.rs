//! Which variant of the car a spec is for, held against what the car's own codes say.
//!
//! The words of a variant are read by a small grammar. Whatever it cannot read is 'cannot tell': only words that were
//! read to the last, and that the car's codes bear out, ever hold.
//!
//! ```text
//! variant  = clause { ("," | ";" | "and") clause }            every clause must hold
//! clause   = [ "only" | "for" ] [ negation ] test { "or" test }   one of the tests must hold
//! negation = "not" [ "for" | "with" ] | "without" | "except" [ "for" ]
//! test     = [ "with" ] name value | range | [ "with" ] name
//! range    = [ name ] "from" value [ "to" value ] | [ name ] "up to" value | "before" value | "after" value | …
//! value    = a code, a number, or a month such as 1981-06
//! ```
//!
//! `name` is one of the names in the car's codes, with or without its last word: 'engine' finds 'engine code'. A list
//! such as 'engine HS16, HS18 or HS20' needs its 'or'. Both ends of a range belong to it, except after 'before' and
//! 'after' (common practice, no source). The car's year serves where no code says when it was built.

mod car;
mod range;
mod test;
#[cfg(test)]
mod tests;

pub use car::{TheCar, names};

use super::closed_set::closed_set;
use test::{Outcome, Test};

closed_set! {
    /// Whether what is said of a variant is said of this car.
    pub enum Verdict {
        Holds = "holds", "for this car";
        HoldsNot = "holds-not", "not for this car";
        CannotTell = "cannot-tell", "not sure it is for this car";
    }
}

/// Whether a spec holds for the car, and why in a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Holding {
    pub verdict: Verdict,
    pub say: String,
}

/// Holds the words of a variant against the car. `None` where they are empty: then the spec is for every variant.
pub fn judge(variant: &str, car: &TheCar) -> Option<Holding> {
    let variant = variant.trim();
    if variant.is_empty() {
        return None;
    }
    let Some(clauses) = clauses(variant) else {
        return Some(Holding { verdict: Verdict::CannotTell, say: unread(variant) });
    };
    let judged: Vec<Judged> = clauses.iter().map(|words| clause(words, car)).collect();
    let find = |verdict| judged.iter().find(|one| one.holding.verdict == verdict);
    let unsure = find(Verdict::CannotTell);
    // A clause that was not read might turn the meaning of the others round, so that then nothing is known at all.
    let all_read = judged.iter().all(|one| one.read);
    let holding = match find(Verdict::HoldsNot).filter(|_| all_read).or(unsure) {
        Some(one) => one.holding.clone(),
        None => Holding {
            verdict: Verdict::Holds,
            say: format!("This is for ‘{variant}’, and what is written of this car says the same."),
        },
    };
    Some(holding)
}

/// The clauses as words. `None` where a list has no 'or', so that nobody can say what it means.
fn clauses(variant: &str) -> Option<Vec<Vec<&str>>> {
    let mut all: Vec<Vec<&str>> = Vec::new();
    let mut list_is_open = false;
    for part in parts(variant) {
        let goes_on = !all.is_empty() && part.iter().all(|word| is(word, "or") || test::looks_like_code(word));
        if !goes_on {
            if list_is_open {
                return None;
            }
            all.push(part);
            continue;
        }
        list_is_open = !part.iter().any(|word| is(word, "or"));
        if let Some(last) = all.last_mut() {
            if !is(part[0], "or") {
                last.push("or");
            }
            last.extend(part);
        }
    }
    (!list_is_open && !all.is_empty()).then_some(all)
}

/// Split at commas, semicolons and 'and'. A comma within a word is one of decimals.
fn parts(variant: &str) -> Vec<Vec<&str>> {
    let mut all: Vec<Vec<&str>> = vec![Vec::new()];
    for word in variant.split_whitespace() {
        let bare = word.trim_end_matches([',', ';']);
        if let Some(part) = all.last_mut().filter(|_| !bare.is_empty() && !is(bare, "and")) {
            part.push(bare);
        }
        if bare != word || is(bare, "and") {
            all.push(Vec::new());
        }
    }
    all.retain(|part| !part.is_empty());
    all
}

fn is(word: &str, wanted: &str) -> bool {
    word.eq_ignore_ascii_case(wanted)
}

/// The rest of `words` behind the first of these openings that they begin with.
fn behind<'a, 'w>(words: &'a [&'w str], openings: &[&[&str]]) -> Option<&'a [&'w str]> {
    let opening = openings.iter().find(|opening| {
        words.len() > opening.len() && opening.iter().zip(words).all(|(wanted, word)| is(word, wanted))
    })?;
    Some(&words[opening.len()..])
}

struct Judged {
    holding: Holding,
    /// The grammar has a place for every word of the clause.
    read: bool,
}

fn clause(written: &[&str], car: &TheCar) -> Judged {
    let words = behind(written, &[&["only", "for"], &["only"], &["for"]]).unwrap_or(written);
    let negations: [&[&str]; 6] =
        [&["not", "for"], &["not", "with"], &["not"], &["without"], &["except", "for"], &["except"]];
    let (tested, negated) = behind(words, &negations).map_or((words, false), |rest| (rest, true));
    let Some(tests) = test::read(tested, car) else {
        let holding = Holding { verdict: Verdict::CannotTell, say: unread(&written.join(" ")) };
        return Judged { holding, read: false };
    };
    let outcomes: Vec<Outcome> = tests.iter().map(Test::outcome).collect();
    Judged { holding: one_of(&outcomes, negated, words), read: true }
}

/// One of the tests must hold, or none of them where the clause is negated.
fn one_of(outcomes: &[Outcome], negated: bool, words: &[&str]) -> Holding {
    let this = this_is(words);
    if let Some(has) = outcomes.iter().find_map(Outcome::holds) {
        let verdict = if negated { Verdict::HoldsNot } else { Verdict::Holds };
        return Holding { verdict, say: format!("{this}; this car {has}.") };
    }
    if let Some(why) = outcomes.iter().find_map(Outcome::unclear) {
        return Holding { verdict: Verdict::CannotTell, say: format!("{this}. {why}") };
    }
    let verdict = if negated { Verdict::Holds } else { Verdict::HoldsNot };
    let has = outcomes.iter().find_map(Outcome::fails).unwrap_or_default();
    Holding { verdict, say: format!("{this}; this car {has}.") }
}

/// `This is for engine HS18`, `This is not for cars with air conditioning`.
fn this_is(words: &[&str]) -> String {
    let (not, words) = match behind(words, &[&["not", "for"], &["not"]]) {
        Some(rest) => ("not ", rest),
        None => ("", words),
    };
    let of_cars = ["from", "since", "up", "until", "before", "after", "without", "with", "built"];
    let first = words.first().copied().unwrap_or_default();
    let cars = if of_cars.iter().any(|word| is(first, word)) { "cars " } else { "" };
    let words = words.join(" ");
    let all_but = behind_word(&words, "except");
    match all_but {
        Some(rest) => format!("This is for all but {rest}"),
        None => format!("This is {not}for {cars}{words}"),
    }
}

fn behind_word<'a>(words: &'a str, first: &str) -> Option<&'a str> {
    let (word, rest) = words.split_once(' ')?;
    is(word, first).then_some(rest)
}

fn unread(words: &str) -> String {
    format!("‘{words}’ cannot be held against what is written of this car: look for yourself whether it is meant.")
}
