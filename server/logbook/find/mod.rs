//! The logbook found by words, with the full-text index of SQLite (FTS5).
//!
//! What is indexed are the lines as people read them, titles of cards and names of devices among them. Such a line changes
//! without any operation: a card is renamed, a limit is chosen, a later tick takes an earlier one back. So an index is never
//! kept up, and never stored: it is made from the very lines that the page shows, in memory, and thrown away as soon as the
//! database says that anybody wrote to it (`db::Version`). It is true after a restore and for every new kind of operation,
//! because there is no second path by which a line could come into it.

mod held;
mod sought;
mod store;

pub use held::{Index, Indexed, Indexes, Line};
pub use sought::{MOST_WORDS, Sought};

/// A piece of a line: whether it is what was looked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Piece {
    pub text: String,
    pub hit: bool,
}

/// A line that was found, with the hits marked.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Hit {
    pub what: Vec<Piece>,
    /// The short remarks, the name of the device last.
    pub more: Vec<Vec<Piece>>,
    pub since: Vec<Piece>,
    /// The title of its card; empty where it belongs to none.
    pub card: Vec<Piece>,
}

/// Stand around a hit inside a line. Control characters: no page shows them, and they are taken out of lines before.
const BEGINS: char = '\u{2}';
const ENDS: char = '\u{3}';

/// One piece that is no hit.
pub fn plain(text: &str) -> Vec<Piece> {
    if text.is_empty() { Vec::new() } else { vec![Piece { text: text.to_owned(), hit: false }] }
}

/// A line as the index gives it back, taken apart at its hits.
fn pieces(marked: &str) -> Vec<Piece> {
    let mut found = Vec::new();
    for (at, part) in marked.split(BEGINS).enumerate() {
        let (hit, rest) = if at == 0 { ("", part) } else { part.split_once(ENDS).unwrap_or((part, "")) };
        found.extend([(hit, true), (rest, false)].map(|(text, hit)| Piece { text: text.to_owned(), hit }));
    }
    found.retain(|piece| !piece.text.is_empty());
    found
}

/// Without the characters that stand for something here, nor others that no page shows.
fn clean(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_control() || matches!(letter, '\n' | '\t')).collect()
}

#[cfg(test)]
mod tests;
