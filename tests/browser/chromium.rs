//! Chromium: one process that the tests share, each in a browsing context of its own, and processes of their own for
//! tests that close it.

use super::page::Page;
use super::patience::{until, until_some};
use super::scratch::scratch;
use headless_chrome::Browser;
use headless_chrome::browser::default_executable;
use headless_chrome::protocol::cdp::Target::CreateTarget;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::LazyLock;
use std::time::Duration;

/// Longest answer of the browser to any one call, and longest pause between two calls.
const LONGEST: Duration = Duration::from_secs(300);

const FLAGS: &[&str] = &[
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-background-timer-throttling",
    "--disable-backgrounding-occluded-windows",
    "--disable-renderer-backgrounding",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-extensions",
    "--disable-sync",
    "--force-color-profile=srgb",
    "--hide-scrollbars",
    "--mute-audio",
    "--no-first-run",
    "--password-store=basic",
    "--remote-debugging-port=0",
];

/// Starts the browser, and ends it at once when there is no more to read, which is when this program is gone, however it
/// went: statics are never dropped.
const KEEPER: &str = r#"exec 3<&0
"$@" >/dev/null 2>&1 3<&- & browser=$!
{ read -r _ <&3; kill -KILL $browser; } 2>/dev/null &
exec 3<&-
wait $browser"#;

/// A running browser over a profile folder.
pub struct Chromium {
    keeper: Child,
    browser: Browser,
    profile: PathBuf,
}

static SHARED: LazyLock<Chromium> = LazyLock::new(|| Chromium::open(&scratch().join("profile")));

impl Chromium {
    /// A page in a context of its own: no cookies, no storage, no worker of any other test.
    pub fn fresh_page() -> Page {
        let context = SHARED.browser.new_context().unwrap();
        SHARED.page(Some(context.get_id().to_owned()))
    }

    /// Another page that shares everything with this one, in a window of its own.
    pub fn page_beside(page: &Page) -> Page {
        SHARED.page(page.context())
    }

    /// A browser of one's own over this profile.
    pub fn open(profile: &Path) -> Chromium {
        Chromium::open_with(profile, &[], &[])
    }

    pub fn open_with(profile: &Path, flags: &[&str], env: &[(&str, &Path)]) -> Chromium {
        let program = default_executable().expect("Chromium is not installed (Debian: chromium)");
        let where_it_listens = profile.join("DevToolsActivePort");
        let _ = std::fs::remove_file(&where_it_listens);
        let keeper = Command::new("sh")
            .args(["-c", KEEPER, "keeper"])
            .arg(program)
            .args(FLAGS)
            .args(flags)
            .arg(format!("--user-data-dir={}", profile.display()))
            .arg("about:blank")
            .envs(env.iter().copied())
            .stdin(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("sh");
        let address = until_some("Chromium starts", || {
            let said = std::fs::read_to_string(&where_it_listens).ok()?;
            let (port, path) = said.split_once('\n')?;
            path.starts_with('/').then(|| format!("ws://127.0.0.1:{port}{path}"))
        });
        let browser = Browser::connect_with_timeout(address, LONGEST).unwrap();
        Chromium { keeper, browser, profile: profile.to_owned() }
    }

    /// A page in the profile itself.
    pub fn new_page(&self) -> Page {
        self.page(None)
    }

    fn page(&self, context: Option<String>) -> Page {
        let tab = self.browser.new_tab_with_options(CreateTarget {
            url: "about:blank".into(),
            left: None,
            top: None,
            width: None,
            height: None,
            window_state: None,
            browser_context_id: context.clone(),
            enable_begin_frame_control: None,
            // In one window with others, a page would be hidden as soon as the next is opened.
            new_window: Some(true),
            background: None,
            for_tab: None,
            hidden: None,
        });
        Page::new(tab.unwrap(), context)
    }

    /// Closes the browser as a person does, who lets it put its profile in order. Not before its cookies are in the
    /// profile: it writes them half a minute late, and loses them where its end comes sooner.
    pub fn close(mut self) {
        until("the pairing is written into the profile", || names_our_cookie(&self.profile));
        self.new_page().close_browser();
        self.keeper.wait().unwrap();
    }

    /// Ends it at once, as a phone does that needs its memory (SIGKILL).
    pub fn kill(self) {
        drop(self);
    }
}

/// Values are encrypted in the file, names are not.
fn names_our_cookie(profile: &Path) -> bool {
    let files = ["Cookies", "Cookies-wal", "Network/Cookies", "Network/Cookies-wal"];
    let holds = |file: &&str| {
        let bytes = std::fs::read(profile.join("Default").join(file)).unwrap_or_default();
        bytes.windows(b"underlamp".len()).any(|window| window == b"underlamp")
    };
    files.iter().any(holds)
}

impl Drop for Chromium {
    fn drop(&mut self) {
        drop(self.keeper.stdin.take());
        let _ = self.keeper.wait();
    }
}
