//! The logbook found by words, and corrected by additions.

use crate::support::ops::{SmallCar, at};
use crate::support::{Answer, Client, EVENING, TestApp, form};
use axum::http::StatusCode;
use serde_json::{Value, json};
use underlamp::ids::DeviceId;

struct Bench {
    app: TestApp,
    desk: Client,
    phone: Client,
    car: SmallCar,
}

impl Bench {
    async fn new() -> Bench {
        let app = TestApp::demo().await;
        let (desk, phone, car) = (app.owner().await, app.phone().await, SmallCar::of(&app).await);
        Bench { app, desk, phone, car }
    }

    async fn send(&self, op: Value) -> String {
        let answer = self.phone.post_json("/sync/ops", &json!({ "ops": [op] })).await.json();
        assert_eq!(answer["verdicts"][0]["is"], "applied", "{answer}");
        op["id"].as_str().unwrap().to_owned()
    }

    async fn note(&self, text: &str) -> String {
        self.send(self.car.note(DeviceId::new(), at(EVENING), text)).await
    }

    async fn find(&self, typed: &str) -> Answer {
        let page = self.desk.get(&format!("/cars/{}/logbook?{}", self.car.car, form(&[("q", typed)]))).await;
        assert_eq!(page.status, StatusCode::OK, "{typed}: {}", page.text);
        page
    }

    /// How many lines are shown.
    async fn lines(&self, typed: &str) -> usize {
        self.find(typed).await.text.matches("<li class=\"row").count()
    }
}

#[tokio::test]
async fn what_was_found_is_marked_and_counted() {
    let bench = Bench::new().await;
    bench.note("Der Kühler <leckt>, links").await;
    let page = bench.find("kuhl LECK").await;
    assert!(page.text.contains("Der <mark>Kühler</mark> &#60;<mark>leckt</mark>&#62;, links"), "not marked");
    assert!(page.text.contains("1 entry on 1 evening"), "not counted");
    assert!(page.text.contains("“kuhl” and “leck”"));
    // Every word in one entry, though each of them stands somewhere.
    assert_eq!(bench.lines("kuhl silencer").await, 0);
    let none = bench.find("zzyzx").await;
    assert!(none.text.contains("Nothing in the book says that") && none.text.contains("begin with “zzyzx”"));
    assert!(none.text.contains("entries were looked through"));
}

#[tokio::test]
async fn whatever_is_typed_is_looked_for_and_never_an_error() {
    let bench = Bench::new().await;
    bench.note("Zzyx: what NEAR AND 75W-90").await;
    for typed in ["NEAR(", "what:", "75W-90", "\"75w", "near*", "^near", "-near", "zzyx) AND"] {
        assert!(bench.lines(typed).await > 0, "{typed}");
    }
    for typed in
        ["*", "🔧🔧", "()", "'; drop table ops; --", "\u{0}", "%", "-- \" OR \"\"", "AND AND AND", "{what} : x"]
    {
        bench.find(typed).await;
    }
    assert!(bench.find("🔧").await.text.contains("There is no word in that"));
    assert_eq!(bench.lines(&"x".repeat(4000)).await, 0);
    let many: String = (0..1000).map(|n| format!("w{n} ")).collect();
    assert!(bench.find(&many).await.text.contains("entries were looked through"));
}

#[tokio::test]
async fn a_line_is_found_by_the_words_that_it_has_now() {
    let bench = Bench::new().await;
    let device = DeviceId::new();
    bench.send(bench.car.tick(device, at(EVENING), bench.car.steps[0], "done")).await;
    assert_eq!(bench.lines("taken back later").await, 0);
    bench.send(bench.car.tick(device, at(EVENING).next(EVENING), bench.car.steps[0], "open")).await;
    assert!(bench.lines("taken back later").await > 0);
    bench.note("only in the card’s evening").await;
    assert_eq!(bench.lines("zzyzx only").await, 0);
    // No operation tells of a new title.
    let (car, card) = (bench.car.car, bench.car.card);
    let mut other = bench.app.beside().await;
    sqlx::query("update cards set title = 'Zzyzx works' where id = ?").bind(card).execute(&mut other).await.unwrap();
    assert_eq!(bench.lines("zzyzx only").await, 1);
    assert!(
        bench.find("zzyzx only").await.text.contains(&format!("/cars/{car}/cards/{card}\"><mark>Zzyzx</mark> works"))
    );
}

#[tokio::test]
async fn after_a_restore_only_what_was_restored_is_found() {
    let bench = Bench::new().await;
    bench.note("before the backup").await;
    let home = tempfile::tempdir().unwrap();
    let file = home.path().join("garage.backup");
    bench.app.back_up(&file).await;
    bench.note("after the backup").await;
    assert_eq!((bench.lines("before the backup").await, bench.lines("after the backup").await), (1, 1));
    let Bench { app, desk, phone, car } = bench;
    let app = app.restored_from(&file).await;
    let bench = Bench { desk: desk.at(&app), phone: phone.at(&app), app, car };
    assert_eq!((bench.lines("before the backup").await, bench.lines("after the backup").await), (1, 0));
}

#[tokio::test]
async fn a_ticked_step_tells_the_torque_of_that_day_whatever_the_book_says_later() {
    let bench = Bench::new().await;
    assert!(bench.find("tighten").await.text.contains("N·m ("), "the demo's torques are told");
    let before = bench.find("").await.text.matches("N·m (").count();
    let mut other = bench.app.beside().await;
    sqlx::query("update spec_values set written = '999 Nm' where written like '%N%m%'")
        .execute(&mut other)
        .await
        .unwrap();
    let after = bench.find("").await.text;
    assert_eq!((after.matches("N·m (").count(), after.contains("to 999 N·m")), (before, false));
    assert!(before > 0);
}

#[tokio::test]
async fn parts_that_were_used_have_their_price() {
    let bench = Bench::new().await;
    assert!(bench.find("used oil filter").await.text.contains(" EUR"));
}

#[tokio::test]
async fn a_correction_is_added_and_both_are_shown() {
    let bench = Bench::new().await;
    let op = bench.note("The left boot is split").await;
    let path = format!("/cars/{}/logbook/{op}/correct", bench.car.car);
    assert!(bench.find("boot").await.text.contains(&path), "no way leads there");
    let asked = bench.desk.get(&path).await;
    assert!(asked.text.contains("The left boot is split") && asked.text.contains("The entry stays"));
    let answer = bench.desk.post_form(&path, &[("text", "It was the right one")]).await;
    assert_eq!(
        (answer.status, answer.location()),
        (StatusCode::SEE_OTHER, &*format!("/cars/{}/logbook", bench.car.car))
    );
    let page = bench.find("").await.text;
    assert!(page.contains("corrected later: “It was the right one”"));
    assert!(page.contains("correction of “The left boot is split” of "));
    assert!(bench.desk.get(&path).await.text.contains("It was the right one"), "it is told before another is added");
}

#[tokio::test]
async fn a_correction_without_words_or_of_nothing_is_refused() {
    let bench = Bench::new().await;
    let op = bench.note("The left boot is split").await;
    let path = format!("/cars/{}/logbook/{op}/correct", bench.car.car);
    let long = "x".repeat(4001);
    for (text, say) in [(" \r\n", "Say what is wrong"), (long.as_str(), "At most 4000 characters")] {
        let again = bench.desk.post_form(&path, &[("text", text)]).await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(again.text.contains(say), "{say}");
    }
    assert_eq!(
        bench.desk.post_form(&path, &[("text", "x"), ("of", "y")]).await.status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    let other = format!("/cars/{}/logbook/01890a5d-ac96-774b-bcce-b302099a8057/correct", bench.car.car);
    assert_eq!(bench.desk.get(&other).await.status, StatusCode::NOT_FOUND);
    assert_eq!(bench.desk.post_form(&other, &[("text", "x")]).await.status, StatusCode::NOT_FOUND);
    assert_eq!(bench.app.stranger().post_form(&path, &[("text", "x")]).await.status, StatusCode::UNAUTHORIZED);
    assert_eq!(bench.lines("corrected").await, 0);
}
