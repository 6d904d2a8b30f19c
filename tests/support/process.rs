//! The program itself, as a process that can be killed.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, ExitStatus, Output, Stdio};
use std::time::{Duration, Instant};

/// Starting includes making the demo garage on a busy machine.
const PATIENCE: Duration = Duration::from_secs(60);

pub fn underlamp(data: &Path, words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_underlamp"));
    command.arg("--data").arg(data).args(words).env_remove("UNDERLAMP_LOG");
    command
}

/// Runs a command to its end.
pub fn run(data: &Path, words: &[&str]) -> Output {
    underlamp(data, words).output().unwrap()
}

pub fn said(output: &Output) -> String {
    format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr))
}

/// Runs a command to its end while nobody listens to what it prints.
pub fn run_unheard(data: &Path, words: &[&str]) -> ExitStatus {
    let mut child = underlamp(data, words).stdout(Stdio::piped()).stderr(Stdio::null()).spawn().unwrap();
    drop(child.stdout.take());
    child.wait().unwrap()
}

/// A port that nobody uses just now.
pub fn free_port() -> u16 {
    std::net::TcpListener::bind(("127.0.0.1", 0)).unwrap().local_addr().unwrap().port()
}

/// A running garage; killed when dropped.
pub struct Running {
    child: Child,
    pub url: String,
    pub code: String,
}

impl Running {
    /// Starts `command` (`demo` or `serve`) for this computer only, and waits until it answers.
    pub async fn start(data: &Path, command: &str, port: u16) -> Running {
        underlamp::tls::install_provider();
        let port_text = port.to_string();
        let mut child = underlamp(data, &[command, "--only-here", "--desk-port", &port_text])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let out = BufReader::new(child.stdout.take().unwrap());
        let code = tokio::task::spawn_blocking(move || code_in(out)).await.unwrap();
        let running = Running { child, url: format!("http://localhost:{port}"), code };
        running.wait_until_it_answers().await;
        running
    }

    /// Starts a garage whose starter stops listening before it says anything, and waits until it answers.
    pub async fn start_unheard(data: &Path, port: u16) -> Running {
        underlamp::tls::install_provider();
        let mut child = underlamp(data, &["serve", "--only-here", "--desk-port", &port.to_string()])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        drop(child.stdout.take());
        let running = Running { child, url: format!("http://localhost:{port}"), code: String::new() };
        running.wait_until_it_answers().await;
        running
    }

    /// How it ended; `None` while it runs.
    pub fn ended(&mut self) -> Option<ExitStatus> {
        self.child.try_wait().unwrap()
    }

    async fn wait_until_it_answers(&self) {
        let until = Instant::now() + PATIENCE;
        while reqwest::get(format!("{}/healthz", self.url)).await.is_err() {
            assert!(Instant::now() < until, "the garage does not answer");
            tokio::time::sleep(Duration::from_millis(50)).await;
        }
    }

    /// As pulling the plug of the process: nothing is closed in order.
    pub fn kill(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    /// Asks it to stop, and waits for the end.
    pub fn stop(mut self) -> ExitStatus {
        let pid = self.child.id().to_string();
        assert!(Command::new("kill").args(["-TERM", &pid]).status().unwrap().success());
        self.child.wait().unwrap()
    }

    /// A paired client with its cookie.
    pub async fn paired(&self) -> reqwest::Client {
        let client = reqwest::Client::builder().redirect(reqwest::redirect::Policy::none()).build().unwrap();
        let form = super::form(&[("code", &self.code), ("name", "test"), ("kind", "phone")]);
        let answer = client
            .post(format!("{}/pair", self.url))
            .header("content-type", "application/x-www-form-urlencoded")
            .body(form)
            .send()
            .await
            .unwrap();
        assert_eq!(answer.status(), 303, "{}", answer.text().await.unwrap());
        let cookie = answer.headers()["set-cookie"].to_str().unwrap().split(';').next().unwrap().to_owned();
        let headers = [(reqwest::header::COOKIE, cookie.parse().unwrap())].into_iter().collect();
        reqwest::Client::builder().default_headers(headers).build().unwrap()
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The pairing code among what the program prints at start; the rest is read away, so that it never blocks.
fn code_in(out: impl BufRead + Send + 'static) -> String {
    let mut lines = out.lines().map_while(Result::ok);
    let code = lines
        .by_ref()
        .find_map(|line| {
            line.trim().strip_prefix("Pairing code").map(|rest| rest.split_whitespace().next().unwrap().to_owned())
        })
        .expect("the program ended before it printed a pairing code");
    std::thread::spawn(move || lines.for_each(drop));
    code
}
