//! Upkeep at the desk, as a browser without script uses it. Figures of the demo are invented.

use crate::support::{Answer, Client, TestApp};
use axum::http::{StatusCode, header};
use underlamp::ids::CarId;
use underlamp::upkeep::book::Book;

struct Garage {
    app: TestApp,
    desk: Client,
    car: CarId,
    upkeep: String,
}

impl Garage {
    async fn demo() -> Garage {
        Garage::over(TestApp::demo().await).await
    }

    /// A car with nothing written down of it.
    async fn bare() -> Garage {
        let app = TestApp::start().await;
        let desk = app.owner().await;
        let fields = ["make", "model", "year", "codes", "story", "wanted_on", "wanted_for"].map(|name| (name, ""));
        let fields: Vec<_> = [("name", "Bare")].into_iter().chain(fields).collect();
        assert_eq!(desk.post_form("/cars", &fields).await.status, StatusCode::SEE_OTHER);
        Garage::over(app).await
    }

    async fn over(app: TestApp) -> Garage {
        let desk = app.owner().await;
        let car = app.demo_car().await;
        Garage { app, desk, car, upkeep: format!("/cars/{car}/upkeep") }
    }

    async fn get(&self, tail: &str) -> Answer {
        self.desk.get(&format!("{}{tail}", self.upkeep)).await
    }

    async fn post(&self, tail: &str, fields: &[(&str, &str)]) -> Answer {
        self.desk.post_form(&format!("{}{tail}", self.upkeep), fields).await
    }

    async fn book(&self) -> Book {
        self.app.state.cars.get(&self.app.state.read, self.car).await.unwrap().upkeep.clone()
    }

    /// Adds an item and gives its tail.
    async fn item(&self, what: &str, distance: &str, months: &str) -> String {
        let answer = self.post("", &item(what, distance, months)).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let to = answer.location().strip_prefix(&self.upkeep).unwrap().to_owned();
        to.trim_end_matches("#done").to_owned()
    }

    async fn read_off(&self, day: &str, number: &str, unit: &str) -> Answer {
        let fields = [("day", day), ("number", number), ("unit", unit), ("from_where", "invoice")];
        self.post("/odometer", &fields).await
    }

    /// The key of the reading that shows so much.
    async fn key(&self, shown: &str) -> String {
        let book = self.book().await;
        let told = book.readings.iter().find(|told| told.shown.to_string().replace('\u{a0}', " ") == shown);
        told.unwrap_or_else(|| panic!("{shown}: {:?}", book.readings)).key.clone()
    }

    async fn say(&self, shown: &str, fields: &[(&str, &str)]) -> Answer {
        let key = self.key(shown).await;
        let all: Vec<_> = [("reading", key.as_str())].into_iter().chain(fields.iter().copied()).collect();
        self.post("/odometer/word", &all).await
    }
}

fn item<'a>(what: &'a str, distance: &'a str, months: &'a str) -> [(&'a str, &'a str); 7] {
    [
        ("what", what),
        ("distance", distance),
        ("unit", "km"),
        ("months", months),
        ("source", "guess"),
        ("citation", "own rule"),
        ("page", ""),
    ]
}

fn done<'a>(day: &'a str, number: &'a str) -> [(&'a str, &'a str); 5] {
    [("day", day), ("number", number), ("unit", "km"), ("by", ""), ("note", "")]
}

/// As a person reads it.
fn plain(answer: &Answer) -> String {
    answer.text.replace('\u{a0}', " ").replace("&#160;", " ")
}

#[tokio::test]
async fn the_demo_shows_every_band_with_its_day_and_why() {
    let garage = Garage::demo().await;
    let page = garage.get("").await;
    assert_eq!(page.status, StatusCode::OK);
    let text = plain(&page);
    for words in [
        "Overdue",
        "Nobody knows when",
        "Coming up",
        "In hand",
        "By time: a month after",
        "By distance: about",
        "every 60 000 km or 60 months, whichever is first",
        "Maker&#39;s manual, workshop manual for five variants (invented), page 1-12",
        "1 reading does not count until it is explained",
        "134 820 km",
    ] {
        let there = text.to_lowercase().contains(&words.to_lowercase());
        assert!(there, "{words}\n{text}");
    }
    assert!(garage.book().await.items.len() >= 6);
}

#[tokio::test]
async fn an_interval_that_is_none_is_told_at_its_field_and_nothing_is_kept() {
    let garage = Garage::bare().await;
    for (distance, months, say) in [
        ("0", "", "interval of zero"),
        ("", "0", "interval of zero"),
        ("-5000", "", "cannot be negative"),
        ("", "-1", "cannot be negative"),
        ("", "", "Say how often"),
        ("900000", "", "no interval of a car"),
        ("", "999", "twenty years"),
        ("", "1.5", "no number of months"),
        ("far", "", "is no distance"),
        ("10,000", "", "two ways"),
    ] {
        let answer = garage.post("", &item("Engine oil", distance, months)).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{distance}/{months}");
        assert!(answer.text.contains(say), "{distance}/{months}: {}", answer.text);
    }
    for (field, bad) in [("what", ""), ("source", "rumour"), ("unit", "leagues"), ("card", "no-card")] {
        let mut fields: Vec<_> = item("Engine oil", "10000", "12").to_vec();
        fields.retain(|(name, _)| *name != field);
        fields.push((field, bad));
        assert_eq!(garage.post("", &fields).await.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}");
    }
    assert!(garage.book().await.items.is_empty());
    assert!(garage.get("").await.text.contains("Nothing is kept up yet"));
}

#[tokio::test]
async fn what_was_done_moves_the_day_and_a_slip_can_be_taken_back() {
    let garage = Garage::bare().await;
    let item = garage.item("Brake fluid", "", "24").await;
    assert!(garage.get(&item).await.text.contains("Nobody noted it yet"));
    for (day, number, say) in [
        ("2026-11-26", "", "still to come"),
        ("2026-02-30", "", "There is no day"),
        ("yesterday", "", "is no day"),
        ("2026-11-01", "many", "is no distance"),
        ("2026-11-01", "-1", "cannot be negative"),
    ] {
        let answer = garage.post(&format!("{item}/done"), &done(day, number)).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{day} {number}");
        assert!(answer.text.contains(say), "{day} {number}: {}", answer.text);
    }
    assert_eq!(garage.post(&format!("{item}/done"), &done("2026-11-01", "1000")).await.status, StatusCode::SEE_OTHER);
    let page = garage.get(&item).await;
    assert!(page.text.contains("1 Nov 2028") && page.text.contains("at 1000 km"), "{}", page.text);
    let log = garage.desk.get(&format!("/cars/{}/logbook", garage.car)).await;
    assert!(log.text.contains("Upkeep: Brake fluid, done"), "{}", log.text);
    let back = garage.post(&format!("{item}/not-done"), &[("day", "2026-11-01")]).await;
    assert_eq!(back.status, StatusCode::SEE_OTHER);
    assert!(garage.get(&item).await.text.contains("Nobody noted it yet"));
    // The reading went with it.
    assert!(garage.book().await.readings.is_empty());
    let again = garage.post(&format!("{item}/not-done"), &[("day", "2026-11-01")]).await;
    assert_eq!(again.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn an_item_is_changed_collides_and_is_taken_out() {
    let garage = Garage::bare().await;
    let path = garage.item("Brake fluid", "", "24").await;
    let with_rev = |months, rev| item("Brake fluid", "", months).into_iter().chain([("rev", rev)]).collect::<Vec<_>>();
    assert_eq!(garage.post(&path, &with_rev("12", "1")).await.status, StatusCode::SEE_OTHER);
    let late = garage.post(&path, &with_rev("36", "1")).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(late.text.contains("value=\"36\"") && late.text.contains("<dd>12</dd>"), "{}", late.text);
    assert_eq!(garage.post(&path, &with_rev("0", "2")).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(garage.post(&format!("{path}/remove"), &[]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(garage.get(&path).await.status, StatusCode::NOT_FOUND);
    assert_eq!(garage.post(&format!("{path}/remove"), &[]).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_clock_that_runs_backwards_is_named_and_left_out_until_somebody_says_what_happened() {
    let garage = Garage::bare().await;
    garage.read_off("2026-01-01", "99 900", "km").await;
    garage.read_off("2026-03-01", "150", "km").await;
    let page = plain(&garage.get("/odometer").await);
    assert!(page.contains("It runs backwards: 99 900 km stood there on 1 Jan 2026"), "{page}");
    assert!(page.contains("Perhaps the clock rolled over"), "{page}");
    assert_eq!(garage.book().await.history.used().len(), 1);
    for (fields, say) in [
        (&[("kind", "rolled-over")][..], "how many digits"),
        (&[("kind", "gone")], "Choose what happened"),
        (&[("kind", "replaced"), ("old_unit", "km"), ("new_unit", "km")], "what the other clock showed"),
        (
            &[("kind", "replaced"), ("old_end", "99000"), ("old_unit", "km"), ("new_start", "0"), ("new_unit", "km")],
            "does not fit",
        ),
        (&[("kind", "stood"), ("least", "5"), ("run_unit", "km")], "leave both empty"),
    ] {
        let answer = garage.say("150 km", fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(answer.text.contains(say), "{fields:?}: {}", answer.text);
    }
    assert_eq!(garage.say("150 km", &[("kind", "rolled-over"), ("digits", "5")]).await.status, StatusCode::SEE_OTHER);
    let page = plain(&garage.get("/odometer").await);
    assert!(page.contains("250 km since the one before"), "{page}");
    // Taken back: nothing is overwritten, the latest word holds.
    assert_eq!(garage.say("150 km", &[("kind", "")]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(garage.book().await.history.used().len(), 1);
    assert_eq!(garage.get("/odometer?explain=nothing").await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn miles_and_another_clock_count_on_and_what_nobody_noted_stays_unknown() {
    let garage = Garage::bare().await;
    garage.read_off("2026-01-01", "84900", "mi").await;
    garage.read_off("2026-03-01", "310", "km").await;
    let replaced = |old: &'static str| {
        [("kind", "replaced"), ("old_end", old), ("old_unit", "mi"), ("new_start", "10"), ("new_unit", "km")]
    };
    assert_eq!(garage.say("310 km", &replaced("85000")).await.status, StatusCode::SEE_OTHER);
    assert!(plain(&garage.get("/odometer").await).contains("it ran <b>461 km</b>"));
    assert_eq!(garage.say("310 km", &replaced("")).await.status, StatusCode::SEE_OTHER);
    let page = plain(&garage.get("/odometer").await);
    assert!(page.contains("it ran <b>at least 300 km</b>"), "{page}");
}

#[tokio::test]
async fn readings_that_are_none_are_refused_in_words() {
    let garage = Garage::bare().await;
    for (day, number, unit, from, say) in [
        ("2026-11-24", "5", "km", "", "where it stands written"),
        ("2026-11-26", "5", "km", "x", "still to come"),
        ("", "5", "km", "x", "is no day"),
        ("2026-11-25", "", "km", "", "Type the number"),
        ("2026-11-25", "-5", "km", "", "cannot be negative"),
        ("2026-11-25", "12345678", "km", "", "No clock counts"),
        ("2026-11-25", "5", "furlong", "", "counts km or mi"),
    ] {
        let fields = [("day", day), ("number", number), ("unit", unit), ("from_where", from)];
        let answer = garage.post("/odometer", &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{day} {number}");
        assert!(answer.text.contains(say), "{day} {number}: {}", answer.text);
    }
    assert!(garage.book().await.readings.is_empty());
    // Of today it is an operation, which the logbook tells.
    assert_eq!(garage.read_off("2026-11-25", "134 900", "km").await.status, StatusCode::SEE_OTHER);
    let log = garage.desk.get(&format!("/cars/{}/logbook", garage.car)).await;
    assert!(log.text.contains("Odometer: 134900 km"), "{}", log.text);
}

#[tokio::test]
async fn by_distance_first_says_how_far_and_at_which_rate() {
    let garage = Garage::bare().await;
    for (day, number) in
        [("2026-05-29", "1000"), ("2026-07-28", "1600"), ("2026-09-26", "2200"), ("2026-11-25", "2800")]
    {
        assert_eq!(garage.read_off(day, number, "km").await.status, StatusCode::SEE_OTHER);
    }
    let item = garage.item("Engine oil", "3000", "12").await;
    garage.post(&format!("{item}/done"), &done("2026-05-29", "1000")).await;
    let page = plain(&garage.get(&item).await);
    // 1200 km left at ten a day, exactly.
    assert!(page.contains("about 25 Mar 2027"), "{page}");
    assert!(
        page.contains("By distance: about 4 months at 304 km a month; 1 200 km were left on 25 Nov 2026."),
        "{page}"
    );
}

#[tokio::test]
async fn a_proven_card_is_kept_up_by_one_press_and_twice_is_once() {
    let garage = Garage::demo().await;
    let page = garage.get("").await;
    let from = page.text.split("/upkeep/from/").nth(1).expect("a proven card").split('"').next().unwrap().to_owned();
    let before = garage.book().await.items.len();
    for _ in 0..2 {
        let answer = garage.post(&format!("/from/{from}"), &[]).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let item = garage.desk.get(answer.location()).await;
        assert!(item.text.contains("common practice, no source; your manual comes first"), "{}", item.text);
    }
    let book = garage.book().await;
    assert_eq!(book.items.len(), before + 1);
    let kept = book.items.iter().find(|kept| kept.item.facts.card.is_some_and(|card| card.to_string() == from));
    assert_eq!(kept.unwrap().done.len(), 1, "it counts as done on the day that it was proven");
    let card = garage.desk.get(&format!("/cars/{}/cards/{from}", garage.car)).await;
    assert!(card.text.contains("It is kept up: see when it is due"), "{}", card.text);
    let none = garage.post(&format!("/from/{}", underlamp::ids::CardId::new()), &[]).await;
    assert_eq!(none.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_car_that_stands_shows_its_lists_and_runs_again_no_earlier() {
    let garage = Garage::demo().await;
    assert!(garage.get("").await.text.contains("/patterns/lay-up-winter"));
    assert_eq!(garage.post("/stands", &[("day", "2026-11-26")]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(garage.post("/stands", &[("day", "2026-06-01")]).await.status, StatusCode::SEE_OTHER);
    let page = garage.get("").await;
    for words in
        ["Stands since 1 Jun, 6 months.", "/patterns/return-winter", "while the car stands, the distance waits"]
    {
        assert!(page.text.contains(words), "{words}\n{}", page.text);
    }
    let early = garage.post("/stands", &[("day", "2026-05-01")]).await;
    assert_eq!(early.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(early.text.contains("cannot have run again before"), "{}", early.text);
    assert_eq!(garage.post("/stands", &[("day", "2026-11-25")]).await.status, StatusCode::SEE_OTHER);
    assert!(garage.book().await.stands_since.is_none());
}

#[tokio::test]
async fn other_calendars_get_every_day_on_which_something_is_due() {
    let garage = Garage::demo().await;
    let file = garage.get("/upkeep.ics").await;
    assert_eq!(file.status, StatusCode::OK);
    assert_eq!(file.headers[header::CONTENT_TYPE], "text/calendar; charset=utf-8");
    let days = garage.book().await.items.iter().filter(|kept| kept.due.day.is_some()).count();
    assert!(days >= 5);
    assert_eq!(file.text.matches("BEGIN:VEVENT").count(), days);
    assert_eq!(file.text.matches("DTSTART;VALUE=DATE:").count(), days);
    assert!(file.text.contains("DTSTAMP:20261125T180000Z"), "{}", file.text);
}

#[tokio::test]
async fn under_the_car_a_few_lines_say_what_is_due_soon() {
    let garage = Garage::demo().await;
    let page = garage.desk.get(&format!("/under/{}", garage.car)).await;
    for words in ["Due soon", "Timing belt: overdue by", "more at the desk, under Upkeep"] {
        assert!(page.text.contains(words), "{words}\n{}", page.text);
    }
    let bare = Garage::bare().await;
    assert!(!bare.desk.get(&format!("/under/{}", bare.car)).await.text.contains("Due soon"));
}
