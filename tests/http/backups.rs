//! Backups by themselves: to a folder and to a WebDAV server that is not ours, through air that fails, and back.
//!
//! The server is wsgidav; what it is asked and answers is RFC 4918. The proxy that fails is that of the browser's tests.

use crate::browser::proxy::{Fault, Proxy};
use crate::support::process::{run, said, underlamp};
use crate::support::webdav::{PASSWORD, USER, WebDav};
use crate::support::{EVENING, TestApp};
use axum::http::StatusCode;
use std::path::Path;
use std::time::Duration;
use tempfile::TempDir;
use tokio::runtime::Runtime;
use underlamp::backup::due::Age;
use underlamp::backup::keeper::Backups;
use underlamp::backup::name::Name;
use underlamp::backup::settings::{Place, Settings};
use underlamp::backup::trouble::Trouble;
use underlamp::clock::Moment;

const PATIENCE: Duration = Duration::from_secs(20);
const SHORT: Duration = Duration::from_secs(2);

fn settings(place: Place) -> Settings {
    Settings { place, hour: 3, old_after_days: 7 }
}

fn on_server(address: String) -> Settings {
    settings(Place::WebDav { address, user: USER.into(), password: PASSWORD.into() })
}

fn in_folder(path: &Path) -> Settings {
    settings(Place::Folder { path: path.to_owned() })
}

/// A garage with backups that are kept in a place.
async fn garage(chosen: &Settings, patience: Duration) -> (TestApp, Backups) {
    let app = TestApp::start().await;
    let backups = app.backups(patience);
    backups.set(chosen).unwrap();
    (app, backups)
}

/// What a failed try leaves to be told.
async fn told(backups: &Backups) -> String {
    backups.standing().await.unwrap().record.trouble.map(|failed| failed.say).unwrap_or_default()
}

fn days_later(app: &TestApp, days: i64) {
    app.clock.set(app.clock.now().plus_days(days));
}

fn ops(database: &Path) -> Vec<(String, String)> {
    let runtime = Runtime::new().unwrap();
    runtime.block_on(async {
        use sqlx::Connection;
        let options = sqlx::sqlite::SqliteConnectOptions::new().filename(database);
        let mut conn = sqlx::SqliteConnection::connect_with(&options).await.unwrap();
        sqlx::query_as("select id, body from ops order by seq").fetch_all(&mut conn).await.unwrap()
    })
}

#[tokio::test(flavor = "multi_thread")]
async fn a_server_keeps_a_backup_under_its_name_and_gives_it_back_whole() {
    let dav = WebDav::shared();
    let app = TestApp::demo().await;
    let backups = app.backups(PATIENCE);
    let address = WebDav::address("whole/garage", dav.port);
    std::fs::create_dir(dav.path("whole")).unwrap();
    backups.set(&on_server(address.clone())).unwrap();
    backups.make_one().await.unwrap();
    let name = Name::new(app.state.store, EVENING).to_string();
    assert_eq!(dav.files("whole/garage"), [name.as_str()], "the folder was made, and nothing half-written is left");
    let standing = backups.standing().await.unwrap();
    let good = standing.record.good.unwrap();
    assert_eq!((good.at, good.place, standing.record.kept), (EVENING, format!("{address}/"), 1));
    assert_eq!(good.bytes, std::fs::metadata(dav.path("whole/garage").join(&name)).unwrap().len());

    let home = tempfile::tempdir().unwrap();
    let restore = |target: &str, words: &[&str]| {
        let all = [&["restore", "--from", address.as_str(), "--user", USER][..], words].concat();
        underlamp(&home.path().join(target), &all).env("UNDERLAMP_WEBDAV_PASSWORD", PASSWORD).output().unwrap()
    };
    let list = restore("d", &["--list"]);
    assert!(list.status.success() && said(&list).contains(&name), "{}", said(&list));
    assert!(!home.path().join("d").join("underlamp.db").exists());
    let back = restore("d", &[]);
    assert!(back.status.success(), "{}", said(&back));
    let [before, after] =
        [app.folder().path().to_owned(), home.path().join("d")].map(|folder| folder.join("underlamp.db"));
    let both = tokio::task::spawn_blocking(move || (ops(&before), ops(&after))).await.unwrap();
    assert!(both.0.len() > 50 && both.0 == both.1);
    let none = restore("e", &["--which", "underlamp-000000000000-20260101T000000Z.backup"]);
    assert!(!none.status.success() && said(&none).contains("no such backup"), "{}", said(&none));
    let wrong = underlamp(&home.path().join("e"), &["restore", "--from", &address, "--user", USER])
        .env("UNDERLAMP_WEBDAV_PASSWORD", "guess")
        .output()
        .unwrap();
    assert!(!wrong.status.success() && said(&wrong).contains("refused the user or the password"), "{}", said(&wrong));
    assert!(!said(&wrong).contains("guess"));
}

#[tokio::test]
async fn sixty_days_leave_what_the_rule_keeps_and_nothing_of_anybody_else_is_touched() {
    let place = tempfile::tempdir().unwrap();
    let others = ["holiday.jpg", "underlamp-000000000000-20200101T030000Z.backup"];
    for file in others {
        std::fs::write(place.path().join(file), "not ours").unwrap();
    }
    let (app, backups) = garage(&in_folder(place.path()), PATIENCE).await;
    let mut made = Vec::new();
    for _ in 0..60 {
        backups.make_one().await.unwrap();
        made.push(app.clock.now());
        days_later(&app, 1);
    }
    let left = std::fs::read_dir(place.path()).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap());
    let mut left: Vec<String> = left.collect();
    left.sort();
    for file in others {
        let at = left.iter().position(|name| name == file).expect("what is not ours stays");
        left.remove(at);
    }
    let kept = backups.standing().await.unwrap().record.kept;
    assert_eq!(left.len(), kept);
    // 25 Nov to 23 Jan: seven days, two Sundays before those (a third is among them), and the ends of November and December.
    assert_eq!(left.len(), 11, "{left:#?}");
    assert!(left.contains(&Name::new(app.state.store, *made.last().unwrap()).to_string()));
}

#[tokio::test(flavor = "multi_thread")]
async fn a_wrong_password_and_a_folder_without_a_parent_are_told_in_a_sentence() {
    let dav = WebDav::shared();
    let place = |address: String, password: &str| {
        settings(Place::WebDav { address, user: USER.into(), password: password.into() })
    };
    let (_app, backups) = garage(&place(WebDav::address("refused", dav.port), "guess"), PATIENCE).await;
    assert!(matches!(backups.make_one().await, Err(Trouble::Refused(401))));
    let say = told(&backups).await;
    assert!(say.contains("Enter them again") && !say.contains("guess"), "{say}");
    let (_app, backups) = garage(&place(WebDav::address("no/such/parent", dav.port), PASSWORD), PATIENCE).await;
    assert!(matches!(backups.make_one().await, Err(Trouble::NoFolderThere)));
    assert!(told(&backups).await.contains("Make the folder there"));
}

/// What the garage's own computer answers at its pairing page is a web page, and no WebDAV.
#[tokio::test]
async fn a_server_that_knows_no_webdav_is_told_apart() {
    let port = serve(axum::Router::new().fallback(async || "<html>Welcome</html>")).await;
    let (_app, backups) = garage(&on_server(format!("http://127.0.0.1:{port}/")), PATIENCE).await;
    assert!(matches!(backups.make_one().await, Err(Trouble::NoWebDav(200))));
}

/// A server of our own that answers what a real one cannot be brought to.
async fn serve(router: axum::Router) -> u16 {
    let listener = tokio::net::TcpListener::bind(("127.0.0.1", 0)).await.unwrap();
    let port = listener.local_addr().unwrap().port();
    tokio::spawn(async move { axum::serve(listener, router).await });
    port
}

const EMPTY: &str = "<D:multistatus xmlns:D=\"DAV:\"><D:response><D:href>/</D:href><D:propstat><D:prop><D:resourcetype>\
    <D:collection/></D:resourcetype></D:prop><D:status>HTTP/1.1 200 OK</D:status></D:propstat></D:response></D:multistatus>";

/// 507: RFC 4918, section 11.5; the room that is told beforehand: RFC 4331.
#[tokio::test]
async fn a_full_server_is_told_and_older_backups_are_left_alone() {
    use axum::body::Body;
    use axum::extract::Request;
    use axum::response::IntoResponse;
    let answer = |text: &'static str, deletes: bool| {
        axum::Router::new().fallback(move |request: Request<Body>| async move {
            match request.method().as_str() {
                "PROPFIND" => (StatusCode::MULTI_STATUS, text).into_response(),
                "PUT" => {
                    let _ = axum::body::to_bytes(request.into_body(), usize::MAX).await;
                    StatusCode::INSUFFICIENT_STORAGE.into_response()
                }
                "DELETE" if deletes && request.uri().path().ends_with(".part") => StatusCode::NOT_FOUND.into_response(),
                other => panic!("{other} {} is not to be asked of a full server", request.uri()),
            }
        })
    };
    let port = serve(answer(EMPTY, true)).await;
    let (_app, backups) = garage(&on_server(format!("http://127.0.0.1:{port}/")), PATIENCE).await;
    assert!(matches!(backups.make_one().await, Err(Trouble::Full)));
    assert!(told(&backups).await.contains("no room left"));

    let little =
        EMPTY.replace("</D:resourcetype>", "</D:resourcetype><D:quota-available-bytes>10</D:quota-available-bytes>");
    let port = serve(answer(little.leak(), true)).await;
    let (_app, backups) = garage(&on_server(format!("http://127.0.0.1:{port}/")), PATIENCE).await;
    assert!(matches!(backups.make_one().await, Err(Trouble::Full)), "told before anything was sent");
}

/// The connection stands, and nothing moves on it any more.
#[tokio::test]
async fn a_server_that_stops_taking_a_backup_half_way_is_given_up() {
    use axum::extract::Request;
    use axum::response::IntoResponse;
    let router = axum::Router::new().fallback(|request: Request| async move {
        if request.method() == "PUT" {
            std::future::pending::<()>().await;
        }
        (StatusCode::MULTI_STATUS, EMPTY).into_response()
    });
    let port = serve(router).await;
    let (_app, backups) = garage(&on_server(format!("http://127.0.0.1:{port}/")), SHORT).await;
    assert!(matches!(backups.make_one().await, Err(Trouble::Slow)));
}

/// The new one is proven, and an old one will not go: that is told, and is no reason to make another at once.
#[tokio::test]
async fn an_old_one_that_will_not_go_does_not_unmake_a_new_one() {
    use axum::extract::Request;
    use axum::response::IntoResponse;
    use std::collections::BTreeMap;
    use std::sync::{Arc, Mutex};
    let files: Arc<Mutex<BTreeMap<String, Vec<u8>>>> = Arc::default();
    let kept = files.clone();
    let router = axum::Router::new().fallback(move |request: Request| {
        let kept = kept.clone();
        async move {
            let (head, body) = request.into_parts();
            let body = axum::body::to_bytes(body, usize::MAX).await.unwrap().to_vec();
            let mut kept = kept.lock().unwrap();
            let path = head.uri.path().to_owned();
            match head.method.as_str() {
                "PROPFIND" => {
                    let file = |name: &String| format!("<D:response><D:href>{name}</D:href></D:response>");
                    let all: String = kept.keys().map(file).collect();
                    let end = "</D:multistatus>";
                    (StatusCode::MULTI_STATUS, EMPTY.replace(end, &format!("{all}{end}"))).into_response()
                }
                "PUT" => {
                    kept.insert(path, body);
                    StatusCode::CREATED.into_response()
                }
                "GET" => kept[&path].clone().into_response(),
                "MOVE" => {
                    let bytes = kept.remove(&path).unwrap();
                    kept.insert(path.trim_end_matches(".part").to_owned(), bytes);
                    StatusCode::CREATED.into_response()
                }
                _ => StatusCode::FORBIDDEN.into_response(),
            }
        }
    });
    let port = serve(router).await;
    let (app, backups) = garage(&on_server(format!("http://127.0.0.1:{port}/")), PATIENCE).await;
    backups.make_one().await.unwrap();
    app.clock.set(app.clock.now().plus_minutes(1));
    backups.make_one().await.unwrap();
    let standing = backups.standing().await.unwrap();
    assert_eq!(files.lock().unwrap().len(), 2);
    assert!(standing.record.untidy.unwrap().contains("403"));
    assert_eq!((standing.record.failures, standing.record.trouble), (0, None));
    assert!(standing.next.unwrap() > app.clock.now(), "the next is due tomorrow");
    assert!(app.owner().await.get("/backups").await.text.contains("Older ones could not be taken away"));
}

/// The server takes everything and keeps something else: only reading it back finds that out.
#[tokio::test]
async fn what_does_not_come_back_as_it_was_sent_never_gets_a_name() {
    use axum::extract::Request;
    use axum::response::IntoResponse;
    let router = axum::Router::new().fallback(|request: Request| async move {
        match request.method().as_str() {
            "PROPFIND" => (StatusCode::MULTI_STATUS, EMPTY).into_response(),
            "PUT" => {
                let _ = axum::body::to_bytes(request.into_body(), usize::MAX).await;
                StatusCode::CREATED.into_response()
            }
            "GET" => "something else".into_response(),
            "DELETE" => StatusCode::NO_CONTENT.into_response(),
            other => panic!("{other}: it was given its name"),
        }
    });
    let port = serve(router).await;
    let (_app, backups) = garage(&on_server(format!("http://127.0.0.1:{port}/")), PATIENCE).await;
    assert!(matches!(backups.make_one().await, Err(Trouble::Differs)));
}

/// The proxy keeps a runtime of its own and is waited for, so these run outside one.
fn through(name: &str, patience: Duration) -> (Runtime, Proxy, TestApp, Backups) {
    let dav = WebDav::shared();
    let proxy = Proxy::start(dav.port);
    let runtime = Runtime::new().unwrap();
    let chosen = on_server(WebDav::address(name, proxy.port()));
    let (app, backups) = runtime.block_on(garage(&chosen, patience));
    (runtime, proxy, app, backups)
}

#[test]
fn a_connection_that_breaks_half_way_costs_nothing_and_is_tried_again() {
    let dav = WebDav::shared();
    let (runtime, proxy, app, backups) = through("cut", PATIENCE);
    runtime.block_on(backups.make_one()).unwrap();
    let first = dav.files("cut");
    assert_eq!(first.len(), 1);
    for (method, fault) in [
        ("PUT", Fault::CutBodyAfter(2000)),
        ("PUT", Fault::DropAnswer),
        ("GET", Fault::DropAnswer),
        ("MOVE", Fault::DropAnswer),
        ("PROPFIND", Fault::DropAnswer),
    ] {
        days_later(&app, 1);
        proxy.once(method, "/cut", fault);
        let broken = runtime.block_on(backups.make_one());
        let is_cut = matches!(broken, Err(Trouble::Cut | Trouble::Unreachable(_)));
        assert!(is_cut, "{method} {fault:?}: {broken:?}");
        assert!(first.iter().all(|name| dav.files("cut").contains(name)), "{method}: what was there stays");
        assert!(runtime.block_on(backups.standing()).unwrap().record.failures > 0);
    }
    days_later(&app, 1);
    runtime.block_on(backups.make_one()).unwrap();
    let standing = runtime.block_on(backups.standing()).unwrap();
    assert_eq!((standing.record.failures, standing.record.trouble), (0, None));
    assert!(dav.files("cut").iter().all(|name| name.ends_with(".backup")), "nothing half-written is left");
}

#[test]
fn a_server_that_stops_answering_or_is_gone_is_given_up_and_told() {
    let dav = WebDav::shared();
    let (runtime, proxy, _app, backups) = through("slow", SHORT);
    proxy.stall();
    assert!(matches!(runtime.block_on(backups.make_one()), Err(Trouble::Slow)));
    assert!(runtime.block_on(told(&backups)).contains("stopped answering"));
    proxy.refuse();
    assert!(matches!(runtime.block_on(backups.make_one()), Err(Trouble::Unreachable(_))));
    assert!(runtime.block_on(told(&backups)).contains("Is it switched on"));
    assert!(dav.files("slow").is_empty());
    proxy.pass();
    runtime.block_on(backups.make_one()).unwrap();
    assert_eq!(dav.files("slow").len(), 1);
}

#[tokio::test]
async fn what_an_earlier_try_left_half_written_is_taken_away_and_that_of_others_is_not() {
    let place = tempfile::tempdir().unwrap();
    let (app, backups) = garage(&in_folder(place.path()), PATIENCE).await;
    let ours = place.path().join(Name::new(app.state.store, Moment(0)).part());
    let theirs = place.path().join("underlamp-000000000000-20200101T030000Z.backup.part");
    for part in [&ours, &theirs] {
        std::fs::write(part, "half").unwrap();
    }
    backups.make_one().await.unwrap();
    assert!(!ours.exists() && theirs.exists());
}

#[tokio::test]
async fn a_disk_that_is_not_plugged_in_is_told_and_no_folder_is_made_in_its_place() {
    let home = tempfile::tempdir().unwrap();
    let gone = home.path().join("stick");
    let (_app, backups) = garage(&in_folder(&gone), PATIENCE).await;
    assert!(matches!(backups.make_one().await, Err(Trouble::NoFolder(_))));
    assert!(told(&backups).await.contains("Is the disk plugged in?"));
    assert!(!gone.exists());
}

#[cfg(unix)]
#[tokio::test]
async fn a_backup_in_a_folder_is_readable_by_its_owner_only() {
    use std::os::unix::fs::PermissionsExt;
    let place = tempfile::tempdir().unwrap();
    let (app, backups) = garage(&in_folder(place.path()), PATIENCE).await;
    backups.make_one().await.unwrap();
    let file = std::fs::read_dir(place.path()).unwrap().next().unwrap().unwrap();
    assert_eq!(file.metadata().unwrap().permissions().mode() & 0o077, 0);
    assert_eq!(std::fs::read_dir(app.folder().scratch()).unwrap().count(), 0, "nothing is left of making it");
}

#[tokio::test]
async fn a_folder_gives_its_newest_backup_back_and_asks_where_two_garages_keep_theirs() {
    let place = tempfile::tempdir().unwrap();
    let (one, backups) = garage(&in_folder(place.path()), PATIENCE).await;
    backups.make_one().await.unwrap();
    days_later(&one, 1);
    one.owner().await;
    backups.make_one().await.unwrap();
    let home = tempfile::tempdir().unwrap();
    let from = place.path().to_str().unwrap();
    let back = run(&home.path().join("d"), &["restore", "--from", from]);
    assert!(back.status.success(), "{}", said(&back));
    let (_two, more) = garage(&in_folder(place.path()), PATIENCE).await;
    more.make_one().await.unwrap();
    let which = run(&home.path().join("e"), &["restore", "--from", from]);
    assert!(!which.status.success() && said(&which).contains("say which with --which"), "{}", said(&which));
    let name = Name::new(one.state.store, EVENING).to_string();
    let chosen = run(&home.path().join("e"), &["restore", "--from", from, "--which", &name]);
    assert!(chosen.status.success(), "{}", said(&chosen));
    let nothing = run(&home.path().join("f"), &["restore", "--from", home.path().to_str().unwrap()]);
    assert!(!nothing.status.success() && said(&nothing).contains("holds no backup"), "{}", said(&nothing));
    let neither = run(&home.path().join("f"), &["restore"]);
    assert!(!neither.status.success());
}

#[tokio::test]
async fn a_garage_that_is_open_makes_its_first_backup_by_itself() {
    use crate::support::process::{Running, free_port};
    let home = tempfile::tempdir().unwrap();
    let (data, place) = (home.path().join("d"), home.path().join("keep"));
    std::fs::create_dir_all(&data).unwrap();
    std::fs::create_dir(&place).unwrap();
    let folder = underlamp::config::DataFolder::choose(Some(&data), false).unwrap();
    underlamp::backup::settings::save(&folder, &in_folder(&place)).unwrap();
    let running = Running::start(&data, "serve", free_port()).await;
    let until = std::time::Instant::now() + Duration::from_secs(30);
    let kept = || {
        std::fs::read_dir(&place)
            .unwrap()
            .flatten()
            .any(|entry| entry.path().extension().is_some_and(|end| end == "backup"))
    };
    while !kept() {
        assert!(std::time::Instant::now() < until, "none was made");
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    assert!(running.stop().success());
}

#[tokio::test]
async fn a_garage_that_is_not_saved_says_so_at_home_but_not_on_its_first_day() {
    let app = TestApp::start().await;
    let desk = app.owner().await;
    let home = async || desk.get("/").await.text;
    days_later(&app, 30);
    assert!(!home().await.contains("is not saved"), "there is nothing to save");
    let car = [
        ("name", "Skarv"),
        ("make", ""),
        ("model", ""),
        ("year", ""),
        ("codes", ""),
        ("story", ""),
        ("wanted_on", ""),
        ("wanted_for", ""),
    ];
    assert_eq!(desk.post_form("/cars", &car).await.status, StatusCode::SEE_OTHER);
    assert!(home().await.contains("There is no backup of this garage yet, and work has been kept in it for 30 days."));

    let place = tempfile::tempdir().unwrap();
    let backups = app.backups(PATIENCE);
    backups.set(&in_folder(place.path())).unwrap();
    backups.make_one().await.unwrap();
    assert!(!home().await.contains("is not saved"));
    days_later(&app, 6);
    assert!(!home().await.contains("is not saved"));
    days_later(&app, 1);
    assert!(home().await.contains("The last good backup is 7 days old."), "{}", home().await);
    let place = place.keep();
    std::fs::remove_dir_all(&place).unwrap();
    assert!(backups.make_one().await.is_err());
    assert!(home().await.contains("Is the disk plugged in?"));
    let page = desk.get("/backups").await.text;
    assert!(page.contains("The last try failed") && page.contains("It is tried again"), "{page}");
}

#[tokio::test]
async fn a_new_garage_and_the_demo_are_left_in_peace() {
    let app = TestApp::demo().await;
    assert_eq!(app.backups(PATIENCE).standing().await.unwrap().age, Age::Well);
    days_later(&app, 90);
    assert!(!app.owner().await.get("/").await.text.contains("is not saved"), "what is invented can be made again");
}

fn form<'a>(kind: &'a str, path: &'a str, address: &'a str, password: &'a str) -> [(&'static str, &'a str); 7] {
    [
        ("kind", kind),
        ("path", path),
        ("address", address),
        ("user", USER),
        ("password", password),
        ("hour", "21"),
        ("old_after", "5"),
    ]
}

#[tokio::test(flavor = "multi_thread")]
async fn the_page_tries_a_place_before_it_keeps_it_and_never_shows_the_password() {
    let dav = WebDav::shared();
    let app = TestApp::start().await;
    let desk = app.owner().await;
    assert!(
        desk.get("/").await.text.contains("href=\"/backups\"")
            && desk.get("/backups").await.text.contains("None was made yet")
    );
    let address = WebDav::address("page", dav.port);
    let wrong = desk.post_form("/backups", &form("webdav", "", &address, "guess-of-mine")).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        wrong.text.contains("refused the user or the password") && !wrong.text.contains("guess-of-mine"),
        "{}",
        wrong.text
    );
    assert!(!app.folder().backup_settings().exists());
    for (kind, path, at, words) in [
        ("folder", "/no/such/folder", "", "Is the disk plugged in?"),
        ("folder", "keep", "", "Write the whole path"),
        ("webdav", "", "nas", "Write the address like"),
        ("tape", "", "", "Choose where"),
    ] {
        let answer = desk.post_form("/backups", &form(kind, path, at, "")).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{words}");
        assert!(answer.text.contains(words), "{words}: {}", answer.text);
    }
    let kept = desk.post_form("/backups", &form("webdav", "", &address, PASSWORD)).await;
    assert_eq!((kept.status, kept.location()), (StatusCode::SEE_OTHER, "/backups"), "{}", kept.text);
    let again = desk.post_form("/backups", &form("webdav", "", &address, "")).await;
    assert_eq!(again.status, StatusCode::SEE_OTHER, "the password that is known stays: {}", again.text);
    let moved = desk.post_form("/backups", &form("webdav", "", &WebDav::address("else", dav.port), "")).await;
    assert_eq!(moved.status, StatusCode::UNPROCESSABLE_ENTITY, "it goes to no other address");
    let page = desk.get("/backups").await.text;
    assert!(page.contains(&address) && page.contains("21:00") && !page.contains(PASSWORD) && !page.contains("hush"));

    assert_eq!(desk.post_form("/backups/now", &[]).await.status, StatusCode::SEE_OTHER);
    let until = std::time::Instant::now() + Duration::from_secs(30);
    while !dav.files("page").iter().any(|name| name.ends_with(".backup")) {
        assert!(std::time::Instant::now() < until, "{}", desk.get("/backups").await.text);
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    assert_eq!(desk.post_form("/backups/stop", &[]).await.status, StatusCode::SEE_OTHER);
    assert!(!app.folder().backup_settings().exists());
    assert_eq!(dav.files("page").len(), 1, "those that were made stay");
}

#[test]
fn the_doctor_and_the_record_know_a_backup_that_was_made_by_hand() {
    let home: TempDir = tempfile::tempdir().unwrap();
    let data = home.path().join("d");
    let runtime = Runtime::new().unwrap();
    let place = home.path().join("by-hand");
    let app = runtime.block_on(TestApp::start());
    std::fs::create_dir(&data).unwrap();
    let port = crate::support::process::free_port().to_string();
    let look = |data: &Path| said(&run(data, &["doctor", "--only-here", "--desk-port", &port]));
    assert!(look(app.folder().path()).contains("There is none yet. Choose a place"), "{}", look(app.folder().path()));
    assert!(run(app.folder().path(), &["backup", place.to_str().unwrap()]).status.success());
    let well = look(app.folder().path());
    assert!(well.contains("the last good one is of") && well.contains("by-hand"), "{well}");
    std::fs::write(app.folder().backup_record(), "{").unwrap();
    assert!(look(app.folder().path()).contains("cannot be read"));
}
