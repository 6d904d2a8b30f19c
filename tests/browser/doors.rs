//! Coming in through the pages, as every other test does first.

use super::garage::Garage;
use super::page::Page;

/// Pairs this browser as a phone, with a code, through the page.
pub fn pair_phone(page: &Page, garage: &Garage) {
    pair_at(page, garage, &garage.origin, "phone");
}

/// Pairs this browser as a desk.
pub fn pair_desk(page: &Page, garage: &Garage) {
    pair_at(page, garage, &garage.origin, "desk");
}

pub fn pair_at(page: &Page, garage: &Garage, origin: &str, kind: &str) {
    page.open(&format!("{origin}/pair"));
    page.write("[name=code]", &garage.code());
    page.write("[name=name]", kind);
    page.value(&format!("document.querySelector('[name=kind][value={kind}]').click()"));
    page.follow("[data-pair] button");
}

/// The id of the demo car, off the page that lists the cars.
pub fn the_car(page: &Page, garage: &Garage) -> String {
    page.open(&format!("{}/under", garage.origin));
    let href = page.value("document.querySelector('[data-car-link]').getAttribute('href')");
    href.as_str().unwrap().trim_start_matches("/under/").to_owned()
}

/// Takes the car under the car, through its page.
pub fn take_under(page: &Page, garage: &Garage, car: &str) {
    page.open(&format!("{}/under/{car}", garage.origin));
    page.tap("[data-take]");
    page.until_says("[data-take-progress]", "The copy is whole.");
}

/// The id of a card by its title, off the page of its car.
pub fn the_card(page: &Page, title: &str) -> String {
    let card = page.value(&format!(
        "[...document.querySelectorAll('[data-card-row]')].find((row) => row.textContent.includes('{title}')).dataset.cardRow"
    ));
    card.as_str().unwrap().to_owned()
}
