//! What each column of a pasted table holds: guessed from its name and its cells, corrected by hand. Pure.

use super::table::Table;
use crate::trade::closed_set::closed_set;
use crate::trade::spec::{Kind, System, Value};
use crate::trade::thread;

closed_set! {
    /// What a column may hold.
    pub enum Column {
        Nothing = "nothing", "leave it out";
        Item = "item", "what it is the value of";
        Place = "place", "where on the car";
        Value = "value", "the value";
        Unit = "unit", "the value's unit";
        Thread = "thread", "thread";
        Class = "class", "class of the fastener";
        Head = "head", "head";
        Count = "count", "how many";
        Note = "note", "note";
        Page = "page", "page";
        System = "system", "part of the car";
    }
}

/// Words that a column's name may hold, lower case, the more telling first.
const NAMES: &[(Column, &[&str])] = &[
    (Column::Unit, &["unit"]),
    (Column::Thread, &["thread", "bolt size", "dia"]),
    (Column::Class, &["class", "grade", "strength"]),
    (Column::Head, &["head", "spanner", "socket", "hex", "wrench", "a/f", "key"]),
    (Column::Count, &["qty", "quantity of", "count", "how many", "number of", "pcs", "no."]),
    (Column::Page, &["page"]),
    (Column::System, &["system", "group", "section"]),
    (Column::Place, &["place", "where", "position", "location"]),
    (Column::Note, &["note", "remark", "comment"]),
    (
        Column::Value,
        &["torque", "value", "setting", "pressure", "capacity", "volume", "clearance", "gap", "tighten to"],
    ),
    (Column::Item, &["item", "part", "fastener", "description", "component", "what", "name"]),
];

/// A guess for every column. Each thing is held by one column at the most; the others are left out.
pub fn guess(table: &Table) -> Vec<Column> {
    let mut columns = vec![Column::Nothing; table.width];
    for (at, column) in columns.iter_mut().enumerate() {
        let name = table.header.as_ref().and_then(|names| names.get(at)).map_or("", String::as_str);
        *column = by_name(name).unwrap_or(Column::Nothing);
    }
    for at in 0..table.width {
        if columns[at] == Column::Nothing
            && let Some(found) = by_cells(table, at).filter(|found| !columns.contains(found))
        {
            columns[at] = found;
        }
    }
    // What is only words names the thing first, then its place, then says something of it.
    for wanted in [Column::Item, Column::Place, Column::Note] {
        if columns.contains(&wanted) {
            continue;
        }
        let free = (0..table.width).find(|at| columns[*at] == Column::Nothing && is_words(table, *at));
        if let Some(at) = free {
            columns[at] = wanted;
        }
    }
    once_each(columns)
}

fn once_each(mut columns: Vec<Column>) -> Vec<Column> {
    for at in 1..columns.len() {
        if columns[..at].contains(&columns[at]) {
            columns[at] = Column::Nothing;
        }
    }
    columns
}

fn by_name(name: &str) -> Option<Column> {
    let name = name.to_lowercase();
    let found = NAMES.iter().find(|(_, words)| words.iter().any(|word| name.contains(word)));
    found.map(|(column, _)| *column).or_else(|| unit_in(&name).map(|_| Column::Value))
}

/// The unit that a column's name gives for all its cells: `Torque (Nm)`, `N·m`, `Gap in mm`.
pub fn unit_in(name: &str) -> Option<String> {
    let inside =
        name.split(['(', '[', '/']).nth(1).map(|rest| rest.trim_end_matches([')', ']', ' ']).trim().to_owned());
    let last_words = || {
        let words: Vec<&str> = name.split_whitespace().collect();
        (1..=2.min(words.len())).rev().map(|count| words[words.len() - count..].join(" ")).collect::<Vec<_>>()
    };
    inside.into_iter().chain(last_words()).find(|unit| is_unit(unit))
}

/// Whether a text is a unit and nothing else.
pub fn is_unit(text: &str) -> bool {
    let text = text.trim();
    let has_letter = text.chars().any(|letter| letter.is_alphabetic() || matches!(letter, '°' | '%' | '"' | '′'));
    has_letter && !text.chars().any(|letter| letter.is_ascii_digit()) && kind_of(&format!("1 {text}")).is_some()
}

/// The kind of value that a text with its unit is; `None` for words and for bare numbers.
pub fn kind_of(written: &str) -> Option<Kind> {
    let measured =
        [Kind::Torque, Kind::Pressure, Kind::Volume, Kind::Length, Kind::Temperature, Kind::Voltage, Kind::Angle];
    measured.into_iter().find(|kind| matches!(Value::parse(*kind, written), Ok(Value::Measured(_))))
}

fn cells(table: &Table, at: usize) -> impl Iterator<Item = &str> {
    table.rows.iter().filter_map(move |row| row.get(at)).map(String::as_str).filter(|cell| !cell.is_empty())
}

/// Whether at least three quarters of a column's cells are so, and there are any.
fn mostly(table: &Table, at: usize, is_so: impl Fn(&str) -> bool) -> bool {
    let all = cells(table, at).count();
    all > 0 && cells(table, at).filter(|cell| is_so(cell)).count() * 4 >= all * 3
}

fn by_cells(table: &Table, at: usize) -> Option<Column> {
    let is_number =
        |cell: &str| cell.chars().all(|letter| letter.is_ascii_digit() || matches!(letter, '.' | ',' | '-' | '–'));
    if mostly(table, at, |cell| thread::read(cell).is_ok()) {
        Some(Column::Thread)
    } else if mostly(table, at, |cell| kind_of(cell).is_some()) {
        Some(Column::Value)
    } else if mostly(table, at, is_unit) {
        Some(Column::Unit)
    } else if mostly(table, at, |cell| {
        matches!(cell, "4.6" | "4.8" | "5.6" | "5.8" | "6.8" | "8.8" | "9.8" | "10.9" | "12.9")
    }) {
        Some(Column::Class)
    } else if mostly(table, at, |cell| System::from_name(&cell.to_lowercase()).is_some()) {
        Some(Column::System)
    } else if mostly(table, at, is_number) {
        Some(Column::Value)
    } else {
        None
    }
}

fn is_words(table: &Table, at: usize) -> bool {
    mostly(table, at, |cell| cell.chars().any(char::is_alphabetic))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn guessed(text: &str) -> Vec<Column> {
        guess(&Table::read(text).unwrap())
    }

    #[test]
    fn columns_are_known_by_their_names() {
        let text = "Fastener\tThread\tTorque (Nm)\tQty\tRemarks\nSump plug\tM14x1.5\t40\t1\tnew ring\n";
        assert_eq!(guessed(text), [Column::Item, Column::Thread, Column::Value, Column::Count, Column::Note]);
        assert_eq!(unit_in("Torque (Nm)").as_deref(), Some("Nm"));
        assert_eq!(unit_in("Torque lbf ft").as_deref(), Some("lbf ft"));
        assert_eq!(unit_in("Torque"), None);
    }

    #[test]
    fn without_names_they_are_known_by_their_cells() {
        let text = "Sump plug\trear face\tM14x1.5\t40 Nm\nFilter housing\ttop\tM8\t22 Nm\n";
        assert_eq!(guessed(text), [Column::Item, Column::Place, Column::Thread, Column::Value]);
        let text = "Sump plug    40    Nm\nFilter    22    Nm\n";
        assert_eq!(guessed(text), [Column::Item, Column::Value, Column::Unit]);
    }

    #[test]
    fn no_two_columns_hold_the_same() {
        let text = "Torque Nm\tTorque lbf ft\tFastener\n40\t30\tSump plug\n";
        assert_eq!(guessed(text), [Column::Value, Column::Nothing, Column::Item]);
    }

    #[test]
    fn a_unit_is_a_unit_and_no_word() {
        for unit in ["Nm", "lbf ft", "bar", "mm", "°C", "l"] {
            assert!(is_unit(unit), "{unit}");
        }
        for word in ["", "torque", "40 Nm", "7"] {
            assert!(!is_unit(word), "{word}");
        }
    }
}
