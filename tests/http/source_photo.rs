//! The photo of a source: chosen of the car's photos, brought in by a form without scripts, taken off again.
//! The form is `multipart/form-data` as RFC 7578 has it; what a browser sends for a file field that was left empty
//! (a part with an empty file name and no bytes) is from the HTML standard, 'multipart/form-data encoding algorithm'.

use crate::support::{Answer, Client, TestApp};
use axum::body::Body;
use axum::http::{Method, StatusCode, header};
use image::{DynamicImage, ImageFormat};
use std::io::Cursor;
use underlamp::ids::CarId;
use underlamp::photos::pipeline::MAX_BYTES;
use underlamp::photos::shelf::{Kind, Sha256Hex};
use underlamp::photos::store::noted_on_car;
use underlamp::specs::model::{Says, Spec};

const BOUNDARY: &str = "----between-the-parts-7c1f";
const BLOCKS: &[u8] = include_bytes!("data/blocks.png");

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
        let all = self.app.book(self.car).await;
        all.into_iter().find(|spec| spec.facts.item == item).unwrap()
    }

    /// What the first source of the wheel nuts' torque says: the one that has a photo.
    async fn nuts(&self) -> (Spec, Says) {
        let spec = self.spec("Wheel nuts").await;
        let says = spec.says.iter().find(|says| says.facts.written == "95 Nm").unwrap().clone();
        (spec, says)
    }

    /// The only source of the engine oil, which has no photo.
    async fn oil(&self) -> (Spec, Says) {
        let spec = self.spec("Engine oil").await;
        let says = spec.says[0].clone();
        (spec, says)
    }

    async fn noted(&self) -> Vec<String> {
        let noted = noted_on_car(&mut self.app.state.read.conn().await.unwrap(), self.car).await.unwrap();
        noted.into_iter().map(|one| one.sha256).collect()
    }

    fn path(&self, spec: &Spec, says: &Says, tail: &str) -> String {
        format!("/cars/{}/specs/{}/says/{}{tail}", self.car, spec.id, says.id)
    }

    async fn bring(&self, spec: &Spec, says: &Says, rev: i64, file: &[u8]) -> Answer {
        let path = self.path(spec, says, "/photo");
        self.send(&path, parts(&[("rev", None, rev.to_string().as_bytes()), ("file", Some("page.jpg"), file)])).await
    }

    async fn send(&self, path: &str, body: Vec<u8>) -> Answer {
        let request = self
            .desk
            .request(Method::POST, path)
            .header(header::ACCEPT, "text/html")
            .header(header::CONTENT_TYPE, format!("multipart/form-data; boundary={BOUNDARY}"));
        self.desk.send(request.body(Body::from(body)).unwrap()).await
    }
}

/// The body of a form: name, file name where it is a file, and bytes of each part.
fn parts(all: &[(&str, Option<&str>, &[u8])]) -> Vec<u8> {
    let mut body = Vec::new();
    for (name, file, bytes) in all {
        let file = file.map(|file| format!("; filename=\"{file}\"\r\nContent-Type: image/jpeg")).unwrap_or_default();
        let head = format!("--{BOUNDARY}\r\nContent-Disposition: form-data; name=\"{name}\"{file}\r\n\r\n");
        body.extend([head.as_bytes(), bytes, b"\r\n"].concat());
    }
    body.extend(format!("--{BOUNDARY}--\r\n").into_bytes());
    body
}

/// The fields of a source's form as its page sends them.
fn fields<'a>(says: &'a Says, rev: &'a str, photo: &'a str) -> Vec<(&'a str, &'a str)> {
    let facts = &says.facts;
    vec![
        ("rev", rev),
        ("written", &facts.written),
        ("source", facts.source.name()),
        ("citation", &facts.citation),
        ("page", &facts.page),
        ("says_note", &facts.note),
        ("photo", photo),
    ]
}

/// A JPEG that stands on its side: EXIF orientation 6 (CIPA DC-008, 4.6.4), 60 across and 40 down as stored.
fn on_its_side() -> Vec<u8> {
    let mut jpeg = Cursor::new(Vec::new());
    DynamicImage::new_rgb8(60, 40).write_to(&mut jpeg, ImageFormat::Jpeg).unwrap();
    let mut tiff = b"Exif\0\0MM\0\x2A\0\0\0\x08\0\x01\x01\x12\0\x03\0\0\0\x01\0\x06\0\0\0\0\0\0".to_vec();
    tiff.extend(b"Secret-7c1f");
    let length = u16::try_from(tiff.len() + 2).unwrap().to_be_bytes();
    let bytes = jpeg.into_inner();
    [&bytes[..2], &[0xFF, 0xE1], &length, &tiff, &bytes[2..]].concat()
}

#[tokio::test]
async fn the_demo_has_a_source_with_its_photo_at_the_desk_and_under_the_car() {
    let bench = Bench::open().await;
    let (spec, says) = bench.nuts().await;
    let sha = says.facts.photo.unwrap();
    let desk = bench.desk.get(&format!("/cars/{}/specs/{}", bench.car, spec.id)).await;
    assert!(desk.text.contains(&format!("<a href=\"/photos/{sha}/upright\"><img src=\"/photos/{sha}/upright\"")));
    let phone = bench.desk.get(&format!("/under/{}/specs", bench.car)).await;
    let thumb = phone.text.split("<img ").find(|tag| tag.contains(&format!("/photos/{sha}/thumb"))).unwrap();
    assert!(thumb.split('>').next().unwrap().contains("loading=\"lazy\""), "{thumb}");
    assert_eq!(bench.desk.get(&format!("/photos/{sha}/upright")).await.status, StatusCode::OK);
    let pack = bench.desk.get_json(&format!("/sync/pack/{}", bench.car)).await;
    assert_eq!(pack.status, StatusCode::OK);
    assert!(pack.text.contains("/thumb") && !pack.text.contains(sha.as_str()), "the pack brings the photo of a source");
}

#[tokio::test]
async fn a_photo_of_the_car_is_chosen_and_let_go_of_in_the_form_of_the_source() {
    let bench = Bench::open().await;
    let (spec, says) = bench.oil().await;
    let noted = bench.noted().await;
    let page = bench.desk.get(&bench.path(&spec, &says, "")).await;
    for sha in &noted {
        assert!(page.text.contains(&format!("type=\"radio\" name=\"photo\" value=\"{sha}\"")), "{sha}");
    }
    let of_another = bench.nuts().await.1.facts.photo.unwrap();
    assert!(page.text.contains(&format!("value=\"{of_another}\"")), "one page of a manual holds several values");

    let path = bench.path(&spec, &says, "");
    let rev = spec.rev.to_string();
    let answer = bench.desk.post_form(&path, &fields(&says, &rev, &noted[0])).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    let (changed, now) = bench.oil().await;
    assert_eq!(now.facts.photo.as_ref().map(Sha256Hex::as_str), Some(noted[0].as_str()));
    let page = bench.desk.get(&path).await;
    assert!(page.text.contains(&format!("value=\"{}\" checked", noted[0])));

    let stale = bench.desk.post_form(&path, &fields(&says, &rev, "")).await;
    assert_eq!(stale.status, StatusCode::CONFLICT);
    assert_eq!(bench.oil().await.1.facts.photo, now.facts.photo, "somebody else's photo was lost");

    let rev = changed.rev.to_string();
    assert_eq!(bench.desk.post_form(&path, &fields(&says, &rev, "")).await.status, StatusCode::SEE_OTHER);
    assert_eq!(bench.oil().await.1.facts, says.facts);
}

#[tokio::test]
async fn a_source_is_added_with_a_photo_or_on_the_way_to_one() {
    let bench = Bench::open().await;
    let (spec, says) = bench.oil().await;
    let noted = bench.noted().await;
    let path = format!("/cars/{}/specs/{}/says", bench.car, spec.id);
    let answer = bench.desk.post_form(&path, &fields(&says, "1", &noted[0])).await;
    assert_eq!(answer.location(), format!("/cars/{}/specs/{}", bench.car, spec.id));
    let added = bench.spec("Engine oil").await.says.pop().unwrap();
    assert_eq!(added.facts.photo.map(String::from), Some(noted[0].clone()));

    let mut on_the_way = fields(&says, "1", "");
    on_the_way.push(("then", "photo"));
    let answer = bench.desk.post_form(&path, &on_the_way).await;
    let added = bench.spec("Engine oil").await.says.pop().unwrap();
    assert_eq!(answer.location(), bench.path(&spec, &added, "#photo"));
    assert_eq!(added.facts.photo, None);
}

#[tokio::test]
async fn a_photo_that_is_not_the_car_s_is_not_taken() {
    let bench = Bench::open().await;
    let (spec, says) = bench.oil().await;
    let rev = spec.rev.to_string();
    let unknown = "0".repeat(64);
    for photo in [unknown.as_str(), "../../etc/passwd", "page.jpg", " "] {
        for path in [bench.path(&spec, &says, ""), format!("/cars/{}/specs/{}/says", bench.car, spec.id)] {
            let answer = bench.desk.post_form(&path, &fields(&says, &rev, photo)).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{path} {photo}");
            assert!(answer.text.contains("Choose one of the photos of this car"), "{path} {photo}");
        }
    }
    assert!(bench.spec("Engine oil").await == spec);
}

#[tokio::test]
async fn a_picture_brought_in_stands_upright_keeps_no_secret_and_comes_off_again() {
    let bench = Bench::open().await;
    let (spec, says) = bench.oil().await;
    let sent = on_its_side();
    let answer = bench.bring(&spec, &says, spec.rev, &sent).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    let (spec, says) = bench.oil().await;
    let sha = says.facts.photo.clone().unwrap();
    assert_eq!(sha, Sha256Hex::of(&sent));
    for (kind, size) in [(Kind::Upright, (40, 60)), (Kind::Thumb, (40, 60)), (Kind::Original, (60, 40))] {
        let file = bench.app.state.photos.read(&sha, kind).await.unwrap().unwrap();
        let bytes = std::fs::read(file.path).unwrap();
        let picture = image::load_from_memory(&bytes).unwrap();
        assert_eq!((picture.width(), picture.height()), size, "{kind:?}");
        assert!(!bytes.windows(6).any(|some| some == b"Secret"), "{kind:?}");
    }

    let path = bench.path(&spec, &says, "/photo/remove");
    let stale = (spec.rev - 1).to_string();
    assert_eq!(bench.desk.post_form(&path, &[("rev", &stale)]).await.status, StatusCode::CONFLICT);
    assert!(bench.oil().await.1.facts.photo.is_some());
    let answer = bench.desk.post_form(&path, &[("rev", &spec.rev.to_string())]).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
    assert_eq!(bench.oil().await.1.facts.photo, None);
}

#[tokio::test]
async fn what_is_no_photo_is_refused_in_words_at_its_field() {
    let bench = Bench::open().await;
    let (spec, says) = bench.oil().await;
    let too_large = vec![0xFF; usize::try_from(MAX_BYTES).unwrap() + 1];
    let cases: [(&[u8], &str); 6] = [
        (b"Tighten to 95 Nm.", "This file is not a picture."),
        (b"", "Choose a picture first"),
        (&too_large, "This file is too large. A photo may be up to 40 MiB."),
        (&on_its_side()[..200], "This picture"),
        (&BLOCKS[..BLOCKS.len() / 2], "part of it is missing"),
        (b"GIF89a", "This is a GIF."),
    ];
    let shelf = bench.app.state.photos.list().await.unwrap();
    for (file, say) in cases {
        let answer = bench.bring(&spec, &says, spec.rev, file).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{say}");
        assert!(answer.text.contains("id=\"f-file-error\"") && answer.text.contains(say), "{say}");
    }
    assert!(bench.spec("Engine oil").await == spec);
    assert_eq!(bench.app.state.photos.list().await.unwrap(), shelf);
}

#[tokio::test]
async fn a_form_that_is_no_form_or_is_stale_or_for_another_spec_brings_nothing_in() {
    let bench = Bench::open().await;
    let (spec, says) = bench.oil().await;
    let path = bench.path(&spec, &says, "/photo");
    let rev = spec.rev.to_string();
    let file = ("file", Some("a.png"), BLOCKS);
    let bodies = [
        b"no parts at all".to_vec(),
        parts(&[]),
        parts(&[file]),
        parts(&[("rev", None, b"yesterday"), file]),
        parts(&[("rev", None, &[b'1'; 500]), file]),
        parts(&[("rev", None, rev.as_bytes()), ("sha256", None, b"0"), file]),
        parts(&[("rev", None, rev.as_bytes()), file])[..300].to_vec(),
    ];
    for body in bodies {
        let answer = bench.send(&path, body.clone()).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", String::from_utf8_lossy(&body));
    }
    let plain = bench.desk.post_form(&path, &[("rev", &rev)]).await;
    assert_eq!(plain.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(bench.bring(&spec, &says, spec.rev - 1, BLOCKS).await.status, StatusCode::CONFLICT);
    let (nuts, _) = bench.nuts().await;
    assert_eq!(bench.bring(&nuts, &says, nuts.rev, BLOCKS).await.status, StatusCode::NOT_FOUND);
    assert!(bench.spec("Engine oil").await == spec);
    let stored = bench.app.state.photos.read(&Sha256Hex::of(BLOCKS), Kind::Original).await.unwrap();
    assert!(stored.is_none(), "a refused form left its picture on the shelf");
}
