//! What can go wrong on the way: pieces lost, answers lost, the server killed, two tabs at once.

use super::chromium::Chromium;
use super::doors::{pair_phone, the_car};
use super::garage::Garage;
use super::page::{PHONE, Page};
use super::patience::until;
use super::pictures::photo;
use super::proxy::Fault;
use serde_json::Value;
use std::collections::BTreeSet;

const ALL_SENT: &str = "All sent";

/// A phone at its car's page, behind the proxy.
fn phone() -> (Garage, Page, String) {
    let garage = Garage::behind_proxy();
    let page = Chromium::fresh_page().on(PHONE);
    pair_phone(&page, &garage);
    let car = the_car(&page, &garage);
    page.open(&format!("{}/under/{car}/note", garage.origin));
    page.until_says("[data-status-outbox]", ALL_SENT);
    (garage, page, car)
}

/// The page's own module, as its pages load it.
fn module(path: &str) -> String {
    format!("import(`/a/${{document.body.dataset.build}}/js/{path}`)")
}

/// Records so many notes, each as if somebody had written it, and waits until all of them are saved.
pub fn record_notes(page: &Page, count: usize, words: &str) {
    page.value(&format!(
        "{}.then(({{ record }}) => Promise.all(Array.from({{ length: {count} }}, (_, n) =>
            record({{ card: null, on: {{ car: document.body.dataset.car }}, do: {{ note: {{ text: `{words} ${{n}}` }} }} }})
        ))).then(() => true)",
        module("outbox/record.js")
    ));
}

fn send_now(page: &Page) {
    page.value(&format!("void {}.then(({{ sendNow }}) => sendNow())", module("outbox/flush.js")));
}

/// Every record in the phone's store `ops`, or in another.
pub fn stored(page: &Page, store: &str) -> Vec<Value> {
    let found = page.value(&format!(
        "new Promise((resolve, reject) => {{
            const opening = indexedDB.open('underlamp');
            opening.onerror = () => reject(opening.error);
            opening.onsuccess = () => {{
                const asked = opening.result.transaction('{store}').objectStore('{store}').getAll();
                asked.onsuccess = () => {{
                    opening.result.close();
                    resolve(JSON.parse(JSON.stringify(asked.result, (key, value) =>
                        value instanceof ArrayBuffer ? value.byteLength : value)));
                }};
            }};
        }})"
    ));
    found.as_array().unwrap().clone()
}

fn ids(records: &[Value], state: &str) -> BTreeSet<String> {
    let there = records.iter().filter(|record| record["state"] == state);
    there.map(|record| record["id"].as_str().unwrap().to_owned()).collect()
}

/// Notes at the garage that begin with these words, each as often as it is there.
fn at_the_garage(garage: &Garage, car: &str, words: &str) -> Vec<String> {
    let ops = garage.desk().operations(car);
    let texts = ops.iter().filter_map(|op| op["do"]["note"]["text"].as_str());
    texts.filter(|text| text.starts_with(words)).map(str::to_owned).collect()
}

fn each_is_there_once(garage: &Garage, car: &str, words: &str, count: usize) {
    let there = at_the_garage(garage, car, words);
    let different: BTreeSet<&String> = there.iter().collect();
    assert_eq!((there.len(), different.len()), (count, count), "{there:?}");
}

#[test]
fn a_photo_cut_off_in_the_middle_goes_on_from_there() {
    let (garage, page, _) = phone();
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("photo.jpg");
    photo(&file, 1200, 1000);
    let size = std::fs::metadata(&file).unwrap().len();
    assert!((1_200_000..3_000_000).contains(&size), "{size} bytes");

    let cut = 300 * 1024;
    garage.proxy().once("PATCH", "/uploads/", Fault::CutBodyAfter(cut));
    page.choose_file("[data-photo-input]", &file);
    page.tap("[data-keep][form=photo]");
    until("the first piece is cut", || !garage.proxy().seen("PATCH", "/uploads/").is_empty());
    page.until_says("[data-status-outbox]", ALL_SENT);

    let pieces = garage.proxy().seen("PATCH", "/uploads/");
    assert_eq!((pieces[0].upload_offset, pieces[0].body, pieces[0].status), (Some(0), cut, None));
    assert!(pieces[1].upload_offset > Some(0), "it began anew: {pieces:?}");
    let sent: u64 = pieces.iter().map(|piece| piece.body).sum();
    assert!(sent < size * 3 / 2, "{sent} bytes for {size}: {pieces:?}");
    let name = pieces[0].path.trim_start_matches("/uploads/");
    assert_eq!(garage.desk().get(&format!("/photos/{name}/upright")).0, 200);
}

#[test]
fn a_lost_answer_makes_nothing_twice() {
    let (garage, page, car) = phone();
    garage.proxy().once("POST", "/sync/ops", Fault::DropAnswer);
    record_notes(&page, 5, "lost answer");
    until("it is sent again", || garage.proxy().seen("POST", "/sync/ops").len() >= 2);
    page.until_says("[data-status-outbox]", ALL_SENT);
    assert_eq!(garage.proxy().seen("POST", "/sync/ops")[0].status, Some(200), "the server had taken them");
    each_is_there_once(&garage, &car, "lost answer", 5);
}

#[test]
fn an_answer_that_never_comes_keeps_everything_and_says_so() {
    let (garage, page, car) = phone();
    garage.proxy().stall();
    record_notes(&page, 3, "stalled");
    page.until_says("[data-status-outbox]", "3 to send");
    garage.proxy().refuse();
    page.until_says("[data-status-contact]", "Lost");
    assert_eq!(ids(&stored(&page, "ops"), "waiting").len(), 3);
    garage.proxy().pass();
    send_now(&page);
    page.until_says("[data-status-outbox]", ALL_SENT);
    each_is_there_once(&garage, &car, "stalled", 3);
}

/// What the phone was told is stored, is stored: the server dies in the middle of many requests.
#[test]
fn a_server_killed_while_the_phone_sends_has_kept_all_it_acknowledged() {
    const MANY: usize = 400;
    let (mut garage, page, car) = phone();
    garage.proxy().refuse();
    record_notes(&page, MANY, "killed");
    garage.proxy().pass();
    send_now(&page);
    until("some of it is sent", || garage.proxy().seen("POST", "/sync/ops").len() >= 3);
    garage.kill();
    garage.proxy().refuse();
    page.until_says("[data-status-contact]", "Lost");
    let acknowledged = ids(&stored(&page, "ops"), "sent");
    assert!(!acknowledged.is_empty() && acknowledged.len() < MANY, "{} acknowledged", acknowledged.len());

    garage.start_again();
    let kept: BTreeSet<String> =
        garage.desk().operations(&car).iter().map(|op| op["id"].as_str().unwrap().to_owned()).collect();
    assert!(acknowledged.is_subset(&kept), "lost: {:?}", acknowledged.difference(&kept));

    garage.proxy().pass();
    send_now(&page);
    page.until_says("[data-status-outbox]", ALL_SENT);
    each_is_there_once(&garage, &car, "killed", MANY);
}

#[test]
fn two_tabs_that_send_at_once_send_everything_once() {
    const EACH: usize = 60;
    let (garage, first, car) = phone();
    let second = Chromium::page_beside(&first).on(PHONE);
    second.open(&format!("{}/under/{car}/note", garage.origin));
    garage.proxy().refuse();
    record_notes(&first, EACH, "tabs: one");
    record_notes(&second, EACH, "tabs: two");
    let before = garage.proxy().seen("POST", "/sync/ops").len();
    garage.proxy().pass();
    for page in [&first, &second] {
        send_now(page);
    }
    for page in [&first, &second] {
        page.until_says("[data-status-outbox]", ALL_SENT);
    }
    each_is_there_once(&garage, &car, "tabs:", 2 * EACH);
    // 120 operations at 50 a request.
    assert_eq!(garage.proxy().seen("POST", "/sync/ops").len() - before, 3, "no operation travelled twice");
}
