//! Speed and size, as ratios within one run: `cargo bench --bench ratios`. Needs nginx, wrk and Chromium on the path.
//!
//! 1. Requests a second for a job page, on the phone and at the desk, against nginx serving the same bytes from a file.
//!    Both take eight connections from the same load generator, in turns. Between writes a car is held in memory, so
//!    the first page after a write, which reads it anew, is timed by itself. No compression on either side.
//! 2. From tap to painted tick, at a processor four times slower, against the 50 ms after which people notice: from the
//!    moment the finger lifts to the paint of the next frame, both by the browser's own time stamps (W3C Event Timing).
//!    Beside it stand how long the page took until it was changed, and until it took a message after that frame: work that
//!    was put off until then is in the latter.
//! 3. Compressed bytes for taking the whole demo car under the car, without photos, against 400 KB.
//! 4. Checking two hundred cards of sixty steps, against writing down as JSON what the phone is given of them. It needs
//!    nothing on the path: `cargo bench --bench ratios -- cards` runs it alone.
//! 5. The planner against a reference solver: `cargo bench --bench ratios -- planner` runs it alone, and `-- planner-garages`
//!    writes the garages down for the solver. See `planner.rs`.

mod checker;
mod planner;

#[path = "../browser"]
#[expect(dead_code, reason = "the tests use the rest")]
mod browser {
    pub mod chromium;
    pub mod doors;
    pub mod garage;
    pub mod page;
    pub mod patience;
    pub mod protocol;
    pub mod proxy;
    pub mod scratch;
}
#[path = "../support/mod.rs"]
#[expect(dead_code, reason = "the tests use the rest")]
mod support;

use browser::chromium::Chromium;
use browser::doors::pair_phone;
use browser::garage::{Desk, Garage, free_port};
use browser::page::{PHONE, Page};
use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Child, Command};
use std::time::{Duration, Instant};

const ROUNDS: usize = 3;
const SECONDS: u32 = 4;
const WRITES: usize = 7;
/// Steps that are ticked, and then taken back.
const TICKS: usize = 20;
const SLOWER: u32 = 4;
const NOTICED_MS: f64 = 50.0;
const PACK_BUDGET: usize = 400 * 1000;

fn main() {
    let asked = |what: &str| std::env::args().any(|word| word == what);
    if asked("planner-garages") {
        return planner::written();
    }
    if asked("planner") {
        return planner::planned();
    }
    checker::cards_checked();
    if asked("cards") {
        return;
    }
    planner::planned();
    let garage = Garage::start();
    let desk = garage.desk();
    let car = demo_car(&desk);
    let page = longest_card(&desk, &car);
    job_page_against_nginx(&garage, &desk, "job page, phone", &page);
    job_page_against_nginx(&garage, &desk, "job page, desk", &page.replace("/under/", "/cars/"));
    first_page_after_a_write(&garage, &desk, &page);
    tap_to_painted_tick(&garage, &page);
    taking_the_car(&desk, &car);
}

fn demo_car(desk: &Desk<'_>) -> String {
    let home = String::from_utf8(desk.get("/under").1).unwrap();
    let from = home.find("/under/0").expect("the demo car is on the page") + "/under/".len();
    home[from..from + 36].to_owned()
}

/// The phone's page of the card that fills most bytes.
fn longest_card(desk: &Desk<'_>, car: &str) -> String {
    let pack = desk.json(&format!("/sync/pack/{car}"));
    let pages = pack["pages"].as_array().unwrap();
    let cards = pages.iter().filter(|page| page["url"].as_str().unwrap().contains("/cards/"));
    let longest = cards.max_by_key(|page| page["bytes"].as_u64()).unwrap();
    longest["url"].as_str().unwrap().to_owned()
}

fn job_page_against_nginx(garage: &Garage, desk: &Desk<'_>, name: &str, page: &str) {
    let (status, bytes) = desk.get(page);
    assert_eq!(status, 200);
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("page.html"), &bytes).unwrap();
    let port = free_port();
    let mut nginx = serve_with_nginx(folder.path(), port);
    let (mut ours, mut theirs) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        ours.push(requests_a_second(&format!("{}{page}", garage.origin), Some(&desk.cookie)));
        theirs.push(requests_a_second(&format!("http://127.0.0.1:{port}/page.html"), None));
    }
    // Asked to stop, it stops its workers too; killed, it would leave them, holding on to what this prints to.
    let asked = Command::new("kill").args(["-TERM", &nginx.id().to_string()]).status();
    assert!(asked.unwrap().success());
    let _ = nginx.wait();
    let (ours, theirs) = (median(&mut ours), median(&mut theirs));
    println!("{name:<16}{ours:>9.0} requests/s ({} bytes)", bytes.len());
    println!("nginx, a file   {theirs:>9.0} requests/s of the same bytes");
    println!("ratio           {:>9.3}", ours / theirs);
}

/// A pairing code is asked for beside the running garage: a write, and by another program at that.
fn first_page_after_a_write(garage: &Garage, desk: &Desk<'_>, page: &str) {
    let mut first = Vec::new();
    let mut second = Vec::new();
    for _ in 0..WRITES {
        garage.code();
        first.push(milliseconds(|| desk.get(page)));
        second.push(milliseconds(|| desk.get(page)));
    }
    let (first, second) = (median(&mut first), median(&mut second));
    println!("after a write   {first:>9.1} ms for the first page, {second:.1} ms for the second");
}

fn milliseconds<T>(work: impl FnOnce() -> T) -> f64 {
    let from = Instant::now();
    work();
    from.elapsed().as_secs_f64() * 1000.0
}

fn serve_with_nginx(folder: &Path, port: u16) -> Child {
    let at = folder.display();
    let config = format!(
        "daemon off; worker_processes 2; pid {at}/nginx.pid; error_log {at}/error.log;
         events {{ worker_connections 256; }}
         http {{ access_log off; default_type text/html; client_body_temp_path {at}/b; proxy_temp_path {at}/p;
                 fastcgi_temp_path {at}/f; uwsgi_temp_path {at}/u; scgi_temp_path {at}/s; sendfile on;
                 server {{ listen 127.0.0.1:{port}; root {at}; }} }}"
    );
    std::fs::write(folder.join("nginx.conf"), config).unwrap();
    // Its workers run as another user, who must be able to read the folder.
    let opened = Command::new("chmod").args(["-R", "a+rX"]).arg(folder).status();
    assert!(opened.unwrap().success());
    let child = Command::new("nginx").arg("-c").arg(folder.join("nginx.conf")).arg("-p").arg(folder).spawn();
    let child = child.expect("nginx is not installed (Debian: nginx-light)");
    browser::patience::until("nginx answers", || std::net::TcpStream::connect(("127.0.0.1", port)).is_ok());
    child
}

fn requests_a_second(url: &str, cookie: Option<&str>) -> f64 {
    let mut wrk = Command::new("wrk");
    wrk.args(["-t1", "-c8", &format!("-d{SECONDS}s"), "-H", "accept: text/html"]);
    if let Some(cookie) = cookie {
        wrk.args(["-H", &format!("cookie: {cookie}")]);
    }
    let out = wrk.arg(url).output().expect("wrk is not installed (Debian: wrk)");
    let said = String::from_utf8_lossy(&out.stdout).into_owned();
    assert!(!said.contains("Non-2xx"), "{said}");
    let line = said.lines().find(|line| line.starts_with("Requests/sec")).unwrap_or_else(|| panic!("{said}"));
    line.split_whitespace().last().unwrap().parse().unwrap()
}

fn median(values: &mut [f64]) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

/// Taps through the steps of a card: what is open is ticked, then what was ticked is taken back.
fn tap_to_painted_tick(garage: &Garage, card: &str) {
    let page = Chromium::fresh_page().on(PHONE);
    pair_phone(&page, garage);
    page.open(&format!("{}{card}#step-1", garage.origin));
    page.until("!!document.querySelector('[data-primary]')?.offsetParent");
    page.slow_down(SLOWER);
    // Where a guard or the counter of a step's bolts comes between, a tap is no tick: such steps are passed over.
    let steps = page.value("document.querySelectorAll('[data-step]').length").as_u64().unwrap();
    let mut ticked = Vec::new();
    let mut took = Vec::new();
    for n in 1..=usize::try_from(steps).unwrap() {
        if let Some(one) = one_tick(&page, n) {
            ticked.push(n);
            took.push(one);
        }
        if ticked.len() == TICKS {
            break;
        }
    }
    took.extend(ticked.iter().map(|n| one_tick(&page, *n).expect("a tick is taken back without a guard")));
    page.slow_down(1);
    let all = |figure: fn(&Took) -> f64| -> Vec<f64> { took.iter().map(figure).collect() };
    let mut painted = all(|took| took.painted);
    let middle = median(&mut painted);
    let (changed, quiet) = (median(&mut all(|took| took.changed)), median(&mut all(|took| took.quiet)));
    let (high, worst) = (painted[painted.len() * 95 / 100], painted[painted.len() - 1]);
    println!(
        "tap to tick     {middle:>9.1} ms in the middle, {high:.1} ms for 95 of 100, {worst:.1} ms at worst, of {} at {SLOWER}x slowdown",
        painted.len()
    );
    println!("tap to change   {changed:>9.1} ms in the middle until the page is changed, before its frame");
    println!(
        "tap to quiet    {quiet:>9.1} ms in the middle until the page answers scripts again, its frame and more done"
    );
    println!("ratio to 50 ms  {:>9.3} (95 of 100: {:.3})", middle / NOTICED_MS, high / NOTICED_MS);
}

/// Milliseconds from the finger's lifting.
struct Took {
    /// To the changed page.
    changed: f64,
    /// To the paint of the next frame, as the browser itself tells it: `duration` of W3C Event Timing, in steps of 8, and
    /// 16 where it is less.
    painted: f64,
    /// To the next message that the page takes.
    quiet: f64,
}

/// `None` where the step is not ticked by one tap.
fn one_tick(page: &Page, n: usize) -> Option<Took> {
    let step = format!("[data-step][data-n=\"{n}\"]");
    page.value(&format!("location.hash = '#step-{n}'"));
    page.until(&format!("!!document.querySelector('{step}')?.offsetParent"));
    // Scripts offer one large button for what is open, and a small one that takes a tick back.
    let open = page.is_so(&format!("document.querySelector('{step}').dataset.tick === 'open'"));
    let button = if open { "[data-primary]".to_owned() } else { format!("{step} [data-act=open]") };
    std::thread::sleep(Duration::from_millis(300));
    if was_guarded(page) || !page.is_so(&format!("!!document.querySelector('{button}').offsetParent")) {
        return None;
    }
    // Looking for the button scrolls to it, which is no part of the tap.
    page.value(&format!("void document.querySelector('{button}').scrollIntoView({{ block: 'center' }})"));
    std::thread::sleep(Duration::from_millis(300));
    page.value(&format!(
        "void (globalThis.ticked = new Promise(done => {{
            let lifted = NaN;
            let painted = 16;
            const told = (events) => {{
                for (const {{ name, duration }} of events.getEntries())
                    if (name === 'pointerup' || name === 'click') painted = Math.max(painted, duration);
            }};
            new PerformanceObserver(told).observe({{ type: 'event', durationThreshold: 16 }});
            const guards = document.querySelector('dialog[data-guards]');
            new MutationObserver(() => guards.open && done(null)).observe(guards, {{ attributes: true, attributeFilter: ['open'] }});
            addEventListener('pointerup', (event) => {{ lifted = event.timeStamp; }}, {{ capture: true, once: true }});
            new MutationObserver((_, watch) => {{
                watch.disconnect();
                const changed = performance.now() - lifted;
                requestAnimationFrame(() => {{
                    const frame = new MessageChannel();
                    frame.port1.onmessage = () => {{
                        const quiet = performance.now() - lifted;
                        // The browser tells of an event when its frame is on the screen.
                        setTimeout(() => done([changed, painted, quiet]), 300);
                    }};
                    frame.port2.postMessage(0);
                }});
            }}).observe(document.querySelector('{step}'), {{ attributes: true, attributeFilter: ['data-tick'] }});
        }}))"
    ));
    page.tap(&button);
    let took = page.value("globalThis.ticked");
    if was_guarded(page) {
        return None;
    }
    let took = |at: usize| took[at].as_f64().unwrap_or_else(|| panic!("step {n} was tapped without a finger: {took}"));
    Some(Took { changed: took(0), painted: took(1), quiet: took(2) })
}

/// Whether a guard stands on the whole screen; goes back from it.
fn was_guarded(page: &Page) -> bool {
    page.is_so(
        "(() => { const guards = document.querySelector('dialog[data-guards]');
            if (!guards.open) return false;
            document.querySelector('[data-guards-back]').click();
            return true; })()",
    )
}

fn taking_the_car(desk: &Desk<'_>, car: &str) {
    let pack = desk.json(&format!("/sync/pack/{car}"));
    let urls = |name: &str| -> BTreeSet<String> {
        let entries = pack[name].as_array().unwrap().iter();
        entries.map(|entry| entry["url"].as_str().or(entry.as_str()).unwrap().to_owned()).collect()
    };
    let (pages, assets) = (urls("pages"), urls("assets"));
    let changes = BTreeSet::from([format!("/sync/changes?car={car}")]);
    let sum = |urls: &BTreeSet<String>| -> usize { urls.iter().map(|url| desk.compressed(url)).sum() };
    let page_bytes = desk.compressed_answer(&format!("/sync/pack/{car}/pages"), &serde_json::json!({ "urls": pages }));
    let (asset_bytes, change_bytes) = (sum(&assets), sum(&changes));
    let all = page_bytes + asset_bytes + change_bytes;
    println!(
        "taking the car  {all:>9} bytes compressed: {page_bytes} in {} pages, {asset_bytes} in {} assets, {change_bytes} of work done",
        pages.len(),
        assets.len()
    );
    println!("ratio to 400 KB {:>9.3}", all as f64 / PACK_BUDGET as f64);
}
