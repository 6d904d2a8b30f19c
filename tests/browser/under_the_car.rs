//! The main job: an evening under the car without the server, and everything at the desk afterwards.

use super::chromium::Chromium;
use super::doors::{pair_desk, pair_phone, take_under, the_car, the_card};
use super::garage::{Desk, Garage};
use super::page::{DESK, PHONE, Page};
use super::pictures::{facts, has_a_place, photo};
use serde_json::Value;
use std::path::Path;

const CARD: &str = "Renew coolant, hoses and thermostat";
const NOTE: &str = "Lower hose clip is a replacement, two sizes too big";
const FINDING: &str = "Radiator stub is cracked on the underside";
/// Two ticks, a reading, a note, a photo and a finding.
const DONE_THERE: usize = 6;

#[test]
fn an_evening_under_the_car_with_the_server_killed_reaches_the_logbook_once_and_whole() {
    let mut garage = Garage::start();
    let home = tempfile::tempdir().unwrap();
    let profile = home.path().join("profile");
    let picture = home.path().join("photo.jpg");
    photo(&picture, 1200, 900);

    let browser = Chromium::open(&profile);
    let phone = browser.new_page().on(PHONE);
    pair_phone(&phone, &garage);
    let car = the_car(&phone, &garage);
    take_under(&phone, &garage, &car);
    let evening = Evening { under: format!("{}/under/{car}", garage.origin), car };
    evening.open_card(&phone);
    let steps = phone.value("document.querySelectorAll('[data-step]').length");
    let before = garage.desk().operations(&evening.car);

    garage.kill();
    phone.reload();
    assert_eq!(phone.value("document.querySelectorAll('[data-step]').length"), steps, "the whole card is there");
    evening.everything_opens(&phone);
    evening.work(&phone, &picture);
    evening.all_is_marked_waiting(&phone);
    drop(phone);
    browser.close();

    let browser = Chromium::open(&profile);
    let phone = browser.new_page().on(PHONE);
    phone.open(&evening.under);
    phone.until_says("[data-go-on]", &format!("step 4 of {CARD}"));
    phone.follow("[data-go-on]");
    phone.until("location.hash === '#step-4' && document.querySelector('#step-4').checkVisibility()");
    evening.all_is_marked_waiting(&phone);

    garage.start_again();
    evening.drains(&phone, &garage.origin);
    let desk = garage.desk();
    let sha = evening.is_at_the_desk_once(&desk, &before);
    evening.is_in_the_logbook(&garage, &sha);
    photos_are_upright_and_placeless(&desk, &sha, home.path());
}

struct Evening {
    car: String,
    under: String,
}

impl Evening {
    fn open_card(&self, phone: &Page) {
        phone.open(&self.under);
        phone.follow(&format!("[data-card-row='{}'] a", the_card(phone, CARD)));
        phone.until_says("h1", CARD);
    }

    /// Other cards, the spec book, the loose ends: with figures, and not the page that says what is missing.
    fn everything_opens(&self, phone: &Page) {
        phone.value("location.hash = '#step-2'");
        phone.until_says("[data-step] .figure", "bar");
        phone.open(&self.under);
        let cards = phone.value("[...document.querySelectorAll('[data-card-row] a')].map((one) => one.href)");
        for card in cards.as_array().unwrap().iter().step_by(6) {
            phone.open(card.as_str().unwrap());
            phone.until("document.querySelectorAll('[data-step]').length > 0 || document.body.innerText.includes('no steps yet')");
        }
        phone.open(&format!("{}/specs", self.under));
        phone.until("document.querySelectorAll('.figure').length > 20");
        phone.open(&format!("{}/loose", self.under));
        phone.until_says("h1", "loose ends");
    }

    /// Ticks steps 1 and 2, reads something off at step 4, writes a note there, takes a photo, notes a finding.
    fn work(&self, phone: &Page, picture: &Path) {
        self.open_card(phone);
        phone.value("location.hash = '#step-1'");
        for n in [1, 2] {
            phone.until_says("[data-count]", &format!("Step {n} of"));
            phone.tap("[data-primary]");
            phone.until_says(&format!("#step-{n} [data-ticked]"), "saved on this phone");
            phone.tap("[data-primary]");
        }
        phone.value("location.hash = '#step-4'");
        phone.write("#step-4 [name=number]", "6,25");
        phone.tap("#step-4 [data-reading] button");
        phone.until_says("#step-4 [data-items]", "drained coolant: 6.25");
        phone.tap("#step-4 summary");
        phone.write("#step-4 [data-note] textarea", NOTE);
        phone.tap("#step-4 [data-note] button");
        phone.until_says("#step-4 [data-items]", NOTE);
        phone.choose_file("#step-4 [data-photo-input]", picture);
        phone.until("document.querySelector('#step-4 [data-items] img')?.naturalWidth > 0");

        phone.follow(".bar a[href$='/note']");
        phone.write("#finding [name=text]", FINDING);
        phone.tap("#finding label:has([value=act])");
        phone.write("#finding [name=place]", "radiator, left");
        phone.tap("[data-keep][form=finding]");
        phone.until_says("[data-items]", FINDING);
    }

    fn all_is_marked_waiting(&self, phone: &Page) {
        self.open_card(phone);
        phone.value("location.hash = '#list'");
        phone.until(
            "[...document.querySelectorAll('[data-row-waits]')].filter((one) => one.checkVisibility()).length === 2",
        );
        phone.value("location.hash = '#step-4'");
        phone.until(
            "[...document.querySelectorAll('#step-4 [data-items] > li')].filter(
            (one) => one.checkVisibility() && one.textContent.includes('saved on this phone')).length === 3",
        );
        phone.until_says("[data-status-outbox]", &format!("{DONE_THERE} to send, 1 photo"));
    }

    /// Sends everything, and shows how it goes.
    fn drains(&self, phone: &Page, origin: &str) {
        phone.open(&format!("{origin}/under/waiting"));
        phone.value(
            "(() => {
                const at = document.querySelector('[data-status-outbox]');
                globalThis.saidMeanwhile = [at.textContent];
                const hear = () => globalThis.saidMeanwhile.push(at.textContent.trim());
                new MutationObserver(hear).observe(at, { childList: true, subtree: true, characterData: true });
            })()",
        );
        phone.tap("[data-send-now]");
        phone.until_says("[data-status-outbox]", "All sent");
        phone.until_says("[data-nothing-waits]", "Nothing waits");
        let said = phone.value("globalThis.saidMeanwhile.join('; ')");
        assert!(said.as_str().unwrap().contains("photo"), "no progress was to be seen: {said}");
    }

    /// Everything is there, nothing twice, nothing else. The answer is the photo's hash.
    fn is_at_the_desk_once(&self, desk: &Desk, before: &[Value]) -> String {
        let ops = desk.operations(&self.car);
        assert_eq!(ops.len(), before.len() + DONE_THERE);
        let new = &ops[before.len()..];
        let body = |kind: &str| -> Vec<&Value> { new.iter().filter_map(|op| op["do"].get(kind)).collect() };
        assert_eq!(body("tick").len(), 2);
        assert!(body("tick").iter().all(|tick| tick["state"] == "done"));
        assert_eq!(body("reading")[0]["number"], "6,25");
        assert_eq!(body("note")[0]["text"], NOTE);
        assert_eq!(body("finding")[0]["text"], FINDING);
        body("photo")[0]["sha256"].as_str().unwrap().to_owned()
    }

    fn is_in_the_logbook(&self, garage: &Garage, sha: &str) {
        let page = Chromium::fresh_page().on(DESK);
        pair_desk(&page, garage);
        page.open(&format!("{}/cars/{}/logbook", garage.origin, self.car));
        for words in [NOTE, FINDING, "drained coolant", "6.25", "Turn the cap to its first stop"] {
            page.until_says(".evenings > :first-child", words);
        }
        page.until(&format!("document.querySelectorAll('.evenings img[src*=\"{sha}\"]').length === 1"));
        page.value(&format!("document.querySelector('img[src*=\"{sha}\"]').scrollIntoView()"));
        page.until(&format!("document.querySelector('img[src*=\"{sha}\"]').naturalWidth > 0"));
    }
}

/// A photo is shown as it was seen, and says nowhere where it was taken.
fn photos_are_upright_and_placeless(desk: &Desk, sha: &str, folder: &Path) {
    for (which, size) in [("original", None), ("upright", Some((900, 1200))), ("thumb", None)] {
        let (status, bytes) = desk.get(&format!("/photos/{sha}/{which}"));
        assert_eq!(status, 200, "{which}");
        let file = folder.join(format!("{which}.jpg"));
        std::fs::write(&file, bytes).unwrap();
        let facts = facts(&file);
        assert!(!has_a_place(&facts), "{which}: {facts}");
        let (width, height) = (facts["File:ImageWidth"].as_u64().unwrap(), facts["File:ImageHeight"].as_u64().unwrap());
        if which == "original" {
            continue;
        }
        let turned = facts.get("EXIF:Orientation").is_some_and(|turn| *turn != 1);
        assert!(!turned && height > width, "{which} is {width}×{height}: {facts}");
        if let Some(size) = size {
            assert_eq!((width, height), size, "{which}");
        }
    }
}
