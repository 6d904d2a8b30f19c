//! The document in an export: whole rows of the database, by table.

use super::refused;
use super::store::Row;
use crate::clock::Moment;
use crate::error::AppError;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// What tells this file from any other.
pub const FORMAT: &str = "underlamp-car";
/// Goes up when a file that was written before can no longer be read as it is.
pub const VERSION: u32 = 1;
/// Where the garage shows the schema.
pub const SCHEMA: &str = "/schemas/underlamp-car-1.json";
/// Names within the archive.
pub const FILE: &str = "underlamp-car-1.json";
pub const SCHEMA_FILE: &str = "schema/underlamp-car-1.json";
/// What the document may hold (JSON Schema, 2020-12).
pub const SCHEMA_TEXT: &str = include_str!("../../seed/schemas/underlamp-car-1.json");

/// Rows by the name of their table.
pub type Tables = BTreeMap<String, Vec<Row>>;

#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Document {
    #[serde(rename = "$schema")]
    pub schema: String,
    pub format: String,
    pub version: u32,
    /// The newest migration of the database that it was written from.
    pub database: i64,
    pub made_at: Moment,
    pub whole_garage: bool,
    pub cars: Vec<Tables>,
    pub garage: Tables,
    pub by_hash: Tables,
    pub devices: Vec<Row>,
    pub photos: Vec<Row>,
}

/// What must be known of a document before the rest of it can be read.
#[derive(Deserialize)]
struct Head {
    format: String,
    version: u32,
    database: i64,
}

impl Document {
    /// Reads a document. `newest` is the newest migration that this program knows.
    ///
    /// # Errors
    /// A sentence that says what is wrong with it.
    pub fn read(text: &[u8], newest: i64) -> Result<Document, AppError> {
        let no_document = |cause: serde_json::Error| refused(format!("‘{FILE}’ cannot be read ({cause})"));
        let head: Head = serde_json::from_slice(text).map_err(no_document)?;
        if head.format != FORMAT {
            return Err(refused(format!("it calls itself ‘{}’, and ‘{FORMAT}’ is read here", head.format)));
        }
        if head.version > VERSION || head.database > newest {
            return Err(refused(
                "a newer Underlamp wrote it. Bring it into one that is as new, or update this one".into(),
            ));
        }
        serde_json::from_slice(text).map_err(no_document)
    }
}

/// What the rows of some cars speak of by name, without anybody having said in which column: a table that is new here is
/// looked through like any other.
#[derive(Debug, Default)]
pub struct Mentions {
    /// Values that could be the id of something.
    ids: BTreeSet<String>,
    /// Runs of 64 hexadecimal digits, which could be the SHA-256 of something.
    hashes: BTreeSet<String>,
}

/// The length of a UUID as text, and of a SHA-256.
const ID: usize = 36;
const HASH: usize = 64;

impl Mentions {
    pub fn of(cars: &[Tables]) -> Mentions {
        let mut found = Mentions::default();
        for value in cars.iter().flat_map(|tables| tables.values()).flatten().flat_map(Row::values) {
            if let Value::String(text) = value {
                found.look(text);
            }
        }
        found
    }

    fn look(&mut self, text: &str) {
        if text.len() == ID {
            self.ids.insert(text.to_owned());
        }
        let is_digit = |letter: char| matches!(letter, '0'..='9' | 'a'..='f');
        let runs = text.split(|letter| !is_digit(letter)).filter(|run| run.len() == HASH);
        self.hashes.extend(runs.map(str::to_owned));
    }

    /// Whether a row of devices is spoken of.
    pub fn device(&self, row: &Row) -> bool {
        row.get("id").and_then(Value::as_str).is_some_and(|id| self.ids.contains(id))
    }

    /// Whether a row that is named by a SHA-256 is spoken of.
    pub fn hash(&self, row: &Row) -> bool {
        row.get("sha256").and_then(Value::as_str).is_some_and(|sha| self.hashes.contains(sha))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn written(version: u32, database: i64) -> Vec<u8> {
        let document = Document {
            schema: SCHEMA.into(),
            format: FORMAT.into(),
            version,
            database,
            made_at: Moment(1),
            whole_garage: false,
            cars: Vec::new(),
            garage: Tables::new(),
            by_hash: Tables::new(),
            devices: Vec::new(),
            photos: Vec::new(),
        };
        serde_json::to_vec(&document).unwrap()
    }

    #[test]
    fn a_document_of_a_newer_program_is_refused_with_the_way_out() {
        assert!(Document::read(&written(VERSION, 9), 9).is_ok());
        for newer in [written(VERSION + 1, 9), written(VERSION, 10)] {
            let said = Document::read(&newer, 9).unwrap_err().to_string();
            assert!(said.contains("newer Underlamp"), "{said}");
        }
    }

    #[test]
    fn what_is_no_document_is_told() {
        for text in ["", "{}", "[1]", r#"{"format":"else","version":1,"database":1}"#] {
            assert!(Document::read(text.as_bytes(), 9).is_err(), "{text}");
        }
        let stray = String::from_utf8(written(VERSION, 9)).unwrap().replacen('{', r#"{"stray":1,"#, 1);
        assert!(Document::read(stray.as_bytes(), 9).unwrap_err().to_string().contains("stray"));
    }

    #[test]
    fn photos_and_devices_are_found_wherever_they_are_spoken_of() {
        let (sha, id) = ("ab".repeat(32), "01890a5d-ac96-774b-bcce-b302099a8057");
        let row = |value: Value| value.as_object().unwrap().clone();
        let body = json!({ "photo": { "sha256": sha } }).to_string();
        let cars = [Tables::from([("new_table".to_owned(), vec![row(json!({ "body": body, "by": id, "n": 1 }))])])];
        let found = Mentions::of(&cars);
        assert!(found.hash(&row(json!({ "sha256": sha }))));
        assert!(!found.hash(&row(json!({ "sha256": "cd".repeat(32) }))));
        assert!(found.device(&row(json!({ "id": id }))));
        assert!(!found.device(&row(json!({ "id": "01890a5d-ac96-774b-bcce-b302099a8058" }))));
    }
}
