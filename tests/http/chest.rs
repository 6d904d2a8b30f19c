//! The tool chest, and which of its wrenches a torque wants, as a browser without script uses them.

use crate::support::{Client, TestApp};
use axum::http::StatusCode;
use underlamp::cars::store::all;
use underlamp::chest::model::Kept;
use underlamp::chest::store as chest;
use underlamp::specs::store;

const TYPED: &[(&str, &str)] = &[
    ("name", "Long click wrench"),
    ("kind", "click"),
    ("span", "20-200 Nm"),
    ("graduation", "1"),
    ("deviation", ""),
    ("calibrated_on", "2026-04-30"),
    ("uses", ""),
    ("lever", "300 mm"),
    ("serial", "0815"),
];

fn typed<'a>(changed: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let value = |name: &str, old| changed.iter().find(|(other, _)| *other == name).map_or(old, |(_, new)| *new);
    let known = TYPED.iter().map(|(name, old)| (*name, value(name, old)));
    known.chain(changed.iter().copied().filter(|(name, _)| *name == "rev")).collect()
}

struct Garage {
    app: TestApp,
    desk: Client,
    book: String,
}

impl Garage {
    async fn open() -> Garage {
        let app = TestApp::demo().await;
        let desk = app.owner().await;
        let car = app.demo_car().await;
        let garage = Garage { app, desk, book: format!("/cars/{car}/specs") };
        for kept in garage.wrenches().await {
            garage.desk.post_form(&format!("/chest/{}/remove", kept.id), &[("rev", "1")]).await;
        }
        assert!(garage.wrenches().await.is_empty(), "each test puts in its own");
        garage
    }

    async fn wrenches(&self) -> Vec<Kept> {
        chest::all(&mut self.app.state.read.conn().await.unwrap()).await.unwrap()
    }

    async fn add(&self, changed: &[(&str, &str)]) -> Kept {
        let answer = self.desk.post_form("/chest", &typed(changed)).await;
        assert_eq!((answer.status, answer.location()), (StatusCode::SEE_OTHER, "/chest"), "{}", answer.text);
        let name = typed(changed)[0].1;
        self.wrenches().await.into_iter().find(|kept| kept.facts.name == name).unwrap()
    }

    /// The page of a spec of the demo.
    async fn spec(&self, item: &str) -> String {
        let mut conn = self.app.state.read.conn().await.unwrap();
        let car = all(&mut conn).await.unwrap()[0].id;
        let specs = store::of_car(&mut conn, car).await.unwrap();
        format!("{}/{}", self.book, specs.into_iter().find(|spec| spec.facts.item == item).unwrap().id)
    }

    async fn new_spec(&self, written: &str) -> String {
        let fields = [
            ("system", "engine"),
            ("item", "Bearing cap bolts"),
            ("place", ""),
            ("kind", "torque"),
            ("thread", "M14x1.5"),
            ("class", "10.9"),
            ("head", ""),
            ("count", ""),
            ("lubrication", "oiled"),
            ("stages", ""),
            ("variant", ""),
            ("note", ""),
            ("written", written),
            ("source", "guess"),
            ("citation", ""),
            ("page", ""),
            ("says_note", ""),
        ];
        self.desk.post_form(&self.book, &fields).await.location().to_owned()
    }
}

#[tokio::test]
async fn a_wrench_is_put_in_changed_and_taken_out() {
    let garage = Garage::open().await;
    assert!(garage.desk.get("/chest").await.text.contains("No torque wrench yet"));
    let kept = garage.add(&[]).await;
    let page = garage.desk.get("/chest").await.text;
    for words in ["Long click wrench", "20–200 N·m", "±4 %", "0815", "counts until 2027-04-30"] {
        assert!(page.contains(words), "{words}");
    }
    let path = format!("/chest/{}", kept.id);
    let form = garage.desk.get(&path).await.text;
    assert!(form.contains("value=\"20-200 Nm\"") && form.contains("value=\"300 mm\""), "kept as it was typed");
    let changed = garage.desk.post_form(&path, &typed(&[("deviation", "3 %"), ("rev", "1")])).await;
    assert_eq!(changed.status, StatusCode::SEE_OTHER, "{}", changed.text);
    assert!(garage.desk.get("/chest").await.text.contains("±3 %"));
    let late = garage.desk.post_form(&path, &typed(&[("name", "Mine"), ("rev", "1")])).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    assert!(late.text.contains("value=\"Mine\"") && late.text.contains("name=\"rev\" value=\"2\""));
    assert_eq!(garage.desk.post_form(&format!("{path}/remove"), &[]).await.status, StatusCode::SEE_OTHER);
    assert!(garage.wrenches().await.is_empty());
    assert_eq!(garage.desk.post_form(&format!("{path}/remove"), &[]).await.status, StatusCode::NOT_FOUND);
    assert_eq!(garage.desk.get(&path).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_wrench_that_makes_no_sense_is_told_at_its_field() {
    let garage = Garage::open().await;
    for (changed, say) in [
        (("name", ""), "Give the wrench a name"),
        (("kind", ""), "Choose how it tells"),
        (("span", "200-40 bar"), "is a unit for a pressure"),
        (("span", "100 Nm"), "lowest and the highest mark"),
        (("graduation", "1 lbf ft"), "the unit of the range"),
        (("calibrated_on", "2026-02-30"), "is not a day"),
        (("uses", "often"), "is not a count of uses"),
        (("lever", "42 Nm"), "is a unit for a torque"),
        (("serial", &"x".repeat(99)), "At most 60 letters"),
    ] {
        let answer = garage.desk.post_form("/chest", &typed(&[changed])).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{changed:?}");
        assert!(answer.text.contains(say), "{changed:?}: {say}");
        assert!(answer.text.contains("What you typed is still here"));
    }
    assert!(garage.wrenches().await.is_empty());
}

#[tokio::test]
async fn a_torque_says_which_wrench_to_take_and_what_to_set() {
    let garage = Garage::open().await;
    let spec = garage.new_spec("120 Nm").await;
    let empty = garage.desk.get(&spec).await.text;
    assert!(empty.contains("No torque wrench is in the tool chest yet"));
    garage.add(&[]).await;
    garage.add(&[("name", "Inch wrench"), ("span", "20-150 lbf ft"), ("calibrated_on", "")]).await;
    garage.add(&[("name", "Small"), ("span", "5-25 Nm")]).await;
    let page = garage.desk.get(&spec).await.text;
    let places: Vec<usize> = ["</b> Long click wrench", "Inch wrench</p>", "Small</p>"]
        .iter()
        .map(|name| page.find(name).unwrap_or_else(|| panic!("{name}")))
        .collect();
    assert!(places.is_sorted(), "the best stands first: {places:?}");
    for words in [
        "Set it to",
        "right on the mark, ±4 % by the wrench",
        "Take Long click wrench rather than Inch wrench, whose calibration does not count.",
        "ends at 25 N",
        "Above its highest mark",
    ] {
        assert!(page.contains(words), "{words}");
    }
}

#[tokio::test]
async fn no_wrench_is_set_while_sources_disagree_and_a_turn_is_set_on_none() {
    let garage = Garage::open().await;
    garage.add(&[]).await;
    let open = garage.desk.get(&garage.spec("Crankshaft pulley bolt").await).await.text;
    assert!(open.contains("settle on one of them first") && !open.contains("Set it to"));
    let staged = garage.desk.get(&garage.spec("Cylinder head bolts").await).await.text;
    assert!(staged.contains("Stage 1: 30 N·m") && staged.contains("Stage 3: 90°"));
    assert!(staged.contains("mark the head, or use an angle gauge"));
}

/// Rule: setting = wanted × L / (L + E), US Army TM 9-254, para 4-1: 120 × 300 / (300 + 60) = 100.
#[tokio::test]
async fn an_adapter_changes_what_to_set_and_is_drawn() {
    let garage = Garage::open().await;
    garage.add(&[]).await;
    let path = format!("{}/wrench", garage.new_spec("120 Nm").await);
    let asked = garage.desk.get(&path).await;
    assert_eq!(asked.status, StatusCode::OK);
    assert!(asked.text.contains("What stands between wrench and bolt?") && !asked.text.contains("<svg"));
    let page = garage.desk.get(&format!("{path}?between=offset&lever=&reach=60+mm&angle=")).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    for words in [
        "<span class=\"figure__value\">100</span>",
        "set lower",
        "sketch__paper",
        "lever 300 mm",
        "adapter 60 mm, 0°",
        "counts as 360 mm",
        "Pull at the middle of the grip",
    ] {
        assert!(page.text.contains(words), "{words}");
    }
    let across = garage.desk.get(&format!("{path}?between=offset&reach=60+mm&angle=90")).await.text;
    assert!(across.contains("At a right angle the adapter changes nothing"));
    let extension = garage.desk.get(&format!("{path}?between=extension")).await.text;
    assert!(extension.contains("A long thin extension twists") && !extension.contains("sketch__paper"));
    let long = garage.desk.get(&format!("{path}?between=offset&reach=400+mm")).await.text;
    assert!(long.contains("whether the two lengths were exchanged"));
    let large = garage.desk.get(&format!("{path}?between=offset&reach=200+mm&angle=180")).await.text;
    assert!(large.contains("past what is sensible"));
}

#[tokio::test]
async fn an_adapter_that_cannot_be_is_refused_in_a_sentence() {
    let garage = Garage::open().await;
    garage.add(&[]).await;
    let path = format!("{}/wrench", garage.new_spec("120 Nm").await);
    for (query, say) in [
        ("between=offset&reach=300+mm&angle=180", "no lever at all"),
        ("between=offset&reach=400+mm&angle=180", "no lever at all"),
        ("between=offset&reach=60+Nm", "is a unit for a torque"),
        ("between=offset&reach=", "f-reach-error"),
        ("between=offset&lever=0+mm&reach=60+mm", "has no length"),
        ("between=offset&reach=60+mm&angle=askew", "f-angle-error"),
        ("between=string&reach=60+mm", "Choose what stands"),
        ("between=offset&reach=60+mm&wrench=none", "Choose a wrench"),
        ("between=offset&reach=60+mm&torque=7", "Choose a torque"),
        ("between=offset&reach=60+mm&torque=first", ""),
        ("engine=x", ""),
    ] {
        let page = garage.desk.get(&format!("{path}?{query}")).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{query}");
        assert!(page.text.contains(say), "{query}: {say}");
    }
    let pressure = garage.spec("Tyre pressure, front").await;
    assert_eq!(garage.desk.get(&format!("{pressure}/wrench")).await.status, StatusCode::NOT_FOUND);
}
