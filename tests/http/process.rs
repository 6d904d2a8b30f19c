//! The program as its owner meets it: on the command line, killed, restarted, saved and restored.

use crate::support::ops::{SmallCar, at};
use crate::support::process::{Running, free_port, run, run_unheard, said};
use crate::support::{EVENING, TestApp};
use serde_json::{Value, json};
use sqlx::Connection;
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use std::path::Path;
use std::time::Duration;
use tempfile::TempDir;
use underlamp::ids::DeviceId;

fn home() -> TempDir {
    tempfile::tempdir().unwrap()
}

#[test]
fn help_tells_a_newcomer_what_to_do() {
    let out = run(Path::new("unused"), &["--help"]);
    let text = said(&out);
    assert!(out.status.success());
    for word in ["demo", "serve", "pair", "backup", "restore", "doctor", "--data", "First time?"] {
        assert!(text.contains(word), "{word} is not in\n{text}");
    }
}

#[test]
fn a_port_in_use_is_told_with_the_way_out() {
    let (home, taken) = (home(), std::net::TcpListener::bind(("127.0.0.1", 0)).unwrap());
    let port = taken.local_addr().unwrap().port().to_string();
    let out = run(&home.path().join("d"), &["serve", "--only-here", "--desk-port", &port]);
    assert!(!out.status.success());
    assert!(
        said(&out).contains(&format!("Port {port} is in use")) && said(&out).contains("--desk-port"),
        "{}",
        said(&out)
    );
}

#[test]
fn half_a_certificate_is_refused() {
    let out = run(Path::new("unused"), &["serve", "--cert", "chain.pem"]);
    assert!(!out.status.success() && said(&out).contains("--key"), "{}", said(&out));
}

#[tokio::test]
async fn a_folder_serves_one_program_at_a_time() {
    let home = home();
    let data = home.path().join("d");
    let running = Running::start(&data, "serve", free_port()).await;
    let second = run(&data, &["serve", "--only-here", "--desk-port", &free_port().to_string()]);
    assert!(!second.status.success() && said(&second).contains("in use by another Underlamp"), "{}", said(&second));
    assert!(running.stop().success(), "asked to stop, it ends in order");
}

#[tokio::test]
async fn a_code_printed_while_the_garage_runs_pairs_a_browser() {
    let home = home();
    let data = home.path().join("d");
    let mut running = Running::start(&data, "serve", free_port()).await;
    running.code = said(&run(&data, &["pair"])).trim().to_owned();
    let hello: Value =
        running.paired().await.get(format!("{}/sync/hello", running.url)).send().await.unwrap().json().await.unwrap();
    assert_eq!(hello["underlamp"], true);
}

/// A script that starts the garage, reads what it needs, and goes its way.
#[tokio::test]
async fn a_garage_goes_on_when_nobody_listens_to_what_it_prints() {
    let home = home();
    let data = home.path().join("d");
    let mut running = Running::start_unheard(&data, free_port()).await;
    // Its greeting comes right after the doors are open.
    tokio::time::sleep(Duration::from_millis(500)).await;
    assert_eq!(running.ended(), None);
    assert!(reqwest::get(format!("{}/healthz", running.url)).await.unwrap().status().is_success());
    assert!(run_unheard(&data, &["pair"]).success(), "beside a running garage");
    running.kill();
    assert!(run_unheard(&data, &["doctor", "--only-here", "--desk-port", &free_port().to_string()]).success());
    let saved = home.path().join("saved");
    assert!(run_unheard(&data, &["backup", saved.to_str().unwrap()]).success() && saved.exists());
}

async fn open(database: &Path) -> SqliteConnection {
    SqliteConnection::connect_with(&SqliteConnectOptions::new().filename(database)).await.unwrap()
}

#[tokio::test]
async fn a_database_from_a_newer_version_is_left_alone() {
    let home = home();
    let data = home.path().join("d");
    Running::start(&data, "serve", free_port()).await.stop();
    let database = data.join("underlamp.db");
    let mut conn = open(&database).await;
    sqlx::query(
        "insert into _sqlx_migrations (version, description, success, checksum, execution_time) values (9999, 'later', 1, x'00', 1)",
    )
    .execute(&mut conn)
    .await
    .unwrap();
    conn.close().await.unwrap();
    let before = std::fs::read(&database).unwrap();
    let out = run(&data, &["serve", "--only-here", "--desk-port", &free_port().to_string()]);
    assert!(!out.status.success() && said(&out).contains("newer Underlamp"), "{}", said(&out));
    assert_eq!(std::fs::read(&database).unwrap(), before);
    let doctor = run(&data, &["doctor", "--only-here", "--desk-port", &free_port().to_string()]);
    assert!(!doctor.status.success() && said(&doctor).contains("newer Underlamp"), "{}", said(&doctor));
}

#[tokio::test]
async fn the_doctor_finds_a_damaged_database_and_passes_a_sound_one() {
    let home = home();
    let data = home.path().join("d");
    let port = free_port().to_string();
    let fresh = run(&data, &["doctor", "--only-here", "--desk-port", &port]);
    assert!(fresh.status.success(), "{}", said(&fresh));
    Running::start(&data, "demo", free_port()).await.stop();
    let sound = run(&data, &["doctor", "--only-here", "--desk-port", &port]);
    assert!(sound.status.success() && said(&sound).contains("Nothing is wrong"), "{}", said(&sound));
    let database = data.join("underlamp.db");
    let mut bytes = std::fs::read(&database).unwrap();
    let at = bytes.len() / 2;
    bytes[at..at + 4096].fill(0xA5);
    std::fs::write(&database, bytes).unwrap();
    let ill = run(&data, &["doctor", "--only-here", "--desk-port", &port]);
    assert!(!ill.status.success() && said(&ill).contains("damaged"), "{}", said(&ill));
}

/// The acknowledgement is the promise: whatever was acknowledged before the kill is there after it.
#[tokio::test(flavor = "multi_thread")]
async fn what_was_acknowledged_survives_kill_9() {
    let home = home();
    let data = home.path().join("d");
    let mut running = Running::start(&data, "demo", free_port()).await;
    let client = running.paired().await;
    let car = demo_car(&data).await;
    let (url, sender, device) = (running.url.clone(), client.clone(), DeviceId::new());
    let sending = tokio::spawn(async move {
        let mut acknowledged = Vec::new();
        let mut hlc = at(EVENING.min(underlamp::clock::Clock::system().now()));
        loop {
            let mut ops = Vec::new();
            for n in 0..5 {
                hlc = hlc.next(hlc.moment());
                ops.push(car.note(device, hlc, &format!("note {n}")));
            }
            let sent = sender.post(format!("{url}/sync/ops")).json(&json!({ "ops": ops })).send().await;
            let Ok(answer) = sent else { return acknowledged };
            let Ok(answer) = answer.json::<Value>().await else { return acknowledged };
            for verdict in answer["verdicts"].as_array().unwrap() {
                assert_eq!(verdict["is"], "applied", "{verdict}");
                acknowledged.push(verdict["id"].as_str().unwrap().to_owned());
            }
        }
    });
    tokio::time::sleep(std::time::Duration::from_millis(700)).await;
    running.kill();
    let acknowledged = sending.await.unwrap();
    assert!(acknowledged.len() > 10, "only {} were sent", acknowledged.len());
    let mut conn = open(&data.join("underlamp.db")).await;
    let stored: Vec<String> = sqlx::query_scalar("select id from ops").fetch_all(&mut conn).await.unwrap();
    for id in acknowledged {
        assert!(stored.contains(&id), "{id} was acknowledged and is gone");
    }
}

async fn demo_car(data: &Path) -> SmallCar {
    let mut conn = open(&data.join("underlamp.db")).await;
    let car = underlamp::cars::store::all(&mut conn).await.unwrap()[0].id;
    let card = underlamp::jobs::store::cards_of_car(&mut conn, car).await.unwrap()[0].id;
    let steps = underlamp::jobs::store::steps_of_card(&mut conn, card).await.unwrap();
    SmallCar { car, card, steps: steps.into_iter().map(|step| step.id).collect() }
}

/// Every file below a folder with its content, by relative name.
fn contents(folder: &Path) -> std::collections::BTreeMap<String, Vec<u8>> {
    let mut found = std::collections::BTreeMap::new();
    let mut open = vec![folder.to_owned()];
    while let Some(at) = open.pop() {
        for entry in std::fs::read_dir(at).into_iter().flatten() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else {
                let name = path.strip_prefix(folder).unwrap().to_string_lossy().into_owned();
                found.insert(name, std::fs::read(&path).unwrap());
            }
        }
    }
    found
}

async fn ops_and_store(database: &Path) -> (Vec<(String, String)>, String) {
    let mut conn = open(database).await;
    let ops = sqlx::query_as("select id, body from ops order by seq").fetch_all(&mut conn).await.unwrap();
    let store = sqlx::query_scalar("select id from store").fetch_one(&mut conn).await.unwrap();
    (ops, store)
}

#[tokio::test]
async fn a_backup_of_a_running_garage_comes_back_whole_under_a_new_store_id() {
    let home = home();
    let (data, again, file) = (home.path().join("d"), home.path().join("again"), home.path().join("garage.backup"));
    let running = Running::start(&data, "demo", free_port()).await;
    let made = run(&data, &["backup", file.to_str().unwrap()]);
    assert!(made.status.success(), "{}", said(&made));
    let overwrite = run(&data, &["backup", file.to_str().unwrap()]);
    assert!(!overwrite.status.success() && said(&overwrite).contains("exists already"), "{}", said(&overwrite));
    running.stop();
    let back = run(&again, &["restore", file.to_str().unwrap()]);
    assert!(back.status.success(), "{}", said(&back));
    let (before, store_before) = ops_and_store(&data.join("underlamp.db")).await;
    let (after, store_after) = ops_and_store(&again.join("underlamp.db")).await;
    assert!(before.len() > 50);
    assert_eq!(before, after);
    assert_ne!(store_before, store_after, "phones must notice that this is another store");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        let mode = std::fs::metadata(&file).unwrap().permissions().mode();
        assert_eq!(mode & 0o077, 0, "it holds keys: nobody else may read it");
    }
    let photos = contents(&data.join("photos/done"));
    assert!(!photos.is_empty());
    assert_eq!(photos, contents(&again.join("photos/done")));
    let onto = run(&again, &["restore", file.to_str().unwrap()]);
    assert!(!onto.status.success() && said(&onto).contains("is not empty"), "{}", said(&onto));
}

#[tokio::test]
async fn a_damaged_backup_is_refused_and_changes_nothing() {
    let home = home();
    let (data, file) = (home.path().join("d"), home.path().join("garage.backup"));
    Running::start(&data, "demo", free_port()).await.stop();
    assert!(run(&data, &["backup", file.to_str().unwrap()]).status.success());
    let whole = std::fs::read(&file).unwrap();
    let mut cases: Vec<(String, Vec<u8>)> = vec![
        ("empty".into(), Vec::new()),
        ("no archive".into(), b"this is no backup".to_vec()),
        ("cut short".into(), whole[..whole.len() / 2].to_vec()),
        ("cut at the end".into(), whole[..whole.len() - 200].to_vec()),
    ];
    for part in 1..8 {
        let mut flipped = whole.clone();
        flipped[whole.len() * part / 8] ^= 0x10;
        cases.push((format!("one bit at {part}/8"), flipped));
    }
    for (what, bytes) in cases {
        let (damaged, target) = (home.path().join("damaged"), home.path().join("target"));
        std::fs::write(&damaged, bytes).unwrap();
        let out = run(&target, &["restore", damaged.to_str().unwrap()]);
        assert!(!out.status.success(), "{what} was taken");
        assert!(said(&out).contains("Nothing was changed"), "{what}: {}", said(&out));
        assert!(!target.join("underlamp.db").exists() && !target.join("photos").exists(), "{what} left something");
    }
}

/// After a crash the log of the old database lies beside it, and would be played into another one put in its place.
#[tokio::test]
async fn a_folder_with_leftovers_is_not_restored_into() {
    let home = home();
    let (data, file) = (home.path().join("d"), home.path().join("garage.backup"));
    let mut running = Running::start(&data, "demo", free_port()).await;
    running.kill();
    assert!(run(&data, &["backup", file.to_str().unwrap()]).status.success());
    let left = home.path().join("left");
    std::fs::create_dir(&left).unwrap();
    std::fs::write(left.join("underlamp.db-wal"), b"old log").unwrap();
    let out = run(&left, &["restore", file.to_str().unwrap()]);
    assert!(!out.status.success() && said(&out).contains("underlamp.db-wal"), "{}", said(&out));
    assert!(!left.join("underlamp.db").exists());
}

/// An archive that names a file outside the folder.
#[test]
fn a_backup_that_would_write_elsewhere_is_refused() {
    let home = home();
    let file = home.path().join("evil.backup");
    let manifest = json!({ "format": 1, "made_at": 0, "files": { "../evil": { "bytes": 1, "sha256":
        "2d711642b726b04401627ca9fbac32f5c8530fb1903cc4db02258717921a4881" } } });
    let zip = flate2::write::GzEncoder::new(std::fs::File::create(&file).unwrap(), flate2::Compression::fast());
    let mut tar = tar::Builder::new(zip);
    let text = manifest.to_string();
    for (name, bytes) in [("manifest.json", text.as_bytes()), ("../evil", b"x".as_slice())] {
        let mut head = tar::Header::new_gnu();
        head.set_size(bytes.len() as u64);
        head.set_mode(0o600);
        head.as_mut_bytes()[..name.len()].copy_from_slice(name.as_bytes());
        head.set_cksum();
        tar.append(&head, bytes).unwrap();
    }
    tar.into_inner().unwrap().finish().unwrap();
    let out = run(&home.path().join("target"), &["restore", file.to_str().unwrap()]);
    assert!(!out.status.success() && said(&out).contains("leads out of the folder"), "{}", said(&out));
    assert!(!home.path().join("evil").exists());
}

#[tokio::test]
async fn the_demo_is_loaded_once_and_its_car_is_said_to_be_invented() {
    let app = TestApp::demo().await;
    underlamp::demo::load_if_empty(&app.state).await.unwrap();
    let mut conn = app.state.read.conn().await.unwrap();
    let cars = underlamp::cars::store::all(&mut conn).await.unwrap();
    assert_eq!(cars.len(), 1);
    assert!(cars[0].invented && cars[0].story.to_lowercase().contains("invented"));
    let state = underlamp::work::model::CarState::read(&mut conn, cars[0].id).await.unwrap();
    let torques = state.specs.iter().filter(|spec| spec.facts.kind.name() == "torque").count();
    assert!(state.cards.len() >= 12 && torques >= 60 && state.specs.len() - torques >= 20);
    let conditions: std::collections::BTreeSet<_> = state.cards.iter().map(|card| card.condition.name()).collect();
    assert_eq!(conditions.len(), 6, "{conditions:?}");
    assert!(!state.loose_ends.is_empty());
}
