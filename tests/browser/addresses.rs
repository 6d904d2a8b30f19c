//! One garage has one address for phones, and phones trust it.

use super::chromium::Chromium;
use super::doors::{pair_at, pair_phone, take_under, the_car};
use super::garage::{Garage, free_port};
use super::page::PHONE;
use std::path::Path;
use std::process::Command;

const WORKERS: &str = "navigator.serviceWorker.getRegistrations().then((all) => all.length)";

#[test]
fn at_a_wrong_address_the_page_says_where_to_open_it_and_registers_no_worker() {
    let garage = Garage::start();
    let page = Chromium::fresh_page().on(PHONE);
    let wrong = garage.origin.replace("localhost", "127.0.0.1");
    pair_at(&page, &garage, &wrong, "phone");
    page.open(&format!("{wrong}/under"));
    page.until_says("[data-wrong-address]", &garage.origin);
    assert_eq!(page.value(WORKERS), 0);
    assert_eq!(page.value("indexedDB.databases().then((all) => all.length)"), 0, "nothing may be kept here");

    let right = Chromium::fresh_page().on(PHONE);
    pair_phone(&right, &garage);
    assert!(right.is_so("document.querySelector('[data-wrong-address]').hidden"));
    assert_eq!(right.value(WORKERS), 1);
}

#[test]
fn a_phone_that_lost_its_storage_is_told_so() {
    let garage = Garage::start();
    let page = Chromium::fresh_page().on(PHONE);
    pair_phone(&page, &garage);
    let car = the_car(&page, &garage);
    take_under(&page, &garage, &car);
    page.reload();
    assert!(page.is_so("document.querySelector('[data-lost-storage]').hidden"), "nothing was lost yet");

    page.open("about:blank");
    page.erase(&garage.origin, "indexeddb");
    page.open(&format!("{}/under", garage.origin));
    page.until_says("[data-lost-storage]", "The browser has erased what this phone held.");
    page.tap("[data-lost-storage-seen]");
    page.reload();
    assert!(page.is_so("document.querySelector('[data-lost-storage]').hidden"), "it was seen");
}

/// The whole way of a phone on the home network: an authority of our own, trusted by the browser, and a secure context
/// in which the worker registers. Without that trust the page is refused.
#[test]
fn over_https_with_our_own_authority_the_worker_registers_and_without_trust_the_page_is_refused() {
    let [desk, phones, guide] = [free_port(), free_port(), free_port()];
    let garage = Garage::for_phones(desk, phones, guide);
    let (status, pem) = garage.desk().fetch(&format!("http://127.0.0.1:{guide}/underlamp-authority.pem"));
    assert_eq!(status, 200);
    let origin = garage.origin.clone();
    let flags = ["--host-resolver-rules=MAP underlamp.local 127.0.0.1"];

    let trusting = tempfile::tempdir().unwrap();
    trust(trusting.path(), &pem);
    let browser = Chromium::open_with(&trusting.path().join("profile"), &flags, &[("HOME", trusting.path())]);
    let page = browser.new_page().on(PHONE);
    pair_phone(&page, &garage);
    assert_eq!(page.address(), format!("{origin}/under"));
    assert_eq!(page.value("isSecureContext"), true);
    assert_eq!(page.value(WORKERS), 1);
    drop(page);
    browser.kill();

    let strange = tempfile::tempdir().unwrap();
    let browser = Chromium::open_with(&strange.path().join("profile"), &flags, &[("HOME", strange.path())]);
    let refused = browser.new_page().refused(&format!("{origin}/under"));
    assert_eq!(refused.as_deref(), Some("net::ERR_CERT_AUTHORITY_INVALID"));
}

/// Puts an authority into the certificate store of whoever has this home folder.
fn trust(home: &Path, pem: &[u8]) {
    let store = home.join(".pki/nssdb");
    let file = home.join("authority.pem");
    std::fs::create_dir_all(&store).unwrap();
    std::fs::write(&file, pem).unwrap();
    let database = format!("sql:{}", store.display());
    let certutil = |args: &[&str]| {
        let done = Command::new("certutil").args(["-d", &database]).args(args).output();
        let done = done.expect("certutil (Debian: libnss3-tools)");
        assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    };
    certutil(&["-N", "--empty-password"]);
    certutil(&["-A", "-n", "underlamp", "-t", "C,,", "-i", &file.display().to_string()]);
}
