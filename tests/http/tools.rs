//! Sockets and keys in the chest, and what steps say of them at the desk and under the car.

use crate::support::{Client, TestApp};
use axum::http::StatusCode;
use underlamp::chest::tools::model::KeptTool;
use underlamp::chest::tools::store as tools;
use underlamp::ids::CarId;
use underlamp::trade::condition::Condition;
use underlamp::work::model::CarState;

struct Garage {
    app: TestApp,
    desk: Client,
    car: CarId,
}

impl Garage {
    async fn open() -> Garage {
        let app = TestApp::demo().await;
        let desk = app.owner().await;
        let car = app.demo_car().await;
        Garage { app, desk, car }
    }

    async fn kept(&self) -> Vec<KeptTool> {
        tools::all(&mut self.app.state.read.conn().await.unwrap()).await.unwrap()
    }

    async fn empty_it(&self) {
        for kept in self.kept().await {
            self.desk.post_form(&format!("/chest/tools/{}/remove", kept.id), &[]).await;
        }
        assert!(self.kept().await.is_empty());
    }

    async fn state(&self) -> CarState {
        CarState::read(&mut self.app.state.read.conn().await.unwrap(), self.car).await.unwrap()
    }

    /// Desk and phone page of the card with a step that asks for this tool.
    async fn cards_asking(&self, tool: &str) -> (String, String) {
        let state = self.state().await;
        let asks = |card: &&underlamp::work::model::CardState| {
            card.steps.iter().any(|step| step.attached.tools.iter().any(|line| line == tool))
        };
        let card = state.cards.iter().find(asks).unwrap().card.id;
        let desk = self.desk.get(&format!("/cars/{}/cards/{card}", self.car)).await.text;
        let phone = self.desk.get(&format!("/under/{}/cards/{card}", self.car)).await.text;
        (desk, phone)
    }

    async fn missing_tools(&self) -> usize {
        self.state().await.cards.iter().map(|card| card.facts.missing_tools).sum()
    }
}

#[tokio::test]
async fn a_whole_set_goes_into_the_chest_in_one_line() {
    let garage = Garage::open().await;
    garage.empty_it().await;
    let page = garage.desk.get("/chest").await.text;
    assert!(page.contains("Add a whole set in a line"), "an empty chest says how to fill it");
    let answer = garage.desk.post_form("/chest/sets", &[("set", "10 to 19 mm sockets, 1/2 drive, long")]).await;
    assert_eq!((answer.status, answer.location()), (StatusCode::SEE_OTHER, "/chest"), "{}", answer.text);
    assert_eq!(garage.kept().await.len(), 10);
    garage.desk.post_form("/chest/sets", &[("set", "3/4\" socket")]).await;
    let page = garage.desk.get("/chest").await.text;
    for words in ["Long socket, 1/2 in square", "19 mm", "3/4 in goes onto 19 mm with 0.05 mm of play"] {
        assert!(page.contains(words), "{words}");
    }
}

#[tokio::test]
async fn a_line_that_cannot_be_read_adds_nothing_and_keeps_what_was_typed() {
    let garage = Garage::open().await;
    garage.empty_it().await;
    for (set, say) in [
        ("", "No kind of tool is named"),
        ("19 to 10 mm sockets", "do not go together"),
        ("10 to 19 mm shiny sockets", "means nothing here"),
        ("T41 bit", "no number of a six-lobe drive"),
        ("M12 sockets", "means nothing here"),
    ] {
        let answer = garage.desk.post_form("/chest/sets", &[("set", set)]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{set}");
        assert!(answer.text.contains(say), "{set}: {}", answer.text);
        assert!(answer.text.contains(&format!("value=\"{set}\"")), "{set} is still there");
    }
    let long = "x".repeat(201);
    assert!(garage.desk.post_form("/chest/sets", &[("set", &long)]).await.text.contains("At most 200 letters"));
    let unknown = garage.desk.post_form("/chest/sets", &[("set", "19 mm socket"), ("price", "1")]).await;
    assert_eq!(unknown.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(garage.kept().await.is_empty());
}

#[tokio::test]
async fn a_tool_is_put_in_changed_and_taken_out() {
    let garage = Garage::open().await;
    garage.empty_it().await;
    let typed = |changed: &[(&'static str, &'static str)]| {
        let all = [("kind", "socket"), ("size", "19"), ("drive", "1/2"), ("onto", ""), ("reach", "38"), ("outer", "")];
        let value = |name: &str, old| changed.iter().find(|(other, _)| *other == name).map_or(old, |(_, new)| *new);
        let known = all.map(|(name, old)| (name, value(name, old)));
        known.into_iter().chain(changed.iter().copied().filter(|(name, _)| *name == "rev")).collect::<Vec<_>>()
    };
    for (changed, say) in [
        (("kind", ""), "Choose what kind of tool it is"),
        (("size", "big"), "is no size that is read here"),
        (("size", "T40"), "has six lobes"),
        (("drive", "5/9"), "is no driving square"),
        (("reach", "far"), "Length:"),
        (("outer", "3 mm"), "not larger than the size"),
    ] {
        let answer = garage.desk.post_form("/chest/tools", &typed(&[changed])).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{changed:?}");
        assert!(answer.text.contains(say), "{changed:?}: {}", answer.text);
    }
    assert_eq!(garage.desk.post_form("/chest/tools", &typed(&[])).await.status, StatusCode::SEE_OTHER);
    let kept = garage.kept().await.remove(0);
    let path = format!("/chest/tools/{}", kept.id);
    assert!(garage.desk.get(&path).await.text.contains("value=\"38 mm\""));
    let changed = garage.desk.post_form(&path, &typed(&[("reach", "40 mm"), ("rev", "1")])).await;
    assert_eq!(changed.status, StatusCode::SEE_OTHER, "{}", changed.text);
    let late = garage.desk.post_form(&path, &typed(&[("reach", "41 mm"), ("rev", "1")])).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(late.text.contains("value=\"41 mm\"") && late.text.contains("name=\"rev\" value=\"2\""));
    assert_eq!(garage.desk.post_form(&format!("{path}/remove"), &[]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(garage.desk.post_form(&format!("{path}/remove"), &[]).await.status, StatusCode::NOT_FOUND);
    assert_eq!(garage.desk.get(&path).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_step_says_whether_the_chest_has_its_tool_at_the_desk_and_on_the_phone() {
    let garage = Garage::open().await;
    let (desk, phone) = garage.cards_asking("22 mm crowfoot").await;
    assert!(desk.contains("not in the chest") && phone.contains("not in the chest"));
    let (desk, phone) = garage.cards_asking("14 mm socket, no longer than 45 mm").await;
    for page in [desk, phone] {
        assert!(page.contains("only a long one (78 mm), it will not go in there"));
        assert!(page.contains("in the chest"));
    }
}

#[tokio::test]
async fn a_card_is_short_of_a_tool_only_where_the_chest_was_filled() {
    let garage = Garage::open().await;
    assert!(garage.missing_tools().await >= 2, "the demo lacks a crowfoot, and has a socket that is too long");
    garage.empty_it().await;
    assert_eq!(garage.missing_tools().await, 0);
    let (_, phone) = garage.cards_asking("22 mm crowfoot").await;
    assert!(!phone.contains("not in the chest") && phone.contains("data-missing-tools=\"0\""));
    garage.desk.post_form("/chest/sets", &[("set", "19 mm socket")]).await;
    let state = garage.state().await;
    let lacking: Vec<_> = state.cards.iter().filter(|card| card.facts.missing_tools > 0).collect();
    assert!(lacking.iter().all(|card| card.condition != Condition::Ready));
    let short = lacking.iter().find(|card| card.condition == Condition::Short).unwrap();
    let page = garage.desk.get(&format!("/cars/{}/cards/{}", garage.car, short.card.id)).await.text;
    assert!(page.contains("lacks a tool") || page.contains("lack a tool"));
    assert!(page.contains("Look into the tool chest"));
}

#[tokio::test]
async fn a_torque_is_shown_whole_and_with_its_wrench_on_the_phone() {
    let garage = Garage::open().await;
    let specs = garage.desk.get(&format!("/under/{}/specs", garage.car)).await.text;
    for words in ["Stage 1", "New bolt each time.", "angle gauge", ", set to ", "Read a marking"] {
        assert!(specs.contains(words), "{words}");
    }
}

#[tokio::test]
async fn markings_are_read_at_phone_size_and_the_page_is_in_the_copy() {
    let garage = Garage::open().await;
    let path = format!("/under/{}/markings", garage.car);
    let page = garage.desk.get(&path).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("This needs the garage") && page.text.contains("data-shell=\"under\""));
    let read = garage.desk.post_form(&path, &[("marking", "DOT 4")]).await;
    assert!(read.status == StatusCode::OK && read.text.contains("What it means"), "{}", read.text);
    let thread = garage.desk.post_form(&path, &[("outside", "9.9 mm"), ("pitch", "1.5 mm")]).await;
    assert!(thread.text.contains("M10"));
    for fields in [&[("marking", "")][..], &[("outside", "wide"), ("pitch", "1.5 mm")]] {
        assert_eq!(garage.desk.post_form(&path, fields).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    }
    let nobody = format!("/under/{}/markings", CarId::new());
    assert_eq!(garage.desk.get(&nobody).await.status, StatusCode::NOT_FOUND);
    let pack = garage.desk.get(&format!("/sync/pack/{}", garage.car)).await.text;
    assert!(pack.contains(&path));
}
