//! The browser on this computer that makes a PDF of a page.
//!
//! It is started for one page, with a profile of its own that is thrown away, and is given a file: no address of the garage,
//! no cookie and no name server, so that it can fetch nothing. One runs at a time; one that takes too long is killed. It is
//! driven from the command line, where a file goes in and a file comes out: there is no connection that could hang.

use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::sync::Arc;
use std::time::Duration;
use tokio::process::Command;
use tokio::sync::Semaphore;

/// A long record takes some seconds; waiting for the one before it counts too.
const LONGEST: Duration = Duration::from_secs(90);

/// The page in the folder that is handed to the browser.
pub const PAGE: &str = "record.html";

const FLAGS: [&str; 13] = [
    "--headless=new",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-extensions",
    "--disable-sync",
    "--no-first-run",
    "--password-store=basic",
    "--host-resolver-rules=MAP * ~NOTFOUND",
    "--no-pdf-header-footer",
    "--generate-pdf-document-outline",
];

#[derive(Debug, thiserror::Error)]
pub enum PrintError {
    #[error("no browser was found on the garage's computer")]
    NoBrowser,
    #[error("the browser took longer than {0} seconds")]
    TooLong(u64),
    #[error("the browser made no PDF: {0}")]
    Failed(String),
}

/// Cheap to clone; clones share the turn.
#[derive(Clone)]
pub struct Printer(Option<Arc<Found>>);

struct Found {
    program: PathBuf,
    longest: Duration,
    turn: Semaphore,
}

impl Printer {
    /// With this browser, or with none.
    pub fn of(program: Option<PathBuf>) -> Printer {
        Printer::within(program, LONGEST)
    }

    /// The same with less patience.
    pub fn within(program: Option<PathBuf>, longest: Duration) -> Printer {
        Printer(program.map(|program| Arc::new(Found { program, longest, turn: Semaphore::new(1) })))
    }

    pub fn is_here(&self) -> bool {
        self.0.is_some()
    }

    /// The PDF of the page that lies in `folder`, with all that it shows, as [`PAGE`].
    pub async fn print(&self, folder: &Path) -> Result<Vec<u8>, PrintError> {
        let found = self.0.as_ref().ok_or(PrintError::NoBrowser)?;
        let printed = tokio::time::timeout(found.longest, found.print(folder));
        // Giving up drops the child, and that kills it.
        printed.await.unwrap_or(Err(PrintError::TooLong(found.longest.as_secs())))
    }
}

impl Found {
    async fn print(&self, folder: &Path) -> Result<Vec<u8>, PrintError> {
        let _turn = self.turn.acquire().await.map_err(failed)?;
        let pdf = folder.join("record.pdf");
        let status = Command::new(&self.program)
            .args(FLAGS)
            .args(without_sandbox().then_some("--no-sandbox"))
            .arg(format!("--user-data-dir={}", folder.join("profile").display()))
            .arg(format!("--print-to-pdf={}", pdf.display()))
            .arg(format!("file://{}", folder.join(PAGE).display()))
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .kill_on_drop(true)
            .status()
            .await
            .map_err(failed)?;
        if !status.success() {
            return Err(PrintError::Failed(status.to_string()));
        }
        let bytes = tokio::fs::read(&pdf).await.map_err(failed)?;
        if bytes.starts_with(b"%PDF-") { Ok(bytes) } else { Err(PrintError::Failed("what it wrote is none".into())) }
    }
}

fn failed(cause: impl std::fmt::Display) -> PrintError {
    PrintError::Failed(cause.to_string())
}

/// Browsers of this family refuse to start their sandbox for root. The page holds no script and is our own.
#[cfg(target_os = "linux")]
fn without_sandbox() -> bool {
    use std::os::unix::fs::MetadataExt;
    std::fs::metadata("/proc/self").is_ok_and(|this| this.uid() == 0)
}

#[cfg(not(target_os = "linux"))]
fn without_sandbox() -> bool {
    false
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;
    use std::os::unix::fs::PermissionsExt;
    use std::time::Instant;

    /// A program that stands for a browser: `$PDF` is where the PDF is wanted.
    fn browser(folder: &Path, does: &str) -> Option<PathBuf> {
        let program = folder.join("browser");
        let find = "for one in \"$@\"; do case \"$one\" in --print-to-pdf=*) PDF=\"${one#*=}\";; esac; done";
        std::fs::write(&program, format!("#!/bin/sh\n{find}\n{does}\n")).unwrap();
        std::fs::set_permissions(&program, std::fs::Permissions::from_mode(0o755)).unwrap();
        Some(program)
    }

    async fn print(does: &str) -> Result<Vec<u8>, PrintError> {
        let folder = tempfile::tempdir().unwrap();
        Printer::within(browser(folder.path(), does), Duration::from_secs(20)).print(folder.path()).await
    }

    #[tokio::test]
    async fn what_is_no_pdf_is_not_handed_on() {
        assert_eq!(print("printf %%PDF-1.4 > \"$PDF\"").await.unwrap(), b"%PDF-1.4");
        for does in ["printf hello > \"$PDF\"", "exit 0", "printf %%PDF-1.4 > \"$PDF\"; exit 1"] {
            assert!(matches!(print(does).await, Err(PrintError::Failed(_))), "{does}");
        }
        let missing = Printer::of(Some("/no/such/browser".into()));
        assert!(matches!(missing.print(Path::new("/")).await, Err(PrintError::Failed(_))));
        assert!(matches!(Printer::of(None).print(Path::new("/")).await, Err(PrintError::NoBrowser)));
    }

    #[tokio::test]
    async fn one_that_hangs_is_killed() {
        let folder = tempfile::tempdir().unwrap();
        let hangs = browser(folder.path(), "echo $$ > \"$PDF.pid\"; exec sleep 600");
        let printer = Printer::within(hangs, Duration::from_secs(1));
        assert!(matches!(printer.print(folder.path()).await, Err(PrintError::TooLong(1))));
        let pid = std::fs::read_to_string(folder.path().join("record.pdf.pid")).unwrap();
        let until = Instant::now() + Duration::from_secs(20);
        // A killed child stays in the list of processes, as a zombie, until it is reaped.
        let runs = || {
            let stat = std::fs::read_to_string(format!("/proc/{}/stat", pid.trim())).unwrap_or_default();
            !stat.is_empty() && !stat.contains(") Z ")
        };
        while runs() {
            assert!(Instant::now() < until, "it still runs");
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    }

    #[tokio::test]
    async fn one_runs_at_a_time() {
        let folder = tempfile::tempdir().unwrap();
        let log = folder.path().join("log");
        let does = format!("echo in >> {0}; sleep 0.2; echo out >> {0}; printf %%PDF- > \"$PDF\"", log.display());
        let printer = Printer::within(browser(folder.path(), &does), Duration::from_secs(20));
        let (first, second) = (printer.clone(), printer);
        let (a, b) = tokio::join!(first.print(folder.path()), second.print(folder.path()));
        assert!(a.is_ok() && b.is_ok());
        assert_eq!(std::fs::read_to_string(&log).unwrap(), "in\nout\nin\nout\n");
    }
}
