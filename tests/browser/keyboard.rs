//! The desk without a mouse.

use super::chromium::Chromium;
use super::doors::{pair_desk, the_car};
use super::garage::Garage;
use super::page::{DESK, Page};
use serde_json::json;

/// Presses the tab key until the control with this name has the focus. Whatever has it on the way shows so.
fn tab_to(page: &Page, name: &str) {
    for _ in 0..300 {
        page.press("Tab");
        let focus = page.value(
            "(() => {
                const one = document.activeElement;
                const { outlineStyle, boxShadow } = getComputedStyle(one);
                const shown = outlineStyle !== 'none' || boxShadow !== 'none';
                return [one.getAttribute('aria-label') ?? one.textContent.trim(), shown, one.outerHTML.slice(0, 120)];
            })()",
        );
        assert!(focus[1] == true, "nothing shows that this has the focus: {}", focus[2]);
        if focus[0] == name {
            return;
        }
    }
    panic!("the tab key does not come to ‘{name}’");
}

fn steps(page: &Page) -> Vec<String> {
    let found = page.value("[...document.querySelectorAll('li[id^=step-] h3')].map((one) => one.textContent.trim())");
    found.as_array().unwrap().iter().map(|one| one.as_str().unwrap().to_owned()).collect()
}

#[test]
fn a_step_is_moved_with_the_keyboard_alone() {
    let garage = Garage::start();
    let page = Chromium::fresh_page().on(DESK);
    pair_desk(&page, &garage);
    let car = the_car(&page, &garage);
    page.open(&format!("{}/cars/{car}", garage.origin));
    let card =
        page.value("document.querySelector('main a[href*=\"/cards/\"]:not([href$=\"/new\"])').href.split('#')[0]");
    page.open(card.as_str().unwrap());
    let before = steps(&page);
    assert!(before.len() > 2);

    tab_to(&page, "Move step 2 up");
    page.leave(|| page.press("Enter"));
    let mut wanted = before.clone();
    wanted.swap(0, 1);
    assert_eq!(steps(&page), wanted);

    // The focus went along: the next tab stop stands in the step that was moved.
    page.press("Tab");
    let within = page.value("document.activeElement.closest('li[id^=step-]')?.querySelector('h3').textContent.trim()");
    assert_eq!(within, json!(wanted[0]));
    tab_to(&page, "Move step 1 down");
    page.leave(|| page.press("Enter"));
    assert_eq!(steps(&page), before);
}
