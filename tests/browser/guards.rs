//! A guard met under the car with the server gone, the picture of the car, the road check, the survey, and all of it at the desk.

use super::chromium::Chromium;
use super::doors::{pair_desk, pair_phone, take_under, the_car, the_card};
use super::garage::Garage;
use super::page::{DESK, PHONE, Page};

const CARD: &str = "Renew gearbox and transfer gearbox oil";
const HEADLINE: &str = "Drained before the filler is known to open";
const REASON: &str = "The pump hose goes in from above";
/// What is noted beside an answer of the survey.
const PULLS: &str = "Pulls to the left";
/// An item of the road check that any work asks for.
const ITEM: &str = "before-rolling:clear";

#[test]
fn a_guard_stops_a_drain_and_road_check_and_survey_are_answered_with_the_server_killed() {
    let mut garage = Garage::start();
    let phone = Chromium::fresh_page().on(PHONE);
    pair_phone(&phone, &garage);
    let car = the_car(&phone, &garage);
    take_under(&phone, &garage, &car);
    let under = format!("{}/under/{car}", garage.origin);
    let card = format!("{under}/cards/{}", the_card(&phone, CARD));

    garage.kill();
    phone.open(&card);
    let step = step_that_drains(&phone);
    phone.value(&format!("location.hash = '#{step}'"));
    a_drain_is_stopped_and_gone_past(&phone, &step);
    the_picture_shows_it(&phone, &under);
    the_road_check_waits_for_loose_ends_and_is_answered(&phone, &under);
    the_survey_is_answered(&phone, &under);

    garage.start_again();
    phone.open(&format!("{}/under/waiting", garage.origin));
    phone.tap("[data-send-now]");
    phone.until_says("[data-status-outbox]", "All sent");
    let desk = Chromium::fresh_page().on(DESK);
    pair_desk(&desk, &garage);
    desk.open(&format!("{}/cars/{car}/logbook", garage.origin));
    for words in [REASON, "Nothing is under or against the car"] {
        desk.until_says(".evenings > :first-child", words);
    }
    desk.open(&format!("{}/cars/{car}/survey?show=act", garage.origin));
    desk.until_says("#question-roll-brakes", PULLS);
    assert_eq!(phone.complaints(), [] as [&str; 0]);
}

/// A question of the walk that the demo leaves open, and after it the next; what was answered is where the walk was left.
fn the_survey_is_answered(phone: &Page, under: &str) {
    phone.open(&format!("{under}/survey#q-roll-brakes"));
    phone.until("document.querySelector('[data-deed=answers]').checkVisibility()");
    phone.write("#f-note", PULLS);
    phone.tap("[data-answer=act]");
    phone.until_says("[data-said]", "To be done");
    phone.tap("[data-next]");
    phone.until("location.hash === '#q-roll-clutch'");
    phone.tap("[data-answer=fine]");
    phone.until("location.hash === '#q-roll-gears'");
    phone.open(&format!("{under}/survey"));
    phone.until_says("[data-count]", "104 of");
    phone.until_says("[data-area-row=roll]", "2 of 6 answered");
    phone.until_says("[data-since]", "2 things were noted since");
    phone.until_says("[data-go-on]", "Go on: Short roll");
}

/// The address of the step that drains the gearbox.
fn step_that_drains(phone: &Page) -> String {
    let found = phone.value(
        "[...document.querySelectorAll('[data-step]')].find((one) => one.querySelector('.stage__verb').textContent === 'Drain').id",
    );
    found.as_str().unwrap().to_owned()
}

fn a_drain_is_stopped_and_gone_past(phone: &Page, step: &str) {
    phone.until(&format!("document.querySelector('#{step}').checkVisibility()"));
    phone.until("document.querySelector('[data-awake]').textContent !== ''");
    phone.tap("[data-primary]");
    phone.until_says("[data-guards]", HEADLINE);
    phone.until("document.querySelector('[data-guards]').getBoundingClientRect().height >= innerHeight - 1");
    phone.tap("[data-guards-back]");
    phone.until("!document.querySelector('[data-guards]').open");
    phone.until(&format!("document.querySelector('#{step}').dataset.tick === 'open'"));

    phone.tap("[data-primary]");
    phone.tap("[data-guards-on]");
    phone.tap("[data-guards-tick]");
    phone.until_says("[data-guards-trouble]", "Choose or type a reason first.");
    phone.write("#f-why", REASON);
    phone.tap("[data-guards-tick]");
    phone.until(&format!("document.querySelector('#{step}').dataset.tick === 'done'"));
    phone.until_says(&format!("#{step} [data-strip]"), REASON);
}

/// The gearbox is under the middle; and what is added by two taps is where it was tapped.
fn the_picture_shows_it(phone: &Page, under: &str) {
    phone.open(&format!("{under}/loose"));
    phone.until("Number(document.querySelector('[data-zone=middle]').dataset.count) >= 1");
    phone.until_says("[data-zone-row=middle]", "loose end");
    let before = phone.value("Number(document.querySelector('[data-zone=rear-left]').dataset.count)");
    phone.tap("label:has([name=how][value=parted])");
    phone.tap("button[name=place][value='rear left']");
    let after = before.as_f64().unwrap() + 1.0;
    phone.until(&format!("Number(document.querySelector('[data-zone=rear-left]').dataset.count) === {after}"));
    phone.until_says("[data-ends]", "A connection parted");
}

fn the_road_check_waits_for_loose_ends_and_is_answered(phone: &Page, under: &str) {
    let row = format!("[data-item='{ITEM}']");
    phone.open(&format!("{under}/road"));
    phone.until("document.querySelector('[data-blocked]').checkVisibility()");
    phone.until(&format!("!document.querySelector(\"{row} [data-answer]\").checkVisibility()"));
    phone.open(&format!("{under}/loose"));
    phone.until("document.querySelectorAll('[data-ends] > li').length > 0");
    phone.value(
        "(async () => {
            for (let form; (form = document.querySelector('[data-ends] form[data-close]')); ) {
                const key = form.elements.key.value;
                form.requestSubmit();
                while ([...document.querySelectorAll('[data-ends] > li')].some((one) => one.dataset.key === key))
                    await new Promise((go) => setTimeout(go, 20));
            }
        })()",
    );
    phone.until_says("h1", "No loose ends on record");
    phone.open(&format!("{under}/road"));
    phone.until(&format!("document.querySelector(\"{row}\")?.dataset.due === '1'"));
    phone.tap(&format!("{row} [value=fails]"));
    phone.until(&format!("document.querySelector(\"{row} [data-find]\").checkVisibility()"));
    phone.until(&format!("document.querySelector(\"{row}\").dataset.due === '1'"));
    phone.tap(&format!("{row} [value=holds]"));
    phone.until(&format!("document.querySelector(\"{row}\").dataset.due === ''"));
    phone.until_says(&format!("{row} [data-how]"), "saved on this phone");
}
