//! Coming in, and staying out.

use crate::support::TestApp;
use axum::body::Body;
use axum::http::{Method, StatusCode, header};
use underlamp::access::{Who, new_code};
use underlamp::app;

/// A path with every parameter filled by something well-formed.
fn filled(path: &str) -> String {
    path.split('/')
        .map(|part| match part {
            "{build}" => "0".into(),
            "{*path}" => "css/base.css".into(),
            "{sha256}" => "0".repeat(64),
            "{which}" => "thumb".into(),
            "{pattern}" => "axle-oil".into(),
            part if part.starts_with('{') => "01890a5d-ac96-774b-bcce-b302099a8057".into(),
            part => part.to_owned(),
        })
        .collect::<Vec<String>>()
        .join("/")
}

/// Drives every route there is as a stranger. A route added without a guard, or with the wrong one, fails here:
/// the table is the only way to add one, and it asks who may call it.
#[tokio::test]
async fn every_route_keeps_strangers_out_unless_it_says_otherwise() {
    let app = TestApp::start().await;
    let stranger = app.stranger();
    let table = app::table();
    assert!(table.listed().len() > 20);
    for route in table.listed() {
        let path = filled(route.path);
        let request = stranger.request(route.method.clone(), &path).body(Body::empty()).unwrap();
        let answer = stranger.send(request).await;
        let kept_out = answer.status == StatusCode::UNAUTHORIZED;
        assert_eq!(kept_out, route.who != Who::Anyone, "{} {} answered {}", route.method, route.path, answer.status);
    }
}

#[tokio::test]
async fn a_stranger_on_the_way_to_a_page_is_led_to_pairing() {
    let app = TestApp::start().await;
    let answer = app.stranger().get("/devices").await;
    assert_eq!((answer.status, answer.location()), (StatusCode::SEE_OTHER, "/pair"));
}

#[tokio::test]
async fn a_code_pairs_one_browser_once() {
    let app = TestApp::start().await;
    let code = new_code(&app.state.write, &app.clock, app.clock.now().plus_minutes(5)).await.unwrap().shown();
    let pair =
        async |code: &str| app.stranger().post_form("/pair", &[("code", code), ("name", "x"), ("kind", "desk")]).await;
    let first = pair(&code.to_lowercase().replace('-', " ")).await;
    assert_eq!(first.status, StatusCode::SEE_OTHER);
    let cookie = first.headers[header::SET_COOKIE].to_str().unwrap();
    assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Lax"), "{cookie}");
    let second = pair(&code).await;
    assert_eq!(second.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(second.text.contains("used already"), "{}", second.text);
}

#[tokio::test]
async fn wrong_worn_out_and_old_codes_are_told_apart() {
    let app = TestApp::start().await;
    let code = new_code(&app.state.write, &app.clock, app.clock.now().plus_minutes(5)).await.unwrap().shown();
    let pair =
        async |code: &str| app.stranger().post_form("/pair", &[("code", code), ("name", ""), ("kind", "phone")]).await;
    assert!(pair("no code").await.text.contains("eight letters and digits"));
    for _ in 0..5 {
        assert!(pair("0000-0000").await.text.contains("not right"));
    }
    assert!(pair(&code).await.text.contains("worn out"));
    let late = new_code(&app.state.write, &app.clock, app.clock.now().plus_minutes(5)).await.unwrap().shown();
    app.clock.set(app.clock.now().plus_minutes(5));
    assert!(pair(&late).await.text.contains("too old"));
}

#[tokio::test]
async fn guessing_codes_is_slowed_down() {
    let app = TestApp::start().await;
    let guess =
        async || app.stranger().post_form("/pair", &[("code", "0000-0000"), ("name", ""), ("kind", "phone")]).await;
    for _ in 0..10 {
        assert_eq!(guess().await.status, StatusCode::UNPROCESSABLE_ENTITY);
    }
    assert_eq!(guess().await.status, StatusCode::TOO_MANY_REQUESTS);
    app.clock.set(app.clock.now().plus_minutes(1));
    assert_eq!(guess().await.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn parting_from_a_device_ends_its_session_and_no_other() {
    let app = TestApp::start().await;
    let (desk, phone) = (app.owner().await, app.phone().await);
    let hello = phone.get_json("/sync/hello").await;
    let device = hello.json()["device"].as_str().unwrap().to_owned();
    assert_eq!(desk.post_form(&format!("/devices/{device}/part"), &[]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(phone.get_json("/sync/hello").await.status, StatusCode::UNAUTHORIZED);
    assert_eq!(desk.get_json("/sync/hello").await.status, StatusCode::OK);
}

#[tokio::test]
async fn a_session_in_use_runs_on_and_an_idle_one_ends() {
    let app = TestApp::start().await;
    let desk = app.owner().await;
    for _ in 0..2 {
        app.clock.set(app.clock.now().plus_days(300));
        let answer = desk.get_json("/sync/hello").await;
        assert_eq!(answer.status, StatusCode::OK);
        assert!(answer.headers.contains_key(header::SET_COOKIE), "the cookie runs on as well");
    }
    app.clock.set(app.clock.now().plus_days(401));
    assert_eq!(desk.get_json("/sync/hello").await.status, StatusCode::UNAUTHORIZED);
}

#[tokio::test]
async fn another_site_cannot_make_a_paired_browser_change_anything() {
    let app = TestApp::start().await;
    let desk = app.owner().await;
    for (name, value) in [("sec-fetch-site", "cross-site"), ("origin", "https://elsewhere.example")] {
        let request = desk.request(Method::POST, "/devices/code").header(name, value).header("host", "garage.test");
        let answer = desk.send(request.body(Body::empty()).unwrap()).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{name}");
        assert_eq!(answer.json()["code"], "cross-site");
    }
}

#[tokio::test]
async fn every_answer_carries_the_strict_headers() {
    let app = TestApp::start().await;
    for path in ["/pair", "/offline", "/sw.js", "/no/such/page", "/sync/hello"] {
        let answer = app.stranger().get(path).await;
        let policy = answer.headers[header::CONTENT_SECURITY_POLICY].to_str().unwrap();
        assert!(policy.contains("default-src 'self'") && !policy.contains("unsafe"), "{path}: {policy}");
        assert_eq!(answer.headers[header::X_CONTENT_TYPE_OPTIONS], "nosniff", "{path}");
    }
}

#[tokio::test]
async fn a_person_gets_a_page_and_a_program_gets_problem_details() {
    let app = TestApp::start().await;
    let desk = app.owner().await;
    let page = desk.get("/no/such/page").await;
    assert_eq!(page.status, StatusCode::NOT_FOUND);
    assert!(page.text.contains("<h1>"), "{}", page.text);
    let problem = desk.get_json("/no/such/page").await;
    assert_eq!(problem.headers[header::CONTENT_TYPE], "application/problem+json");
    let said = problem.json();
    assert_eq!(
        (said["status"].as_u64(), said["code"].as_str(), said["again"].as_str()),
        (Some(404), Some("not-found"), Some("never"))
    );
}

/// The QR code is read back by zbar, a reader that is not ours (ISO/IEC 18004).
#[tokio::test]
async fn the_pairing_picture_reads_back_as_its_address() {
    let app = TestApp::start().await;
    let page = app.owner().await.post_form("/devices/code", &[]).await;
    assert_eq!(page.status, StatusCode::OK);
    let from = page.text.find("<svg").unwrap();
    let to = page.text[from..].find("</svg>").unwrap() + from + "</svg>".len();
    let folder = tempfile::tempdir().unwrap();
    let (svg, png) = (folder.path().join("code.svg"), folder.path().join("code.png"));
    std::fs::write(&svg, &page.text[from..to]).unwrap();
    let drawn = std::process::Command::new("rsvg-convert").arg(&svg).args(["-w", "480", "-o"]).arg(&png).status();
    assert!(drawn.expect("rsvg-convert (Debian: librsvg2-bin)").success());
    let read = std::process::Command::new("zbarimg")
        .args(["-q", "--raw"])
        .arg(&png)
        .output()
        .expect("zbarimg (Debian: zbar-tools)");
    let text = String::from_utf8(read.stdout).unwrap();
    let shown = text.trim().strip_prefix("http://garage.test/pair#").unwrap_or_else(|| panic!("read: {text}"));
    assert!(page.text.contains(&shown[..4]) && page.text.contains(&shown[5..]), "{shown}");
}
