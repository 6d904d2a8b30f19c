//! The marking reader, as a browser without script uses it.

use crate::support::{Answer, TestApp};
use axum::http::{StatusCode, header};

async fn read(fields: &[(&str, &str)]) -> Answer {
    let app = TestApp::start().await;
    app.owner().await.post_form("/markings", fields).await
}

#[tokio::test]
async fn a_marking_is_read_with_its_meaning_and_its_source() {
    // Sources: 49 CFR 571.116 (brake fluids), ISO 898-1 (bolts), DIN 72552 (terminals).
    for (marking, subject, source) in
        [("DOT 4", "Brake fluid", "571.116"), ("8.8", "Bolt or nut", "ISO 898-1"), ("87a", "Terminal", "DIN 72552")]
    {
        let page = read(&[("marking", marking)]).await;
        assert_eq!(page.status, StatusCode::OK);
        for words in [subject, source, marking, "What it means"] {
            assert!(page.text.contains(words), "{marking}: {words}");
        }
    }
    let page = read(&[("marking", "87a")]).await.text;
    assert!(page.contains("trust--guess") && page.contains("from memory"), "its standing is shown");
}

#[tokio::test]
async fn what_nobody_knows_is_said_to_be_not_known() {
    let page = read(&[("marking", "SUPER 2000")]).await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text.contains("Not known: no public standard"));
    let hostile = read(&[("marking", "<b>\"8.8\" & 'x'")]).await;
    assert!(!hostile.text.contains("<b>\"8.8"));
}

/// Source of the number: 49 CFR 565.15(c), its own example.
#[tokio::test]
async fn a_vehicle_number_is_checked_and_kept_nowhere() {
    let page = read(&[("marking", "1M8GDM9AXKP042788")]).await;
    assert!(page.text.contains("the check digit fits the others"));
    assert_eq!(page.headers[header::CACHE_CONTROL], "no-store");
    let slip = read(&[("marking", "1M8GDM9AXKP0427O8")]).await.text;
    assert!(slip.contains("I, O and Q are never used") && slip.contains("Is it 0?"), "{slip}");
    let slip = read(&[("marking", "VIN IM8GDM9AXKP042788")]).await.text;
    assert!(slip.contains("Is it 1?"), "{slip}");
    // The page takes no marking from an address, where logs and histories would keep it.
    let app = TestApp::start().await;
    let asked = app.owner().await.get("/markings?marking=1M8GDM9AXKP042788").await;
    assert_eq!(asked.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(!asked.text.contains("1M8GDM9AXKP042788"));
}

#[tokio::test]
async fn a_measured_thread_is_named_with_its_doubts() {
    let page = read(&[("outside", "9.85 mm"), ("pitch", "1.25")]).await.text;
    assert!(page.contains("M10×1.25") && page.contains("Fits") && page.contains("hint only"));
    let page = read(&[("outside", "4.8 mm"), ("pitch", "0.8 mm")]).await.text;
    assert!(page.contains("M5×0.8") && page.contains("#10-32 UNF") && page.contains("Cannot be ruled out"));
    let page = read(&[("outside", "13.1 mm"), ("pitch", "1.5 mm")]).await.text;
    assert!(page.contains("No thread that is known here"));
}

#[tokio::test]
async fn nonsense_is_told_at_its_field() {
    for (fields, say) in [
        (&[("marking", " ")][..], "Write what stands there"),
        (&[("marking", &"8".repeat(121))], "At most 120 letters"),
        (&[("outside", "9.85 Nm"), ("pitch", "1.25")], "is a unit for a torque"),
        (&[("outside", "thick"), ("pitch", "1.25")], "thick"),
        (&[("outside", "9.85 mm"), ("pitch", "12 mm")], "is no pitch of a bolt"),
        (&[("outside", "9.85 mm"), ("pitch", "fine")], "is not a pitch"),
        (&[], "f-outside-error"),
        (&[("engine", "x")], ""),
    ] {
        let page = read(fields).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(page.text.contains(say), "{fields:?}: {say}");
    }
}

#[tokio::test]
async fn the_way_back_leads_to_the_book_that_one_came_from() {
    let app = TestApp::demo().await;
    let desk = app.owner().await;
    let car = app.demo_car().await;
    let book = desk.get(&format!("/cars/{car}/specs")).await.text;
    assert!(book.contains(&format!("href=\"/markings?car={car}\"")));
    let page = desk.post_form(&format!("/markings?car={car}"), &[("marking", "DOT 4")]).await.text;
    assert!(page.contains(&format!("action=\"/markings?car={car}\"")));
    let nobody = desk.get("/markings?car=01890a5d-ac96-774b-bcce-b302099a8057").await;
    assert_eq!(nobody.status, StatusCode::NOT_FOUND);
}
