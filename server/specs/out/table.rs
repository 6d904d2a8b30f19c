//! The spec book as a table: RFC 4180, with a header, one row a source.
//!
//! A spec that nobody says anything of has one row with no source. Rows of one spec bear the same number in `spec`.
//! Stages stand in one cell, a line each. The file begins with a byte order mark: without one a spreadsheet may
//! read UTF-8 as something else and spoil the degree sign (common practice, no source).

use super::fields::{FASTENER, Field, SOURCE, SPEC};
use crate::specs::model::{Says, Spec};
use crate::trade::spreadsheet::guarded;
use csv::{QuoteStyle, Terminator, WriterBuilder};
use serde_json::Value;

const BYTE_ORDER_MARK: &[u8] = "\u{feff}".as_bytes();

/// The whole book. Errors only where memory cannot be written.
pub fn book(specs: &[Spec]) -> Result<Vec<u8>, csv::Error> {
    // Every cell is quoted: one with a semicolon in it would fall in two where a spreadsheet splits at those,
    // and its second half would have no guard.
    let mut writer = WriterBuilder::new()
        .quote_style(QuoteStyle::Always)
        .terminator(Terminator::CRLF)
        .from_writer(BYTE_ORDER_MARK.to_vec());
    writer.write_record(header())?;
    for (index, spec) in specs.iter().enumerate() {
        if spec.says.is_empty() {
            writer.write_record(row(index + 1, spec, None))?;
        }
        for says in &spec.says {
            writer.write_record(row(index + 1, spec, Some(says)))?;
        }
    }
    writer.into_inner().map_err(|error| error.into_error().into())
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
    fields.iter().map(move |field| of.map_or_else(String::new, |of| guarded(words(&(field.value)(of)))))
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
