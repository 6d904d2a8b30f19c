//! Requests that change something must come from our own pages.
//!
//! Changes queued on a phone are sent hours later, so form tokens that expire would lose them. Instead:
//! the cookie is `SameSite=Lax`, and the browser's own `Sec-Fetch-Site` (W3C Fetch Metadata) or `Origin`
//! header must name this site.

use crate::error::AppError;
use axum::extract::Request;
use axum::http::{HeaderMap, Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

pub async fn refuse_cross_site(request: Request, next: Next) -> Response {
    let only_reads = matches!(*request.method(), Method::GET | Method::HEAD | Method::OPTIONS);
    if !only_reads && !same_site(request.headers()) {
        return AppError::CrossSite.into_response();
    }
    next.run(request).await
}

/// True when the request came from our own pages or from a program that is no browser.
fn same_site(headers: &HeaderMap) -> bool {
    if let Some(site) = headers.get("sec-fetch-site") {
        return site == "same-origin" || site == "none";
    }
    let Some(origin) = headers.get(header::ORIGIN) else {
        return true;
    };
    let (Ok(origin), Some(Ok(host))) = (origin.to_str(), headers.get(header::HOST).map(|host| host.to_str())) else {
        return false;
    };
    origin.split_once("://").is_some_and(|(_, from)| from == host)
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    fn headers(pairs: &[(&'static str, &'static str)]) -> HeaderMap {
        pairs.iter().map(|(name, value)| (name.parse().unwrap(), HeaderValue::from_static(value))).collect()
    }

    #[test]
    fn only_our_own_pages_may_change_something() {
        assert!(same_site(&headers(&[("sec-fetch-site", "same-origin")])));
        assert!(!same_site(&headers(&[("sec-fetch-site", "cross-site")])));
        assert!(!same_site(&headers(&[("sec-fetch-site", "same-site")])));
        assert!(same_site(&headers(&[("origin", "https://garage.local:8443"), ("host", "garage.local:8443")])));
        assert!(!same_site(&headers(&[("origin", "https://elsewhere.example"), ("host", "garage.local:8443")])));
        assert!(!same_site(&headers(&[("origin", "null"), ("host", "garage.local:8443")])));
        assert!(same_site(&headers(&[])));
    }
}
