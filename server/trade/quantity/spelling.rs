//! From the unit words people write to a unit: `ft. lbs`, `N·m`, `mkg`, `U.S. qt`, `cm³`.

use super::dimension::Dimension;
use super::error::{ParseError, quoted};
use super::unit::Unit;
use super::units::UnitSet;

/// The unit of set `U` that `words` name, or the sentence that says what is wrong with them; `written` is the whole text.
pub(super) fn resolve<U: UnitSet>(words: &str, written: &str) -> Result<U, ParseError> {
    let canonical = canonical(words);
    if let Some(unit) = lookup::<U>(&canonical) {
        return Ok(unit);
    }
    let read = quoted(words);
    let unclear = U::UNCLEAR.iter().find(|unclear| unclear.spellings.iter().any(|known| fits(known, &canonical)));
    if let Some(unclear) = unclear {
        let says = unclear.says;
        return Err(ParseError::Unclear { read, says });
    }
    if holds_second_value(words) {
        return Err(ParseError::MoreThanOne { read: quoted(written), dimension: U::DIMENSION });
    }
    let units = names::<U>();
    match dimension_of(&canonical) {
        Some(belongs_to) => Err(ParseError::OtherDimension { read, belongs_to, wanted: U::DIMENSION, units }),
        None => Err(ParseError::UnknownUnit { read, dimension: U::DIMENSION, units }),
    }
}

/// The unit of set `U` with that spelling, written as [`canonical`] gives it.
pub(super) fn lookup<U: UnitSet>(canonical_words: &str) -> Option<U> {
    U::ALL.iter().copied().find(|unit| {
        let facts = unit.facts();
        fits(&canonical(facts.code), canonical_words)
            || fits(&canonical(facts.name), canonical_words)
            || facts.spellings.iter().any(|known| fits(known, canonical_words))
    })
}

/// Every unit of the set by its display name, for an error sentence.
pub(super) fn names<U: UnitSet>() -> String {
    let names: Vec<_> = U::ALL.iter().map(|unit| unit.name()).collect();
    names.join(", ")
}

/// Small letters, plain digits for raised ones, one sign for each look-alike, and one dot for each run of gaps.
pub(super) fn canonical(words: &str) -> String {
    let mut canonical = String::with_capacity(words.len());
    for letter in words.trim().chars().flat_map(char::to_lowercase) {
        let plain = match letter {
            '²' => '2',
            '³' => '3',
            'μ' => 'µ',
            'º' | '˚' => '°',
            '℃' => {
                canonical.push('°');
                'c'
            }
            '℉' => {
                canonical.push('°');
                'f'
            }
            '’' | '′' => '\'',
            '”' | '″' => '"',
            '^' => continue,
            ' ' | '·' | '⋅' | '∙' | '•' | '*' | '×' | '-' | '‐' | '‑' | '(' | ')' => '.',
            other => other,
        };
        if plain != '.' || !canonical.ends_with('.') {
            canonical.push(plain);
        }
    }
    if canonical.ends_with('.') {
        canonical.pop();
    }
    canonical
}

/// Whether `words` are `spelling`, where each dot of the spelling may be left out: `n.m` is met by `nm`, but `mm` not by `m.m`.
fn fits(spelling: &str, words: &str) -> bool {
    let mut words = words.chars().peekable();
    for expected in spelling.chars() {
        let met = words.next_if_eq(&expected).is_some();
        if !met && expected != '.' {
            return false;
        }
    }
    words.next().is_none()
}

/// `Nm (33 lbf ft)` or `Nm + 90°`: a digit that begins a word.
fn holds_second_value(words: &str) -> bool {
    let mut before = ' ';
    words.chars().any(|letter| {
        let begins = letter.is_ascii_digit() && matches!(before, ' ' | '(' | '+' | ',' | ';' | '=');
        before = letter;
        begins
    })
}

fn dimension_of(canonical_words: &str) -> Option<Dimension> {
    Unit::spelled(canonical_words).map(Unit::dimension)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dots_of_a_spelling_may_be_left_out_but_none_added() {
        assert!(fits("n.m", "n.m"));
        assert!(fits("n.m", "nm"));
        assert!(!fits("mm", "m.m"));
        assert!(!fits("n.m", "nmm"));
        assert!(!fits("n.m", "n"));
    }

    #[test]
    fn look_alike_signs_become_one() {
        assert_eq!(canonical("ft. - LBS."), "ft.lbs");
        assert_eq!(canonical("kgf/cm²"), "kgf/cm2");
        assert_eq!(canonical("℃"), "°c");
        assert_eq!(canonical("qt (US)"), "qt.us");
    }
}
