//! The spec book as a table (`web::sheet`), with a header, one row a source.
//!
//! A spec that nobody says anything of has one row with no source. Rows of one spec bear the same number in `spec`.
//! Stages stand in one cell, a line each.

use super::fields::{FASTENER, Field, SOURCE, SPEC};
use crate::specs::model::{Says, Spec};
use crate::web::sheet::sheet;
use serde_json::Value;

/// The whole book. Errors only where memory cannot be written.
pub fn book(specs: &[Spec]) -> Result<Vec<u8>, csv::Error> {
    let mut rows = vec![header()];
    for (index, spec) in specs.iter().enumerate() {
        if spec.says.is_empty() {
            rows.push(row(index + 1, spec, None));
        }
        rows.extend(spec.says.iter().map(|says| row(index + 1, spec, Some(says))));
    }
    sheet(rows)
}

fn header() -> Vec<String> {
    let own = SPEC.iter().map(|field| field.name.to_owned());
    let fastener = FASTENER.iter().map(|field| format!("fastener_{}", field.name));
    let source = SOURCE.iter().map(|field| format!("source_{}", field.name));
    std::iter::once("spec".to_owned()).chain(own).chain(fastener).chain(source).collect()
}

fn row(number: usize, spec: &Spec, says: Option<&Says>) -> Vec<String> {
    let mut cells = vec![number.to_string()];
    cells.extend(group(SPEC, Some(&spec.facts)));
    cells.extend(group(FASTENER, spec.facts.fastener.as_ref()));
    cells.extend(group(SOURCE, says));
    cells
}

/// The cells of a group of fields, all empty where there is nothing that they could be of.
fn group<T>(fields: &[Field<T>], of: Option<&T>) -> impl Iterator<Item = String> {
    fields.iter().map(move |field| of.map_or_else(String::new, |of| words(&(field.value)(of))))
}

/// A value in a cell: text as it is, yes or no, lists a line each.
fn words(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::Bool(true) => "yes".into(),
        Value::Bool(false) => "no".into(),
        Value::Number(number) => number.to_string(),
        Value::String(text) => text.clone(),
        Value::Array(lines) => lines.iter().map(words).collect::<Vec<String>>().join("\n"),
        Value::Object(_) => value.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::specs::sample;

    #[test]
    fn a_spec_of_which_nobody_says_anything_keeps_its_row() {
        let table = String::from_utf8(book(&[sample::spec(Vec::new())]).unwrap()).unwrap();
        let rows: Vec<&str> = table.lines().collect();
        assert_eq!(rows.len(), 2);
        assert!(rows[1].starts_with(r#""1","engine","Sump plug","rear face","torque","#), "{}", rows[1]);
        assert!(rows[1].ends_with(&r#","""#.repeat(SOURCE.len())), "{}", rows[1]);
    }

    #[test]
    fn an_empty_book_is_a_header() {
        let table = String::from_utf8(book(&[]).unwrap()).unwrap();
        assert_eq!(table.lines().count(), 1);
    }
}
