//! The plan's pages: shown, kept, older than the facts, moved, asked of tonight, and its evenings for other calendars.

use crate::support::{Answer, Client, TestApp};
use axum::http::{StatusCode, header};
use underlamp::ids::{CarId, CardId};
use underlamp::plan::store;

struct Plan {
    app: TestApp,
    desk: Client,
    car: CarId,
}

impl Plan {
    async fn open() -> Plan {
        let app = TestApp::demo().await;
        let desk = app.owner().await;
        let car = app.demo_car().await;
        Plan { app, desk, car }
    }

    async fn get(&self, tail: &str) -> Answer {
        self.desk.get(&format!("/cars/{}{tail}", self.car)).await
    }

    async fn post(&self, tail: &str, fields: &[(&str, &str)]) -> Answer {
        self.desk.post_form(&format!("/cars/{}{tail}", self.car), fields).await
    }

    async fn card(&self, title: &str) -> CardId {
        let whole = self.app.state.cars.get(&self.app.state.read, self.car).await.unwrap();
        let found = whole.state.cards.iter().find(|card| card.card.facts.title.contains(title));
        found.unwrap_or_else(|| panic!("no card ‘{title}’")).card.id
    }

    /// The ids of the evenings to come, in their order.
    async fn evenings(&self) -> Vec<String> {
        let mut conn = self.app.state.read.conn().await.unwrap();
        let all = store::evenings_of_car(&mut conn, self.car).await.unwrap();
        all.into_iter().map(|evening| evening.id.to_string()).collect()
    }

    async fn pins(&self) -> usize {
        store::planning(&mut self.app.state.read.conn().await.unwrap(), self.car).await.unwrap().pins.len()
    }

    async fn without_evenings(&self) {
        for evening in self.evenings().await {
            let answer = self.post(&format!("/plan/evenings/{evening}/remove"), &[]).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        }
    }
}

#[tokio::test]
async fn the_plan_shows_its_chance_its_evenings_and_why_each_job_stands_where_it_does() {
    let plan = Plan::open().await;
    let page = plan.get("/plan").await;
    assert_eq!(page.status, StatusCode::OK);
    for words in [
        "of 100",
        "ready by",
        "kept: keep it, and this page says",
        "Open up:",
        "class=\"stint",
        "Left for the night",
        "of work",
        "Move…",
        "Whoever works in a hurry",
    ] {
        assert!(page.text.contains(words), "{words}");
    }
    assert!(!page.text.contains("style="), "no inline style");
}

#[tokio::test]
async fn a_kept_plan_says_when_it_was_made_and_what_changed_since() {
    let plan = Plan::open().await;
    let kept = plan.post("/plan/again", &[]).await;
    assert_eq!((kept.status, kept.location()), (StatusCode::SEE_OTHER, format!("/cars/{}/plan", plan.car).as_str()));
    let fresh = plan.get("/plan").await.text;
    assert!(fresh.contains("from what was known then") && !fresh.contains("older than the facts"));
    let first = plan.evenings().await.remove(0);
    plan.post(&format!("/plan/evenings/{first}/remove"), &[]).await;
    let stale = plan.get("/plan").await.text;
    assert!(stale.contains("This plan is older than the facts") && stale.contains("Plan again"), "{stale}");
    plan.post("/plan/again", &[]).await;
    assert!(!plan.get("/plan").await.text.contains("older than the facts"));
}

#[tokio::test]
async fn a_plan_is_held_against_the_day_on_which_it_is_looked_at() {
    let plan = Plan::open().await;
    plan.post("/plan/again", &[]).await;
    plan.app.clock.set(plan.app.clock.now().plus_days(9));
    assert!(plan.get("/plan").await.text.contains("This plan is older than the facts"));
}

#[tokio::test]
async fn without_evenings_the_page_says_what_to_do_and_nothing_is_kept() {
    let plan = Plan::open().await;
    plan.without_evenings().await;
    let page = plan.get("/plan").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("There is no evening to work in") && page.text.contains("/plan/evenings"));
    let again = plan.post("/plan/again", &[]).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(plan.get("/plan/dates").await.text.contains("No plan to work out dates from"));
    // Tonight needs no evenings.
    assert!(plan.get("/plan/tonight?minutes=240&helper=yes").await.text.contains("to spare"));
}

#[tokio::test]
async fn a_move_costs_nothing_before_it_is_kept_and_can_be_taken_back() {
    let plan = Plan::open().await;
    let card = plan.card("Renew fuel hoses").await;
    let asked = plan.get(&format!("/plan/move/{card}")).await;
    assert!(asked.text.contains("An evening later") || asked.text.contains("An evening earlier"), "{}", asked.text);
    let saturday = plan.evenings().await;
    let mut kept = None;
    for evening in saturday.iter().rev() {
        let what_if = plan.get(&format!("/plan/move/{card}?to={evening}")).await;
        assert_eq!(what_if.status, StatusCode::OK);
        if what_if.text.contains("Keep it on") {
            assert!(what_if.text.contains("Work and access") && what_if.text.contains("Nights apart"));
            kept = Some(evening.clone());
            break;
        }
    }
    assert_eq!(plan.pins().await, 0, "asking keeps nothing");
    let to = kept.expect("some evening takes the job");
    let answer = plan.post(&format!("/plan/move/{card}"), &[("to", &to)]).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    assert_eq!(plan.pins().await, 1);
    let page = plan.get("/plan").await.text;
    assert!(page.contains("Kept to an evening by you") && page.contains("kept here by you"));
    plan.post(&format!("/plan/move/{card}/free"), &[]).await;
    assert_eq!(plan.pins().await, 0);
}

#[tokio::test]
async fn a_move_to_nowhere_is_refused_with_a_sentence() {
    let plan = Plan::open().await;
    let card = plan.card("Renew fuel hoses").await;
    let nowhere = CardId::new().to_string();
    for to in ["yesterday", nowhere.as_str()] {
        let asked = plan.get(&format!("/plan/move/{card}?to={to}")).await;
        assert!(asked.text.contains("That evening is past, or was never entered"), "{to}");
        let kept = plan.post(&format!("/plan/move/{card}"), &[("to", to)]).await;
        assert_eq!(kept.status, StatusCode::UNPROCESSABLE_ENTITY, "{to}");
    }
    let past = plan.evenings().await.remove(0);
    plan.app.clock.set(plan.app.clock.now().plus_days(20));
    let kept = plan.post(&format!("/plan/move/{card}"), &[("to", &past)]).await;
    assert_eq!(kept.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(plan.pins().await, 0);
    assert_eq!(plan.get(&format!("/plan/move/{nowhere}")).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_wanted_day_in_the_past_is_said_to_be_past() {
    let plan = Plan::open().await;
    plan.app.clock.set(plan.app.clock.now().plus_days(1));
    let mut db = plan.app.beside().await;
    sqlx::query("update cars set wanted_on = '2026-11-01'").execute(&mut db).await.unwrap();
    let page = plan.get("/plan").await.text;
    assert!(page.contains("is past, so its chance is nil"), "{page}");
}

#[tokio::test]
async fn tonight_takes_only_lengths_that_an_evening_has() {
    let plan = Plan::open().await;
    let card = plan.card("Renew fuel hoses").await;
    let page = plan.get(&format!("/plan/tonight?minutes=240&helper=yes&wanted={card}")).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("Start with") && page.text.contains("to spare"));
    for odd in ["0", "-3", "1441", "soon", "1e9"] {
        let answer = plan.get(&format!("/plan/tonight?minutes={odd}")).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{odd}");
        assert!(answer.text.contains("is no length of an evening"), "{odd}");
    }
    let unknown = plan.get("/plan/tonight?minutes=60&wanted=nobody").await;
    assert_eq!(unknown.status, StatusCode::OK);
    assert_eq!(plan.get("/plan/tonight?minute=60").await.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn dates_show_when_it_ends_what_to_order_and_what_a_lost_evening_does() {
    let plan = Plan::open().await;
    let page = plan.get("/plan/dates").await.text;
    for words in ["Nearly sure, 95 of 100", "Losing the evening of", "Order until when?", "The same as a table"] {
        assert!(page.contains(words), "{words}");
    }
}

/// The lines as a reader of RFC 5545 has them: unfolded (3.1).
fn lines(text: &str) -> Vec<String> {
    text.replace("\r\n ", "").split("\r\n").map(str::to_owned).collect()
}

#[tokio::test]
async fn the_file_holds_every_evening_with_the_car_the_jobs_and_how_it_is_left() {
    let plan = Plan::open().await;
    let file = plan.get("/plan/evenings.ics").await;
    assert_eq!(file.headers[header::CONTENT_TYPE], "text/calendar; charset=utf-8");
    let lines = lines(&file.text);
    let count = |line: &str| lines.iter().filter(|one| one.as_str() == line).count();
    assert_eq!(count("BEGIN:VEVENT"), plan.evenings().await.len());
    assert_eq!(count("BEGIN:VEVENT"), count("END:VEVENT"));
    assert!(lines.iter().any(|line| line.starts_with("SUMMARY:Skarv: ")));
    assert!(lines.iter().any(|line| line.starts_with("DESCRIPTION:") && line.contains("Left for the night")));
    assert!(lines.iter().all(|line| !line.starts_with(' ')));
}

#[tokio::test]
async fn a_calendar_reads_by_its_link_until_it_is_taken_back_and_a_wrong_letter_opens_nothing() {
    let plan = Plan::open().await;
    plan.post("/plan/again", &[]).await;
    let nameless = plan.post("/plan/calendar", &[("label", " ")]).await;
    assert_eq!(nameless.status, StatusCode::UNPROCESSABLE_ENTITY);
    let made = plan.post("/plan/calendar", &[("label", "kitchen")]).await.text;
    let begin = made.find("http://garage.test/calendar/").expect("the address");
    let address = made[begin..].split('<').next().unwrap();
    let path = address.trim_start_matches("http://garage.test");
    assert!(path.split_once("key=").unwrap().1.len() >= 22, "128 bits at least: {path}");
    let stranger = plan.app.stranger();
    let feed = stranger.get(path).await;
    assert_eq!(feed.status, StatusCode::OK, "{}", feed.text);
    assert!(feed.text.starts_with("BEGIN:VCALENDAR") && feed.text.contains("SUMMARY:Skarv: "));
    let other = if path.ends_with('A') { 'B' } else { 'A' };
    let wrong = format!("{}{other}", &path[..path.len() - 1]);
    for odd in
        [wrong.as_str(), "/calendar/evenings.ics", "/calendar/evenings.ics?key=", "/calendar/evenings.ics?key=%00"]
    {
        assert_eq!(stranger.get(odd).await.status, StatusCode::GONE, "{odd}");
    }
    let page = plan.get("/plan/calendar").await.text;
    assert!(page.contains("kitchen") && !page.contains("key="), "the secret is shown once");
    let mut db = plan.app.beside().await;
    let (id, hash): (String, String) =
        sqlx::query_as("select id, secret_hash from calendar_links").fetch_one(&mut db).await.unwrap();
    assert!(!path.contains(&hash));
    plan.post(&format!("/plan/calendar/{id}/take-back"), &[]).await;
    assert_eq!(stranger.get(path).await.status, StatusCode::GONE);
}
