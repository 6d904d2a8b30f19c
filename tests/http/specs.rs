//! The spec book, driven as a browser without script does.

use crate::support::{Client, TestApp};
use axum::http::StatusCode;
use underlamp::access::Table;
use underlamp::ids::{CarId, SpecId};
use underlamp::specs::model::Spec;

/// Routes with which a test makes a second car.
fn second_car_routes() -> Table {
    use axum::extract::{Path, State};
    use axum::http::Method;
    use underlamp::access::Owner;
    use underlamp::cars::store::{CarFacts, add};
    use underlamp::clock::Moment;
    use underlamp::db::WriteDb;
    use underlamp::error::AppError;

    async fn make(State(write): State<WriteDb>, owner: Owner, Path(car): Path<CarId>) -> Result<(), AppError> {
        let facts = CarFacts {
            name: "Other".into(),
            make: String::new(),
            model: String::new(),
            year: None,
            codes: String::new(),
            story: String::new(),
            wanted_on: None,
            wanted_for: String::new(),
        };
        let mut tx = write.begin(&owner).await?;
        add(&mut tx, car, &facts, false, Moment(1)).await?;
        tx.commit().await
    }

    Table::new().write(Method::POST, "/test/cars/{car}", make)
}

struct Book {
    app: TestApp,
    desk: Client,
    car: CarId,
}

impl Book {
    /// The demo's book, and a second car without any specs.
    async fn open() -> Book {
        let app = TestApp::demo().await.with_routes(second_car_routes());
        let desk = app.owner().await;
        let car = app.demo_car().await;
        Book { app, desk, car }
    }

    async fn specs(&self) -> Vec<Spec> {
        self.app.book(self.car).await
    }

    async fn spec(&self, item: &str) -> Spec {
        self.specs().await.into_iter().find(|spec| spec.facts.item == item).unwrap()
    }

    fn path(&self, spec: SpecId, tail: &str) -> String {
        format!("/cars/{}/specs/{spec}{tail}", self.car)
    }

    /// Posts, and asserts the status and that the book is as it was.
    async fn refused(&self, path: &str, fields: &[(&str, &str)], status: StatusCode, say: &str) {
        let before = self.specs().await;
        let answer = self.desk.post_form(path, fields).await;
        assert_eq!(answer.status, status, "{path} {fields:?}");
        assert!(answer.text.contains(say), "{say:?} is not in {}", answer.text);
        assert!(self.specs().await == before, "{path} {fields:?} changed the book");
    }
}

const NEW: &[(&str, &str)] = &[
    ("system", "driveline"),
    ("item", "Transfer lever pinch bolt"),
    ("place", "under the tunnel"),
    ("kind", "torque"),
    ("thread", "M10x1.25"),
    ("class", "8.8"),
    ("head", "14 mm hex"),
    ("count", "2"),
    ("lubrication", "dry"),
    ("single_use", "yes"),
    ("stages", "20 Nm\r\n90°"),
    ("variant", ""),
    ("note", "Left one first."),
    ("written", "32 lbf ft"),
    ("source", "makers-manual"),
    ("citation", "Halden workshop manual 1982, invented"),
    ("page", "144"),
    ("says_note", ""),
];

/// The fields with some replaced.
fn with<'a>(fields: &[(&'a str, &'a str)], changed: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let value = |name: &str, old| changed.iter().find(|(other, _)| *other == name).map_or(old, |(_, new)| *new);
    fields.iter().map(|(name, old)| (*name, value(name, old))).collect()
}

/// The fields of a spec's form that say nothing of fasteners.
fn edit_fields<'a>(rev: &'a str, item: &'a str, kind: &'a str) -> Vec<(&'a str, &'a str)> {
    let mut fields = with(&NEW[..13], &[("item", item), ("kind", kind), ("stages", "")]);
    fields.push(("rev", rev));
    fields
}

fn says_fields<'a>(rev: &'a str, written: &'a str, source: &'a str) -> Vec<(&'a str, &'a str)> {
    vec![
        ("rev", rev),
        ("written", written),
        ("source", source),
        ("citation", "pencil note in the glovebox"),
        ("page", ""),
        ("says_note", ""),
    ]
}

#[tokio::test]
async fn the_book_shows_every_spec_by_system_with_its_value_and_trust() {
    let book = Book::open().await;
    let page = book.desk.get(&format!("/cars/{}/specs", book.car)).await;
    assert_eq!(page.status, StatusCode::OK);
    for spec in book.specs().await {
        assert!(page.text.contains(&format!("/specs/{}\"", spec.id)), "{}", spec.facts.item);
    }
    for words in ["Brakes", "Wheels and tyres", "sources disagree", "settled on maker&#39;s manual", "Open questions"] {
        assert!(page.text.contains(words), "{words}");
    }
}

#[tokio::test]
async fn the_book_is_narrowed_by_words_system_and_trust() {
    let book = Book::open().await;
    let shows = async |query: &str, item: &str| {
        let page = book.desk.get(&format!("/cars/{}/specs?{query}", book.car)).await;
        assert_eq!(page.status, StatusCode::OK, "{query}");
        page.text.contains(&format!(">{item}</a></th>")) || page.text.contains(&format!(">{item}</a><br>"))
    };
    assert!(shows("find=sump+PLUG", "Sump plug").await);
    assert!(shows("find=glovebox", "Tyre pressure, rear").await);
    assert!(!shows("find=sump+plug", "Wheel nuts").await);
    assert!(shows("system=wheels", "Wheel nuts").await);
    assert!(!shows("system=wheels", "Sump plug").await);
    assert!(shows("trust=doubtful", "Tyre pressure, rear").await);
    assert!(!shows("trust=doubtful", "Sump plug").await);
    assert!(shows("find=&system=&trust=", "Sump plug").await);
    let nothing = book.desk.get(&format!("/cars/{}/specs?find=warp+core", book.car)).await;
    assert!(nothing.text.contains("Nothing in the book is like that"));
    for query in ["system=kitchen", "trust=blind", "sort=price"] {
        let answer = book.desk.get(&format!("/cars/{}/specs?{query}", book.car)).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
    }
}

#[tokio::test]
async fn a_new_spec_is_kept_as_written_and_shown_in_both_units() {
    let book = Book::open().await;
    let answer = book.desk.post_form(&format!("/cars/{}/specs", book.car), NEW).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    let spec = book.spec("Transfer lever pinch bolt").await;
    assert_eq!(answer.location(), book.path(spec.id, ""));
    assert_eq!(spec.says[0].facts.written, "32 lbf ft");
    assert_eq!(spec.facts.stages, ["20 Nm", "90°"]);
    assert!(spec.facts.fastener.as_ref().is_some_and(|fastener| fastener.single_use && fastener.count == 2));
    let page = book.desk.get(answer.location()).await;
    // 32 lbf·ft = 43.4 N·m (NIST SP 811, Appendix B.8: 1 lbf·ft = 1.355 818 N·m), to the nearest mark of a wrench.
    for words in [">43<", "N·m", "32 lbf·ft", "(N·m rounded)", "p. 144", "new each time", "Left one first."] {
        assert!(page.text.contains(words), "{words}: {}", page.text);
    }
}

#[tokio::test]
async fn a_value_that_cannot_be_read_is_told_at_its_field_and_nothing_is_saved() {
    let book = Book::open().await;
    let add = format!("/cars/{}/specs", book.car);
    let cases = [
        ("40 parsecs", "torque", "is not a unit known for"),
        ("-40 Nm", "torque", "A torque cannot be negative."),
        ("0 Nm", "torque", "A torque cannot be zero"),
        ("40", "torque", "has no unit"),
        ("tight", "torque", "does not begin with a number"),
        ("4 l", "torque", "is a unit for a volume"),
        ("2 qt", "volume", "can be either of two units"),
        ("1,250 ml", "volume", "could mean"),
        ("40-30 Nm", "torque", "runs backwards"),
        ("9000000 Nm", "torque", "does not belong on a car"),
        ("", "torque", "Say what the source says"),
    ];
    for (written, kind, say) in cases {
        let fields = with(NEW, &[("written", written), ("kind", kind), ("stages", "")]);
        book.refused(&add, &fields, StatusCode::UNPROCESSABLE_ENTITY, say).await;
    }
    let answer = book.desk.post_form(&add, &with(NEW, &[("written", "-40 Nm")])).await;
    assert!(answer.text.contains("value=\"-40 Nm\"") && answer.text.contains("value=\"Transfer lever pinch bolt\""));
    assert!(answer.text.contains("aria-invalid=\"true\""));
}

#[tokio::test]
async fn other_bad_input_changes_nothing() {
    let book = Book::open().await;
    let add = format!("/cars/{}/specs", book.car);
    let long = "x".repeat(3000);
    let cases: [(&str, &str, &str); 9] = [
        ("system", "kitchen", "Choose the part of the car"),
        ("kind", "weight", "Choose what kind of value"),
        ("item", "  ", "Say what it is the value of"),
        ("item", &long, "letters fit here"),
        ("note", &long, "letters fit here"),
        ("count", "-3", "as a whole number"),
        ("stages", "3 l", "is a unit for"),
        ("source", "oracle", "Choose where the value comes from"),
        ("citation", "", "Say which book"),
    ];
    for (field, value, say) in cases {
        book.refused(&add, &with(NEW, &[(field, value)]), StatusCode::UNPROCESSABLE_ENTITY, say).await;
    }
    let missing: Vec<_> = NEW.iter().copied().filter(|(name, _)| *name != "written").collect();
    book.refused(&add, &missing, StatusCode::UNPROCESSABLE_ENTITY, "could not be read").await;
    let mut unknown = NEW.to_vec();
    unknown.push(("settled", "1"));
    book.refused(&add, &unknown, StatusCode::UNPROCESSABLE_ENTITY, "could not be read").await;
}

#[tokio::test]
async fn a_spec_is_changed_and_a_kind_its_sources_do_not_fit_is_refused() {
    let book = Book::open().await;
    let spec = book.spec("Sump plug").await;
    let (rev, edit) = (spec.rev.to_string(), book.path(spec.id, "/edit"));
    assert!(book.desk.get(&edit).await.text.contains("M14x1.5"));
    let volume = edit_fields(&rev, "Sump plug", "volume");
    book.refused(&edit, &volume, StatusCode::UNPROCESSABLE_ENTITY, "could no longer be read").await;
    let answer = book.desk.post_form(&edit, &edit_fields(&rev, "Plug of the sump", "torque")).await;
    assert_eq!((answer.status, answer.location()), (StatusCode::SEE_OTHER, book.path(spec.id, "").as_str()));
    let changed = book.spec("Plug of the sump").await;
    assert_eq!((changed.id, changed.says), (spec.id, spec.says));
}

#[tokio::test]
async fn a_change_on_top_of_somebody_else_s_keeps_the_text_and_shows_what_is_there() {
    let book = Book::open().await;
    let spec = book.spec("Sump plug").await;
    let (stale, edit) = (spec.rev.to_string(), book.path(spec.id, "/edit"));
    book.desk.post_form(&edit, &edit_fields(&stale, "Plug, theirs", "torque")).await;
    book.refused(&edit, &edit_fields(&stale, "Plug, mine", "torque"), StatusCode::CONFLICT, "Plug, theirs").await;
    let again = book.desk.post_form(&edit, &edit_fields(&stale, "Plug, mine", "torque")).await;
    assert!(again.text.contains("value=\"Plug, mine\""));
    let fresh = book.spec("Plug, theirs").await.rev.to_string();
    assert!(again.text.contains(&format!("name=\"rev\" value=\"{fresh}\"")));
    let answer = book.desk.post_form(&edit, &edit_fields(&fresh, "Plug, mine", "torque")).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn sources_that_disagree_are_settled_and_opened_again() {
    let book = Book::open().await;
    let spec = book.spec("Tyre pressure, rear").await;
    let page = book.desk.get(&book.path(spec.id, "")).await;
    for words in
        ["The sources disagree.", "says something else", "Settle on this", "plate on the driver&#39;s door post"]
    {
        assert!(page.text.contains(words), "{words}");
    }
    let settle = book.path(spec.id, "/settle");
    let (rev, on) = (spec.rev.to_string(), spec.says[0].id.to_string());
    assert_eq!(book.desk.post_form(&settle, &[("rev", &rev), ("on", &on)]).await.status, StatusCode::SEE_OTHER);
    let settled = book.spec("Tyre pressure, rear").await;
    assert_eq!(settled.says.iter().map(|says| says.settled).collect::<Vec<_>>(), [true, false]);
    let page = book.desk.get(&book.path(spec.id, "")).await;
    assert!(page.text.contains("Open the question again") && !page.text.contains("The sources disagree."));
    book.refused(&settle, &[("rev", &rev), ("on", "")], StatusCode::CONFLICT, "changed meanwhile").await;
    let rev = settled.rev.to_string();
    let elsewhere = book.spec("Sump plug").await.says[0].id.to_string();
    book.refused(&settle, &[("rev", &rev), ("on", &elsewhere)], StatusCode::NOT_FOUND, "no such source").await;
    book.refused(&settle, &[("rev", &rev), ("on", "x")], StatusCode::NOT_FOUND, "no such source").await;
    book.desk.post_form(&settle, &[("rev", &rev), ("on", "")]).await;
    assert!(book.spec("Tyre pressure, rear").await.says.iter().all(|says| !says.settled));
}

#[tokio::test]
async fn a_settling_keeps_who_when_and_why_and_so_does_opening_it_again() {
    let book = Book::open().await;
    let spec = book.spec("Tyre pressure, rear").await;
    let (page, settle) = (book.path(spec.id, ""), book.path(spec.id, "/settle"));
    let post = async |on: &str, why: &str| {
        let rev = book.spec("Tyre pressure, rear").await.rev.to_string();
        book.desk.post_form(&settle, &[("rev", &rev), ("on", on), ("why", why)]).await
    };
    let (first, second) = (spec.says[0].id.to_string(), spec.says[1].id.to_string());
    assert_eq!(post(&second, "a <b>hunch</b>").await.status, StatusCode::SEE_OTHER);
    assert_eq!(post("", "").await.status, StatusCode::SEE_OTHER);
    assert_eq!(post(&first, "  read off the plate again ").await.status, StatusCode::SEE_OTHER);
    let logbook = format!("/cars/{}/logbook?find=&card=&all=yes", book.car);
    for path in [page.as_str(), &logbook] {
        let text = book.desk.get(path).await.text;
        for words in ["2.2 bar, read off the car", "ecause: read off the plate again", "second-hand", "gain"] {
            assert!(text.contains(words), "{path}: {words}");
        }
        assert!(!text.contains("<b>hunch"), "{path}");
    }
    // The source that lost is still there, and the logbook says that the first decision no longer stands.
    assert_eq!(book.spec("Tyre pressure, rear").await.says.len(), 2);
    assert!(book.desk.get(&logbook).await.text.contains("decided anew later"));
    let long = "x".repeat(4001);
    let answer = post(&second, &long).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(book.spec("Tyre pressure, rear").await.says[0].settled, "a refused settling changes nothing");
}

#[tokio::test]
async fn the_buy_list_says_of_which_fluid_sources_disagree() {
    let book = Book::open().await;
    let list = format!("/cars/{}/buy-list", book.car);
    let spec = book.spec("Coolant with heater").await;
    let link = format!("/specs/{}\"", spec.id);
    assert!(book.desk.get(&list).await.text.contains(&link));
    let (rev, on) = (spec.rev.to_string(), spec.says[0].id.to_string());
    book.desk.post_form(&book.path(spec.id, "/settle"), &[("rev", &rev), ("on", &on)]).await;
    assert!(!book.desk.get(&list).await.text.contains(&link));
}

#[tokio::test]
async fn the_demo_shows_a_disagreement_settled_opened_and_settled_with_the_reason() {
    let book = Book::open().await;
    let spec = book.spec("Thermostat begins to open").await;
    assert_eq!(spec.says.iter().map(|says| says.settled).collect::<Vec<_>>(), [false, true]);
    let page = book.desk.get(&book.path(spec.id, "")).await.text;
    for words in ["Settled on 88 °C, read off the car", "Opened the question again", "Settled on 82 °C, maker"] {
        assert!(page.contains(words), "{words}");
    }
}

#[tokio::test]
async fn a_source_is_added_changed_and_taken_out() {
    let book = Book::open().await;
    let spec = book.spec("Wheel nuts").await;
    let (rev, says) = (spec.rev.to_string(), book.path(spec.id, "/says"));
    let wrong = says_fields(&rev, "110 l", "guess");
    book.refused(&says, &wrong, StatusCode::UNPROCESSABLE_ENTITY, "is a unit for a volume").await;
    let answer = book.desk.post_form(&says, &says_fields(&rev, "110 Nm", "second-hand")).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    let spec = book.spec("Wheel nuts").await;
    assert_eq!(spec.says.len(), 3);
    assert_eq!(spec.trust().0.name(), "open");

    let (rev, one) = (spec.rev.to_string(), book.path(spec.id, &format!("/says/{}", spec.says[2].id)));
    assert!(book.desk.get(&one).await.text.contains("value=\"110 Nm\""));
    book.refused(&one, &says_fields("0", "96 Nm", "guess"), StatusCode::CONFLICT, "changed meanwhile").await;
    book.refused(&one, &says_fields(&rev, "", "guess"), StatusCode::UNPROCESSABLE_ENTITY, "Say what").await;
    assert_eq!(book.desk.post_form(&one, &says_fields(&rev, "96 Nm", "guess")).await.status, StatusCode::SEE_OTHER);
    let spec = book.spec("Wheel nuts").await;
    assert_eq!((spec.says[2].facts.written.as_str(), spec.trust().0.name()), ("96 Nm", "agreeing"));

    let remove = format!("{one}/remove");
    book.refused(&remove, &[("rev", &rev)], StatusCode::CONFLICT, "changed meanwhile").await;
    book.desk.post_form(&remove, &[("rev", &spec.rev.to_string())]).await;
    assert_eq!(book.spec("Wheel nuts").await.says.len(), 2);
}

#[tokio::test]
async fn a_spec_taken_out_of_the_book_is_gone_and_its_steps_lose_it() {
    let book = Book::open().await;
    let spec = book.spec("Sump plug").await;
    let remove = book.path(spec.id, "/remove");
    book.refused(&remove, &[("rev", "0")], StatusCode::CONFLICT, "changed meanwhile").await;
    let answer = book.desk.post_form(&remove, &[("rev", &spec.rev.to_string())]).await;
    assert_eq!(answer.location(), format!("/cars/{}/specs", book.car));
    assert_eq!(book.desk.get(&book.path(spec.id, "")).await.status, StatusCode::NOT_FOUND);
    let mut conn = book.app.state.read.conn().await.unwrap();
    let steps = underlamp::jobs::store::steps_of_car(&mut conn, book.car).await.unwrap();
    assert!(steps.iter().all(|step| !step.attached.specs.contains(&spec.id)));
}

#[tokio::test]
async fn a_spec_is_not_reached_through_another_car() {
    let book = Book::open().await;
    let other = CarId::new();
    assert_eq!(book.desk.post_form(&format!("/test/cars/{other}"), &[]).await.status, StatusCode::OK);
    assert!(book.desk.get(&format!("/cars/{other}/specs")).await.text.contains("No spec yet"));
    let spec = book.spec("Sump plug").await;
    let (base, rev) = (format!("/cars/{other}/specs/{}", spec.id), spec.rev.to_string());
    let says = spec.says[0].id;
    for tail in ["", "/edit", &format!("/says/{says}")] {
        assert_eq!(book.desk.get(&format!("{base}{tail}")).await.status, StatusCode::NOT_FOUND, "{tail}");
    }
    let not_found = StatusCode::NOT_FOUND;
    book.refused(&format!("{base}/edit"), &edit_fields(&rev, "Mine", "torque"), not_found, "no such spec").await;
    book.refused(&format!("{base}/remove"), &[("rev", &rev)], not_found, "no such spec").await;
    book.refused(&format!("{base}/says"), &says_fields(&rev, "1 Nm", "guess"), not_found, "no such spec").await;
    book.refused(&format!("{base}/says/{says}/remove"), &[("rev", &rev)], not_found, "no such spec").await;
    book.refused(&format!("{base}/settle"), &[("rev", &rev), ("on", "")], not_found, "no such spec").await;
    let nowhere = CarId::new();
    assert_eq!(book.desk.get(&format!("/cars/{nowhere}/specs")).await.status, not_found);
    assert_eq!(book.desk.get("/cars/nonsense/specs").await.status, not_found);
}
