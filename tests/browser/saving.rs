//! The phone ends the browser whenever it likes, also in the middle of a tap.

use super::chromium::Chromium;
use super::doors::{pair_phone, take_under, the_car};
use super::garage::Garage;
use super::page::{PHONE, Page};
use super::patience::until;
use super::sending::stored;
use serde_json::Value;
use std::collections::BTreeSet;

/// What a page was told is saved is there after the browser was killed; the rest is there whole or not at all.
#[test]
fn a_browser_killed_while_saving_has_kept_what_it_called_saved_and_nothing_by_halves() {
    let mut garage = Garage::start();
    let home = tempfile::tempdir().unwrap();
    let profile = home.path().join("profile");
    let browser = Chromium::open(&profile);
    let page = browser.new_page().on(PHONE);
    pair_phone(&page, &garage);
    let car = the_car(&page, &garage);
    take_under(&page, &garage, &car);
    drop(page);
    // A browser writes its cookies down when it is closed.
    browser.close();
    garage.kill();
    let note = format!("{}/under/{car}/note", garage.origin);

    let browser = Chromium::open(&profile);
    let page = browser.new_page().on(PHONE);
    page.open(&note);
    page.write("#finding [name=text]", "Sill is soft at the jacking point");
    page.tap("[data-keep][form=finding]");
    page.until_says("[data-items]", "saved on this phone");
    browser.kill();

    let browser = Chromium::open(&profile);
    let page = browser.new_page().on(PHONE);
    page.open(&note);
    page.until_says("[data-items]", "Sill is soft at the jacking point");
    let saved = save_until_killed(&page, browser);

    let browser = Chromium::open(&profile);
    let page = browser.new_page().on(PHONE);
    page.open(&note);
    let ops = stored(&page, "ops");
    let there: BTreeSet<&str> = ops.iter().map(|record| record["id"].as_str().unwrap()).collect();
    let lost: Vec<&String> = saved.iter().filter(|id| !there.contains(id.as_str())).collect();
    assert!(lost.is_empty(), "called saved, and lost: {lost:?}");
    nothing_is_there_by_halves(&ops, &stored(&page, "photo_bytes"));
}

/// Saves notes and photos without end, and kills the browser in the middle of it. The answer is what was called saved.
fn save_until_killed(page: &Page, browser: Chromium) -> Vec<String> {
    page.value(
        "void (async () => {
            const at = `/a/${document.body.dataset.build}/js/outbox`;
            const [{ record }, { addPhoto }] = await Promise.all([import(`${at}/record.js`), import(`${at}/photos.js`)]);
            globalThis.saved = [];
            const on = { car: document.body.dataset.car };
            for (let n = 0; ; n++) {
                const bytes = crypto.getRandomValues(new Uint8Array(60_000));
                record({ card: null, on, do: { note: { text: `before the end ${n}` } } })
                    .then(({ id }) => globalThis.saved.push(id));
                const { id } = await addPhoto(new Blob([bytes], { type: 'image/jpeg' }), { card: null, on });
                globalThis.saved.push(id);
            }
        })()",
    );
    let mut saved = Vec::new();
    until("twenty are saved", || {
        let told = page.try_value("globalThis.saved").unwrap_or_default();
        saved = told.as_array().into_iter().flatten().map(|id| id.as_str().unwrap().to_owned()).collect();
        saved.len() >= 20
    });
    browser.kill();
    saved
}

fn nothing_is_there_by_halves(ops: &[Value], photos: &[Value]) {
    for record in ops.iter().filter(|record| record["state"] == "waiting") {
        let op = &record["op"];
        let whole = ["id", "device", "hlc", "car", "on", "do"].iter().all(|member| !op[member].is_null());
        assert!(whole && record["id"] == op["id"], "{record}");
        if let Some(sha) = op["do"]["photo"]["sha256"].as_str() {
            assert!(photos.iter().any(|head| head["sha256"] == sha && head["state"] == "waiting"), "no photo for {op}");
        }
    }
    for head in photos.iter().filter(|one| one.get("sha256").is_some()) {
        let begin = format!("{}/", head["sha256"].as_str().unwrap());
        let pieces = photos.iter().filter(|one| one["key"].as_str().unwrap().starts_with(&begin));
        let bytes: u64 = pieces.map(|piece| piece["data"].as_u64().unwrap()).sum();
        assert_eq!(Some(bytes), head["bytes"].as_u64(), "a photo lacks bytes: {head}");
    }
}
