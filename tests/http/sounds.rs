//! Symptoms, and clips of sound held against what turns on the car, as a browser without scripts uses them. The demo's clips are
//! invented: an alternator of 12 poles at 2.371 turns to one of an engine that idles at 852 turns a minute.

use crate::support::{Answer, Client, TestApp};
use axum::body::Body;
use axum::http::{Method, StatusCode, header};
use underlamp::ids::CarId;

const BOUNDARY: &str = "----between-the-parts-51d0";
const WHINE: &[u8] = include_bytes!("../published/data/whine_before.wav");

struct Garage {
    app: TestApp,
    desk: Client,
    car: CarId,
    sounds: String,
}

impl Garage {
    async fn open() -> Garage {
        let app = TestApp::demo().await;
        let desk = app.owner().await;
        let car = app.demo_car().await;
        Garage { app, desk, car, sounds: format!("/cars/{car}/sounds") }
    }

    async fn bring(&self, caption: &str, file: &[u8]) -> Answer {
        let mut body = Vec::new();
        for (head, bytes) in [
            ("name=\"caption\"", caption.as_bytes()),
            ("name=\"file\"; filename=\"clip.wav\"\r\nContent-Type: audio/wav", file),
        ] {
            body.extend(format!("--{BOUNDARY}\r\nContent-Disposition: form-data; {head}\r\n\r\n").into_bytes());
            body.extend([bytes, b"\r\n"].concat());
        }
        body.extend(format!("--{BOUNDARY}--\r\n").into_bytes());
        let request = self
            .desk
            .request(Method::POST, &self.sounds)
            .header(header::ACCEPT, "text/html")
            .header(header::CONTENT_TYPE, format!("multipart/form-data; boundary={BOUNDARY}"));
        self.desk.send(request.body(Body::from(body)).unwrap()).await
    }

    /// The address of the clip whose link has these words.
    async fn clip(&self, words: &str) -> String {
        let list = self.desk.get(&self.sounds).await.text;
        let before = list.split(words).next().unwrap();
        let href = before.rsplit("href=\"").next().unwrap();
        href.split('"').next().unwrap().to_owned()
    }

    async fn part(&self, fields: &[(&str, &str)]) -> Answer {
        let all = ["name", "shaft", "drive", "driver", "driven", "counts", "bearing"];
        let value = |name: &str| fields.iter().find(|(known, _)| *known == name).map_or("", |(_, value)| *value);
        let form: Vec<(&str, &str)> = all.into_iter().map(|name| (name, value(name))).collect();
        self.desk.post_form(&format!("{}/parts", self.sounds), &form).await
    }
}

#[tokio::test]
async fn the_demo_clip_points_at_the_alternator_and_says_why_and_how_sure() {
    let garage = Garage::open().await;
    let page = garage.desk.get(&garage.clip("Whine at idle").await).await;
    assert_eq!(page.status, StatusCode::OK);
    let fits = page.text.split("Does not fit").next().unwrap();
    let first = fits.split("<ol class=\"rows\">").nth(1).unwrap();
    assert!(first.trim_start().starts_with("<li class=\"row\"><p class=\"row__what\">Alternator"), "{first}");
    for words in
        ["Poles: expected at", "By chance a part would fit as well", "A shortlist, no verdict", "turns a minute"]
    {
        assert!(page.text.contains(words), "{words}\n{}", page.text);
    }
    assert!(!page.text.to_lowercase().contains("defect"));
}

#[tokio::test]
async fn a_clip_that_is_brought_in_is_heard_played_and_drawn() {
    let garage = Garage::open().await;
    let answer = garage.bring("Whine, warm", WHINE).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    let clip = answer.location().to_owned();
    let page = garage.desk.get(&clip).await;
    // 14.5 turns a second, and its whine at 28.44 of them: 412 Hz.
    for words in ["870 turns a minute", "412 Hz", "28.4", "Read off the firing"] {
        assert!(page.text.contains(words), "{words}\n{}", page.text);
    }
    assert_eq!(garage.desk.get(&format!("{clip}/sound.wav")).await.status, StatusCode::OK);
    let picture = garage.desk.get(&format!("{clip}/levels.png?top=2000")).await;
    assert_eq!(picture.status, StatusCode::OK);
    for top in ["0", "4294967295"] {
        assert_eq!(garage.desk.get(&format!("{clip}/levels.png?top={top}")).await.status, StatusCode::OK, "{top}");
    }
    assert_ne!(garage.desk.get(&format!("{clip}/levels.png?top=loud")).await.status, StatusCode::OK);
    let logbook = garage.desk.get(&format!("/cars/{}/logbook", garage.car)).await.text;
    assert!(logbook.contains("Whine, warm") && logbook.contains("clip of sound"));
}

#[tokio::test]
async fn what_is_no_clip_is_asked_back_and_nothing_is_kept() {
    let garage = Garage::open().await;
    let short = &WHINE[..20_000];
    for (caption, file, words) in [
        ("Whine", &b"ID3 music"[..], "This is no WAV file"),
        ("Whine", &b""[..], "Choose the WAV file"),
        ("Whine", short, "ends too soon"),
        (" ", WHINE, "Say what is heard"),
    ] {
        let answer = garage.bring(caption, file).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{caption} {words}");
        assert!(answer.text.contains(words), "{words}\n{}", answer.text);
    }
    let large = vec![0; underlamp::sounds::wav::MOST_BYTES + 1];
    let answer = garage.bring("Whine", &large).await;
    assert!(answer.text.contains("larger than"), "{}", answer.status);
    let list = garage.desk.get(&garage.sounds).await.text;
    assert_eq!(list.matches(" · 4 s").count(), 2, "the two of the demo");
}

#[tokio::test]
async fn a_speed_that_is_entered_is_reckoned_with_and_one_that_cannot_be_is_asked_back() {
    let garage = Garage::open().await;
    let clip = garage.clip("Whine at idle").await;
    let speeds =
        |turns, road, rev| [("turns", turns), ("turns_give", ""), ("road", road), ("road_give", ""), ("rev", rev)];
    let refused = garage.desk.post_form(&clip, &speeds("fast", "", "1")).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("is no number, such as 820"), "{}", refused.text);
    let impossible = garage.desk.post_form(&clip, &speeds("90", "900", "1")).await;
    assert!(impossible.text.contains("from 300 to 9000") && impossible.text.contains("from 5 to 200"));
    let kept = garage.desk.post_form(&clip, &speeds("850", "60", "1")).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    let late = garage.desk.post_form(&clip, &speeds("900", "", "1")).await;
    assert_eq!(late.status, StatusCode::CONFLICT);
    let page = garage.desk.get(&clip).await.text;
    assert!(!page.contains("The speed of its shaft is not known"), "the wheel’s follows from the road");
}

#[tokio::test]
async fn a_part_is_added_changed_and_taken_out() {
    let garage = Garage::open().await;
    let pump = [
        ("name", "steering pump"),
        ("shaft", "crank"),
        ("drive", "belt"),
        ("driver", "147 mm"),
        ("counts", "10 vanes"),
    ];
    let refused = garage.part(&pump).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "its own pulley is missing");
    let whole = [&pump[..], &[("driven", "120 mm")]].concat();
    assert_eq!(garage.part(&whole).await.status, StatusCode::SEE_OTHER);
    let list = garage.desk.get(&garage.sounds).await.text;
    assert!(list.contains("vanes 12.25"), "{list}");
    let part = garage.clip("Steering pump").await;
    let mut change = whole.clone();
    change.retain(|(name, _)| *name != "counts");
    change.extend([("counts", "9 vanes"), ("bearing", ""), ("rev", "1")]);
    assert_eq!(garage.desk.post_form(&part, &change).await.status, StatusCode::SEE_OTHER);
    let collided = garage.desk.post_form(&part, &change).await;
    assert_eq!(collided.status, StatusCode::CONFLICT);
    assert!(collided.text.contains("This was changed meanwhile"));
    let gone = garage.desk.post_form(&format!("{part}/remove"), &[]).await;
    assert_eq!(gone.status, StatusCode::SEE_OTHER);
    assert_eq!(garage.desk.get(&part).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn what_a_part_is_and_cannot_be_is_told_at_its_field() {
    let garage = Garage::open().await;
    let base = [("name", "idler"), ("shaft", "crank"), ("drive", "direct")];
    for (field, value, words) in [
        ("counts", "many poles", "is no whole number"),
        ("counts", "12 wheels", "Known: teeth"),
        ("bearing", "9 balls", "is no bearing"),
        ("bearing", "40 of 10 mm on 40 mm", "side by side"),
    ] {
        let answer = garage.part(&[&base[..], &[(field, value)]].concat()).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{value}");
        assert!(answer.text.contains(words), "{words}\n{}", answer.text);
    }
    assert_eq!(garage.part(&[("name", "idler")]).await.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn before_and_after_say_what_became_of_each_tone() {
    let garage = Garage::open().await;
    let (before, after) = (garage.clip("Whine at idle").await, garage.clip("Idle after").await);
    let sha = after.rsplit('/').next().unwrap();
    let page = garage.desk.get(&format!("{before}/beside?after={sha}")).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text);
    for words in ["Gone", "Still there", "matched by how often they come in a turn", "does not prove the repair"] {
        assert!(page.text.contains(words), "{words}\n{}", page.text);
    }
    assert_eq!(garage.desk.get(&format!("{before}/beside?after=nothing")).await.status, StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_clip_of_another_car_is_not_here() {
    let garage = Garage::open().await;
    let sha = garage.clip("Whine at idle").await.rsplit('/').next().unwrap().to_owned();
    let other = format!("/cars/{}/sounds", CarId::new());
    for path in [other.clone(), format!("{other}/{sha}"), format!("{other}/{sha}/sound.wav")] {
        assert_eq!(garage.desk.get(&path).await.status, StatusCode::NOT_FOUND, "{path}");
    }
    let stranger = garage.app.stranger().get(&garage.sounds).await;
    assert_eq!((stranger.status, stranger.location()), (StatusCode::SEE_OTHER, "/pair"));
}

#[tokio::test]
async fn a_symptom_is_kept_at_the_desk_and_under_the_car_and_stands_in_the_logbook() {
    let garage = Garage::open().await;
    let symptoms = format!("/cars/{}/symptoms", garage.car);
    let typed = |kind, text| {
        [("kind", kind), ("text", text), ("when", "in rain"), ("heat", "cold"), ("speed", "idle"), ("load", "standing")]
    };
    let refused = garage.desk.post_form(&symptoms, &typed("music", "squeal")).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("Say what it is") && refused.text.contains("squeal"), "{}", refused.text);
    assert_eq!(garage.desk.post_form(&symptoms, &typed("noise", " ")).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(garage.desk.post_form(&symptoms, &typed("noise", "belt squeals")).await.status, StatusCode::SEE_OTHER);
    let under = format!("/under/{}/do", garage.car);
    let phone = [&[("what", "symptom"), ("back", "note")][..], &typed("leak", "drips below the radiator")].concat();
    let phone = garage.desk.post_form(&under, &phone).await;
    assert_eq!(phone.status, StatusCode::SEE_OTHER, "{}", phone.text);
    let logbook = format!("/cars/{}/logbook", garage.car);
    for path in [symptoms.as_str(), logbook.as_str()] {
        let page = garage.desk.get(path).await.text;
        for words in ["Noise: belt squeals", "Leak: drips below the radiator", "cold only · standing · idle · in rain"]
        {
            assert!(page.contains(words), "{path} {words}\n{page}");
        }
    }
}
