//! The session cookie: 256 random bits, of which the database keeps only the SHA-256.

use super::Doorkeeper;
use super::store;
use crate::app::OwnerState;
use crate::clock::Moment;
use crate::error::AppError;
use crate::ids::DeviceId;
use axum::extract::{Request, State};
use axum::http::{Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::CookieJar;
use axum_extra::extract::cookie::{Cookie, SameSite};
use base64::Engine;
use base64::engine::general_purpose::URL_SAFE_NO_PAD;
use sha2::{Digest, Sha256};

const COOKIE: &str = "underlamp";
/// Browsers cap a cookie's life at 400 days (RFC 6265bis). It runs anew with use: a phone used once a year stays paired.
pub const SESSION_DAYS: i64 = 400;
/// How stale 'last seen' may be before it is worth a write.
const SEEN_EVERY_MS: i64 = 60 * 60 * 1000;

/// A browser that holds a valid session. Put into the request by [`require_pairing`].
#[derive(Debug, Clone)]
pub struct Paired {
    pub device: DeviceId,
    pub name: String,
    pub kept_something: bool,
}

/// A fresh session secret.
pub fn new_secret() -> String {
    URL_SAFE_NO_PAD.encode(rand::random::<[u8; 32]>())
}

pub fn hash(secret: &str) -> String {
    hex::encode(Sha256::digest(secret.as_bytes()))
}

/// The cookie that carries a session. `secure` is true wherever pages come over HTTPS.
pub fn cookie(secret: String, secure: bool) -> Cookie<'static> {
    Cookie::build((COOKIE, secret))
        .path("/")
        .http_only(true)
        .same_site(SameSite::Lax)
        .secure(secure)
        .permanent()
        .build()
}

pub fn no_cookie() -> Cookie<'static> {
    Cookie::build((COOKIE, "")).path("/").build()
}

/// A valid session, and whether the browser's cookie is due to be given again.
struct Found {
    paired: Paired,
    renewed: Option<Cookie<'static>>,
}

/// The session of a request, if it holds a valid one. A session in use runs on; only an idle one ends.
async fn find(state: &OwnerState, jar: &CookieJar) -> Result<Option<Found>, AppError> {
    let Some(secret) = jar.get(COOKIE) else { return Ok(None) };
    let now = state.clock.now();
    let mut conn = state.read.conn().await?;
    let Some(found) = store::session(&mut conn, &hash(secret.value()), now).await? else { return Ok(None) };
    drop(conn);
    if now.0 - found.last_seen.0 <= SEEN_EVERY_MS {
        return Ok(Some(Found { paired: found.paired, renewed: None }));
    }
    // With a full disk nothing can be noted, and people must be able to read all the same.
    let renewed = match note_seen(state, found.paired.device, secret.value(), now).await {
        Ok(()) => Some(cookie(secret.value().to_owned(), state.site.secure)),
        Err(cause) => {
            tracing::warn!(%cause, "that a device was seen could not be noted");
            None
        }
    };
    Ok(Some(Found { paired: found.paired, renewed }))
}

async fn note_seen(state: &OwnerState, device: DeviceId, secret: &str, now: Moment) -> Result<(), AppError> {
    let mut tx = state.write.begin_at_the_door(&Doorkeeper(())).await?;
    store::seen(&mut tx, device, &hash(secret), now, now.plus_days(SESSION_DAYS)).await?;
    tx.commit().await
}

/// Lets only paired browsers past. A person on their way to a page is led to the pairing page.
pub async fn require_pairing(
    State(state): State<OwnerState>,
    jar: CookieJar,
    mut request: Request,
    next: Next,
) -> Response {
    match find(&state, &jar).await {
        Ok(Some(found)) => {
            request.extensions_mut().insert(found.paired);
            let response = next.run(request).await;
            match found.renewed {
                Some(cookie) => (CookieJar::new().add(cookie), response).into_response(),
                None => response,
            }
        }
        Ok(None) if wants_a_page(&request) => Redirect::to("/pair").into_response(),
        Ok(None) => AppError::NotPaired.into_response(),
        Err(error) => error.into_response(),
    }
}

pub(super) fn wants_a_page(request: &Request) -> bool {
    let accepts_html = request
        .headers()
        .get(header::ACCEPT)
        .and_then(|accept| accept.to_str().ok())
        .is_some_and(|accept| accept.contains("text/html"));
    request.method() == Method::GET && accepts_html
}
