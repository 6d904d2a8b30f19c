//! What tests share: the app over a database of its own, with a clock that stands until it is moved.

pub mod ops;
pub mod process;
pub mod webdav;

use axum::Router;
use axum::body::Body;
use axum::http::{HeaderMap, Method, Request, StatusCode, header};
use sqlx::Connection;
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use std::path::Path;
use std::time::Duration;
use tempfile::TempDir;
use tower::ServiceExt;
use underlamp::access::{Tries, new_code};
use underlamp::app::{self, OwnerState, Site, SiteFacts};
use underlamp::backup::keeper::Backups;
use underlamp::clock::{Clock, Moment};
use underlamp::config::DataFolder;
use underlamp::garage::Garage;
use underlamp::ids::CarId;
use underlamp::plan::pages::standing::Plans;
use underlamp::record::printer::Printer;
use underlamp::specs::model::Spec;
use underlamp::trade::plan::Effort;

/// 2026-11-25 18:00:00 UTC
pub const EVENING: Moment = Moment(1_795_629_600_000);

pub struct TestApp {
    pub state: OwnerState,
    pub clock: Clock,
    router: Router,
    garage: Garage,
    folder: DataFolder,
    home: Option<TempDir>,
}

impl TestApp {
    /// An empty garage.
    pub async fn start() -> TestApp {
        // Causes that are kept from browsers are shown beside a failing test.
        let _ = tracing_subscriber::fmt().with_test_writer().with_max_level(tracing::Level::WARN).try_init();
        let home = tempfile::tempdir().unwrap();
        let folder = DataFolder::choose(Some(&home.path().join("data")), false).unwrap();
        TestApp::over(folder, Some(home), EVENING).await
    }

    /// The demo garage.
    pub async fn demo() -> TestApp {
        let app = TestApp::start().await;
        underlamp::demo::load_if_empty(&app.state).await.unwrap();
        app
    }

    async fn over(folder: DataFolder, home: Option<TempDir>, now: Moment) -> TestApp {
        let clock = Clock::standing_at(now);
        let garage = Garage::open(&folder, clock.clone()).await.unwrap();
        let site = Site::new(SiteFacts { canonical: "http://garage.test".into(), secure: false, trust: None });
        let mut state = garage.state(site, Tries::default());
        // The search as it is takes long without optimisation.
        state.plans = Plans::new(Effort { moves: 2_000, partial_plans: 4_000 });
        let router = app::router(state.clone());
        TestApp { state, clock, router, garage, folder, home }
    }

    /// The same data under a new process, as after a crash: nothing is closed in order.
    pub async fn restart(self) -> TestApp {
        let TestApp { state, clock, router, garage, folder, home } = self;
        let now = clock.now();
        drop((state, router, garage));
        TestApp::over(folder, home, now).await
    }

    pub fn folder(&self) -> &DataFolder {
        &self.folder
    }

    /// The garage's backups, which give a server up after `patience`.
    pub fn backups(&self, patience: Duration) -> Backups {
        Backups::with_patience(self.folder.clone(), &self.garage.db, self.clock.clone(), patience)
    }

    /// The database as another program sees it.
    pub async fn beside(&self) -> SqliteConnection {
        let options = SqliteConnectOptions::new().filename(self.folder.database());
        SqliteConnection::connect_with(&options).await.unwrap()
    }

    /// Saves everything, as `underlamp backup` does while the garage is running.
    pub async fn back_up(&self, file: &Path) {
        underlamp::backup::make(&self.folder, file, &self.clock).await.unwrap();
    }

    /// The garage is gone, and is set up again elsewhere from a backup, as `underlamp restore` does.
    pub async fn restored_from(self, file: &Path) -> TestApp {
        let TestApp { state, clock, router, garage, folder, home } = self;
        let now = clock.now();
        drop((state, router, garage));
        let elsewhere = folder.path().with_extension(format!("{}", now.0));
        let folder = DataFolder::choose(Some(&elsewhere), false).unwrap();
        underlamp::backup::restore(&folder, file).await.unwrap();
        TestApp::over(folder, home, now).await
    }

    /// The same garage on a computer without a browser that makes PDFs.
    pub fn without_browser(mut self) -> TestApp {
        self.state.printer = Printer::of(None);
        self.router = app::router(self.state.clone());
        self
    }

    /// Adds routes beside the app's own.
    pub fn with_routes(mut self, table: underlamp::access::Table) -> TestApp {
        self.router = self.router.merge(table.into_router(self.state.clone()));
        self
    }

    /// The car of the demo, which is the only one in it.
    pub async fn demo_car(&self) -> CarId {
        underlamp::cars::store::all(&mut self.state.read.conn().await.unwrap()).await.unwrap()[0].id
    }

    /// The spec book of a car.
    pub async fn book(&self, car: CarId) -> Vec<Spec> {
        underlamp::specs::store::of_car(&mut self.state.read.conn().await.unwrap(), car).await.unwrap()
    }

    /// A browser that was never paired.
    pub fn stranger(&self) -> Client {
        Client { router: self.router.clone(), cookie: None }
    }

    /// A paired desk.
    pub async fn owner(&self) -> Client {
        self.paired("desk").await
    }

    /// A paired phone.
    pub async fn phone(&self) -> Client {
        self.paired("phone").await
    }

    async fn paired(&self, kind: &str) -> Client {
        let ends = self.clock.now().plus_minutes(10);
        let code = new_code(&self.state.write, &self.clock, ends).await.unwrap();
        let mut client = self.stranger();
        let answer = client.post_form("/pair", &[("code", &code.shown()), ("name", kind), ("kind", kind)]).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let cookie = answer.headers[header::SET_COOKIE].to_str().unwrap();
        client.cookie = Some(cookie.split(';').next().unwrap().to_owned());
        client
    }
}

/// A browser as the router sees it.
#[derive(Clone)]
pub struct Client {
    router: Router,
    cookie: Option<String>,
}

pub struct Answer {
    pub status: StatusCode,
    pub headers: HeaderMap,
    pub text: String,
    /// What `text` was read from, for what is no text.
    pub bytes: Vec<u8>,
}

impl Answer {
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.text).unwrap_or_else(|cause| panic!("{cause}: {}", self.text))
    }

    /// Where a redirect leads.
    pub fn location(&self) -> &str {
        self.headers.get(header::LOCATION).map_or("", |to| to.to_str().unwrap())
    }
}

impl Client {
    /// The same browser, talking to another router over the same data.
    pub fn at(&self, app: &TestApp) -> Client {
        Client { router: app.router.clone(), cookie: self.cookie.clone() }
    }

    /// The same browser with another cookie.
    pub fn with_cookie(&self, cookie: &str) -> Client {
        Client { router: self.router.clone(), cookie: Some(cookie.to_owned()) }
    }

    /// What is answered to a request, without waiting for the end of it.
    pub async fn status(&self, request: Request<Body>) -> StatusCode {
        self.router.clone().oneshot(request).await.unwrap().status()
    }

    pub async fn get(&self, path: &str) -> Answer {
        self.send(self.request(Method::GET, path).header(header::ACCEPT, "text/html").body(Body::empty()).unwrap())
            .await
    }

    /// The bytes of a file that is answered whole.
    pub async fn get_bytes(&self, path: &str) -> Vec<u8> {
        let request = self.request(Method::GET, path).body(Body::empty()).unwrap();
        let response = self.router.clone().oneshot(request).await.unwrap();
        assert_eq!(response.status(), StatusCode::OK, "{path}");
        axum::body::to_bytes(response.into_body(), usize::MAX).await.unwrap().to_vec()
    }

    /// A form with files in it, as RFC 7578 has it.
    pub async fn post_parts(&self, path: &str, parts: &[(&str, &[u8])]) -> Answer {
        const BOUNDARY: &str = "----parts-of-a-test";
        let mut body = Vec::new();
        for (name, bytes) in parts {
            let file = if *name == "file" { "; filename=\"sent\"" } else { "" };
            let head = format!("--{BOUNDARY}\r\nContent-Disposition: form-data; name=\"{name}\"{file}\r\n\r\n");
            body.extend([head.as_bytes(), bytes, b"\r\n"].concat());
        }
        body.extend(format!("--{BOUNDARY}--\r\n").into_bytes());
        let request = self
            .request(Method::POST, path)
            .header(header::ACCEPT, "text/html")
            .header(header::CONTENT_TYPE, format!("multipart/form-data; boundary={BOUNDARY}"));
        self.send(request.body(Body::from(body)).unwrap()).await
    }

    pub async fn get_json(&self, path: &str) -> Answer {
        let request = self.request(Method::GET, path).header(header::ACCEPT, "application/json");
        self.send(request.body(Body::empty()).unwrap()).await
    }

    pub async fn post_form(&self, path: &str, fields: &[(&str, &str)]) -> Answer {
        let body = form(fields);
        let request = self
            .request(Method::POST, path)
            .header(header::ACCEPT, "text/html")
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
        self.send(request.body(Body::from(body)).unwrap()).await
    }

    pub async fn post_json(&self, path: &str, body: &serde_json::Value) -> Answer {
        self.post_text(path, body.to_string()).await
    }

    /// A JSON body as text, which may be broken.
    pub async fn post_text(&self, path: &str, body: String) -> Answer {
        let request = self.request(Method::POST, path).header(header::CONTENT_TYPE, "application/json");
        self.send(request.body(Body::from(body)).unwrap()).await
    }

    pub async fn patch(&self, path: &str, offset: u64, body: Body) -> Answer {
        let request = self
            .request(Method::PATCH, path)
            .header("upload-offset", offset.to_string())
            .header(header::CONTENT_TYPE, "application/offset+octet-stream");
        self.send(request.body(body).unwrap()).await
    }

    pub fn request(&self, method: Method, path: &str) -> axum::http::request::Builder {
        let request = Request::builder().method(method).uri(path);
        match &self.cookie {
            Some(cookie) => request.header(header::COOKIE, cookie),
            None => request,
        }
    }

    pub async fn send(&self, request: Request<Body>) -> Answer {
        let response = self.router.clone().oneshot(request).await.unwrap();
        let (status, headers) = (response.status(), response.headers().clone());
        let bytes = axum::body::to_bytes(response.into_body(), usize::MAX).await.unwrap().to_vec();
        Answer { status, headers, text: String::from_utf8_lossy(&bytes).into_owned(), bytes }
    }
}

/// `application/x-www-form-urlencoded` text.
pub fn form(fields: &[(&str, &str)]) -> String {
    let escape = |text: &str| -> String {
        text.bytes()
            .map(
                |byte| if byte.is_ascii_alphanumeric() { char::from(byte).to_string() } else { format!("%{byte:02X}") },
            )
            .collect()
    };
    let pairs: Vec<String> = fields.iter().map(|(key, value)| format!("{}={}", escape(key), escape(value))).collect();
    pairs.join("&")
}
