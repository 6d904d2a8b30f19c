//! The record to hand over: what is in it, what is left out of it, and the PDF.
//!
//! PDFs are read by poppler (`pdftotext`, `pdfinfo`), which had no part in making them.

use crate::support::ops::{SmallCar, at};
use crate::support::{Answer, Client, EVENING, TestApp, form};
use axum::http::{StatusCode, header};
use serde_json::json;
use std::path::Path;
use std::process::Command;
use underlamp::access::new_code;
use underlamp::ids::DeviceId;

/// Invented: a person's phone, an amount, a supplier, a code and reasons, each of which can be left out.
const PERSON: &str = "Wilhelmina’s phone";
const PRICE: &str = "28.90 EUR";
const SUPPLIER: &str = "Tarnwick Auto Spares";
const CODE: &str = "SKV-83-004177";
const REASON: &str = "only a look at the bracket";

struct Bench {
    app: TestApp,
    desk: Client,
    car: SmallCar,
}

/// A browser that bears a name.
async fn named(app: &TestApp, name: &str) -> Client {
    let code = new_code(&app.state.write, &app.clock, app.clock.now().plus_minutes(5)).await.unwrap().shown();
    let answer = app.stranger().post_form("/pair", &[("code", &code), ("name", name), ("kind", "phone")]).await;
    let cookie = answer.headers[header::SET_COOKIE].to_str().unwrap().split(';').next().unwrap().to_owned();
    app.stranger().with_cookie(&cookie)
}

/// The form as a browser sends it.
fn fields<'a>(leave: &[&'a str], more: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    leave.iter().map(|name| ("leave", *name)).chain(more.iter().copied()).collect()
}

impl Bench {
    async fn new() -> Bench {
        let app = TestApp::demo().await;
        let (desk, car) = (app.owner().await, SmallCar::of(&app).await);
        let phone = named(&app, PERSON).await;
        let device: DeviceId = phone.get_json("/sync/hello").await.json()["device"].as_str().unwrap().parse().unwrap();
        let went = json!({"went-on": {"rule": "jack", "say": "The car hangs on the jack alone.", "why": REASON}});
        let ops = [
            car.note(device, at(EVENING), "Shown to Aunt Thorgerd, chassis skv-83-004177 read again"),
            car.op(device, at(EVENING).next(EVENING), json!({"step": car.steps[0]}), went),
        ];
        let answer = phone.post_json("/sync/ops", &json!({ "ops": ops })).await.json();
        assert!(answer["verdicts"].as_array().unwrap().iter().all(|verdict| verdict["is"] == "applied"), "{answer}");
        Bench { app, desk, car }
    }

    fn path(&self, tail: &str) -> String {
        format!("/cars/{}/record{tail}", self.car.car)
    }

    async fn post(&self, tail: &str, leave: &[&str], more: &[(&str, &str)]) -> Answer {
        self.desk.post_form(&self.path(tail), &fields(leave, more)).await
    }

    async fn sheet(&self, leave: &[&str], words: &str) -> String {
        let page = self.post("/sheet", leave, &[("paper", "a4"), ("words", words)]).await;
        assert_eq!(page.status, StatusCode::OK, "{}", page.text);
        page.text
    }

    async fn pdf(&self, leave: &[&str], words: &str, paper: &str) -> Answer {
        let answer = self.post(".pdf", leave, &[("paper", paper), ("words", words)]).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text);
        assert_eq!(answer.headers[header::CONTENT_TYPE], "application/pdf");
        answer
    }
}

/// What a poppler tool says of a PDF. Blanks are made alike: lines end elsewhere on paper.
fn poppler(tool: &str, pdf: &[u8]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("record.pdf");
    std::fs::write(&file, pdf).unwrap();
    let to: &[&Path] = if tool == "pdftotext" { &[Path::new("-")] } else { &[] };
    let output = Command::new(tool).arg(&file).args(to).output().expect("poppler-utils is not installed");
    assert!(output.status.success(), "{tool}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap().split_whitespace().collect::<Vec<_>>().join(" ")
}

fn pages(info: &str) -> usize {
    info.split("Pages: ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap()
}

#[tokio::test]
async fn what_to_leave_out_is_chosen_first() {
    let bench = Bench::new().await;
    let page = bench.desk.get(&format!("/cars/{}/record", bench.car.car)).await;
    assert_eq!(page.status, StatusCode::OK);
    for (name, chosen) in [("prices", true), ("places", true), ("names", true), ("photos", false), ("codes", false)] {
        assert_eq!(page.text.contains(&format!("value=\"{name}\" checked")), chosen, "{name}");
    }
    assert!(page.text.contains("Make a PDF"), "a browser is here");
    assert!(bench.desk.get(&format!("/cars/{}/logbook", bench.car.car)).await.text.contains("/record\""));
}

#[tokio::test]
async fn all_of_it_stands_in_it_with_units_and_sources() {
    let bench = Bench::new().await;
    let sheet = bench.sheet(&[], "").await;
    for words in [
        "It is no statement that the car is safe, sound or legal to drive.",
        "This car is invented.",
        "Nothing was left out on purpose.",
        "Work done",
        "What was found",
        "Readings",
        "Guards that were passed over",
        "Parts and fluids that went in",
        "Spec book",
        "134820 km",
        "battery at rest",
        "N·m (",
        "maker&#39;s manual",
        "noted by",
        PERSON,
        PRICE,
        SUPPLIER,
        CODE,
        REASON,
        "/thumb",
        "/upright",
    ] {
        assert!(sheet.contains(words), "{words}");
    }
    assert!(sheet.contains("Upkeep to come") && sheet.contains("km or 60 months, whichever is first"), "{sheet}");
}

#[tokio::test]
async fn what_is_left_out_is_in_no_byte_of_the_page() {
    let bench = Bench::new().await;
    let cases: [(&str, &[&str]); 6] = [
        ("prices", &[PRICE, "EUR", "In all, of those with a price"]),
        ("places", &[SUPPLIER, "Lanternholm"]),
        ("names", &[PERSON, "Wilhelmina", "the demo"]),
        ("photos", &["/thumb", "/upright", "<img"]),
        ("guards", &[REASON, "hangs on the jack", "Guards that were passed over"]),
        ("codes", &[CODE, "skv-83-004177", "TJELD-5F", "paint code"]),
    ];
    for (name, gone) in cases {
        let (with, without) = (bench.sheet(&[], "").await, bench.sheet(&[name], "").await);
        for words in gone {
            assert!(!without.contains(words), "{name}: {words} is still there");
        }
        assert!(with.contains(gone[0]), "{name}: {} was never there", gone[0]);
        assert!(without.contains("Left out on purpose"), "{name} is not said");
    }
    let blotted = bench.sheet(&[], "aunt  thorgerd\nSKARV").await;
    assert!(blotted.contains("Shown to ▇▇▇, chassis"));
    assert!(!blotted.to_lowercase().contains("skarv") && !blotted.contains("Thorgerd"));
}

#[tokio::test]
async fn a_choice_that_is_none_is_refused_with_a_sentence() {
    let bench = Bench::new().await;
    type Case<'a> = (&'a [&'a str], &'a [(&'a str, &'a str)], &'a str);
    let cases: [Case<'_>; 5] = [
        (&["rust"], &[("paper", "a4")], "‘rust’ is nothing that can be left out"),
        (&[], &[("paper", "a5")], "‘a5’ is no paper"),
        (&[], &[("words", "x")], "2 to 200 letters"),
        (&[], &[("colour", "red")], "could not be read"),
        (&[], &[("paper", "a4"), ("paper", "letter")], "could not be read"),
    ];
    for (leave, more, say) in cases {
        for tail in ["", "/sheet", "/page.css"] {
            let answer = bench.desk.get(&format!("{}?{}", bench.path(tail), form(&fields(leave, more)))).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{tail}: {say}");
            assert!(answer.text.contains(say), "{tail}: {say}");
        }
        for tail in ["/sheet", ".pdf"] {
            let answer = bench.post(tail, leave, more).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{tail}: {say}");
            assert!(answer.text.contains(say), "{tail}: {say}");
        }
    }
    let elsewhere = "/cars/01890a5d-ac96-774b-bcce-b302099a8057/record";
    for tail in ["", "/sheet", "/page.css"] {
        let status = bench.desk.get(&format!("{elsewhere}{tail}")).await.status;
        assert_eq!(status, StatusCode::NOT_FOUND, "{tail}");
    }
    for tail in ["/sheet", ".pdf"] {
        let status = bench.desk.post_form(&format!("{elsewhere}{tail}"), &[]).await.status;
        assert_eq!(status, StatusCode::NOT_FOUND, "{tail}");
    }
}

#[tokio::test]
async fn the_pdf_says_what_the_page_says_on_numbered_pages() {
    let bench = Bench::new().await;
    let pdf = bench.pdf(&[], "", "a4").await;
    let (text, info) = (poppler("pdftotext", &pdf.bytes), poppler("pdfinfo", &pdf.bytes));
    assert!(info.contains("(A4)") && info.contains("Title: Record of Skarv"), "{info}");
    let count = pages(&info);
    assert!((6..60).contains(&count), "{count} pages");
    for number in 1..=count {
        assert!(text.contains(&format!("page {number} of {count}")), "page {number} has no number");
    }
    for words in [PERSON, PRICE, SUPPLIER, CODE, REASON, "134820 km", "no statement that the car is safe"] {
        assert!(text.contains(words), "{words}");
    }
    assert!(text.matches("Record of Skarv").count() >= count - 1, "each page but the first says whose record it is");
    let letter = poppler("pdfinfo", &bench.pdf(&[], "", "letter").await.bytes);
    assert!(letter.contains("612 x 792 pts (letter)"), "{letter}");
}

#[tokio::test]
async fn what_is_left_out_is_in_no_text_of_the_pdf() {
    let bench = Bench::new().await;
    let all = ["prices", "places", "names", "photos", "guards", "codes"];
    let pdf = bench.pdf(&all, "Skarv\nthorgerd", "a4").await;
    let (text, info) = (poppler("pdftotext", &pdf.bytes), poppler("pdfinfo", &pdf.bytes));
    for words in [PERSON, "Wilhelmina", PRICE, "EUR", SUPPLIER, CODE, "004177", REASON, "Skarv", "Thorgerd"] {
        assert!(!text.contains(words) && !info.contains(words), "{words} is still there");
        // Shorter ones are in any file by chance: in its offsets, in what is packed.
        let bytes = words.as_bytes();
        let is_there = bytes.len() > 6 && pdf.bytes.windows(bytes.len()).any(|window| window == bytes);
        assert!(!is_there, "{words} is in the file");
    }
    assert!(text.contains("Left out on purpose: what parts cost"));
}

#[tokio::test]
async fn a_computer_without_a_browser_says_to_print_the_page() {
    let bench = Bench::new().await;
    let Bench { app, desk, car } = bench;
    let app = app.without_browser();
    let bench = Bench { desk: desk.at(&app), app, car };
    let choose = bench.desk.get(&format!("/cars/{}/record", bench.car.car)).await;
    assert!(!choose.text.contains("Make a PDF") && choose.text.contains("none was found there"));
    let back = bench.post(".pdf", &["photos"], &[("paper", "letter"), ("words", "Skarv & co")]).await;
    assert_eq!(back.status, StatusCode::SERVICE_UNAVAILABLE, "{}", back.text);
    assert!(back.text.contains("There is no PDF") && back.text.contains("No browser was found"));
    assert!(
        back.text.contains("value=\"photos\" checked") && back.text.contains("Skarv &#38; co"),
        "the choice is lost"
    );
}
