//! The real program as a process of its own, over a data folder that outlives it.

use super::proxy::Proxy;
use super::scratch::scratch;
use serde_json::Value;
use std::fs::File;
use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::LazyLock;
use tempfile::TempDir;
use tokio::runtime::Runtime;

const PROGRAM: &str = env!("CARGO_BIN_EXE_underlamp");

/// A port that is free now.
pub fn free_port() -> u16 {
    std::net::TcpListener::bind(("127.0.0.1", 0)).unwrap().local_addr().unwrap().port()
}

/// The demo garage, served.
pub struct Garage {
    home: TempDir,
    options: Vec<String>,
    /// `http://localhost:<port>`: what browsers are told.
    pub origin: String,
    /// The same past the proxy.
    inner: String,
    pub proxy: Option<Proxy>,
    server: Option<Child>,
    runtime: Runtime,
}

impl Garage {
    /// For this computer only, without anything in front.
    pub fn start() -> Garage {
        let port = free_port();
        let options = ["--only-here".into(), "--desk-port".into(), port.to_string()];
        let origin = format!("http://localhost:{port}");
        Garage::with(options.into(), origin.clone(), origin, None)
    }

    /// For this computer only, behind a proxy that can be told to fail.
    pub fn behind_proxy() -> Garage {
        let port = free_port();
        let proxy = Proxy::start(port);
        let origin = format!("http://localhost:{}", proxy.port());
        let options = ["--only-here", "--desk-port", &port.to_string(), "--address", &origin].map(str::to_owned);
        Garage::with(options.into(), origin, format!("http://localhost:{port}"), Some(proxy))
    }

    /// For phones too, over HTTPS at `underlamp.local`.
    pub fn for_phones(desk: u16, phones: u16, guide: u16) -> Garage {
        let [desk, phones, guide] = [desk, phones, guide].map(|port| port.to_string());
        let flags = ["--desk-port", &desk, "--port", &phones, "--guide-port", &guide, "--name", "underlamp.local"];
        let options = flags.into_iter().chain(["--no-announce"]).map(str::to_owned).collect();
        let at_desk = format!("http://localhost:{desk}");
        Garage::with(options, format!("https://underlamp.local:{phones}"), at_desk, None)
    }

    fn with(options: Vec<String>, origin: String, inner: String, proxy: Option<Proxy>) -> Garage {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
        let home = tempfile::tempdir().unwrap();
        let copied = Command::new("cp").arg("-r").arg(&*DEMO).arg(home.path().join("data")).status();
        assert!(copied.expect("cp").success());
        let mut garage = Garage { home, options, origin, inner, proxy, server: None, runtime };
        garage.start_again();
        garage
    }

    /// Starts the program over the same data, and waits until it says that it is ready.
    pub fn start_again(&mut self) {
        assert!(self.server.is_none(), "it is running already");
        let log = File::options().create(true).append(true).open(self.log()).unwrap();
        let mut server = serve_demo(&self.home.path().join("data"), &self.options, log);
        let said = server.stdout.take().unwrap();
        self.server = Some(server);
        assert!(says_ready(said), "the server did not start:\n{}", std::fs::read_to_string(self.log()).unwrap());
    }

    fn log(&self) -> PathBuf {
        self.home.path().join("server.log")
    }

    /// Ends the program at once, with no chance to put anything in order (SIGKILL).
    pub fn kill(&mut self) {
        let mut server = self.server.take().expect("it is running");
        server.kill().unwrap();
        server.wait().unwrap();
    }

    pub fn proxy(&self) -> &Proxy {
        self.proxy.as_ref().expect("this garage stands behind no proxy")
    }

    /// A fresh pairing code.
    pub fn code(&self) -> String {
        let said = Command::new(PROGRAM).args(["pair", "--data"]).arg(self.home.path().join("data")).output().unwrap();
        assert!(said.status.success(), "{}", String::from_utf8_lossy(&said.stderr));
        String::from_utf8(said.stdout).unwrap().trim().to_owned()
    }

    /// Somebody at the desk, without a browser.
    pub fn desk(&self) -> Desk<'_> {
        underlamp::tls::install_provider();
        let client = reqwest::Client::builder().redirect(reqwest::redirect::Policy::none()).build().unwrap();
        let body = crate::support::form(&[("code", &self.code()), ("name", "checks"), ("kind", "desk")]);
        let paired = client
            .post(format!("{}/pair", self.inner))
            .header("content-type", "application/x-www-form-urlencoded")
            .body(body);
        let answer = self.runtime.block_on(paired.send()).unwrap();
        assert_eq!(answer.status(), 303);
        let cookie = answer.headers()["set-cookie"].to_str().unwrap().split(';').next().unwrap().to_owned();
        Desk { garage: self, client, cookie }
    }
}

impl Drop for Garage {
    fn drop(&mut self) {
        if self.server.is_some() {
            self.kill();
        }
        if std::thread::panicking() {
            eprintln!("what the server logged:\n{}", std::fs::read_to_string(self.log()).unwrap_or_default());
        }
    }
}

/// The data of a demo garage, loaded once: that takes longer than many a test. The program was killed over it, so each
/// test begins as after a crash.
static DEMO: LazyLock<PathBuf> = LazyLock::new(|| {
    let folder = scratch().join("demo");
    let options = ["--only-here".into(), "--desk-port".into(), free_port().to_string()];
    let mut server = serve_demo(&folder, &options, Stdio::null());
    assert!(says_ready(server.stdout.take().unwrap()), "the demo garage cannot be made");
    server.kill().unwrap();
    server.wait().unwrap();
    folder
});

fn serve_demo(data: &Path, options: &[String], log: impl Into<Stdio>) -> Child {
    let mut program = Command::new(PROGRAM);
    program.args(["demo", "--data"]).arg(data).args(options);
    program.stdout(Stdio::piped()).stderr(log).spawn().unwrap()
}

/// Reads until the program says how to stop it; then goes on reading, so that it never waits for a reader.
fn says_ready(said: ChildStdout) -> bool {
    let mut lines = BufReader::new(said).lines().map_while(Result::ok);
    let ready = lines.any(|line| line.contains("Stop with Ctrl-C"));
    std::thread::spawn(move || lines.for_each(drop));
    ready
}

/// A paired browser that shows nothing.
pub struct Desk<'a> {
    garage: &'a Garage,
    client: reqwest::Client,
    /// What stands for this desk in a request, for programs that load on their own.
    pub cookie: String,
}

impl Desk<'_> {
    /// Status and body of a page.
    pub fn get(&self, path: &str) -> (u16, Vec<u8>) {
        self.fetch(&format!("{}{path}", self.garage.inner))
    }

    pub fn fetch(&self, url: &str) -> (u16, Vec<u8>) {
        let answer = self.ask(url);
        (answer.status().as_u16(), self.garage.runtime.block_on(answer.bytes()).unwrap().to_vec())
    }

    /// The content type of what is at a path.
    pub fn kind(&self, path: &str) -> String {
        let answer = self.ask(&format!("{}{path}", self.garage.inner));
        answer.headers().get("content-type").map_or("", |kind| kind.to_str().unwrap()).to_owned()
    }

    fn ask(&self, url: &str) -> reqwest::Response {
        let asked = self.client.get(url).header("cookie", &self.cookie).header("accept", "text/html, */*");
        self.garage.runtime.block_on(asked.send()).unwrap()
    }

    pub fn json(&self, path: &str) -> Value {
        let (status, body) = self.get(path);
        assert_eq!(status, 200, "{path}: {}", String::from_utf8_lossy(&body));
        serde_json::from_slice(&body).unwrap()
    }

    /// How many bytes travel for an address, compressed as browsers ask for it.
    #[allow(dead_code, reason = "the benchmark uses it, the tests do not")]
    pub fn compressed(&self, path: &str) -> usize {
        self.weigh(path, self.client.get(format!("{}{path}", self.garage.origin)))
    }

    /// The same for what is asked for by a body of JSON.
    #[allow(dead_code, reason = "the benchmark uses it, the tests do not")]
    pub fn compressed_answer(&self, path: &str, body: &Value) -> usize {
        self.weigh(path, self.client.post(format!("{}{path}", self.garage.origin)).json(body))
    }

    #[allow(dead_code, reason = "the benchmark uses it, the tests do not")]
    fn weigh(&self, path: &str, request: reqwest::RequestBuilder) -> usize {
        let asked = request.header("cookie", &self.cookie).header("accept-encoding", "br, gzip");
        self.garage.runtime.block_on(async {
            let answer = asked.send().await.unwrap();
            assert_eq!(answer.status(), 200, "{path}");
            answer.bytes().await.unwrap().len()
        })
    }

    /// Every operation on a car, in the order in which it became durable.
    pub fn operations(&self, car: &str) -> Vec<Value> {
        let mut ops = Vec::new();
        let mut since = String::new();
        loop {
            let read = self.json(&format!("/sync/changes?car={car}{since}"));
            ops.extend(read["ops"].as_array().unwrap().iter().cloned());
            if read["more"] == false {
                return ops;
            }
            since = format!("&since={}", read["mark"].as_str().unwrap());
        }
    }
}
