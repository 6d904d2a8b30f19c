//! What a person typed to look for.

/// More words than anybody means; what is beyond is told, not looked for.
pub const MOST_WORDS: usize = 24;

/// The words looked for: each must begin a word of the line, or a run of its words.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sought {
    words: Vec<String>,
    /// There were more words than are looked for.
    pub cut: bool,
}

impl Sought {
    /// Whatever is typed can be looked for: marks without a letter or digit are no words, and are left out.
    pub fn of(typed: &str) -> Sought {
        let mut words: Vec<String> = Vec::new();
        let parts = typed.split(|letter: char| letter.is_whitespace() || letter.is_control());
        for word in parts.filter(|word| word.chars().any(char::is_alphanumeric)) {
            let word = word.to_lowercase();
            if !words.contains(&word) {
                words.push(word);
            }
        }
        let cut = words.len() > MOST_WORDS;
        words.truncate(MOST_WORDS);
        Sought { words, cut }
    }

    /// In lower case, in the order in which they were typed, each once.
    pub fn words(&self) -> &[String] {
        &self.words
    }

    /// `“oil” and “filt”`
    pub fn said(&self) -> String {
        let quoted: Vec<String> = self.words.iter().map(|word| format!("“{word}”")).collect();
        match quoted.as_slice() {
            [] => String::new(),
            [one] => one.clone(),
            [first @ .., last] => format!("{} and {last}", first.join(", ")),
        }
    }

    /// In the language of FTS5; `None`: there is no word to look for.
    ///
    /// Each word is a string, in which nothing but the double quote has a meaning, and that is doubled; the star behind it
    /// makes it a beginning. Source: sqlite.org/fts5.html, sections 3.1 to 3.3.
    pub(super) fn query(&self) -> Option<String> {
        let strings: Vec<String> =
            self.words.iter().map(|word| format!("\"{}\"*", word.replace('"', "\"\""))).collect();
        (!strings.is_empty()).then(|| strings.join(" AND "))
    }
}
