//! The parts of the app that make it installable and able to start without the server: the service
//! worker, the manifest, the page shown when something is not on the phone, and the greeting.

use super::assets;
use super::page::{Page, show};
use crate::app::DoorState;
use crate::error::AppError;
use crate::plan::pages::example;
use crate::plan::pages::timeline::Night;
use crate::specs::bolts::Drawing;
use crate::trade::bolt_order::{Pattern, Shape};
use crate::trade::fluid::{Colour, Particles, Smell};
use crate::web::car_picture::CarPicture;
use askama::Template;
use axum::Json;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use serde_json::json;

/// `GET /sw.js`: the build and the list of files are written on top, so that any change changes the bytes.
pub async fn worker() -> Result<Response, AppError> {
    let script = assets::bytes("sw.js").ok_or(AppError::NotFound("service worker"))?;
    let mut files = assets::shell();
    files.push("/offline".into());
    let head = format!(
        "const BUILD = {};\nconst SHELL = {};\n",
        serde_json::to_string(assets::BUILD).map_err(AppError::internal)?,
        serde_json::to_string(&files).map_err(AppError::internal)?,
    );
    let mut text = head.into_bytes();
    text.extend_from_slice(&script);
    let headers = [(header::CONTENT_TYPE, "text/javascript; charset=utf-8"), (header::CACHE_CONTROL, "no-cache")];
    Ok((headers, text).into_response())
}

/// `GET /manifest.webmanifest`
pub async fn manifest() -> Response {
    let icon = |file: &str, sizes: &str, kind: &str, purpose: &str| json!({ "src": assets::url(&format!("icons/{file}")), "sizes": sizes, "type": kind, "purpose": purpose });
    let manifest = json!({
        "name": "Underlamp",
        "short_name": "Underlamp",
        "id": "/under",
        "start_url": "/under",
        "scope": "/",
        "display": "standalone",
        "background_color": "#f3efe2",
        "theme_color": "#12263f",
        "icons": [
            icon("app.svg", "any", "image/svg+xml", "any"),
            icon("app-192.png", "192x192", "image/png", "any"),
            icon("app-512.png", "512x512", "image/png", "any"),
            icon("app-maskable-512.png", "512x512", "image/png", "maskable"),
        ],
    });
    ([(header::CONTENT_TYPE, "application/manifest+json")], manifest.to_string()).into_response()
}

#[derive(Template)]
#[template(path = "web/offline.html")]
struct OfflinePage {
    page: Page,
}

/// `GET /offline`: what the worker shows when a page is neither on the phone nor to be had.
pub async fn offline(page: Page) -> Result<Response, AppError> {
    show(&OfflinePage { page: page.script("offline") })
}

/// `GET /healthz`: says that this is an Underlamp and nothing else.
///
/// The guide that teaches a phone to trust this garage asks it from another origin, to see whether it worked.
pub async fn healthz(State(state): State<DoorState>) -> Response {
    let anyone_may_ask = [("cross-origin-resource-policy", "cross-origin")];
    (anyone_may_ask, Json(json!({ "underlamp": true, "now": state.clock.now().0 }))).into_response()
}

#[derive(Template)]
#[template(path = "plates/plates.html")]
struct PlatesPage {
    page: Page,
    picture: CarPicture,
    bolts: Vec<Drawing>,
    evenings: Vec<Night>,
}

/// `GET /plates`: every component of the look in every state.
pub async fn plates(page: Page) -> Result<Response, AppError> {
    // One of everything that it can show.
    let true_now = ["jacked:rear end", "stands:front end", "wheel-off:front left wheel"].into_iter().collect();
    let mut picture = CarPicture::of([], &true_now);
    for (zone, count) in picture.zones.iter_mut().zip([1, 0, 0, 2]) {
        zone.count = count;
    }
    let shapes = [(Shape::Ring, 5), (Shape::Oval, 12), (Shape::Row, 6), (Shape::TwoRows, 10)];
    let drawn = |(shape, count)| Pattern::by_rule(shape, count).ok().map(|pattern| Drawing::of(&pattern));
    let bolts = shapes.into_iter().filter_map(drawn).collect();
    show(&PlatesPage { page, picture, bolts, evenings: example::evenings() })
}

/// `GET /favicon.ico`
pub async fn favicon() -> Redirect {
    Redirect::permanent(&assets::url("icons/app.svg"))
}

/// `GET /.well-known/…` and other questions that browsers ask on their own have no page here.
pub async fn nothing_here() -> AppError {
    AppError::NotFound("such page")
}
