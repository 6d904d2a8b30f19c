//! What is served over plain HTTP on the home network: the authority's certificate, the guide to
//! trusting it, and for everything else the way to the app.
//!
//! Nothing here reads or sets a cookie, redirects, or asks for HTTPS for ever: a redirect would
//! carry a person past the guide into a warning, and a browser that remembers 'always HTTPS' for a
//! name could not open this page again when it is needed most.

use std::net::IpAddr;
use std::sync::Arc;

use askama::Template;
use axum::Router;
use axum::extract::rejection::QueryRejection;
use axum::extract::{Query, Request, State};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::middleware::{self, Next};
use axum::response::{Html, IntoResponse, Response};
use axum::routing::get;
use serde::Deserialize;
use tokio::sync::watch;

use super::guide::{CERTIFICATE_PATH, CERTIFICATE_TEXT_PATH, Device, ElsewherePage, Probes, Trust, TrustPage};
use super::{Address, Names};

const STYLE: &str = include_str!("../../static/css/trust.css");
const SCRIPT: &str = include_str!("../../static/js/trust.js");

/// What the plain pages tell.
#[derive(Clone)]
pub struct Plain {
    pub address: Address,
    /// Follows the machine as its addresses change.
    pub names: watch::Receiver<Names>,
    /// `None` if the owner brought a certificate.
    pub trust: Option<Trust>,
}

/// Every plain URL.
pub fn router(plain: Plain) -> Router {
    Router::new()
        .route("/", get(guide))
        .route(CERTIFICATE_PATH, get(certificate))
        .route(CERTIFICATE_TEXT_PATH, get(certificate_text))
        .route("/trust.css", get(style))
        .route("/trust.js", get(script))
        .route("/alive", get(alive))
        .fallback(elsewhere)
        .method_not_allowed_fallback(elsewhere)
        .layer(middleware::from_fn(harden))
        .with_state(Arc::new(plain))
}

#[derive(Default, Deserialize)]
struct Choice {
    #[serde(rename = "for")]
    device: Option<String>,
}

async fn guide(
    State(plain): State<Arc<Plain>>,
    choice: Result<Query<Choice>, QueryRejection>,
    headers: HeaderMap,
) -> Response {
    let Some(trust) = &plain.trust else {
        return where_the_app_is(&plain, StatusCode::OK);
    };
    let Query(choice) = choice.unwrap_or_default();
    let text = |name| headers.get(name).and_then(|value| value.to_str().ok());
    let user_agent = text(header::USER_AGENT).unwrap_or_default();
    let reached = text(header::HOST).and_then(number_in);
    let probes = Probes::new(&plain.address, &plain.names.borrow(), reached);
    let page = TrustPage {
        device: Device::choose(choice.device.as_deref(), user_agent),
        trust,
        host: &plain.address.host,
        probes: &probes,
    };
    let mut response = rendered(&page, StatusCode::OK);
    if let Ok(policy) = HeaderValue::from_str(&probes.content_policy()) {
        response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, policy);
    }
    response
}

/// `192.168.1.20:8080` → the address; a name gives nothing.
fn number_in(host: &str) -> Option<IpAddr> {
    let without_port = host.rsplit_once(':').map_or(host, |(number, _)| number);
    without_port.parse().ok()
}

/// iPhones offer to install a certificate only under this type. It is not sent as an attachment:
/// then they would put it among the downloads, where nothing installs it.
async fn certificate(State(plain): State<Arc<Plain>>) -> Response {
    match &plain.trust {
        Some(trust) => {
            ([(header::CONTENT_TYPE, "application/x-x509-ca-cert")], trust.certificate_der.clone()).into_response()
        }
        None => where_the_app_is(&plain, StatusCode::NOT_FOUND),
    }
}

/// Source of the type: RFC 8555 section 9.1.
async fn certificate_text(State(plain): State<Arc<Plain>>) -> Response {
    match &plain.trust {
        Some(trust) => ([(header::CONTENT_TYPE, "application/pem-certificate-chain")], trust.certificate_pem.clone())
            .into_response(),
        None => where_the_app_is(&plain, StatusCode::NOT_FOUND),
    }
}

async fn style() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/css; charset=utf-8")], STYLE)
}

async fn script() -> impl IntoResponse {
    ([(header::CONTENT_TYPE, "text/javascript; charset=utf-8")], SCRIPT)
}

/// Tells the page that the server is there, so that silence elsewhere means distrust.
async fn alive() -> StatusCode {
    StatusCode::NO_CONTENT
}

async fn elsewhere(State(plain): State<Arc<Plain>>) -> Response {
    where_the_app_is(&plain, StatusCode::NOT_FOUND)
}

fn where_the_app_is(plain: &Plain, status: StatusCode) -> Response {
    let page = ElsewherePage { origin: &plain.address.origin(), has_guide: plain.trust.is_some() };
    rendered(&page, status)
}

fn rendered(page: &impl Template, status: StatusCode) -> Response {
    match page.render() {
        Ok(html) => (status, Html(html)).into_response(),
        Err(error) => {
            tracing::error!(%error, "a plain page could not be drawn");
            StatusCode::INTERNAL_SERVER_ERROR.into_response()
        }
    }
}

/// The strictest answer headers, where the page itself has not set its own.
async fn harden(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    headers.entry(header::CONTENT_SECURITY_POLICY).or_insert(HeaderValue::from_static(
        "default-src 'none'; style-src 'self'; base-uri 'none'; form-action 'none'; \
             frame-ancestors 'none'",
    ));
    headers.insert(header::X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    headers.insert(header::REFERRER_POLICY, HeaderValue::from_static("no-referrer"));
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    response
}
