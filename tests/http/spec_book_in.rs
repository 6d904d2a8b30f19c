//! The spec book brought in from a file, and its JSON against its published schema.
//!
//! The schema is JSON Schema 2020-12 and is run by a library of its own (crate `jsonschema`), not by our reader.

use crate::support::ops::SmallCar;
use crate::support::{Answer, Client, TestApp};
use axum::body::Body;
use axum::http::{Method, StatusCode, header};
use serde_json::{Value, json};
use underlamp::ids::CarId;
use underlamp::specs::model::{SaysFacts, SpecFacts};

const BOUNDARY: &str = "----underlamp-test";

struct Desk {
    app: TestApp,
    owner: Client,
    car: CarId,
}

type Content = Vec<(SpecFacts, Vec<(SaysFacts, bool)>)>;

impl Desk {
    async fn start() -> Desk {
        let app = TestApp::demo().await;
        let (owner, car) = (app.owner().await, SmallCar::of(&app).await.car);
        Desk { app, owner, car }
    }

    /// A car of which nothing is known.
    async fn empty_car(&self) -> CarId {
        let form = [
            ("name", "Second"),
            ("make", "Halden"),
            ("model", "Skarv"),
            ("year", ""),
            ("codes", ""),
            ("story", ""),
            ("wanted_on", ""),
            ("wanted_for", ""),
        ];
        let answer = self.owner.post_form("/cars", &form).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        answer.location().rsplit('/').next().unwrap().parse().unwrap()
    }

    async fn bring(&self, car: CarId, parts: &[(&str, &[u8])]) -> Answer {
        let mut body = Vec::new();
        for (name, bytes) in parts {
            let file = if *name == "file" { "; filename=\"book\"" } else { "" };
            body.extend(
                format!("--{BOUNDARY}\r\nContent-Disposition: form-data; name=\"{name}\"{file}\r\n\r\n").bytes(),
            );
            body.extend(*bytes);
            body.extend(b"\r\n");
        }
        body.extend(format!("--{BOUNDARY}--\r\n").bytes());
        let request = self
            .owner
            .request(Method::POST, &format!("/cars/{car}/specs/bring"))
            .header(header::ACCEPT, "text/html")
            .header(header::CONTENT_TYPE, format!("multipart/form-data; boundary={BOUNDARY}"));
        self.owner.send(request.body(Body::from(body)).unwrap()).await
    }

    async fn content(&self, car: CarId) -> Content {
        let mut specs = self.app.book(car).await;
        for spec in &mut specs {
            // A photo stays in its own garage.
            spec.says.iter_mut().for_each(|one| one.facts.photo = None);
            spec.says
                .sort_by(|a, b| a.facts.written.cmp(&b.facts.written).then(a.facts.citation.cmp(&b.facts.citation)));
        }
        let says = |spec: &underlamp::specs::model::Spec| {
            spec.says.iter().map(|one| (one.facts.clone(), one.settled)).collect()
        };
        let mut all: Content = specs.iter().map(|spec| (spec.facts.clone(), says(spec))).collect();
        all.sort_by_key(|(facts, says)| format!("{facts:?} {says:?}"));
        all
    }
}

#[tokio::test]
async fn the_whole_book_of_the_demo_goes_out_and_comes_into_another_car_unchanged() {
    let desk = Desk::start().await;
    let before = desk.content(desk.car).await;
    assert!(before.len() > 50);
    for file in ["specs.json", "specs.csv"] {
        let out = desk.owner.get(&format!("/cars/{}/{file}", desk.car)).await.text;
        let car = desk.empty_car().await;
        let looked = desk.bring(car, &[("file", out.as_bytes()), ("text", b"")]).await;
        assert_eq!(looked.status, StatusCode::OK, "{}", looked.text);
        assert!(looked.text.contains("specs are new to the book"), "{}", looked.text);
        assert_eq!(desk.content(car).await.len(), 0, "nothing is saved by looking");
        let saved = desk.bring(car, &[("text", out.as_bytes()), ("deed", b"save")]).await;
        assert_eq!(saved.status, StatusCode::SEE_OTHER, "{}", saved.text);
        assert_eq!(desk.content(car).await, before, "{file}");
        let again = desk.bring(car, &[("text", out.as_bytes()), ("deed", b"save")]).await;
        assert_eq!(again.status, StatusCode::SEE_OTHER);
        assert_eq!(desk.content(car).await, before, "{file} a second time adds nothing");
    }
}

#[tokio::test]
async fn a_file_that_cannot_be_taken_saves_nothing_and_says_why() {
    let desk = Desk::start().await;
    let before = desk.content(desk.car).await;
    let json = desk.owner.get(&format!("/cars/{}/specs.json", desk.car)).await.text;
    let broken = json.replacen("\"written\": \"95 Nm\"", "\"written\": \"95 bar\"", 1);
    assert_ne!(json, broken);
    for (bytes, status, words) in [
        (broken.as_bytes(), StatusCode::UNPROCESSABLE_ENTITY, "Nothing was taken in."),
        (b"", StatusCode::UNPROCESSABLE_ENTITY, "nothing here yet"),
        (b"\xff\xd8\xff\xe0 a picture", StatusCode::UNPROCESSABLE_ENTITY, "no text"),
        (&json.as_bytes()[..json.len() / 2], StatusCode::UNPROCESSABLE_ENTITY, "could not be read"),
        (b"item;value\nPlug;40 Nm", StatusCode::UNPROCESSABLE_ENTITY, "Paste a table"),
        (&vec![b' '; 2_000_000], StatusCode::PAYLOAD_TOO_LARGE, ""),
    ] {
        let answer = desk.bring(desk.car, &[("file", bytes), ("deed", b"save")]).await;
        assert_eq!(answer.status, status, "{words}");
        assert!(answer.text.contains(words), "{words}: {}", answer.text);
    }
    assert_eq!(desk.content(desk.car).await, before);
}

#[tokio::test]
async fn what_goes_out_is_as_the_published_schema_says_and_what_is_not_is_refused_by_it() {
    let desk = Desk::start().await;
    let schema: Value = desk.app.stranger().get_json("/schemas/spec-book-1.json").await.json();
    let validator = jsonschema::draft202012::new(&schema).unwrap();
    let out = desk.owner.get_json(&format!("/cars/{}/specs.json", desk.car)).await.json();
    let faults: Vec<String> =
        validator.iter_errors(&out).map(|fault| format!("{}: {fault}", fault.instance_path())).collect();
    assert!(faults.is_empty(), "{faults:#?}");
    assert!(
        out["specs"].as_array().unwrap().iter().any(|spec| !spec["bolts"].is_null()),
        "the demo has a bolt picture"
    );

    let changed = |change: fn(&mut Value)| {
        let mut book = out.clone();
        change(&mut book);
        book
    };
    let mutants: [fn(&mut Value); 8] = [
        |book| book["version"] = json!(2),
        |book| book["format"] = json!("recipes"),
        |book| book["specs"][0]["colour"] = json!("red"),
        |book| book["specs"][0]["kind"] = json!("speed"),
        |book| book["specs"][0]["item"] = json!(""),
        |book| book["specs"][0]["sources"][0]["settled"] = json!("yes"),
        |book| book["specs"][0]["fastener"] = json!({ "thread": "M8", "count": 0 }),
        |book| {
            book["specs"][0].as_object_mut().unwrap().remove("sources");
        },
    ];
    for (at, mutant) in mutants.into_iter().enumerate() {
        assert!(!validator.is_valid(&changed(mutant)), "mutant {at} was let pass");
        let refused = desk.bring(desk.car, &[("text", changed(mutant).to_string().as_bytes())]).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "mutant {at}: {}", refused.text);
    }
}
