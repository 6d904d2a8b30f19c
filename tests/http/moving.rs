//! Moving house: an export goes into another garage, and nothing is lost or half-way there.

use crate::support::ops::{SmallCar, at};
use crate::support::process::{run, said};
use crate::support::{Answer, Client, EVENING, TestApp};
use axum::http::StatusCode;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use rand::RngExt;
use serde_json::{Value, json};
use sqlx::{AssertSqlSafe, Connection};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use tempfile::TempDir;
use underlamp::backup::archive::{self, Entry};
use underlamp::ids::{CarId, DeviceId};
use underlamp::moving::document::{Document, FILE};
use underlamp::moving::out::{self, What};
use underlamp::moving::store;
use underlamp::moving::tables::{BY_HASH, DEVICES, LEFT_OUT, LOCAL, OF_CAR, OF_GARAGE, Of, PHOTOS};
use underlamp::photos::Pictures;

async fn document(app: &TestApp, what: What) -> Document {
    out::document(&mut app.state.read.conn().await.unwrap(), what, EVENING).await.unwrap()
}

/// An export as bytes, made as the desk makes it.
async fn export(app: &TestApp, what: What) -> Vec<u8> {
    let scratch = tempfile::tempdir().unwrap();
    let file = scratch.path().join("export");
    let pictures = Pictures::of(&app.state.photos);
    out::write(&app.state.read, &pictures, what, EVENING, (&file, scratch.path())).await.unwrap();
    std::fs::read(file).unwrap()
}

async fn bring(desk: &Client, file: &[u8]) -> Answer {
    desk.post_parts("/moving", &[("file", file), ("chest", b"yes")]).await
}

/// Every file below the finished photos, with its bytes.
fn photos(app: &TestApp) -> Vec<(PathBuf, Vec<u8>)> {
    let done = app.folder().photos().join("done");
    let (mut found, mut open) = (Vec::new(), vec![done.clone()]);
    while let Some(folder) = open.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                found.push((path.strip_prefix(&done).unwrap().to_owned(), std::fs::read(&path).unwrap()));
            }
        }
    }
    found.sort();
    found
}

/// A new table must be decided about: a line in `server/moving/tables.rs`.
#[tokio::test]
async fn every_table_of_the_database_goes_out_or_is_left_out_for_a_reason() {
    let app = TestApp::start().await;
    let tables: BTreeSet<String> = store::tables(&mut app.beside().await).await.unwrap().into_iter().collect();
    let decided: Vec<&str> = (OF_CAR.iter().map(|table| table.name))
        .chain(OF_GARAGE.iter().map(|(name, _)| *name))
        .chain(BY_HASH.iter().map(|(name, _)| *name))
        .chain(LEFT_OUT.iter().map(|(name, _)| *name))
        .chain([DEVICES, PHOTOS])
        .collect();
    let known: BTreeSet<String> = decided.iter().map(|name| (*name).to_owned()).collect();
    assert_eq!(known.len(), decided.len(), "a table is decided about twice");
    let undecided: Vec<&String> = tables.difference(&known).collect();
    assert!(undecided.is_empty(), "{undecided:?}: say in server/moving/tables.rs whether they go out");
    let gone: Vec<&String> = known.difference(&tables).collect();
    assert!(gone.is_empty(), "{gone:?} are no tables");
    assert!(LEFT_OUT.iter().all(|(_, why)| !why.is_empty()));
}

#[tokio::test]
async fn every_column_that_goes_out_holds_what_an_export_can_hold() {
    let app = TestApp::start().await;
    let mut conn = app.beside().await;
    let of_car = OF_CAR.iter().map(|table| table.name);
    for table in of_car.chain(OF_GARAGE.iter().map(|(name, _)| *name)).chain([DEVICES, PHOTOS]) {
        let columns = store::columns(&mut conn, table).await.unwrap();
        assert!(!columns.is_empty(), "{table}");
        for column in columns {
            let (name, kind) = (&column.name, column.kind.as_str());
            assert!(matches!(kind, "TEXT" | "INTEGER" | "REAL" | "BLOB"), "{table}.{name} is {kind}");
            let is_number_of_an_operation =
                OF_CAR.iter().any(|one| one.name == table && matches!(one.of, Of::Op { column } if column == name));
            let is_local = column.is_key && kind == "INTEGER" && !is_number_of_an_operation;
            assert!(!is_local, "{table}.{name} would collide with a row elsewhere: add it to LOCAL");
        }
    }
    for (table, column) in LOCAL {
        let sql = format!("select count({column}) from {table}");
        sqlx::query(AssertSqlSafe(sql)).execute(&mut conn).await.unwrap();
    }
}

async fn standing(app: &TestApp) -> Vec<(String, String, String, String)> {
    let rows = sqlx::query_as("select subject_id, field, op_id, body from standing order by 1, 2");
    rows.fetch_all(&mut app.beside().await).await.unwrap()
}

/// Out, in, and out again.
async fn assert_nothing_is_lost(here: &TestApp, what: What) {
    let there = TestApp::start().await;
    let file = export(here, what).await;
    let answer = bring(&there.owner().await, &file).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    assert!(answer.text.contains("It is here"), "{}", answer.text);
    assert_eq!(document(here, what).await, document(&there, what).await);
    assert_eq!(standing(here).await, standing(&there).await);
    assert_eq!(photos(here), photos(&there));
}

#[tokio::test]
async fn the_demo_goes_out_and_in_and_out_again_the_same() {
    let here = TestApp::demo().await;
    let car = here.demo_car().await;
    for what in [What::Garage, What::Car(car)] {
        assert_nothing_is_lost(&here, what).await;
    }
    let document = document(&here, What::Garage).await;
    for table in OF_CAR {
        assert!(document.cars[0].contains_key(table.name), "{}", table.name);
    }
    assert!(document.cars[0]["ops"].len() > 50 && document.photos.len() > 3 && !document.devices.is_empty());
    assert!(!document.garage["chest_tools"].is_empty());
}

/// Any letters that a text can hold, among them those that files, tables and JSON treat in a way of their own.
fn any_text() -> String {
    let mut dice = rand::rng();
    let odd =
        ['\0', '"', '\\', '\'', '\n', '\r', '\t', ',', ';', '=', '\u{feff}', '\u{2028}', '🔧', 'é', '%', '\u{7f}'];
    (0..dice.random_range(0..40))
        .map(|_| match dice.random_range(0..4) {
            0 => odd[dice.random_range(0..odd.len())],
            1 => char::from_u32(dice.random_range(0..0x11_0000)).unwrap_or('?'),
            _ => char::from(dice.random_range(b' '..=b'~')),
        })
        .collect()
}

/// Free text of every kind replaced by any text, and things that were removed since.
#[tokio::test]
async fn whatever_was_written_and_whatever_was_removed_comes_through() {
    let here = TestApp::demo().await;
    let small = SmallCar::of(&here).await;
    let texts = [
        ("cars", "story"),
        ("specs", "note"),
        ("specs", "place"),
        ("spec_values", "citation"),
        ("spec_values", "note"),
        ("cards", "why"),
        ("steps", "detail"),
        ("steps", "words"),
        ("parts", "note"),
        ("parts", "supplier"),
        ("step_tools", "tool"),
        ("bottle_sizes", "holds"),
        ("shelf_fluids", "fluid"),
        ("devices", "name"),
    ];
    let mut conn = here.beside().await;
    for (table, column) in texts {
        let ids: Vec<i64> =
            sqlx::query_scalar(AssertSqlSafe(format!("select rowid from {table}"))).fetch_all(&mut conn).await.unwrap();
        for id in ids {
            let sql = format!("update or ignore {table} set {column} = ? where rowid = ?");
            sqlx::query(AssertSqlSafe(sql)).bind(any_text()).bind(id).execute(&mut conn).await.unwrap();
        }
    }
    for sql in [
        "update specs set gone_at = 1 where rowid % 5 = 0",
        "update cards set gone_at = 2 where rowid % 4 = 0",
        "update steps set gone_at = 3 where rowid % 7 = 0",
        "update parts set gone_at = 4 where rowid % 3 = 0",
    ] {
        sqlx::query(sql).execute(&mut conn).await.unwrap();
    }
    conn.close().await.unwrap();
    let desk = here.owner().await;
    let (device, mut hlc) = (DeviceId::new(), at(EVENING));
    let mut ops = Vec::new();
    for _ in 0..50 {
        hlc = hlc.next(EVENING);
        ops.push(small.note(device, hlc, &format!("x{}", any_text())));
    }
    let sent = desk.post_json("/sync/ops", &json!({ "ops": ops })).await;
    assert_eq!(sent.status, StatusCode::OK, "{}", sent.text);
    assert_nothing_is_lost(&here, What::Garage).await;
}

#[tokio::test]
async fn a_second_car_comes_in_beside_one_that_is_here_and_one_that_is_here_is_left_alone() {
    let (here, there) = (TestApp::demo().await, TestApp::demo().await);
    let desk = there.owner().await;
    let file = export(&here, What::Garage).await;
    let first = bring(&desk, &file).await;
    assert_eq!(first.status, StatusCode::OK, "{}", first.text);
    let both = document(&there, What::Garage).await;
    assert_eq!(both.cars.len(), 2);
    assert!(both.cars.contains(&document(&here, What::Garage).await.cars[0]), "whole, and beside the other");
    let again = bring(&desk, &file).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(again.text.contains("is here already. Choose to leave it"), "{}", again.text);
    let left = desk.post_parts("/moving", &[("file", &file), ("leave_known", b"yes")]).await;
    assert!(left.text.contains("every car of it is here already"), "{}", left.text);
    assert_eq!(document(&there, What::Garage).await, both);
    let three = export(&there, What::Garage).await;
    let rest = here.owner().await.post_parts("/moving", &[("file", &three), ("leave_known", b"yes")]).await;
    assert_eq!(rest.status, StatusCode::OK, "{}", rest.text);
    assert!(rest.text.contains("was here already, and was left as it is"), "{}", rest.text);
    assert_eq!(document(&here, What::Garage).await.cars.len(), 2);
}

#[tokio::test]
async fn the_tool_chest_stays_where_it_was_unless_it_is_asked_for() {
    let (here, there) = (TestApp::demo().await, TestApp::start().await);
    let file = export(&here, What::Garage).await;
    let answer = there.owner().await.post_parts("/moving", &[("file", &file)]).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    let document = document(&there, What::Garage).await;
    assert_eq!((document.cars.len(), document.garage["chest_tools"].len()), (1, 0));
}

#[tokio::test]
async fn an_export_opens_nobodys_door() {
    let here = TestApp::demo().await;
    let _desk = here.owner().await;
    let text = serde_json::to_string(&document(&here, What::Garage).await).unwrap();
    let secrets: Vec<String> =
        sqlx::query_scalar("select secret_hash from sessions union select code_hash from pairing_codes")
            .fetch_all(&mut here.beside().await)
            .await
            .unwrap();
    assert!(!secrets.is_empty());
    assert!(secrets.iter().all(|secret| !text.contains(secret)));
    let there = TestApp::start().await;
    let answer = bring(&there.owner().await, &export(&here, What::Garage).await).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    let devices = there.owner().await.get("/devices").await.text;
    assert!(!devices.contains("the demo"), "who noted something elsewhere may not come in here");
}

/// An export taken apart, so that it can be put together again with something wrong in it and every checksum right.
struct Taken(TempDir);

impl Taken {
    fn apart(file: &[u8]) -> Taken {
        let folder = tempfile::tempdir().unwrap();
        let packed = folder.path().join("packed");
        std::fs::write(&packed, file).unwrap();
        archive::read(&packed, "test", &folder.path().join("inside")).unwrap();
        Taken(folder)
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join("inside").join(name)
    }

    fn document(&self) -> Value {
        serde_json::from_slice(&std::fs::read(self.path(FILE)).unwrap()).unwrap()
    }

    fn change(&self, change: impl FnOnce(&mut Value)) {
        let mut document = self.document();
        change(&mut document);
        std::fs::write(self.path(FILE), document.to_string()).unwrap();
    }

    fn together(&self) -> Vec<u8> {
        let (mut entries, root) = (Vec::new(), self.path(""));
        let mut open = vec![root.clone()];
        while let Some(folder) = open.pop() {
            for entry in std::fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                match path.is_dir() {
                    true => open.push(path),
                    false => {
                        let name = path.strip_prefix(&root).unwrap().to_string_lossy().into_owned();
                        entries.push(Entry { name, path });
                    }
                }
            }
        }
        let to = self.0.path().join("again");
        let _ = std::fs::remove_file(&to);
        archive::write(&to, &entries, EVENING).unwrap();
        std::fs::read(to).unwrap()
    }
}

type Change = Box<dyn FnOnce(&mut Value)>;

fn spoil(change: impl FnOnce(&mut Value) + 'static) -> Change {
    Box::new(change)
}

/// Nothing of it is here.
async fn assert_untouched(app: &TestApp, what: &str) {
    let document = document(app, What::Garage).await;
    assert!(document.cars.is_empty() && document.photos.is_empty(), "{what} left rows");
    assert!(document.garage.values().all(Vec::is_empty), "{what} left tools");
    assert!(photos(app).is_empty(), "{what} left photos");
}

#[tokio::test]
async fn a_file_with_something_wrong_in_it_is_refused_with_a_sentence_and_changes_nothing() {
    let (here, there) = (TestApp::demo().await, TestApp::start().await);
    let desk = there.owner().await;
    let file = export(&here, What::Garage).await;
    let other = CarId::new().to_string();
    let changes: Vec<(&str, &str, Change)> = vec![
        ("a newer format", "newer Underlamp", spoil(|all: &mut Value| all["version"] = json!(2))),
        ("a newer database", "newer Underlamp", spoil(|all: &mut Value| all["database"] = json!(9999))),
        ("another format", "recipes", spoil(|all: &mut Value| all["format"] = json!("recipes"))),
        ("an unknown member", "stray", spoil(|all: &mut Value| all["stray"] = json!(1))),
        ("an unknown table", "no table ‘horses’", spoil(|all: &mut Value| all["cars"][0]["horses"] = json!([]))),
        (
            "a table that may not come in",
            "no table ‘sessions’",
            spoil(|all: &mut Value| all["cars"][0]["sessions"] = json!([])),
        ),
        (
            "an unknown column",
            "no column",
            spoil(|all: &mut Value| all["cars"][0]["specs"][0]["a = 1; --"] = json!("x")),
        ),
        (
            "a number for a text",
            "cannot be taken in",
            spoil(|all: &mut Value| all["cars"][0]["specs"][0]["rev"] = json!("many")),
        ),
        ("a fraction", "neither text nor", spoil(|all: &mut Value| all["cars"][0]["specs"][0]["rev"] = json!(1.5))),
        ("a list", "neither text nor", spoil(|all: &mut Value| all["cars"][0]["specs"][0]["item"] = json!([]))),
        (
            "a spec twice",
            "cannot be taken in",
            spoil(|all: &mut Value| {
                let first = all["cars"][0]["specs"][0].clone();
                all["cars"][0]["specs"].as_array_mut().unwrap().push(first);
            }),
        ),
        (
            "a step of no card",
            "cannot be taken in",
            spoil(|all: &mut Value| all["cars"][0]["steps"][0]["card_id"] = json!("none")),
        ),
        (
            "an operation of another car",
            "would not be here",
            spoil(move |all: &mut Value| all["cars"][0]["ops"][0]["car_id"] = json!(other)),
        ),
        (
            "an unknown system",
            "could not be shown",
            spoil(|all: &mut Value| all["cars"][0]["specs"][0]["system"] = json!("wings")),
        ),
        (
            "an unknown deed",
            "could not be shown",
            spoil(|all: &mut Value| all["cars"][0]["ops"][0]["body"] = json!("{\"fly\":{}}")),
        ),
        (
            "no clock reading",
            "no clock reading",
            spoil(|all: &mut Value| all["cars"][0]["ops"][0]["hlc"] = json!("tonight")),
        ),
        (
            "no row for the car",
            "not written down as one row",
            spoil(|all: &mut Value| all["cars"][0]["cars"] = json!([])),
        ),
        ("no id", "no id of a car", spoil(|all: &mut Value| all["cars"][0]["cars"][0]["id"] = json!("Skarv"))),
        (
            "a device that comes in",
            "a device has no ‘kept_something’",
            spoil(|all: &mut Value| all["devices"][0]["kept_something"] = json!(1)),
        ),
        (
            "a photo without files",
            "has no files",
            spoil(|all: &mut Value| all["photos"][0]["sha256"] = json!("0".repeat(64))),
        ),
        (
            "a photo that leads elsewhere",
            "no name of a photo",
            spoil(|all: &mut Value| all["photos"][0]["sha256"] = json!("../../x")),
        ),
        (
            "a photo of another size",
            "does not have the size",
            spoil(|all: &mut Value| all["photos"][0]["width"] = json!(1)),
        ),
    ];
    for (what, words, change) in changes {
        let taken = Taken::apart(&file);
        taken.change(change);
        let answer = bring(&desk, &taken.together()).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{what}");
        assert!(answer.text.contains(words) && answer.text.contains("Nothing was changed"), "{what}: {}", answer.text);
        assert_untouched(&there, what).await;
    }
    let whole = bring(&desk, &Taken::apart(&file).together()).await;
    assert_eq!(whole.status, StatusCode::OK, "and the same without a fault comes in: {}", whole.text);
}

#[tokio::test]
async fn a_changed_photo_a_damaged_file_and_what_is_no_export_are_refused() {
    let (here, there) = (TestApp::demo().await, TestApp::start().await);
    let desk = there.owner().await;
    let file = export(&here, What::Garage).await;
    let with_photo = |bytes: &[u8]| {
        let taken = Taken::apart(&file);
        let sha = taken.document()["photos"][0]["sha256"].as_str().unwrap().to_owned();
        std::fs::write(taken.path(&format!("photos/{sha}/upright.jpg")), bytes).unwrap();
        taken.together()
    };
    let backup = tempfile::tempdir().unwrap();
    here.back_up(&backup.path().join("b")).await;
    let backup = std::fs::read(backup.path().join("b")).unwrap();
    let mut cases = vec![
        ("no picture", "is not a picture", with_photo(b"<svg onload=alert(1)>")),
        ("a backup", "it is a backup of a whole garage", backup),
        ("nothing", "Choose the file first", Vec::new()),
        ("a text", "This file was not brought in", b"this is no export".to_vec()),
        ("half", "This file was not brought in", file[..file.len() / 2].to_vec()),
        ("not the last bytes", "This file was not brought in", file[..file.len() - 100].to_vec()),
    ];
    for part in 1..8 {
        let mut flipped = file.clone();
        flipped[file.len() * part / 8] ^= 0x20;
        cases.push(("one bit", "This file was not brought in", flipped));
    }
    for (what, words, bytes) in cases {
        let answer = bring(&desk, &bytes).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{what}");
        assert!(answer.text.contains(words), "{what}: {}", answer.text);
        assert_untouched(&there, what).await;
    }
    let stray = desk.post_parts("/moving", &[("file", &file), ("wings", b"yes")]).await;
    assert_eq!(stray.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(std::fs::read_dir(there.folder().scratch()).unwrap().count(), 0, "what was sent is not left behind");
}

/// A row whose parent is a car that is here already: the database would take it, and it would change that car.
#[tokio::test]
async fn a_row_that_would_land_with_another_car_undoes_the_whole() {
    let (here, there) = (TestApp::demo().await, TestApp::demo().await);
    let before = document(&there, What::Garage).await;
    let theirs = before.cars[0]["specs"][0]["id"].clone();
    let taken = Taken::apart(&export(&here, What::Garage).await);
    taken.change(|all| all["cars"][0]["spec_values"][0]["spec_id"] = theirs);
    let answer = bring(&there.owner().await, &taken.together()).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.text.contains("‘spec_values’ would not be here as it is in the file"), "{}", answer.text);
    assert_eq!(document(&there, What::Garage).await, before);
}

/// An export of an older program lacks columns that came since; they get the value that the database gives them.
#[tokio::test]
async fn an_export_of_an_older_program_comes_in() {
    let (here, there) = (TestApp::demo().await, TestApp::start().await);
    let taken = Taken::apart(&export(&here, What::Garage).await);
    taken.change(|all| {
        all["database"] = json!(1);
        for card in all["cars"][0]["cards"].as_array_mut().unwrap() {
            card.as_object_mut().unwrap().remove("helper");
        }
        all["cars"][0].as_object_mut().unwrap().remove("limits");
    });
    let answer = bring(&there.owner().await, &taken.together()).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
}

#[tokio::test]
async fn the_desk_gives_a_car_and_the_garage_as_files_and_leaves_nothing_behind() {
    let here = TestApp::demo().await;
    let (desk, car) = (here.owner().await, here.demo_car().await);
    for (path, name) in [
        (format!("/cars/{car}/take/car.tar.gz"), "car-2026-11-25.tar.gz"),
        ("/moving/garage.tar.gz".to_owned(), "garage-2026-11-25.tar.gz"),
    ] {
        let head = desk.get(&path).await.headers;
        assert_eq!(head[CONTENT_TYPE], "application/gzip");
        assert_eq!(head[CONTENT_DISPOSITION], format!("attachment; filename=\"{name}\""));
        let there = TestApp::start().await;
        let answer = bring(&there.owner().await, &desk.get_bytes(&path).await).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
    }
    assert_eq!(std::fs::read_dir(here.folder().scratch()).unwrap().count(), 0);
    assert_eq!(desk.get(&format!("/cars/{}/take/car.tar.gz", CarId::new())).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_photo_whose_files_are_gone_is_told_and_nothing_goes_out_without_it() {
    let here = TestApp::demo().await;
    std::fs::remove_dir_all(here.folder().photos().join("done")).unwrap();
    let answer = here.owner().await.get("/moving/garage.tar.gz").await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.text.contains("from a backup"), "{}", answer.text);
}

/// Source of the form: RFC 4180; formulas: as in `spec_book_out`.
#[tokio::test]
async fn every_table_for_a_spreadsheet_holds_a_row_for_each_thing_and_is_on_the_page() {
    let here = TestApp::demo().await;
    let (desk, car) = (here.owner().await, here.demo_car().await);
    let page = desk.get(&format!("/cars/{car}/take")).await.text;
    assert!(desk.get(&format!("/cars/{car}")).await.text.contains(&format!("href=\"/cars/{car}/take\"")));
    for other in ["specs.csv", "specs.json", "take/car.tar.gz"] {
        assert!(page.contains(&format!("href=\"/cars/{car}/{other}\"")), "{other}");
    }
    let document = document(&here, What::Car(car)).await;
    let rows = |table: &str| document.cars[0][table].len();
    let readings = document.cars[0]["ops"].iter().filter(|op| op["kind"] == "reading").count();
    for (name, least) in [("cards", rows("steps")), ("parts", rows("parts")), ("readings", readings), ("logbook", 60)] {
        let path = format!("/cars/{car}/take/{name}.csv");
        assert!(page.contains(&format!("href=\"{path}\"")), "{name}");
        let answer = desk.get(&path).await;
        assert_eq!(answer.headers[CONTENT_DISPOSITION], format!("attachment; filename=\"{name}.csv\""));
        let text = answer.text.strip_prefix('\u{feff}').expect("a spreadsheet reads UTF-8 by its mark").to_owned();
        let found: Vec<csv::StringRecord> =
            csv::Reader::from_reader(text.as_bytes()).records().map(Result::unwrap).collect();
        assert!(found.len() >= least && least > 0, "{name}: {} of {least}", found.len());
        for cell in found.iter().flatten() {
            assert!(!cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']), "{name}: {cell}");
        }
    }
    for wrong in ["sessions.csv", "cards", "..", "cards.csv.csv"] {
        assert_eq!(desk.get(&format!("/cars/{car}/take/{wrong}")).await.status, StatusCode::NOT_FOUND, "{wrong}");
    }
    assert_eq!(desk.get(&format!("/cars/{}/take", CarId::new())).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn the_command_line_takes_a_garage_out_and_brings_it_in() {
    let here = TestApp::demo().await;
    let home = tempfile::tempdir().unwrap();
    let (file, target) = (home.path().join("garage.tar.gz"), home.path().join("d"));
    let words = |path: &Path| path.to_str().unwrap().to_owned();
    let out = run(here.folder().path(), &["export", &words(&file)]);
    assert!(out.status.success(), "also while the garage is running: {}", said(&out));
    let twice = run(here.folder().path(), &["export", &words(&file)]);
    assert!(!twice.status.success() && said(&twice).contains("exists already"), "{}", said(&twice));
    let stranger = run(here.folder().path(), &["export", &words(&home.path().join("x")), "--car", "Nobody"]);
    assert!(!stranger.status.success() && said(&stranger).contains("No car is called ‘Nobody’"), "{}", said(&stranger));
    let held = run(here.folder().path(), &["import", &words(&file)]);
    assert!(!held.status.success() && said(&held).contains("in use by another Underlamp"), "{}", said(&held));
    let brought = run(&target, &["import", &words(&file)]);
    assert!(brought.status.success() && said(&brought).contains("Brought in:"), "{}", said(&brought));
    let again = run(&target, &["import", &words(&file)]);
    assert!(!again.status.success() && said(&again).contains("is here already"), "{}", said(&again));
    let back = home.path().join("back.tar.gz");
    assert!(run(&target, &["export", &words(&back)]).status.success());
    let [mut one, mut other] = [&file, &back].map(|file| Taken::apart(&std::fs::read(file).unwrap()).document());
    for document in [&mut one, &mut other] {
        document["made_at"] = Value::Null;
    }
    assert_eq!(one, other);
    let restored = run(&home.path().join("r"), &["restore", &words(&file)]);
    assert!(!restored.status.success() && said(&restored).contains("underlamp import"), "{}", said(&restored));
}
