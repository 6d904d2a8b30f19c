//! Free text as a row of words and numbers, so that `DOT4`, `DOT-4` and `D.O.T. 4` read alike.

/// Longer texts are notes, not markings.
const LONGEST: usize = 200;

/// Words in capitals and numbers with a plain point, in the order they were written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Tokens(Vec<String>);

impl Tokens {
    pub(crate) fn read(text: &str) -> Self {
        let text: String = text.to_uppercase().replace("D.O.T", "DOT").chars().take(LONGEST).collect();
        let letters: Vec<char> = text.chars().collect();
        let mut tokens: Vec<String> = Vec::new();
        let mut open = None;
        for (at, &letter) in letters.iter().enumerate() {
            let sort = Sort::of(&letters, at);
            match (sort, open == sort, tokens.last_mut()) {
                (Some(_), true, Some(token)) => token.push(plain(letter)),
                (Some(_), _, _) => tokens.push(plain(letter).to_string()),
                (None, _, _) => {}
            }
            open = sort;
        }
        Self(tokens)
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(String::as_str)
    }

    /// The token at `at`, or nothing past the end.
    pub(crate) fn at(&self, at: usize) -> &str {
        self.0.get(at).map_or("", String::as_str)
    }

    pub(crate) fn len(&self) -> usize {
        self.0.len()
    }

    pub(crate) fn has(&self, word: &str) -> bool {
        self.iter().any(|token| token == word)
    }

    pub(crate) fn has_any(&self, words: &[&str]) -> bool {
        words.iter().any(|word| self.has(word))
    }

    /// Whether `words` stand side by side somewhere.
    pub(crate) fn has_row(&self, words: &[&str]) -> bool {
        self.0.windows(words.len()).any(|row| row.iter().zip(words).all(|(token, word)| token == word))
    }

    /// What stands right after each `word`.
    pub(crate) fn after<'a>(&'a self, word: &'a str) -> impl Iterator<Item = &'a str> {
        (1..self.len()).filter(move |at| self.at(at - 1) == word).map(|at| self.at(at))
    }
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Sort {
    Word,
    Number,
}

impl Sort {
    /// A point or comma belongs to a number only between digits.
    fn of(letters: &[char], at: usize) -> Option<Self> {
        let is_digit = |at: usize| letters.get(at).is_some_and(char::is_ascii_digit);
        match letters[at] {
            letter if letter.is_ascii_digit() => Some(Self::Number),
            '.' | ',' if at > 0 && is_digit(at - 1) && is_digit(at + 1) => Some(Self::Number),
            letter if letter.is_alphabetic() => Some(Self::Word),
            _ => None,
        }
    }
}

const fn plain(letter: char) -> char {
    if letter == ',' { '.' } else { letter }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_numbers_part_however_they_were_joined() {
        for (text, expected) in [
            ("DOT4", "DOT 4"),
            ("dot-5,1", "DOT 5.1"),
            ("D.O.T. 3", "DOT 3"),
            ("20W/50", "20 W 50"),
            ("GL-5 80W–90.", "GL 5 80 W 90"),
            ("SAE J1703", "SAE J 1703"),
            (" GC/LB ", "GC LB"),
            ("?!", ""),
        ] {
            assert_eq!(Tokens::read(text).iter().collect::<Vec<_>>().join(" "), expected, "{text}");
        }
    }

    #[test]
    fn a_row_of_words_is_found_only_side_by_side() {
        let tokens = Tokens::read("power-steering fluid");
        assert!(tokens.has_row(&["POWER", "STEERING"]));
        assert!(!tokens.has_row(&["POWER", "FLUID"]));
        assert_eq!(tokens.after("STEERING").collect::<Vec<_>>(), ["FLUID"]);
    }
}
