//! A table pasted into the spec book: looked at row by row, and saved whole or not at all.

use crate::support::ops::SmallCar;
use crate::support::{Answer, Client, TestApp};
use axum::http::StatusCode;
use underlamp::specs::model::Spec;

struct Desk {
    app: TestApp,
    owner: Client,
    car: SmallCar,
}

/// What is shared by all rows of the pastes below; the book is invented.
const COMMON: [(&str, &str); 5] = [
    ("source", "makers-manual"),
    ("citation", "Halden workshop manual, invented"),
    ("page", "31"),
    ("system", "engine"),
    ("kind", "text"),
];

/// One row of the page as a browser sends it.
#[derive(Clone, Copy)]
struct Row<'a> {
    item: &'a str,
    value: &'a str,
    kind: &'a str,
}

impl Desk {
    async fn start() -> Desk {
        let app = TestApp::demo().await;
        let (owner, car) = (app.owner().await, SmallCar::of(&app).await);
        Desk { app, owner, car }
    }

    fn address(&self) -> String {
        format!("/cars/{}/specs/paste", self.car.car)
    }

    async fn book(&self) -> Vec<Spec> {
        self.app.book(self.car.car).await
    }

    async fn look(&self, text: &str) -> Answer {
        let mut fields = vec![("text", text), ("deed", "look")];
        fields.extend(COMMON);
        self.owner.post_form(&self.address(), &fields).await
    }

    async fn save(&self, text: &str, rows: &[Row<'_>], kept: &[&str]) -> Answer {
        let mut fields = vec![("text", text), ("deed", "save")];
        fields.extend(COMMON);
        fields.extend(kept.iter().map(|at| ("keep", *at)));
        for row in rows {
            fields.extend([("row_item", row.item), ("row_value", row.value), ("row_kind", row.kind)]);
            fields.extend([("row_system", "engine"), ("row_page", "31")]);
            for empty in ["row_place", "row_thread", "row_class", "row_head", "row_count", "row_note"] {
                fields.push((empty, ""));
            }
        }
        self.owner.post_form(&self.address(), &fields).await
    }
}

const TABLE: &str = "Fastener\tTorque (Nm)\nRocker post nuts, pasted\t24\nRocker cover nuts, pasted\t9\n";

#[tokio::test]
async fn each_row_is_shown_as_it_would_be_saved_and_nothing_is_saved_by_looking() {
    let desk = Desk::start().await;
    let before = desk.book().await.len();
    let page = desk.look(TABLE).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    assert!(page.text.contains("value=\"24 Nm\"") && page.text.contains("value=\"Rocker post nuts, pasted\""));
    assert!(page.text.contains("<option value=\"value\" selected>"), "the column of torques was recognised");
    assert_eq!(desk.book().await.len(), before);
}

#[tokio::test]
async fn the_ticked_rows_are_saved_exactly_as_written_with_their_source() {
    let desk = Desk::start().await;
    let rows = [
        Row { item: "Rocker post nuts, pasted", value: "24 Nm", kind: "torque" },
        Row { item: "Rocker cover nuts, pasted", value: "9 Nm", kind: "torque" },
    ];
    let answer = desk.save(TABLE, &rows, &["0"]).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    let book = desk.book().await;
    let found: Vec<&Spec> = book.iter().filter(|spec| spec.facts.item.ends_with("pasted")).collect();
    assert_eq!(found.len(), 1, "the other row was not ticked");
    let says = &found[0].says[0].facts;
    assert_eq!((says.written.as_str(), says.page.as_str()), ("24 Nm", "31"));
    assert_eq!(says.citation, "Halden workshop manual, invented");

    // The same again adds nothing; another value becomes another source, and the two disagree.
    assert_eq!(desk.save(TABLE, &rows, &["0"]).await.status, StatusCode::SEE_OTHER);
    let other = [Row { value: "24 lbf ft", ..rows[0] }];
    assert_eq!(desk.save(TABLE, &other, &["0"]).await.status, StatusCode::SEE_OTHER);
    let book = desk.book().await;
    let spec = book.iter().find(|spec| spec.facts.item == "Rocker post nuts, pasted").unwrap();
    let written: Vec<&str> = spec.says.iter().map(|says| says.facts.written.as_str()).collect();
    assert_eq!(written, ["24 Nm", "24 lbf ft"]);
    assert!(spec.says.iter().all(|says| !says.settled));
}

#[tokio::test]
async fn one_row_that_cannot_be_saved_keeps_all_of_them_from_it_and_nothing_typed_is_lost() {
    let desk = Desk::start().await;
    let before = desk.book().await.len();
    let rows = [
        Row { item: "Rocker post nuts, pasted", value: "24 Nm", kind: "torque" },
        Row { item: "Rocker cover nuts, pasted", value: "9 bar", kind: "torque" },
    ];
    let answer = desk.save(TABLE, &rows, &["0", "1"]).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.text.contains("Nothing was saved: 1 row cannot be") && answer.text.contains("Row 2:"));
    assert!(answer.text.contains("value=\"9 bar\"") && answer.text.contains("value=\"24 Nm\""));
    assert_eq!(desk.book().await.len(), before);
    let none = desk.save(TABLE, &rows, &[]).await;
    assert!(none.text.contains("No row is chosen"));
}

#[tokio::test]
async fn a_table_with_shifted_columns_saves_nothing_wrong() {
    let desk = Desk::start().await;
    let page = desk.look("Plug\trear\t40 Nm\nFilter\t22 Nm\nBolt\ttop\t10 Nm\nNut\ttop\t9 Nm\n").await;
    let row = page.text.split("id=\"row-2\"").nth(1).unwrap().split("</li>").next().unwrap();
    assert!(row.contains("its columns may have slipped"), "{row}");
    assert!(!row.split("Save this row").next().unwrap().contains("checked"), "it is left out until somebody looked");
}

#[tokio::test]
async fn what_is_no_table_or_too_much_gets_a_sentence_and_stays_on_the_page() {
    let desk = Desk::start().await;
    let long = "Plug\t40 Nm\n".repeat(5000);
    for (text, words) in [
        ("", "Paste a table first"),
        ("only words here", "No columns were found"),
        ("\u{1}\u{2}PK", "Copy the table itself"),
        (long.as_str(), "paste the table in parts"),
    ] {
        let answer = desk.look(text).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{words}");
        assert!(answer.text.contains(words), "{words}: {}", &answer.text[..answer.text.len().min(3000)]);
    }
    assert!(desk.look("only words here").await.text.contains("only words here</textarea>"));
    let huge = "Plug\t40 Nm\n".repeat(200_000);
    assert_eq!(desk.look(&huge).await.status, StatusCode::PAYLOAD_TOO_LARGE);
    let broken = desk.owner.post_form(&desk.address(), &[("text", TABLE), ("deed", "save"), ("row_item", "x")]).await;
    assert_eq!(broken.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(broken.text.contains("only in part"));
}
