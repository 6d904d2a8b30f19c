//! Every page that the app has, looked at on a phone's screen and on a desk's.
//!
//! The list of pages is the app's own table of routes. What stands in their braces is found as a person finds it, by
//! following links; so a page that no link leads to is found out as well.

use super::chromium::Chromium;
use super::doors::pair_phone;
use super::garage::{Desk, Garage};
use super::page::{DESK, PHONE, Page, Screen};
use super::shots::too_wide;
use axum::http::Method;
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::path::Path;
use underlamp::app;

/// What was found, page by page.
#[derive(Default)]
struct Walk {
    pages: usize,
    /// What axe-core holds against them.
    inaccessible: Vec<String>,
    /// Errors in the console, broken content policy.
    complaints: Vec<String>,
    too_wide: Vec<String>,
}

/// The rules are those of WCAG 2.2 and of good practice, as axe-core (Deque, MPL-2.0) checks them when left alone.
#[test]
fn every_page_is_accessible_writes_no_error_keeps_the_content_policy_and_fits_its_screen() {
    let walk = walk();
    assert!(walk.pages >= 30, "only {} pages were looked at", walk.pages);
    let found = [walk.inaccessible, walk.complaints, walk.too_wide].concat();
    assert!(found.is_empty(), "{}", found.join("\n"));
}

fn walk() -> Walk {
    let garage = Garage::start();
    let desk = garage.desk();
    let page = Chromium::fresh_page().on(PHONE);
    pair_phone(&page, &garage);
    let axe = axe();
    let mut walk = Walk::default();
    let mut paths = pages(&desk);
    let a_card = paths.iter().find(|path| path.starts_with("/under/") && path.contains("/cards/")).unwrap();
    paths.extend([format!("{a_card}#list"), "/no/such/page".into()]);
    for path in paths {
        page.open(&format!("{}{path}", garage.origin));
        look(&page, &path, &axe, &mut walk);
    }
    page.open(&format!("{}/devices", garage.origin));
    page.follow("[action='/devices/code'] button");
    look(&page, "a pairing code", &axe, &mut walk);
    walk
}

/// Looks at the page that is open, in both sizes.
fn look(page: &Page, path: &str, axe: &str, walk: &mut Walk) {
    walk.pages += 1;
    for screen in [PHONE, DESK] {
        page.turn(screen);
        look_at(page, path, screen, axe, walk);
    }
}

fn look_at(page: &Page, path: &str, screen: Screen, axe: &str, walk: &mut Walk) {
    let at = format!("{path} at {}×{}", screen.width, screen.height);
    for violation in violations(page, axe) {
        walk.inaccessible.push(format!("{at}: {violation}"));
    }
    for complaint in page.complaints() {
        walk.complaints.push(format!("{at}: {complaint}"));
    }
    for element in too_wide(page, screen) {
        walk.too_wide.push(format!("{at}: {element}"));
    }
}

/// The source of axe-core, from where npm put it.
fn axe() -> String {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/tools/node_modules/axe-core/axe.min.js");
    std::fs::read_to_string(&file).unwrap_or_else(|cause| {
        panic!("{}: {cause}. Run ‘npm ci’ in tests/tools, or tests/run, which does.", file.display())
    })
}

/// What axe-core says about the page as it is now.
fn violations(page: &Page, axe: &str) -> Vec<String> {
    if !page.is_so("'axe' in globalThis") {
        page.value(&format!("{axe}; true"));
    }
    let found = page.value(
        "axe.run(document, { resultTypes: ['violations'] }).then(({ violations }) => violations.map(
            ({ id, help, nodes }) => `${id}: ${help}\\n` + nodes.map(
                ({ html, failureSummary }) => `    ${html.slice(0, 200)}\\n      ${failureSummary.replaceAll('\\n', ' ')}`
            ).join('\\n')))",
    );
    found.as_array().unwrap().iter().map(|one| one.as_str().unwrap().to_owned()).collect()
}

/// The addresses of all pages: each route of the table that answers GET with HTML, with its braces filled.
pub fn pages(desk: &Desk) -> Vec<String> {
    let table = app::table();
    let routes: Vec<&str> = table.listed().iter().filter(|one| one.method == Method::GET).map(|one| one.path).collect();
    let known = links(desk, &routes);
    let mut found = Vec::new();
    for route in routes {
        let examples = match known.get(route) {
            Some(examples) => examples.clone(),
            None => vec![fill(route, &known)],
        };
        found.extend(examples.into_iter().filter(|path| desk.kind(path).starts_with("text/html")));
    }
    found
}

/// How many examples of a page are looked at.
const EXAMPLES: usize = 1;

/// Examples of each route, found by following links from the first page of the desk and from that of the phone.
fn links(desk: &Desk, routes: &[&'static str]) -> BTreeMap<&'static str, Vec<String>> {
    let mut known: BTreeMap<&str, Vec<String>> = BTreeMap::new();
    let mut ahead = VecDeque::from(["/".to_owned(), "/under".to_owned()]);
    let mut been = BTreeSet::new();
    while let Some(path) = ahead.pop_front() {
        let Some(route) = routes.iter().copied().filter(|route| fits(route, &path)).max_by_key(|route| fixed(route))
        else {
            continue;
        };
        let examples = known.entry(route).or_default();
        if examples.len() == EXAMPLES || !been.insert(path.clone()) {
            continue;
        }
        examples.push(path.clone());
        let (status, body) = desk.get(&path);
        assert!(status < 400, "a link leads to {path}, which answers {status}");
        ahead.extend(addresses(&String::from_utf8_lossy(&body)));
    }
    known
}

/// The addresses on our own site that a page's markup leads to or loads.
fn addresses(html: &str) -> Vec<String> {
    let mut found = Vec::new();
    for start in [" href=\"", " src=\""] {
        for piece in html.split(start).skip(1) {
            let address = piece.split('"').next().unwrap_or_default();
            let path = address.split(['#', '?']).next().unwrap_or_default();
            if path.starts_with('/') && !path.starts_with("//") {
                found.push(path.to_owned());
            }
        }
    }
    found
}

fn fits(route: &str, path: &str) -> bool {
    let (route, path): (Vec<&str>, Vec<&str>) = (route.split('/').collect(), path.split('/').collect());
    let rest = route.last().is_some_and(|last| last.starts_with("{*"));
    let same = |(one, other): (&&str, &&str)| one.starts_with('{') || one == other;
    (route.len() == path.len() || (rest && path.len() >= route.len())) && route.iter().zip(&path).all(same)
}

/// How many parts of a route are words: `/cars/new` is not a car.
fn fixed(route: &str) -> usize {
    route.split('/').filter(|part| !part.starts_with('{')).count()
}

/// A route that no link led to: programs call it, or it has nothing in braces. What is known by name is put in.
fn fill(route: &str, known: &BTreeMap<&'static str, Vec<String>>) -> String {
    let value = |name: &str| {
        let parts = known.iter().flat_map(|(route, examples)| route.split('/').zip(examples[0].split('/')));
        parts.into_iter().find(|(part, _)| *part == name).map(|(_, value)| value.to_owned())
    };
    let parts = route.split('/').map(|part| match part.starts_with('{') {
        false => part.to_owned(),
        true => value(part).unwrap_or_else(|| panic!("no link leads to {route}, and nothing is known for {part}")),
    });
    parts.collect::<Vec<String>>().join("/")
}
