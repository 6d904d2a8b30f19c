//! A WebDAV server that is not ours: wsgidav (Python, MIT), one process for all tests, each in a folder of its own.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::{LazyLock, Mutex};
use tempfile::TempDir;

pub const USER: &str = "me";
pub const PASSWORD: &str = "hush, däy";

/// The Python of the tests, which `tests/run` sets up.
pub fn python() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/python/bin/python");
    std::env::var_os("UNDERLAMP_PYTHON").map_or(here, PathBuf::from)
}

pub struct WebDav {
    pub port: u16,
    root: TempDir,
    /// Ends when its standard input does.
    _server: Mutex<Child>,
}

static SERVER: LazyLock<WebDav> = LazyLock::new(WebDav::start);

impl WebDav {
    pub fn shared() -> &'static WebDav {
        &SERVER
    }

    fn start() -> WebDav {
        let root = tempfile::tempdir().unwrap();
        let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/support/webdav_server.py");
        let mut server = Command::new(python())
            .arg(script)
            .arg(root.path())
            .args([USER, PASSWORD])
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap_or_else(|cause| panic!("{cause}: run tests/run once, which sets up the Python of the tests"));
        let mut line = String::new();
        BufReader::new(server.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let port = line.trim().parse().expect("the server says its port");
        WebDav { port, root, _server: Mutex::new(server) }
    }

    /// The address of a folder, by way of a port.
    pub fn address(name: &str, port: u16) -> String {
        format!("http://127.0.0.1:{port}/{name}")
    }

    /// What lies in a folder, as the server's disk has it.
    pub fn files(&self, name: &str) -> Vec<String> {
        let listing = std::fs::read_dir(self.path(name)).into_iter().flatten();
        let mut files: Vec<String> =
            listing.map(|entry| entry.unwrap().file_name().to_string_lossy().into_owned()).collect();
        files.sort();
        files
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.root.path().join(name)
    }
}
