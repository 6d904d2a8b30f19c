//! Whether the main pages fit every screen; and a way to look at them as pictures, in every scheme and size:
//! `UNDERLAMP_SHOTS=<folder> cargo test --test all -- browser::shots`.

use super::chromium::Chromium;
use super::doors::{pair_phone, the_car};
use super::every_page::pages;
use super::garage::Garage;
use super::page::{DESK, PHONE, PHONE_LYING, Page, Screen};
use std::path::Path;

const SCHEMES: [&str; 3] = ["day", "night", "lamp"];

#[test]
fn main_pages_fit_every_screen() {
    let folder = std::env::var_os("UNDERLAMP_SHOTS");
    let garage = Garage::start();
    let page = Chromium::fresh_page().on(PHONE);
    pair_phone(&page, &garage);
    let car = the_car(&page, &garage);
    let paths = pages(&garage.desk());
    let mut out = Vec::new();
    // Without pictures to take, the two sizes in which every page is opened by another test need no repeating.
    let screens = if folder.is_some() { vec![PHONE, PHONE_LYING, DESK] } else { vec![PHONE_LYING] };
    for screen in screens {
        page.turn(screen);
        for path in paths.iter().filter(|path| path.starts_with("/under") || folder.is_some()) {
            page.open(&format!("{}{path}", garage.origin));
            let at = |element: String| format!("{path} at {}×{}: {element}", screen.width, screen.height);
            out.extend(too_wide(&page, screen).into_iter().map(at));
            if let Some(folder) = &folder {
                take(&page, Path::new(folder), &path.replace(&car, "car"), screen);
            }
        }
    }
    assert!(out.is_empty(), "{}", out.join("\n"));
}

/// A picture of the page in each scheme.
fn take(page: &Page, folder: &Path, path: &str, Screen { width, height, .. }: Screen) {
    std::fs::create_dir_all(folder).unwrap();
    let words: Vec<&str> = path.split('/').filter(|part| !part.is_empty() && part.len() < 30).collect();
    for scheme in SCHEMES {
        page.value(&format!("document.documentElement.dataset.scheme = '{scheme}'"));
        let place = if words.is_empty() { "garage".to_owned() } else { words.join("-") };
        let name = format!("{place}-{width}x{height}-{scheme}.png");
        std::fs::write(folder.join(name), page.picture()).unwrap();
    }
}

/// Elements that stick out of the screen's side; nothing when the page does not.
pub fn too_wide(page: &Page, screen: Screen) -> Vec<String> {
    let script = format!(
        "(() => {{
            if (document.scrollingElement.scrollWidth <= {0}) return [];
            const out = [...document.body.querySelectorAll('*')].filter(
                (one) => one.checkVisibility() && one.getBoundingClientRect().right > {0} + 0.5);
            const inner = out.filter((one) => !out.some((other) => other !== one && one.contains(other)));
            return [...inner, document.body].slice(0, 3).map((one) => one.outerHTML.slice(0, 160));
        }})()",
        screen.width
    );
    page.value(&script).as_array().unwrap().iter().map(|one| one.as_str().unwrap().to_owned()).collect()
}
