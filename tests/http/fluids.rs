//! Fluids on the screens: the page of one fluid, looks noted at the phone, the bottle plan.

use crate::support::ops::{SmallCar, at};
use crate::support::{Answer, Client, EVENING, TestApp, form};
use axum::http::StatusCode;
use serde_json::json;
use underlamp::ids::{CarId, DeviceId};

struct Demo {
    app: TestApp,
    desk: Client,
    car: CarId,
}

impl Demo {
    async fn start() -> Demo {
        let app = TestApp::demo().await;
        let desk = app.owner().await;
        let car = SmallCar::of(&app).await.car;
        Demo { app, desk, car }
    }

    async fn spec(&self, item: &str) -> String {
        let mut conn = self.app.state.read.conn().await.unwrap();
        let specs = underlamp::specs::store::of_car(&mut conn, self.car).await.unwrap();
        specs.iter().find(|spec| spec.facts.item == item).unwrap_or_else(|| panic!("{item}")).id.to_string()
    }

    /// The page of a fluid, asked something.
    async fn ask(&self, item: &str, fields: &[(&str, &str)]) -> Answer {
        let spec = self.spec(item).await;
        let tail = if fields.is_empty() { String::new() } else { format!("?{}", form(fields)) };
        self.desk.get(&format!("/cars/{}/specs/{spec}/fluid{tail}", self.car)).await
    }

    fn bottles(&self) -> String {
        format!("/cars/{}/buy-list/bottles", self.car)
    }
}

#[tokio::test]
async fn a_fluid_s_page_is_reached_from_its_spec_and_shows_only_what_fits_it() {
    let demo = Demo::start().await;
    let spec = demo.spec("Engine oil").await;
    let page = demo.desk.get(&format!("/cars/{}/specs/{spec}", demo.car)).await.text;
    assert!(page.contains(&format!("/specs/{spec}/fluid")));
    for (item, has, has_not) in [
        (
            "Engine oil",
            &["SAE J300", "How many changes?", "5.1 l", "stay in the galleries"][..],
            &["bore x", "Frost"][..],
        ),
        ("Brake fluid", &["571.116", "bore x length", "Never silicone DOT 5"], &["How many changes?", "Frost"]),
        ("Coolant", &["Frost that it must bear", "How many changes?"], &["bore x"]),
        ("Rear axle oil", &["GL-5", "How much"], &["How many changes?", "bore x", "Frost"]),
        ("Transfer gearbox oil, quantity", &["Gearbox and transfer gearbox oil"], &["Frost"]),
        ("Power steering fluid", &["Class not known", "look for DOT or the word mineral"], &[]),
    ] {
        let page = demo.ask(item, &[]).await;
        assert_eq!(page.status, StatusCode::OK, "{item}");
        has.iter().for_each(|words| assert!(page.text.contains(words), "{item}: {words}"));
        has_not.iter().for_each(|words| assert!(!page.text.contains(words), "{item}: {words}"));
    }
    let torque = demo.ask("Sump plug", &[]).await;
    assert_eq!(torque.status, StatusCode::NOT_FOUND);
    let nobody = demo.desk.get(&format!("/cars/{}/specs/{}/fluid", demo.car, demo.car)).await;
    assert_eq!(nobody.status, StatusCode::NOT_FOUND);
}

/// Source of the rule: glycol and silicone brake fluid never meet (check against the mixing table of the trade).
#[tokio::test]
async fn a_bottle_is_judged_in_words_with_the_reason() {
    let demo = Demo::start().await;
    for (inside, bottle, verdict, why) in [
        ("DOT 4", "DOT 5.1", "Yes, it may go in", "may stand in for it"),
        ("DOT 4", "DOT 5", "No: leave it out", "Silicone DOT 5 never goes"),
        ("silicone brake fluid", "DOT 4", "No: leave it out", "the pedal can fail"),
        ("", "DOT 4", "Yes, it may go in", "a clean, empty system only"),
        ("", "DOT 3", "No: leave it out", "downward is not"),
    ] {
        let page = demo.ask("Brake fluid", &[("ask", "pour"), ("inside", inside), ("bottle", bottle)]).await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(page.text.contains(verdict) && page.text.contains(why), "{inside} / {bottle}: {}", page.text);
        assert!(page.text.contains(&format!("value=\"{bottle}\"")), "what was typed is kept");
    }
}

/// Sources of the figures: mass balance of a mixed vessel, 1 − (3/7)³ = 92.1 %; cylinder of 3 mm by 4 m, 28.3 ml.
#[tokio::test]
async fn the_forms_answer_with_figures() {
    let demo = Demo::start().await;
    let renew = [("ask", "renew"), ("whole", "7 l"), ("out", "4 l"), ("fresh", "90 %")];
    let page = demo.ask("Engine oil", &renew).await.text;
    assert!(page.contains("3 changes make") && page.contains("92"), "{page}");
    let bleed = [("ask", "bleed"), ("pipes", "3 mm x 4 m"), ("reservoir", "100 ml")];
    let page = demo.ask("Brake fluid", &bleed).await.text;
    assert!(page.contains("The pipes hold 28") && page.contains("Calipers, wheel cylinders"), "{page}");
    let mix = [("ask", "mix"), ("system", "8 l"), ("present", "30"), ("strength", "50 %"), ("coldest", "-25 °C")];
    let page = demo.ask("Coolant", &mix).await.text;
    assert!(page.contains("of neat concentrate") && page.contains("K to spare"), "{page}");
    let weak = [("ask", "mix"), ("system", "8 l"), ("strength", "20 %"), ("coldest", "-25 °C")];
    let page = demo.ask("Coolant", &weak).await.text;
    assert!(page.contains("Not enough") && page.contains("Below 30 %") && page.contains("Into the empty system"));
}

#[tokio::test]
async fn nonsense_is_told_at_its_field_and_stays_typed() {
    let demo = Demo::start().await;
    for (item, fields, say, kept) in [
        (
            "Coolant",
            &[("ask", "mix"), ("system", "7 l"), ("strength", "130 %")][..],
            "neat concentrate is 100 %",
            "130 %",
        ),
        ("Coolant", &[("ask", "mix"), ("system", "0 l"), ("strength", "50 %")], "zero litres", "0 l"),
        ("Coolant", &[("ask", "mix"), ("system", "7 kg"), ("strength", "50 %")], "7 kg", "7 kg"),
        ("Engine oil", &[("ask", "renew"), ("whole", "4 l"), ("out", "5 l")], "cannot drain out", "5 l"),
        ("Brake fluid", &[("ask", "pour"), ("bottle", "<b>Blue & 'x'")], "names no published class", "&#60;b&#62;Blue"),
        (
            "Brake fluid",
            &[("ask", "bleed"), ("pipes", "3 cm x 4 m"), ("reservoir", "0 l")],
            "is no brake pipe",
            "3 cm x 4 m",
        ),
    ] {
        let page = demo.ask(item, fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(page.text.contains(say), "{fields:?}: {say}");
        assert!(page.text.contains(kept), "{fields:?}: {kept}");
        assert!(!page.text.contains("<b>Blue"));
    }
    assert_eq!(demo.ask("Coolant", &[("dance", "1")]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn what_came_out_and_how_it_looked_stand_on_the_page() {
    let demo = Demo::start().await;
    let gearbox = demo.ask("Gearbox and transfer gearbox oil", &[]).await.text;
    for words in ["0.6 l of 1.2 l", "50 %", "Much less than goes in", "another variant"] {
        assert!(gearbox.contains(words), "{words}: {gearbox}");
    }
    let engine = demo.ask("Engine oil", &[]).await.text;
    for words in [
        "4.1 l of 4.6 l",
        "Drained ",
        "Black, smells of fuel",
        "The first look since it was changed",
        "Better",
        "thinned by fuel",
    ] {
        assert!(engine.contains(words), "{words}: {engine}");
    }
    let axle = demo.ask("Rear axle oil", &[]).await.text;
    assert!(axle.contains("Nobody has looked at it yet"));
}

#[tokio::test]
async fn a_look_is_noted_without_scripts_and_told_everywhere_in_words() {
    let demo = Demo::start().await;
    let phone = demo.app.phone().await;
    let spec = demo.spec("Rear axle oil").await;
    let under = format!("/under/{}", demo.car);
    let note = phone.get(&format!("{under}/note")).await.text;
    for words in ["clear, as new", "milky or like coffee", "fine glitter a magnet leaves", &format!("gear-oil {spec}")]
    {
        assert!(note.contains(words), "{words}");
    }
    let fluid = format!("gear-oil {spec}");
    let mut fields = vec![
        ("what", "fluid-look"),
        ("back", "note"),
        ("fluid", fluid.as_str()),
        ("colour", "metallic"),
        ("smell", "burnt"),
        ("particles", "chips"),
        ("text", "on the drain plug"),
    ];
    let done = phone.post_form(&format!("{under}/do"), &fields).await;
    assert_eq!((done.status, done.location()), (StatusCode::SEE_OTHER, &*format!("{under}/note")));
    let words = "shimmering like metal paint, smells burnt, chips or splinters of metal";
    assert!(phone.get(&format!("{under}/note")).await.text.contains(&format!("Gear oil: {words}")));
    let book = demo.desk.get(&format!("/cars/{}/logbook", demo.car)).await.text;
    assert!(book.contains(words) && book.contains("Rear axle oil") && book.contains("on the drain plug"));
    let page = demo.ask("Rear axle oil", &[]).await.text;
    assert!(page.contains("Shimmering like metal paint") && page.contains("A tooth, ring or bearing may have broken"));
    for (at, bad) in [(2, "brew"), (3, "pink"), (4, ""), (5, "gold"), (2, "gear-oil nonsense")] {
        let good = std::mem::replace(&mut fields[at].1, bad);
        let refused = phone.post_form(&format!("{under}/do"), &fields).await;
        assert!(matches!(refused.status, StatusCode::UNPROCESSABLE_ENTITY | StatusCode::NOT_FOUND), "{bad}");
        if refused.status == StatusCode::UNPROCESSABLE_ENTITY {
            assert!(refused.text.contains("on the drain plug"), "{bad}: what was typed is kept");
        }
        fields[at].1 = good;
    }
}

#[tokio::test]
async fn a_look_sent_by_a_phone_is_judged_like_every_operation() {
    let demo = Demo::start().await;
    let phone = demo.app.phone().await;
    let small = SmallCar::of(&demo.app).await;
    let device: DeviceId =
        serde_json::from_value(phone.get_json("/sync/hello").await.json()["device"].clone()).unwrap();
    let spec = demo.spec("Coolant").await;
    let look = |colour: &str| json!({"fluid-look": {"fluid": "coolant", "colour": colour, "smell": "sweet", "particles": "none", "note": ""}});
    let mut ops = Vec::new();
    for (on, act) in [
        (json!({ "spec": spec }), look("rusty")),
        (json!({ "car": demo.car }), look("milky")),
        (json!({ "card": small.card }), look("milky")),
        (json!({ "spec": spec }), look("tartan")),
    ] {
        let mut op = small.op(device, at(EVENING), on, act);
        op["card"] = json!(null);
        ops.push(op);
    }
    let answer = phone.post_json("/sync/ops", &json!({ "ops": ops })).await.json();
    let said: Vec<_> = answer["verdicts"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| (&one["is"], one["code"].as_str().unwrap_or("")))
        .collect();
    assert_eq!(said.len(), 4);
    assert_eq!((said[0].0, said[1].0), (&json!("applied"), &json!("applied")));
    assert_eq!((said[2].1, said[3].1), ("wrong-subject", "malformed"));
    // On the car it is of the one fluid of its kind.
    let page = demo.ask("Coolant", &[]).await.text;
    assert!(page.contains("Rusty brown and cloudy") && page.contains("Milky or like coffee") && page.contains("Worse"));
}

#[tokio::test]
async fn the_cheapest_bottles_are_planned_for_the_chosen_cards() {
    let demo = Demo::start().await;
    let list = demo.desk.get(&format!("/cars/{}/buy-list", demo.car)).await.text;
    assert!(list.contains(&demo.bottles()));
    let page = demo.desk.get(&demo.bottles()).await;
    assert_eq!(page.status, StatusCode::OK);
    for words in [
        "DOT 4",
        "is not used: once opened it takes up water",
        "Not counted yet",
        "The sources disagree",
        "from the shelf",
    ] {
        assert!(page.text.contains(words), "{words}: {}", page.text);
    }
    let none = demo.desk.get(&format!("{}?chosen=yes", demo.bottles())).await.text;
    assert!(none.contains("Nothing is left to fill on the chosen cards"));
    let garbage = demo.desk.get(&format!("{}?card=nonsense&chosen=yes", demo.bottles())).await;
    assert_eq!(garbage.status, StatusCode::OK);
}

#[tokio::test]
async fn sizes_and_shelf_are_kept_repriced_and_taken_off() {
    let demo = Demo::start().await;
    let base = demo.bottles();
    let size =
        |price| [("fluid", "DOT 5.1"), ("holds", "250 ml"), ("price", price), ("currency", "eur"), ("cards", "x")];
    assert_eq!(demo.desk.post_form(&format!("{base}/sizes"), &size("12,40")).await.status, StatusCode::SEE_OTHER);
    assert!(demo.desk.get(&base).await.text.contains("12.40 EUR"));
    demo.desk.post_form(&format!("{base}/sizes"), &size("11")).await;
    let page = demo.desk.get(&base).await.text;
    assert!(page.contains("11.00 EUR") && !page.contains("12.40 EUR"), "the same size has one price");
    let kept = [("kept_fluid", "DOT 4"), ("volume", "1 l"), ("opened", "yes"), ("since", "2026-01-02"), ("cards", "")];
    assert_eq!(demo.desk.post_form(&format!("{base}/shelf"), &kept).await.status, StatusCode::SEE_OTHER);
    assert!(demo.desk.get(&base).await.text.contains("opened since 2026-01-02"));
    let row = page.split("/sizes/").nth(1).unwrap()[..36].to_owned();
    let remove = format!("{base}/sizes/{row}/remove");
    assert_eq!(demo.desk.post_form(&remove, &[("cards", "")]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(demo.desk.post_form(&remove, &[("cards", "")]).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn bottles_that_cannot_be_are_refused_and_what_was_typed_stays() {
    let demo = Demo::start().await;
    let base = demo.bottles();
    let typed = [("fluid", "DOT 4"), ("holds", "1 l"), ("price", "9,50"), ("currency", "EUR"), ("cards", "")];
    for (slip, say) in [
        (("fluid", "Super Blue"), "names no published class"),
        (("fluid", "R134a"), "licensed people"),
        (("holds", "0 l"), "zero litres"),
        (("holds", "1 kg"), "kg"),
        (("price", "-9"), "figures and one comma"),
        (("price", ""), "figures and one comma"),
        (("currency", "GBP"), "Write it in EUR"),
        (("currency", ""), "Three letters"),
    ] {
        let fields: Vec<_> = typed.iter().map(|field| if field.0 == slip.0 { slip } else { *field }).collect();
        let page = demo.desk.post_form(&format!("{base}/sizes"), &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{slip:?}");
        assert!(page.text.contains(say), "{slip:?}: {say}");
        assert!(slip.0 == "price" || page.text.contains("value=\"9,50\""), "{slip:?} lost the price");
    }
    let kept = [("kept_fluid", "DOT 4"), ("volume", "1 l"), ("opened", "no"), ("since", ""), ("cards", "")];
    for (slip, say) in [
        (("volume", "0 ml"), "zero litres"),
        (("opened", "perhaps"), "Say whether it was opened"),
        (("since", "soon"), "no day that can be planned for"),
        (("kept_fluid", ""), "what the label says"),
    ] {
        let fields: Vec<_> = kept.iter().map(|field| if field.0 == slip.0 { slip } else { *field }).collect();
        let page = demo.desk.post_form(&format!("{base}/shelf"), &fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{slip:?}");
        assert!(page.text.contains(say), "{slip:?}: {say}");
    }
}

#[tokio::test]
async fn the_phone_s_book_says_what_a_fluid_is_and_what_must_never_go_in() {
    let demo = Demo::start().await;
    let page = demo.app.phone().await.get(&format!("/under/{}/specs", demo.car)).await.text;
    assert!(page.contains("Read as DOT 4. Never silicone DOT 5, never mineral oil"));
    assert!(page.contains("Never GL-4 or lower"));
}

#[tokio::test]
async fn a_step_that_lets_a_fluid_out_leads_to_its_look() {
    let demo = Demo::start().await;
    let phone = demo.app.phone().await;
    let mut conn = demo.app.state.read.conn().await.unwrap();
    let cards = underlamp::jobs::store::cards_of_car(&mut conn, demo.car).await.unwrap();
    let card = cards.iter().find(|card| card.facts.title.contains("rear axle oil")).unwrap().id;
    let spec = demo.spec("Rear axle oil").await;
    let page = phone.get(&format!("/under/{}/cards/{card}", demo.car)).await.text;
    assert!(page.contains(&format!("/under/{}/note#look-{spec}", demo.car)));
}

/// What a step shows is found from the step; what belongs to a fluid is found from the fluid. Both must come to the same.
#[tokio::test]
async fn the_fluid_of_a_step_is_the_first_whose_family_is_at_it() {
    use underlamp::fluids::family::{Family, fluid_at};
    use underlamp::fluids::kind::kind_of;
    use underlamp::trade::spec::Kind;
    use underlamp::trade::steps::ObjectKind;
    let demo = Demo::start().await;
    let whole = demo.app.state.cars.get(&demo.app.state.read, demo.car).await.unwrap();
    let steps = whole.state.cards.iter().flat_map(|card| &card.steps);
    let mut found = 0;
    for step in steps.filter(|step| step.facts.object_kind == ObjectKind::Fluid) {
        let fluids = whole.state.specs.iter().filter(|spec| spec.facts.kind == Kind::Fluid && kind_of(spec).is_some());
        let by_family =
            fluids.into_iter().find(|spec| Family::of(&whole.state, spec).is_some_and(|one| one.is_at(step)));
        let by_step = fluid_at(&whole.state, step);
        assert_eq!(
            by_step.map(|spec| &spec.facts.item),
            by_family.map(|spec| &spec.facts.item),
            "{}",
            step.facts.object
        );
        found += usize::from(by_step.is_some());
    }
    assert!(found > 5, "{found}");
}
