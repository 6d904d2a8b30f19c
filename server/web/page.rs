//! The frame around every page, and problems told as pages.

use crate::access::Paired;
use crate::app::Site;
use crate::error::{AppError, Problem};
use crate::ids::CarId;
use crate::web::assets;
use askama::Template;
use axum::extract::{FromRef, FromRequestParts, Request, State};
use axum::http::request::Parts;
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{Html, IntoResponse, Response};
use axum_extra::extract::CookieJar;

/// A word in the desk's navigation.
#[derive(Debug, Clone)]
pub struct NavItem {
    pub href: String,
    pub label: &'static str,
    pub current: bool,
}

/// The places of the desk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    Car,
    Plan,
    Survey,
    BuyList,
    SpecBook,
    Logbook,
    Upkeep,
}

/// The four words at the bottom edge of the phone.
#[derive(Debug, Clone)]
pub struct UnderBar {
    pub card: String,
    pub loose: String,
    pub specs: String,
    pub note: String,
    /// `card`, `loose`, `specs` or `note`
    pub current: &'static str,
}

/// What the page frames (`base.html`, `phone.html`) show around a page's own part.
#[derive(Debug, Clone)]
pub struct Page {
    pub scheme: &'static str,
    pub nav: Vec<NavItem>,
    pub car_name: Option<String>,
    /// The page's script module; empty for none.
    pub script: &'static str,
    pub build: &'static str,
    pub device: String,
    /// What the device is called that the page is shown on.
    pub device_name: String,
    pub car: String,
    pub canonical: String,
    pub kept: bool,
    pub paired: bool,
    pub under: Option<UnderBar>,
}

impl Page {
    /// A page drawn for no browser in particular: what the tags of the copy on a phone are made from.
    pub fn for_nobody() -> Page {
        Page {
            scheme: "auto",
            nav: Vec::new(),
            car_name: None,
            script: "",
            build: assets::BUILD,
            device: String::new(),
            device_name: String::new(),
            car: String::new(),
            canonical: String::new(),
            kept: false,
            paired: false,
            under: None,
        }
    }

    /// The address of an asset of this build.
    pub fn asset(&self, path: &str) -> String {
        assets::url(path)
    }

    /// Names the script module that the page starts.
    pub fn script(mut self, name: &'static str) -> Page {
        self.script = name;
        self
    }

    /// A page at the desk about one car.
    pub fn at_desk(mut self, car: CarId, name: &str, place: Place) -> Page {
        self.car = car.to_string();
        self.car_name = Some(name.to_owned());
        let item =
            |at: Place, label, tail: &str| NavItem { href: format!("/cars/{car}{tail}"), label, current: at == place };
        self.nav = vec![
            item(Place::Car, "Car", ""),
            item(Place::Survey, "Survey", "/survey"),
            item(Place::Plan, "Plan", "/plan"),
            item(Place::BuyList, "Buy list", "/buy-list"),
            item(Place::SpecBook, "Spec book", "/specs"),
            item(Place::Logbook, "Logbook", "/logbook"),
            item(Place::Upkeep, "Upkeep", "/upkeep"),
        ];
        self
    }

    /// A page on the phone about one car. `card` is where the word Card leads.
    pub fn under_car(mut self, car: CarId, name: &str, card: Option<String>, current: &'static str) -> Page {
        self.car = car.to_string();
        self.car_name = Some(name.to_owned());
        self.under = Some(UnderBar {
            card: card.unwrap_or_else(|| format!("/under/{car}")),
            loose: format!("/under/{car}/loose"),
            specs: format!("/under/{car}/specs"),
            note: format!("/under/{car}/note"),
            current,
        });
        self
    }
}

/// The colour scheme chosen in this browser.
fn scheme(jar: &CookieJar) -> &'static str {
    match jar.get("scheme").map(|cookie| cookie.value()) {
        Some("day") => "day",
        Some("night") => "night",
        Some("lamp") => "lamp",
        _ => "auto",
    }
}

impl<S> FromRequestParts<S> for Page
where
    S: Send + Sync,
    Site: FromRef<S>,
{
    type Rejection = std::convert::Infallible;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Page, Self::Rejection> {
        let site = Site::from_ref(state);
        let paired = parts.extensions.get::<Paired>();
        Ok(Page {
            scheme: scheme(&CookieJar::from_headers(&parts.headers)),
            nav: Vec::new(),
            car_name: None,
            script: "",
            build: assets::BUILD,
            device: paired.map(|paired| paired.device.to_string()).unwrap_or_default(),
            device_name: paired.map(|paired| paired.name.clone()).unwrap_or_default(),
            car: String::new(),
            canonical: site.canonical.clone(),
            kept: paired.is_some_and(|paired| paired.kept_something),
            paired: paired.is_some(),
            under: None,
        })
    }
}

/// A rendered template as an answer.
pub fn show(template: &impl Template) -> Result<Response, AppError> {
    Ok(Html(template.render()?).into_response())
}

/// A form shown again, with what was wrong with it.
pub fn show_again(template: &impl Template) -> Result<Response, AppError> {
    Ok((StatusCode::UNPROCESSABLE_ENTITY, Html(template.render()?)).into_response())
}

#[derive(Template)]
#[template(path = "web/problem.html")]
struct ProblemPage {
    page: Page,
    problem: Problem,
}

/// Tells problems as pages to whoever asked for a page; programs keep the problem details.
pub async fn problems_as_pages(State(site): State<Site>, request: Request, next: Next) -> Response {
    let for_a_person = request
        .headers()
        .get(header::ACCEPT)
        .and_then(|accept| accept.to_str().ok())
        .is_some_and(|accept| accept.contains("text/html"));
    let (mut parts, body) = request.into_parts();
    let Ok(page) = Page::from_request_parts(&mut parts, &site).await;
    let mut response = next.run(Request::from_parts(parts, body)).await;
    if !for_a_person {
        return response;
    }
    let Some(problem) = response.extensions_mut().remove::<Problem>() else {
        return response;
    };
    let status = response.status();
    let Ok(text) = (ProblemPage { page, problem }).render() else {
        return response;
    };
    let mut answer = (status, Html(text)).into_response();
    answer.headers_mut().insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    answer
}
