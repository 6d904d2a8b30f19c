//! Bolts counted under the car with the server gone: a phone that is loaded again goes on at the same bolt, and the desk sees it.

use super::chromium::Chromium;
use super::doors::{pair_desk, pair_phone, take_under, the_car, the_card};
use super::garage::Garage;
use super::page::{DESK, PHONE, Page};

/// Tightens seven bolts in two stages, in the demo.
const CARD: &str = "Renew timing belt and tensioner";
const ITEM: &str = "Timing cover bolts";

#[test]
fn bolts_are_counted_with_the_server_killed_and_gone_on_with_where_they_were_left() {
    let mut garage = Garage::start();
    let phone = Chromium::fresh_page().on(PHONE);
    pair_phone(&phone, &garage);
    let car = the_car(&phone, &garage);
    take_under(&phone, &garage, &car);
    let card = the_card(&phone, CARD);

    garage.kill();
    phone.open(&format!("{}/under/{car}/cards/{card}", garage.origin));
    let step = phone.value(&format!("document.querySelector('[data-item=\"{ITEM}\"]').closest('[data-step]').id"));
    let step = step.as_str().unwrap().to_owned();
    phone.value(&format!("location.hash = '#{step}'"));
    says(&phone, &step, 1);
    phone.until("document.querySelector('[data-bolt-tight]').getBoundingClientRect().height >= 96");
    for next in 2..=4 {
        press(&phone, "[data-bolt-tight]");
        says(&phone, &step, next);
    }
    phone.reload();
    says(&phone, &step, 4);
    press(&phone, "[data-bolt-back]");
    says(&phone, &step, 3);
    press(&phone, "[data-bolt-tight]");
    says(&phone, &step, 4);
    let lit = phone.value(&format!("document.querySelector('#{step} [data-state=next] > text').textContent"));
    assert_eq!(lit, "4", "the one that is lit is the one that is named");
    a_tick_asks_how_many_are_left(&phone, &step);

    garage.start_again();
    phone.open(&format!("{}/under/waiting", garage.origin));
    phone.tap("[data-send-now]");
    phone.until_says("[data-status-outbox]", "All sent");
    let desk = Chromium::fresh_page().on(DESK);
    pair_desk(&desk, &garage);
    desk.open(&format!("{}/cars/{car}/cards/{card}", garage.origin));
    desk.until_says("main", "stage 1 of 2: 3 of 7 tight");
    desk.open(&format!("{}/cars/{car}/logbook", garage.origin));
    desk.until_says(".evenings > :first-child", &format!("{ITEM}, stage 1 of 2: 3 of 7 tight"));
    assert_eq!(phone.complaints(), [] as [&str; 0]);
}

/// That this bolt is next, and that the operations have been read.
fn says(phone: &Page, step: &str, bolt: u32) {
    phone.until_says(&format!("#{step} [data-bolts-now]"), &format!("Bolt {bolt} of 7"));
    phone.until_says("[data-bolt-tight]", &format!("Bolt {bolt} is tight"));
}

/// As fast as a bolt can be tightened: two presses in half a second count as one.
fn press(phone: &Page, button: &str) {
    phone.value("new Promise((go) => setTimeout(go, 700))");
    phone.tap(button);
}

fn a_tick_asks_how_many_are_left(phone: &Page, step: &str) {
    phone.tap(&format!("#{step} [data-act=done]"));
    phone.until_says("[data-guards]", "11 bolts are left of 14: next is stage 1 of 2, bolt 4.");
    phone.tap("[data-guards-back]");
    phone.until("!document.querySelector('[data-guards]').open");
    phone.until(&format!("document.querySelector('#{step}').dataset.tick === 'open'"));
}
