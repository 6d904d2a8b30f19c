//! Readings over time and their limits, as a browser without script uses them. Figures of the demo are invented.

use crate::support::{Answer, Client, TestApp};
use axum::http::StatusCode;
use serde_json::json;
use underlamp::ids::{CarId, DeviceId, OpId};
use underlamp::specs::store as specs;

struct Garage {
    app: TestApp,
    desk: Client,
    car: CarId,
    readings: String,
}

impl Garage {
    async fn open() -> Garage {
        let app = TestApp::demo().await;
        let desk = app.owner().await;
        let car = app.demo_car().await;
        Garage { app, desk, car, readings: format!("/cars/{car}/readings") }
    }

    async fn thing(&self, what: &str) -> Answer {
        self.desk.get(&format!("{}/of?what={}", self.readings, what.replace(' ', "%20"))).await
    }

    async fn add(&self, fields: &[(&str, &str)]) -> Answer {
        self.desk.post_form(&self.readings, fields).await
    }

    async fn limit(&self, fields: &[(&str, &str)]) -> Answer {
        self.desk.post_form(&format!("{}/limit", self.readings), fields).await
    }

    async fn spec(&self, item: &str) -> String {
        let mut conn = self.app.state.read.conn().await.unwrap();
        let book = specs::of_car(&mut conn, self.car).await.unwrap();
        book.into_iter().find(|spec| spec.facts.item == item).unwrap().id.to_string()
    }
}

#[tokio::test]
async fn the_list_says_in_words_how_every_reading_stands_and_whose_limit_it_is() {
    let garage = Garage::open().await;
    let list = garage.desk.get(&garage.readings).await;
    assert_eq!(list.status, StatusCode::OK);
    for words in [
        "Past its limit",
        "Keep an eye on it",
        "Holds",
        "MOT inspection manual, section 5 (as others quote it; not read in the source)",
        "US Army TM 5-4210-230-14&#38;P-1",
        "at least 10.5 mm",
        "cast into the rim of the left disc",
    ] {
        assert!(list.text.contains(words), "{words}\n{}", list.text);
    }
    assert!(!list.text.contains("is legal"));
}

#[tokio::test]
async fn a_thing_over_time_is_drawn_with_its_limit_and_says_when_it_would_be_reached() {
    let garage = Garage::open().await;
    let tread = garage.thing("front left tread").await;
    for words in ["trend__limit", "at least 1.6 mm would be reached about", "4.9 mm", "3.6 mm"] {
        assert!(tread.text.to_lowercase().contains(&words.to_lowercase()), "{words}\n{}", tread.text);
    }
    let compression = garage.thing("compression").await;
    for words in
        ["Lowest 8.2 bar in cylinder 3", "piston rings or bore may be worn", "compares readings of one evening"]
    {
        assert!(compression.text.contains(words), "{words}\n{}", compression.text);
    }
}

#[tokio::test]
async fn a_reading_is_judged_whatever_its_unit() {
    let garage = Garage::open().await;
    let limit = [("what", "cold tyre"), ("rule", "own"), ("rev", "0")];
    let pressure = garage.spec("Tyre pressure, front").await;
    let with = [&limit[..], &[("least", pressure.as_str())]].concat();
    let answer = garage.limit(&with).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    for (number, unit, words) in [("10", "psi", "Past its limit"), ("60", "psi", "Holds"), ("4", "bar", "Holds")] {
        let answer = garage.add(&[("what", "cold tyre"), ("number", number), ("unit", unit)]).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        assert!(garage.thing("cold tyre").await.text.contains(words), "{number} {unit}");
    }
    let logbook = garage.desk.get(&format!("/cars/{}/logbook", garage.car)).await;
    assert!(logbook.text.contains("past its limit"), "the logbook says it too");
}

#[tokio::test]
async fn what_cannot_be_a_reading_is_asked_back_at_its_field_and_nothing_is_kept() {
    let garage = Garage::open().await;
    let tread = "front left tread";
    for (fields, words) in [
        (vec![("what", tread), ("number", "deep"), ("unit", "mm")], "does not begin with a number"),
        (vec![("what", tread), ("number", "3"), ("unit", "bar")], "is no unit for this"),
        (vec![("what", tread), ("number", "3"), ("unit", "cubit")], "is no unit for this"),
        (vec![("what", tread), ("number", ""), ("unit", "mm")], "Type the number"),
        (vec![("what", ""), ("number", "3"), ("unit", "mm")], "Say what was read off"),
        (vec![("what", "compression"), ("number", "11"), ("number", "lots"), ("unit", "bar")], "lots"),
        (vec![("what", "compression"), ("number", "11"), ("unit", "mm")], "is a pressure"),
    ] {
        let before = garage.thing(tread).await.text.matches("<tr role=\"row\">").count();
        let answer = garage.add(&fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(answer.text.contains(words), "{fields:?}\n{}", answer.text);
        assert_eq!(garage.thing(tread).await.text.matches("<tr role=\"row\">").count(), before);
    }
}

#[tokio::test]
async fn gravity_without_its_temperature_is_asked_back() {
    let garage = Garage::open().await;
    let kept = garage.limit(&[("what", "acid"), ("rule", "cells"), ("cells", "3"), ("rev", "0")]).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    let cells = [("what", "acid"), ("number", "1.265"), ("number", "1.260"), ("number", "1.220")];
    let without = garage.add(&[&cells[..], &[("temperature", ""), ("temperature_unit", "degC")]].concat()).await;
    assert_eq!(without.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(without.text.contains("Measure the acid’s temperature too"), "{}", without.text);
    let wrong = garage.add(&[&cells[..], &[("temperature", "20"), ("temperature_unit", "bar")]].concat()).await;
    assert!(wrong.text.contains("Choose a unit of temperature"), "{}", wrong.text);
    let with = garage.add(&[&cells[..], &[("temperature", "20"), ("temperature_unit", "degC")]].concat()).await;
    assert_eq!(with.status, StatusCode::SEE_OTHER, "{}", with.text);
    assert!(garage.thing("acid").await.text.contains("Past its limit"));
}

#[tokio::test]
async fn a_limit_that_makes_no_sense_is_asked_back() {
    let garage = Garage::open().await;
    let (disc, drum) =
        (garage.spec("Front disc, least thickness").await, garage.spec("Rear drum, greatest diameter").await);
    let volts = garage.spec("Battery at rest, charged").await;
    let own = [("what", "gap"), ("rule", "own"), ("rev", "0")];
    for (more, words) in [
        (vec![("least", drum.as_str()), ("most", disc.as_str())], "contradict each other"),
        (vec![("least", disc.as_str()), ("most", volts.as_str())], "measure different things"),
        (vec![("least", disc.as_str()), ("margin", "a bit")], "is no margin"),
        (vec![("least", "elsewhere")], "is not in this car"),
        (vec![], "Choose at least one side"),
    ] {
        let answer = garage.limit(&[&own[..], &more].concat()).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{more:?}");
        assert!(answer.text.contains(words), "{more:?}\n{}", answer.text);
    }
    for (fields, words) in [
        ([("what", "gap"), ("rule", "guess"), ("rev", "0")], "Choose whose limit"),
        ([("what", "compression 2"), ("rule", "ten-percent"), ("cylinders", "four")], "is no number of cylinders"),
        ([("what", "disc"), ("rule", "disc"), ("figure", "thin")], "does not begin with a number"),
    ] {
        let answer = garage.limit(&fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(answer.text.contains(words), "{fields:?}\n{}", answer.text);
    }
    let stale =
        garage.limit(&[("what", "Compression"), ("rule", "ten-percent"), ("cylinders", "4"), ("rev", "9")]).await;
    assert_eq!(stale.status, StatusCode::CONFLICT);
}

#[tokio::test]
async fn the_phone_is_given_the_limits_of_what_a_card_asks() {
    let garage = Garage::open().await;
    let note = garage.desk.get(&format!("/under/{}/note", garage.car)).await;
    for words in ["data-json=\"limits\"", "\"spread\":[\"highest\",\"0.25\"]", "compression, cylinder 4"] {
        assert!(note.text.contains(words), "{words}");
    }
}

#[tokio::test]
async fn a_phones_reading_is_judged_when_it_arrives() {
    let garage = Garage::open().await;
    let phone = garage.app.phone().await;
    let device = DeviceId::new();
    let op = json!({
        "id": OpId::new(), "device": device, "hlc": "0001795629600000-00000", "car": garage.car, "card": null,
        "on": { "car": garage.car },
        "do": { "reading": { "what": "Front left tread", "number": "1,5", "unit": "mm" } },
    });
    let answer = phone.post_json("/sync/ops", &json!({ "ops": [op] })).await;
    assert!(answer.text.contains("applied"), "{}", answer.text);
    assert!(garage.thing("front left tread").await.text.contains("Past its limit"));
}
