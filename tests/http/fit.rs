//! Whether a torque can belong to its bolt, on the pages of the spec book.

use crate::support::{Answer, Client, TestApp};
use axum::http::StatusCode;
use underlamp::cars::store::all;
use underlamp::specs::store;

/// A spec as it is typed. The figures are of a farm-machine manual's table for M10 8.8 (48 N·m, read second-hand); book
/// and car are invented.
const TYPED: &[(&str, &str)] = &[
    ("system", "engine"),
    ("item", "Bearing cap bolts"),
    ("place", ""),
    ("kind", "torque"),
    ("thread", "M10x1.5"),
    ("class", "8.8"),
    ("head", "17 mm hex"),
    ("count", "10"),
    ("lubrication", ""),
    ("stages", ""),
    ("variant", ""),
    ("note", ""),
    ("written", "48 lbf ft"),
    ("source", "makers-manual"),
    ("citation", "Halden workshop manual 1982, invented"),
    ("page", "38"),
    ("says_note", ""),
];

fn typed<'a>(changed: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let mut fields = TYPED.to_vec();
    for (name, value) in changed {
        match fields.iter_mut().find(|(known, _)| known == name) {
            Some(field) => field.1 = value,
            None => fields.push((name, value)),
        }
    }
    fields
}

struct Book {
    app: TestApp,
    desk: Client,
    path: String,
}

impl Book {
    async fn open() -> Book {
        let app = TestApp::demo().await;
        let desk = app.owner().await;
        let car = app.demo_car().await;
        Book { app, desk, path: format!("/cars/{car}/specs") }
    }

    /// The page of a spec that was just added.
    async fn added(&self, changed: &[(&str, &str)]) -> Answer {
        let answer = self.desk.post_form(&self.path, &typed(changed)).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        self.desk.get(answer.location()).await
    }

    async fn looked(&self, changed: &[(&str, &str)]) -> Answer {
        let fields = [changed, &[("look", "yes")]].concat();
        let answer = self.desk.post_form(&self.path, &typed(&fields)).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        answer
    }

    async fn count(&self) -> usize {
        let mut conn = self.app.state.read.conn().await.unwrap();
        let car = all(&mut conn).await.unwrap()[0].id;
        store::of_car(&mut conn, car).await.unwrap().len()
    }
}

#[tokio::test]
async fn a_torque_in_the_wrong_unit_is_flagged_on_its_page_and_in_the_book() {
    let book = Book::open().await;
    let page = book.added(&[]).await.text;
    for words in [
        "Too high for the bolt",
        "does the source really say lbf·ft?",
        "between ",
        "of its proof load",
        "<svg class=\"pull__chart\"",
        "never says what the torque should be",
        "hint only",
    ] {
        assert!(page.contains(words), "{words}");
    }
    let row = book.desk.get(&format!("{}?find=bearing+cap", book.path)).await.text;
    assert!(row.contains("Too high for the bolt"));
}

#[tokio::test]
async fn no_page_proposes_another_torque() {
    let book = Book::open().await;
    let page = book.added(&[]).await.text;
    let judged = page.split("Does it fit its bolt?").nth(1).unwrap().split("Which of my wrenches").next().unwrap();
    // 48 lbf·ft is the only torque that may stand there, whole or converted.
    for (at, _) in judged.match_indices("N·m").chain(judged.match_indices("lbf·ft")) {
        let before = judged[..at].trim_end();
        let figure = before.ends_with(|last: char| last.is_ascii_digit());
        assert!(!figure || before.ends_with("48") || before.ends_with("65"), "…{before}");
    }
}

#[tokio::test]
async fn a_torque_that_fits_is_not_flagged_in_the_book() {
    let book = Book::open().await;
    let page = book.added(&[("written", "48 Nm")]).await.text;
    assert!(page.contains("Fits the bolt") && !page.contains("Too high for the bolt"));
    let row = book.desk.get(&format!("{}?find=bearing+cap", book.path)).await.text;
    assert!(!row.contains("for the bolt"));
}

#[tokio::test]
async fn what_cannot_be_judged_is_said_with_its_reason() {
    let book = Book::open().await;
    for (changed, reason) in [
        (&[("thread", "M11x1.3")][..], "Without a thread a torque cannot be judged"),
        (&[("item", "Wheel nuts")], "cone or ball seat"),
        (&[("item", "Brake hose banjo bolt")], "hollow"),
        (&[("stages", "48 lbf ft\n90°")], "only the start"),
        (&[("class", "grade 5")], "has an inch thread"),
    ] {
        let page = book.added(changed).await.text;
        assert!(page.contains("Cannot be judged") && page.contains(reason), "{reason}");
        assert!(!page.contains("<svg class=\"pull__chart\""), "{reason}");
    }
}

#[tokio::test]
async fn one_may_look_before_anything_is_saved() {
    let book = Book::open().await;
    let before = book.count().await;
    let page = book.looked(&[]).await.text;
    assert!(page.contains("Too high for the bolt") && page.contains("Nothing is saved yet."));
    assert!(page.contains("value=\"48 lbf ft\"") && page.contains("value=\"M10x1.5\""));
    for (changed, say) in [
        (&[("written", "48 bar")][..], "is a unit for a pressure"),
        (&[("written", "forty Nm")], "Cannot be judged"),
        (&[("kind", "volume"), ("written", "4 l")], "Only a torque is judged"),
        (&[("count", "0")], "as a whole number"),
        (&[("thread", ""), ("class", ""), ("head", ""), ("count", "")], "Nothing is written of its fastener"),
    ] {
        let page = book.looked(changed).await.text;
        assert!(page.contains(say), "{say}");
    }
    assert_eq!(book.count().await, before);
}

#[tokio::test]
async fn a_fastener_that_is_being_changed_may_be_looked_at_first() {
    let book = Book::open().await;
    let answer = book.desk.post_form(&book.path, &typed(&[])).await;
    let path = answer.location().to_owned();
    let fields: Vec<_> = typed(&[("class", "10.9"), ("look", "yes"), ("rev", "1")])
        .into_iter()
        .filter(|(name, _)| !["written", "source", "citation", "page", "says_note"].contains(name))
        .collect();
    let page = book.desk.post_form(&format!("{path}/edit"), &fields).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("Fits the bolt") && page.text.contains("value=\"10.9\""), "{}", page.text);
    assert!(book.desk.get(&path).await.text.contains("Too high for the bolt"), "it was saved");
}
