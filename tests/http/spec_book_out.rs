//! The spec book taken out as a table and as JSON.
//!
//! The table is held against RFC 4180 (quotes, line ends), formulas against OWASP's page on CSV injection.

use crate::support::{Client, TestApp};
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use std::collections::HashMap;
use underlamp::ids::CarId;
use underlamp::specs::model::Spec;

struct Book {
    app: TestApp,
    desk: Client,
    car: CarId,
}

type Row = HashMap<String, String>;

impl Book {
    async fn open() -> Book {
        let app = TestApp::demo().await;
        let desk = app.owner().await;
        let car = app.demo_car().await;
        Book { app, desk, car }
    }

    /// A book with a spec whose every field tries to be something else.
    async fn with_traps() -> Book {
        let book = Book::open().await;
        let fields = [
            ("system", "engine"),
            ("item", "=HYPERLINK(\"x\";\"y\")"),
            ("place", "@left, \"rear\"; outer"),
            ("kind", "torque"),
            ("thread", "'M10x1.25"),
            ("class", "8.8"),
            ("head", "+14 mm"),
            ("count", "2"),
            ("lubrication", "-"),
            ("single_use", "yes"),
            ("stages", "20 Nm\r\n90°"),
            ("variant", ""),
            ("note", "-1\r\nsecond line, with a comma"),
            ("written", "1,90 kgf m"),
            ("source", "second-hand"),
            ("citation", "=cmd|' /C x'!A0"),
            ("page", "007"),
            ("says_note", ""),
        ];
        let answer = book.desk.post_form(&format!("/cars/{}/specs", book.car), &fields).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        book
    }

    async fn specs(&self) -> Vec<Spec> {
        self.app.book(self.car).await
    }

    async fn csv(&self) -> String {
        let answer = self.desk.get(&format!("/cars/{}/specs.csv", self.car)).await;
        assert_eq!(answer.status, StatusCode::OK);
        assert!(answer.headers[CONTENT_TYPE].to_str().unwrap().starts_with("text/csv; charset=utf-8"));
        assert_eq!(answer.headers[CONTENT_DISPOSITION], "attachment; filename=\"spec-book.csv\"");
        answer.text
    }

    /// The rows of the table as they stand, by the names of their columns.
    async fn rows(&self) -> Vec<Row> {
        let text = self.csv().await;
        let text = text.strip_prefix('\u{feff}').expect("a spreadsheet reads UTF-8 by its mark");
        csv::Reader::from_reader(text.as_bytes()).deserialize().map(Result::unwrap).collect()
    }
}

/// What a cell says, without the guard.
fn plain(cell: &str) -> &str {
    cell.strip_prefix('\'').unwrap_or(cell)
}

fn yes(is: bool) -> &'static str {
    if is { "yes" } else { "no" }
}

#[tokio::test]
async fn the_table_holds_every_source_of_every_spec_as_it_was_written() {
    let book = Book::with_traps().await;
    let mut rows = book.rows().await.into_iter();
    for (index, spec) in book.specs().await.iter().enumerate() {
        assert!(!spec.says.is_empty(), "every spec of this book has a source");
        for says in &spec.says {
            let row = rows.next().expect("a row for every source");
            let is = |column: &str, value: &str| assert_eq!(plain(&row[column]), value, "{column} of {row:?}");
            is("spec", &(index + 1).to_string());
            is("system", spec.facts.system.name());
            is("item", &spec.facts.item);
            is("place", &spec.facts.place);
            is("kind", spec.facts.kind.name());
            is("stages", &spec.facts.stages.join("\n"));
            is("variant", &spec.facts.variant);
            is("note", &spec.facts.note);
            let fastener = spec.facts.fastener.as_ref();
            is("fastener_thread", fastener.map_or("", |one| &one.thread));
            is("fastener_class", fastener.map_or("", |one| &one.class));
            is("fastener_head", fastener.map_or("", |one| &one.head));
            is("fastener_count", &fastener.map_or(String::new(), |one| one.count.to_string()));
            is("fastener_lubrication", fastener.map_or("", |one| &one.lubrication));
            is("fastener_single_use", fastener.map_or("", |one| yes(one.single_use)));
            is("source_written", &says.facts.written);
            is("source_kind", says.facts.source.name());
            is("source_citation", &says.facts.citation);
            is("source_page", &says.facts.page);
            is("source_note", &says.facts.note);
            is("source_settled", yes(says.settled));
            let bolts = spec.facts.bolts.as_ref().map_or(String::new(), |bolts| serde_json::to_string(bolts).unwrap());
            let same = |one: &str, other: &str| one.is_empty() == other.is_empty();
            assert!(same(&row["bolts"], &bolts), "{row:?}");
            assert_eq!(row.len(), 21);
        }
    }
    assert_eq!(rows.next(), None);
}

#[tokio::test]
async fn no_cell_of_the_table_can_run_as_a_formula() {
    let book = Book::with_traps().await;
    let rows = book.rows().await;
    for cell in rows.iter().flat_map(HashMap::values) {
        assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']), "{cell}");
    }
    let trap = rows.iter().find(|row| row["item"].contains("HYPERLINK")).unwrap();
    assert_eq!(trap["item"], "'=HYPERLINK(\"x\";\"y\")");
    assert_eq!(trap["fastener_thread"], "''M10x1.25", "taking one apostrophe away gives back what was written");
    assert_eq!(trap["source_written"], "1,90 kgf m");
    assert_eq!(trap["source_page"], "007");
}

#[tokio::test]
async fn every_cell_is_quoted_so_that_a_semicolon_splits_none() {
    let text = Book::with_traps().await.csv().await;
    assert!(text.contains("\"'@left, \"\"rear\"\"; outer\""), "RFC 4180: a quote is doubled");
    assert!(text.starts_with("\u{feff}\"spec\",\"system\",\"item\""));
    assert!(text.ends_with("\"\r\n"));
}

#[tokio::test]
async fn the_json_holds_every_source_of_every_spec_as_it_was_written() {
    let book = Book::with_traps().await;
    let answer = book.desk.get(&format!("/cars/{}/specs.json", book.car)).await;
    assert_eq!(answer.status, StatusCode::OK);
    assert_eq!(answer.headers[CONTENT_TYPE], "application/json");
    let out = answer.json();
    assert_eq!((out["format"].as_str(), out["version"].as_u64()), (Some("underlamp-spec-book"), Some(1)));
    let specs = book.specs().await;
    assert_eq!(out["specs"].as_array().unwrap().len(), specs.len());
    for (out, spec) in out["specs"].as_array().unwrap().iter().zip(&specs) {
        let facts = &spec.facts;
        let texts =
            [("item", &facts.item), ("place", &facts.place), ("variant", &facts.variant), ("note", &facts.note)];
        for (name, text) in texts {
            assert_eq!(out[name].as_str(), Some(text.as_str()), "{name}");
        }
        assert_eq!(out["system"].as_str(), Some(facts.system.name()));
        assert_eq!(out["kind"].as_str(), Some(facts.kind.name()));
        assert_eq!(out["stages"], serde_json::json!(facts.stages));
        assert_eq!(out["fastener"], serde_json::to_value(&facts.fastener).unwrap());
        assert_eq!(out["sources"].as_array().unwrap().len(), spec.says.len());
        for (out, says) in out["sources"].as_array().unwrap().iter().zip(&spec.says) {
            let expected = serde_json::json!({
                "written": says.facts.written, "kind": says.facts.source.name(), "citation": says.facts.citation,
                "page": says.facts.page, "note": says.facts.note, "settled": says.settled,
            });
            assert_eq!(*out, expected);
        }
    }
    assert!(specs.iter().flat_map(|spec| &spec.says).any(|says| says.settled), "the demo settles one");
}

#[tokio::test]
async fn the_book_page_leads_to_both_files() {
    let book = Book::open().await;
    let page = book.desk.get(&format!("/cars/{}/specs", book.car)).await;
    for ending in ["csv", "json"] {
        assert!(page.text.contains(&format!("href=\"/cars/{}/specs.{ending}\"", book.car)), "{ending}");
    }
}

#[tokio::test]
async fn a_car_that_is_not_there_has_no_files() {
    let book = Book::open().await;
    for ending in ["csv", "json"] {
        let answer = book.desk.get(&format!("/cars/{}/specs.{ending}", CarId::new())).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{ending}");
        let answer = book.desk.get(&format!("/cars/no-car/specs.{ending}")).await;
        assert!(answer.status.is_client_error(), "{ending}");
    }
}
