//! Which variant a spec is for, held against the car's codes, on every page that shows the spec.

use crate::support::{Client, TestApp};
use axum::http::StatusCode;
use underlamp::ids::CarId;
use underlamp::specs::model::Spec;
use underlamp::trade::variant::Verdict;

struct Bench {
    app: TestApp,
    desk: Client,
    car: CarId,
}

impl Bench {
    async fn open() -> Bench {
        let app = TestApp::demo().await;
        let desk = app.owner().await;
        let car = app.demo_car().await;
        Bench { app, desk, car }
    }

    async fn spec(&self, item: &str) -> Spec {
        let specs = self.app.book(self.car).await;
        specs.into_iter().find(|spec| spec.facts.item == item).unwrap()
    }

    async fn verdict(&self, item: &str) -> Option<Verdict> {
        self.spec(item).await.holding.map(|holding| holding.verdict)
    }

    async fn page(&self, path: &str) -> String {
        let answer = self.desk.get(path).await;
        assert_eq!(answer.status, StatusCode::OK, "{path}");
        answer.text
    }

    /// Saves the car with these codes, as its form does.
    async fn write_codes(&self, codes: &str) {
        let path = format!("/cars/{}/edit", self.car);
        let page = self.page(&path).await;
        let seen = page.split("name=\"seen\" value=\"").nth(1).unwrap().split('"').next().unwrap();
        let mut fields = vec![("name", "Skarv"), ("codes", codes), ("seen", seen), ("year", "1983")];
        fields.extend(["make", "model", "story", "wanted_on", "wanted_for"].map(|name| (name, "")));
        let answer = self.desk.post_form(&path, &fields).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    }
}

#[tokio::test]
async fn a_value_for_another_variant_says_so_wherever_it_is_shown() {
    let bench = Bench::open().await;
    let (car, item) = (bench.car, "Spark plugs, iron head");
    let spec = bench.spec(item).await;
    let mut conn = bench.app.state.read.conn().await.unwrap();
    let steps = underlamp::jobs::store::steps_of_car(&mut conn, car).await.unwrap();
    drop(conn);
    let step = steps.iter().find(|step| step.attached.specs.contains(&spec.id)).unwrap();
    let (card, step) = (step.card, step.id);
    for path in [
        format!("/cars/{car}/specs"),
        format!("/cars/{car}/specs/{}", spec.id),
        format!("/cars/{car}/specs/{}/wrench", spec.id),
        format!("/cars/{car}/cards/{card}"),
        format!("/cars/{car}/cards/{card}/steps/{step}"),
        format!("/under/{car}/cards/{card}"),
        format!("/under/{car}/specs"),
    ] {
        assert!(bench.page(&path).await.contains("not for this car"), "{path}");
    }
    let why = "This is for engine RUGDE-611; this car has RUGDE-793.";
    assert!(bench.page(&format!("/under/{car}/cards/{card}")).await.contains(why));
    assert!(bench.page(&format!("/cars/{car}/cards/{card}")).await.contains("A value for another variant"));
}

#[tokio::test]
async fn the_car_s_codes_decide_and_are_asked_again_when_they_change() {
    let bench = Bench::open().await;
    assert_eq!(bench.verdict("Engine oil with filter").await, Some(Verdict::Holds));
    let oil = bench.spec("Engine oil with filter").await.id;
    let page = format!("/cars/{}/specs/{oil}", bench.car);
    assert!(!bench.page(&page).await.contains("not for this car"));
    bench.write_codes("engine code: RUGDE-611").await;
    assert_eq!(bench.verdict("Engine oil with filter").await, Some(Verdict::HoldsNot));
    assert_eq!(bench.verdict("Spark plugs, iron head").await, Some(Verdict::Holds));
    assert!(bench.page(&page).await.contains("not for this car"));
    let phone = bench.page(&format!("/under/{}/specs", bench.car)).await;
    assert!(phone.contains("This is for engine RUGDE-793; this car has RUGDE-611."));
    bench.write_codes("").await;
    assert_eq!(bench.verdict("Engine oil with filter").await, Some(Verdict::CannotTell));
    assert!(bench.page(&page).await.contains("Nothing is written of this car’s engine"));
}

#[tokio::test]
async fn a_variant_that_is_nonsense_is_kept_and_said_to_be_unsure() {
    let bench = Bench::open().await;
    let path = format!("/cars/{}/specs", bench.car);
    for (at, variant) in
        ["<b>or or not</b>", "not", "from from", "engine ,;,", "¿engine?", "from chassis 9".repeat(5).as_str()]
            .into_iter()
            .enumerate()
    {
        let item = format!("Test nut {at}");
        let fields = [
            ("system", "engine"),
            ("item", &item),
            ("place", ""),
            ("kind", "torque"),
            ("thread", ""),
            ("class", ""),
            ("head", ""),
            ("count", ""),
            ("lubrication", ""),
            ("stages", ""),
            ("variant", variant),
            ("note", ""),
            ("written", "40 Nm"),
            ("source", "guess"),
            ("citation", ""),
            ("page", ""),
            ("says_note", ""),
        ];
        let answer = bench.desk.post_form(&path, &fields).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{variant}: {}", answer.text);
        assert_eq!(bench.verdict(&item).await, Some(Verdict::CannotTell), "{variant}");
        let page = bench.page(answer.location()).await;
        assert!(page.contains("not sure it is for this car") && !page.contains("<b>or or"), "{variant}");
    }
}

#[tokio::test]
async fn the_form_of_a_car_helps_with_names_of_codes_in_use() {
    let bench = Bench::open().await;
    bench.write_codes("transfer gearbox code: LERKE-2").await;
    for path in ["/cars/new".to_owned(), format!("/cars/{}/edit", bench.car)] {
        let page = bench.page(&path).await;
        assert!(page.contains("Names in use: engine code,") && page.contains(", transfer gearbox code."), "{path}");
    }
}
