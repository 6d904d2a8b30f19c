//! The check trees on the phone: one page, walked by its own links, each way ending in a finding.

use crate::support::TestApp;
use axum::http::StatusCode;
use std::collections::HashSet;

/// What stands between `before` and the next quotation mark, each time.
fn all<'a>(text: &'a str, before: &'a str) -> Vec<&'a str> {
    text.split(before).skip(1).filter_map(|rest| rest.split('"').next()).collect()
}

#[tokio::test]
async fn every_answer_leads_to_a_question_or_an_end_of_the_page() {
    let app = TestApp::demo().await;
    let phone = app.phone().await;
    let page = phone.get(&format!("/under/{}/checks", app.demo_car().await)).await;
    assert_eq!(page.status, StatusCode::OK);
    let ids: Vec<&str> = all(&page.text, "id=\"");
    let known: HashSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), known.len(), "no name is there twice");
    let links = all(&page.text, "href=\"#");
    assert!(links.len() > 200, "{}", links.len());
    for link in links {
        assert!(known.contains(link), "#{link} leads nowhere");
    }
    for words in ["Cannot tell", "Ask a workshop:", "Caution:", "proves nothing", "The oil warning lamp comes on"] {
        assert!(page.text.contains(words), "{words}");
    }
}

#[tokio::test]
async fn the_trees_are_part_of_the_copy_and_an_end_is_kept_as_a_finding() {
    let app = TestApp::demo().await;
    let (phone, car) = (app.phone().await, app.demo_car().await);
    let checks = format!("/under/{car}/checks");
    let pack = phone.get_json(&format!("/sync/pack/{car}")).await.json();
    let pages = pack["pages"].as_array().unwrap();
    assert!(pages.iter().any(|page| page["url"] == checks.as_str()), "{pages:?}");
    let page = phone.get(&checks).await.text;
    let form =
        page.split("<form method=\"post\"").find(|form| form.contains("value=\"A brake binds on one side.\"")).unwrap();
    let value = |name: &str| {
        let field = form.split(&format!("name=\"{name}\" value=\"")).nth(1).unwrap();
        field.split('"').next().unwrap().to_owned()
    };
    let fields = ["what", "back", "text", "place", "weight"].map(|name| (name, value(name)));
    let fields = fields.each_ref().map(|(name, value)| (*name, value.as_str()));
    let kept = phone.post_form(&format!("/under/{car}/do"), &fields).await;
    assert_eq!(kept.status, StatusCode::SEE_OTHER, "{}", kept.text);
    let logbook = phone.get(&format!("/cars/{car}/logbook")).await.text;
    assert!(logbook.contains("A brake binds on one side."));
}
