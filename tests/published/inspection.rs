//! The items of two published inspections, and the pattern step that looks at each: `data/inspection_items.csv`.
//!
//! Sources: the UK's inspection manual for cars, sections 1, 2 and 5 (Open Government Licence), and 49 CFR part 570,
//! subpart A. `how_read` says how each was read: in the source, as another page quotes it, or from memory. Items whose text
//! could not be read are listed as such, and nothing was invented for them.

use std::path::Path;
use underlamp::patterns::text::{Pattern, read};

struct Row {
    item: String,
    limit: String,
    how_read: String,
    pattern: String,
    step: String,
}

fn rows() -> Vec<Row> {
    let text = std::fs::read_to_string(here("tests/published/data/inspection_items.csv")).unwrap();
    let rows: Vec<Row> = text.lines().skip(1).map(row).collect();
    assert!(rows.len() > 30, "only {} items", rows.len());
    rows
}

/// Six columns, of which some are quoted because they hold a comma.
fn row(line: &str) -> Row {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for letter in line.chars() {
        match letter {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            other => cells.last_mut().unwrap().push(other),
        }
    }
    let [_, item, limit, how_read, pattern, step] = cells.try_into().unwrap_or_else(|_| panic!("six columns: {line}"));
    Row { item, limit, how_read, pattern, step }
}

fn here(path: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn text_of(pattern: &str) -> String {
    std::fs::read_to_string(here(&format!("seed/patterns/{pattern}.toml"))).unwrap()
}

fn pattern(name: &str) -> Pattern {
    read(name, &text_of(name)).unwrap_or_else(|troubles| panic!("{name}: {troubles:?}"))
}

#[test]
fn every_item_that_could_be_read_is_looked_at_by_a_step_and_the_others_are_listed() {
    for row in rows() {
        if row.pattern.is_empty() {
            assert!(!row.how_read.is_empty(), "{}: neither looked at nor said why not", row.item);
            continue;
        }
        assert!(pattern(&row.pattern).steps() > 0);
        assert!(
            text_of(&row.pattern).contains(&format!("do = \"{}\"", row.step)),
            "{}: no step ‘{}’",
            row.item,
            row.step
        );
    }
}

#[test]
fn every_limit_that_was_read_stands_in_the_pattern_that_looks_at_it() {
    for row in rows().iter().filter(|row| !row.pattern.is_empty()) {
        let text = text_of(&row.pattern);
        let numbers =
            row.limit.split([' ', ',', ';']).filter(|word| word.starts_with(|letter: char| letter.is_ascii_digit()));
        for number in numbers {
            assert!(text.contains(number), "{}: ‘{number}’ does not stand in {}", row.item, row.pattern);
        }
    }
}
