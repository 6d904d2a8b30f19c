//! Headers that every answer carries.

use axum::extract::Request;
use axum::http::{HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;

/// No inline script or style, nothing from elsewhere, no framing.
const CONTENT_SECURITY_POLICY: &str = "default-src 'self'; img-src 'self' blob: data:; media-src 'self' blob:; \
     object-src 'none'; base-uri 'none'; frame-ancestors 'none'; form-action 'self'";

pub async fn add(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    headers.insert(header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(CONTENT_SECURITY_POLICY));
    headers.insert(header::X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff"));
    headers.insert(header::REFERRER_POLICY, HeaderValue::from_static("same-origin"));
    headers.insert("cross-origin-opener-policy", HeaderValue::from_static("same-origin"));
    // A route that other origins may ask (the trust guide asks /healthz) says so itself.
    headers.entry("cross-origin-resource-policy").or_insert(HeaderValue::from_static("same-origin"));
    headers.insert(
        "permissions-policy",
        HeaderValue::from_static("geolocation=(), camera=(self), microphone=(self), screen-wake-lock=(self)"),
    );
    headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    response
}
