//! The published schema of an export says what an export holds, and two libraries that are not ours agree.
//!
//! Source: JSON Schema 2020-12, as the crate `jsonschema` and the Python library of the same name read it; neither shares
//! code with the other. The schema is made from the database's own list of columns, so it cannot fall behind a migration.

use crate::support::webdav::python;
use crate::support::{EVENING, TestApp};
use serde_json::{Map, Value, json};
use sqlx::SqliteConnection;
use std::path::{Path, PathBuf};
use std::process::Command;
use underlamp::moving::document::{FORMAT, VERSION};
use underlamp::moving::out::{self, What};
use underlamp::moving::store::{self, Column};
use underlamp::moving::tables::{BY_HASH, DEVICE_COLUMNS, DEVICES, OF_CAR, OF_GARAGE, Of, PHOTOS, up_to};

fn committed() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("seed/schemas/underlamp-car-1.json")
}

/// What a column may hold, by its type and by what its name promises.
fn property(table: &str, column: &Column) -> Value {
    let name = column.name.as_str();
    let described = |says: &str| Map::from_iter([("description".to_owned(), json!(says))]);
    let is_number = column.kind == "INTEGER" && !names_an_operation(table, name);
    let mut said = match column.kind.as_str() {
        "INTEGER" if is_number => integer(name),
        "INTEGER" if up_to(table).any(|column| column == name) => {
            described("The id of the last operation that was known when it was said; empty: none.")
        }
        "INTEGER" => described("The id of an operation."),
        "REAL" => described("A number, as text."),
        "BLOB" => described("Bytes, as base64 (RFC 4648)."),
        _ => text(name),
    };
    let kind = if is_number { "integer" } else { "string" };
    said.insert("type".into(), if column.may_be_null { json!([kind, "null"]) } else { json!(kind) });
    Value::Object(said)
}

fn names_an_operation(table: &str, name: &str) -> bool {
    OF_CAR.iter().any(|one| one.name == table && matches!(one.of, Of::Op { column } if column == name))
        || up_to(table).any(|column| column == name)
}

fn integer(name: &str) -> Map<String, Value> {
    let says = match name {
        "gone_at" => "When it was removed, in milliseconds since 1970-01-01 UTC; null: it is there.",
        _ if name.ends_with("_at") => "Milliseconds since 1970-01-01 UTC.",
        _ if name.ends_with("_minor") => "In hundredths of the currency.",
        "rev" => "Goes up with each change.",
        "place_in_order" => "Its place among its like, the lowest first.",
        _ => return Map::new(),
    };
    Map::from_iter([("description".to_owned(), json!(says))])
}

fn text(name: &str) -> Map<String, Value> {
    let (says, pattern) = match name {
        "id" => ("A UUID.", "^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$"),
        _ if name.ends_with("_id") => ("The id of another row.", "^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$"),
        _ if name.ends_with("sha256") => ("A SHA-256 in hexadecimal digits.", "^[0-9a-f]{64}$"),
        _ if name.ends_with("_on") => ("A day, ISO 8601; empty: not known.", "^([0-9]{4}-[0-9]{2}-[0-9]{2})?$"),
        "hlc" => ("The clock of the device: milliseconds since 1970-01-01 UTC, and a counter.", "^[0-9]{16}-[0-9]{5}$"),
        _ => return Map::new(),
    };
    Map::from_iter([("description".to_owned(), json!(says)), ("pattern".to_owned(), json!(pattern))])
}

async fn row(conn: &mut SqliteConnection, table: &str, says: &str) -> Value {
    let mut columns = store::columns(conn, table).await.unwrap();
    if table == DEVICES {
        columns.retain(|column| DEVICE_COLUMNS.contains(&column.name.as_str()));
    }
    let names: Vec<&str> = columns.iter().map(|column| column.name.as_str()).collect();
    let properties: Map<String, Value> =
        columns.iter().map(|column| (column.name.clone(), property(table, column))).collect();
    json!({
        "description": says, "type": "object", "additionalProperties": false, "required": names,
        "properties": properties,
    })
}

fn tables(names: &[&str]) -> Value {
    let rows =
        |name: &&str| ((*name).to_owned(), json!({ "type": "array", "items": { "$ref": format!("#/$defs/{name}") } }));
    let properties: Map<String, Value> = names.iter().map(rows).collect();
    json!({ "type": "object", "additionalProperties": false, "required": names, "properties": properties })
}

async fn schema(conn: &mut SqliteConnection) -> Value {
    let mut defs = Map::new();
    let of_car: Vec<&str> = OF_CAR.iter().map(|table| table.name).collect();
    let of_garage: Vec<&str> = OF_GARAGE.iter().map(|(name, _)| *name).collect();
    let by_hash: Vec<&str> = BY_HASH.iter().map(|(name, _)| *name).collect();
    for table in OF_CAR {
        defs.insert(table.name.to_owned(), row(conn, table.name, table.says).await);
    }
    for (name, says) in OF_GARAGE {
        defs.insert((*name).to_owned(), row(conn, name, says).await);
    }
    for (name, says) in BY_HASH {
        defs.insert((*name).to_owned(), row(conn, name, says).await);
    }
    defs.insert(DEVICES.into(), row(conn, DEVICES, "Who noted something, by name.").await);
    let of_photos = "A photo. Its files lie in photos/SHA256/: the picture as it was taken, without location or other metadata; upright; small.";
    defs.insert(PHOTOS.into(), row(conn, PHOTOS, of_photos).await);
    let mut car = tables(&of_car);
    car["properties"]["cars"]["minItems"] = json!(1);
    car["properties"]["cars"]["maxItems"] = json!(1);
    let list = |of: Value| json!({ "type": "array", "items": of });
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": "urn:underlamp:car:1",
        "title": "Underlamp export, version 1",
        "description": "Cars taken out of a garage: whole rows of its database, by table, in the order in which they were \
            entered. Values written by people (torques, volumes, sizes) are text, exactly as they were typed. The column \
            body of ops is the JSON text of what was done, as the member ‘do’ of the sync protocol has it.",
        "type": "object",
        "additionalProperties": false,
        "required": ["$schema", "format", "version", "database", "made_at", "whole_garage", "cars", "garage", "by_hash", "devices", "photos"],
        "properties": {
            "$schema": { "type": "string" },
            "format": { "const": FORMAT },
            "version": { "const": VERSION },
            "database": { "description": "The newest change of the database that it was written from.", "type": "integer" },
            "made_at": { "description": "Milliseconds since 1970-01-01 UTC.", "type": "integer" },
            "whole_garage": { "description": "All cars of the garage, and all its photos.", "type": "boolean" },
            "cars": list(json!({ "$ref": "#/$defs/car" })),
            "garage": tables(&of_garage),
            "by_hash": tables(&by_hash),
            "devices": list(json!({ "$ref": format!("#/$defs/{DEVICES}") })),
            "photos": list(json!({ "$ref": format!("#/$defs/{PHOTOS}") })),
        },
        "$defs": defs.into_iter().chain([("car".to_owned(), car)]).collect::<Map<String, Value>>(),
    })
}

/// Run with `UNDERLAMP_WRITE=1` to write it anew after a migration, then look at the difference.
#[tokio::test]
async fn the_committed_schema_is_what_the_database_holds() {
    let app = TestApp::start().await;
    let made = serde_json::to_string_pretty(&schema(&mut app.beside().await).await).unwrap() + "\n";
    if std::env::var_os("UNDERLAMP_WRITE").is_some() {
        std::fs::write(committed(), &made).unwrap();
    }
    let same = std::fs::read_to_string(committed()).unwrap() == made;
    assert!(same, "the database has changed: run this test with UNDERLAMP_WRITE=1");
}

async fn demo() -> Value {
    let app = TestApp::demo().await;
    let mut conn = app.state.read.conn().await.unwrap();
    serde_json::to_value(out::document(&mut conn, What::Garage, EVENING).await.unwrap()).unwrap()
}

fn spoilt(whole: &Value) -> Vec<Value> {
    let changes: [fn(&mut Value); 8] = [
        |all| all["version"] = json!(2),
        |all| all["stray"] = json!(1),
        |all| all["cars"][0]["stray"] = json!([]),
        |all| all["cars"][0]["specs"][0]["stray"] = json!(""),
        |all| all["cars"][0]["specs"][0]["id"] = json!("no id"),
        |all| all["cars"][0]["ops"][0]["hlc"] = json!("tonight"),
        |all| all["cars"][0]["cars"] = json!([]),
        |all| drop(all["cars"][0]["steps"][0].as_object_mut().unwrap().remove("verb")),
    ];
    let spoil = |change: fn(&mut Value)| {
        let mut copy = whole.clone();
        change(&mut copy);
        copy
    };
    changes.into_iter().map(spoil).collect()
}

#[tokio::test]
async fn an_export_of_the_demo_holds_what_the_schema_says_and_a_spoilt_one_does_not() {
    let schema: Value = serde_json::from_str(&std::fs::read_to_string(committed()).unwrap()).unwrap();
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let whole = demo().await;
    let faults: Vec<String> =
        validator.iter_errors(&whole).map(|fault| format!("{}: {fault}", fault.instance_path())).collect();
    assert!(faults.is_empty(), "{faults:#?}");
    for (n, spoilt) in spoilt(&whole).iter().enumerate() {
        assert!(!validator.is_valid(spoilt), "change {n}");
    }
}

/// The same by the Python library, which reads the files as anybody would.
#[tokio::test]
async fn another_library_says_the_same_of_every_one_of_them() {
    let folder = tempfile::tempdir().unwrap();
    let whole = demo().await;
    let all: Vec<Value> = std::iter::once(whole.clone()).chain(spoilt(&whole)).collect();
    let mut files = Vec::new();
    for (n, document) in all.iter().enumerate() {
        let file = folder.path().join(format!("{n}.json"));
        std::fs::write(&file, document.to_string()).unwrap();
        files.push(file);
    }
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/export_validate.py");
    let out = Command::new(python()).arg(script).arg(committed()).args(&files).output().unwrap();
    assert!(out.status.success(), "{}", String::from_utf8_lossy(&out.stderr));
    let said: Vec<String> = String::from_utf8(out.stdout).unwrap().lines().map(str::to_owned).collect();
    assert_eq!(said.len(), all.len());
    assert_eq!(said[0], "valid");
    assert!(said[1..].iter().all(|line| line.starts_with("not valid")), "{said:#?}");
}
